package spec

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"crankwright/mechanics/firing"
)

// wrongFolder has one folder for each reader, full of files that the reader must refuse.
//
// Each says what it must be told: in comments at its top, one for each error,
//
//	# want: LINE:COLUMN: what is wrong; what would be right
//
// or, where a comment would be in the way, in lines of a file NAME.want beside it. The option -update of the test writes
// what the readers say; read it before you commit it.
const wrongFolder = "testdata/wrong"

// wantMark begins a comment with an error that the file must raise.
const wantMark = "# want: "

// The least number of wrong files, and of messages that differ by more than names and numbers.
const (
	leastWrongFiles = 900
	leastMessages   = 300
)

// wrongReader is a kind of wrong files.
type wrongReader struct {
	folder, ending string
	lines          func(text string) []string           // as the reader counts them
	read           func(path string, data []byte) error // through the door that the command takes
}

func wrongReaders(t *testing.T) []wrongReader {
	t.Helper()
	twin := twinTrain(t)
	return []wrongReader{
		{"engine", EngineSuffix, yamlLines, func(path string, _ []byte) error { return readWrongEngine(path, Options{}) }},
		{"strict", EngineSuffix, yamlLines, func(path string, _ []byte) error { return readWrongEngine(path, Options{Strict: true}) }},
		{"brief", BriefSuffix, yamlLines, func(path string, _ []byte) error { _, err := ReadBriefFile(path); return err }},
		{"study", StudySuffix, yamlLines, func(path string, _ []byte) error { _, err := ReadStudyFile(path); return err }},
		{"prices", PricesSuffix, yamlLines, func(path string, _ []byte) error { _, err := ReadPricesFile(path); return err }},
		{"balance", ".balance.yaml", yamlLines, func(path string, data []byte) error { _, err := ReadBalanceJob(path, data); return err }},
		{"weighed", ".csv", tableLines, func(path string, data []byte) error { _, _, err := ReadWeighed(path, data); return err }},
		{"parts", ".csv", tableLines, func(path string, data []byte) error { _, err := ReadParts(path, data, twin); return err }},
		{"trace", ".csv", tableLines, func(path string, _ []byte) error { return readWrongTrace(path) }},
	}
}

// readWrongEngine reads an engine as the command check does, and asks for its firing.
func readWrongEngine(path string, opt Options) error {
	train, e, err := ReadEngineFile(path, opt)
	if err != nil {
		return err
	}
	if _, err := firing.ForTrain(train); err != nil {
		return e.Placed(err)
	}
	return nil
}

// readWrongTrace reads a measured pressure as that of a single-cylinder engine in its folder.
func readWrongTrace(path string) error {
	text := okHead + "layout: {arrangement: inline, cylinders: 1}\ngas: {trace: " + filepath.Base(path) + "}\n"
	train, e, err := ReadEngine("single.engine.yaml", []byte(text), Options{})
	if err != nil {
		return err
	}
	return e.ReadMeasuredIn(filepath.Dir(path), train)
}

func yamlLines(text string) []string {
	s := newSource(text, nil)
	var out []string
	for _, start := range s.lines {
		end, _ := s.lineEnd(start)
		out = append(out, text[start:end])
	}
	return out
}

func tableLines(text string) []string {
	text = strings.TrimPrefix(text, "\ufeff")
	return strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text), "\n")
}

// TestWrongFiles holds what the readers say of every wrong file against what the file must be told, word for word.
func TestWrongFiles(t *testing.T) {
	files, messages := 0, map[string]bool{}
	for _, r := range wrongReaders(t) {
		paths, err := filepath.Glob(filepath.Join(wrongFolder, r.folder, "*"+r.ending))
		if err != nil || len(paths) == 0 {
			t.Fatalf("%s: no wrong file: %v", r.folder, err)
		}
		for _, path := range paths {
			files++
			if *update {
				r.rewrite(t, path)
			}
			data := mustRead(t, path)
			list, ok := r.errors(t, path, data)
			if !ok {
				continue
			}
			got, want := shownBeside(path, list), wantsOf(t, path, data)
			if !slices.Equal(got, want) {
				t.Errorf("%s:\n got %s\nwant %s", path, strings.Join(got, "\n     "), strings.Join(want, "\n     "))
			}
			for _, e := range list {
				r.judge(t, path, e)
				messages[r.folder+": "+outline(e)] = true
			}
		}
	}
	if files < leastWrongFiles {
		t.Errorf("there are only %d wrong files; keep at least %d", files, leastWrongFiles)
	}
	if len(messages) < leastMessages {
		t.Errorf("the wrong files raise only %d messages; keep at least %d", len(messages), leastMessages)
	}
	t.Logf("%d wrong files raise %d messages that differ by more than names and numbers", files, len(messages))
}

// isHelper tells a measured pressure that an engine file of the folder names.
func isHelper(path string) bool { return strings.HasSuffix(path, ".csv") }

// errors reads a file; ok is false where it is not refused as it should be, which is said.
func (r *wrongReader) errors(t *testing.T, path string, data []byte) (list Errors, ok bool) {
	t.Helper()
	err := r.read(path, data)
	if !errors.As(err, &list) || len(list) == 0 || err.Error() != list.Error() {
		t.Errorf("%s: it is refused with %T: %v", path, err, err)
		return nil, false
	}
	return list, true
}

// shownBeside writes errors as they are kept, without the name of the file itself.
func shownBeside(path string, list Errors) []string {
	var out []string
	for _, e := range list {
		text := strings.TrimPrefix(e.Error(), path+":")
		out = append(out, strings.TrimPrefix(text, filepath.Dir(path)+"/"))
	}
	return out
}

// besidePath is where the errors of a file stand that has no comments.
func besidePath(path string) string {
	name, _, _ := strings.Cut(filepath.Base(path), ".")
	return filepath.Join(filepath.Dir(path), name+".want")
}

// wantsOf reads what a file must be told.
func wantsOf(t *testing.T, path string, data []byte) []string {
	t.Helper()
	if text, err := os.ReadFile(besidePath(path)); err == nil {
		return strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
	}
	wants, _ := splitWants(data)
	if len(wants) == 0 {
		t.Errorf("%s: it does not say what is wrong with it; begin it with lines %q", path, wantMark)
	}
	return wants
}

// splitWants takes the comments with errors from the top of a file.
func splitWants(data []byte) (wants []string, body []byte) {
	for bytes.HasPrefix(data, []byte(wantMark)) {
		line, rest, _ := bytes.Cut(data, []byte("\n"))
		wants, data = append(wants, string(line[len(wantMark):])), rest
	}
	return wants, data
}

// rewrite keeps what the reader says of a file. The comments move the lines below them, so they are written until they agree.
func (r *wrongReader) rewrite(t *testing.T, path string) {
	t.Helper()
	write := func(path string, data []byte) {
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	data := mustRead(t, path)
	if _, err := os.Stat(besidePath(path)); err == nil {
		if list, ok := r.errors(t, path, data); ok {
			write(besidePath(path), []byte(strings.Join(shownBeside(path, list), "\n")+"\n"))
		}
		return
	}
	_, body := splitWants(data)
	for range 4 {
		list, ok := r.errors(t, path, data)
		if !ok {
			return
		}
		var out bytes.Buffer
		for _, want := range shownBeside(path, list) {
			fmt.Fprintf(&out, "%s%s\n", wantMark, want)
		}
		out.Write(body)
		if bytes.Equal(out.Bytes(), data) {
			return
		}
		data = out.Bytes()
		write(path, data)
	}
	t.Errorf("%s: what it is told depends on the comments at its top; keep it in %s", path, besidePath(path))
}

// judge holds one error against what people may expect of all.
func (r *wrongReader) judge(t *testing.T, path string, e Error) {
	t.Helper()
	if fault := faultOf(e, r.lines(string(mustRead(t, e.File)))); fault != "" {
		t.Errorf("%s: %s: %s", path, fault, e)
	}
}

// faultOf says what an error about a text of these lines lacks; empty: it has a place inside the text, it is one line of plain text,
// and it says what would be right.
func faultOf(e Error, lines []string) string {
	text := e.Error()
	switch {
	case e.What == "":
		return "it does not say what is wrong"
	case e.Line < 1 || e.Line > len(lines):
		return fmt.Sprintf("line %d of %d lines", e.Line, len(lines))
	case e.Column < 1 || e.Column > utf8.RuneCountInString(lines[e.Line-1])+1:
		return fmt.Sprintf("column %d of %d characters", e.Column, utf8.RuneCountInString(lines[e.Line-1]))
	case !utf8.ValidString(text) || strings.ContainsFunc(text, unicode.IsControl):
		return fmt.Sprintf("this is not one line of plain text: %q", text)
	case e.Allowed == "" && !strings.Contains(e.What, "; "):
		return "it is not said what would be right"
	}
	return ""
}

var namesAndNumbers = regexp.MustCompile(`"(\\.|[^"\\])*"|-?[0-9]+(\.[0-9]+)?(e[-+]?[0-9]+)?`)

// outline is a message without names and numbers.
func outline(e Error) string {
	return namesAndNumbers.ReplaceAllString(e.What+"; "+e.Allowed, "…")
}

// TestNothingBesideWrongFiles finds what belongs to no wrong file.
func TestNothingBesideWrongFiles(t *testing.T) {
	for _, r := range wrongReaders(t) {
		entries, err := os.ReadDir(filepath.Join(wrongFolder, r.folder))
		if err != nil {
			t.Fatal(err)
		}
		named := map[string]bool{}
		for _, entry := range entries {
			if strings.HasSuffix(entry.Name(), r.ending) {
				named[filepath.Base(besidePath(entry.Name()))] = true
			}
		}
		for _, entry := range entries {
			helper := r.folder == "engine" && isHelper(entry.Name())
			if name := entry.Name(); !strings.HasSuffix(name, r.ending) && !named[name] && !helper {
				t.Errorf("%s/%s is neither a wrong file nor what one must be told", r.folder, name)
			}
		}
	}
}

// TestGoodFilesPass sends a good file through each door by which the wrong ones are refused.
func TestGoodFilesPass(t *testing.T) {
	good := map[string]string{
		"engine": "../examples/vee-twin-90.engine.yaml", "strict": "testdata/engines/contract-short.engine.yaml", "brief": briefExample,
		"prices": pricesExample, "balance": "../examples/balancing-shop/harbour-pilot.balance.yaml", "parts": "../examples/balancing-shop/harbour-pilot.parts.csv",
	}
	dir := t.TempDir()
	for name, text := range map[string]string{"study": okStudy, "weighed": "kind,id,mass\npiston,P1,412.3 g\n", "trace": traceCases[0].text} {
		good[name] = filepath.Join(dir, name+".csv")
		if err := os.WriteFile(good[name], []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for _, r := range wrongReaders(t) {
		if err := r.read(good[r.folder], mustRead(t, good[r.folder])); err != nil {
			t.Errorf("%s: %v", r.folder, err)
		}
	}
}
