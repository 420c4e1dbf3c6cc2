package server

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"crankwright/report"
)

// startHostile serves a folder whose every name, label and comment is script, markup and a formula at once.
func startHostile(t *testing.T) *bench {
	t.Helper()
	b := start(t, four)
	files, err := filepath.Glob("testdata/hostile/*.yaml")
	if err != nil || len(files) < 4 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		b.put(filepath.Base(f), string(data))
	}
	return b
}

const (
	hostileEngine = "hostile.engine.yaml"
	hostileBrief  = "hostile.brief.yaml"
	hostileStudy  = "hostile.study.yaml"
)

// TestHostileNamesAreText takes away everything that can be taken away of an engine, a brief and parts whose names are script and
// formulas: in every kind of file they stay text.
func TestHostileNamesAreText(t *testing.T) {
	b := startHostile(t)
	if v := b.engine(hostileEngine); len(v.Problems) > 0 || !strings.Contains(v.Result.Name, "<script>") {
		t.Fatalf("the hostile engine is not whole: %+v", v.Problems)
	}
	file := url.QueryEscape(hostileEngine)
	var figures []FigureInfo
	b.want(200, "GET", "/api/figures", nil, &figures)
	for _, f := range figures {
		for _, format := range []string{"svg", "pdf"} {
			b.harmless("GET", "/api/figures/"+f.Name+"?by_cylinder=true&file="+file+"&format="+format, nil)
		}
	}
	for _, table := range []string{"compare", "orders", "curves", "torque", "gas", "estimates", "firing-orders", "sweep"} {
		b.harmless("GET", "/api/tables/"+table+".csv?file="+file, nil)
	}
	for _, format := range []string{"html", "pdf", "md", "csv"} {
		b.harmless("GET", "/api/report?format="+format+"&files="+file, nil)
		b.harmless("GET", "/api/report?format="+format+"&brief="+hostileBrief, nil)
		b.harmless("POST", "/api/balance/bobweights/card?format="+format, on(hostileEngine, nil), "md is none of its formats")
	}
	b.harmless("POST", "/api/balance/bobweights/card?format=svg", on(hostileEngine, nil))
	for _, name := range report.ChoiceFigures() {
		b.harmless("POST", "/api/choice/figures/"+name, map[string]any{"brief": map[string]any{"file": hostileBrief}}, "needs more than one measure")
	}
}

// harmless asks for a file and looks for what a name could have become in it. A kind of file that does not exist may be refused.
func (b *bench) harmless(method, path string, body any, maybe ...string) {
	b.t.Helper()
	answer, data := b.ask(method, path, body)
	if answer.StatusCode != http.StatusOK {
		if len(maybe) == 0 || answer.StatusCode >= 500 {
			b.t.Errorf("%s: %s %.300s", path, answer.Status, data)
		}
		return
	}
	kind, _, _ := strings.Cut(answer.Header.Get("Content-Type"), ";")
	check := map[string]func([]byte) error{
		"text/html": soundHTML, "image/svg+xml": soundSVG, "application/pdf": soundPDF, "text/markdown": soundMarkdown, "text/csv": soundCSV,
	}[kind]
	if check == nil {
		b.t.Errorf("%s: a file of type %s", path, kind)
		return
	}
	if err := check(data); err != nil {
		b.t.Errorf("%s: %v", path, err)
	}
	if as := answer.Header.Get("Content-Disposition"); !plainDisposition.MatchString(as) {
		b.t.Errorf("%s: it is called %s", path, as)
	}
}

var plainDisposition = regexp.MustCompile(`^(inline|attachment); filename="[A-Za-z0-9._-]+"$`)

// soundHTML wants a page without an element or attribute that runs, apart from the script that is ours.
func soundHTML(data []byte) error {
	root, err := html.Parse(bytes.NewReader(data))
	if err != nil {
		return err
	}
	for n := range root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		switch n.Data {
		case "img", "iframe", "object", "embed", "link", "base", "form", "image", "foreignobject":
			return errors.New("the page has <" + n.Data + ">")
		case "script":
			if n.FirstChild != nil && strings.HasPrefix(strings.TrimSpace(n.FirstChild.Data), "top.cw") {
				return errors.New("a name is script")
			}
		}
		for _, a := range n.Attr {
			if a.Key == "data-cw" || strings.HasPrefix(a.Key, "on") || strings.Contains(strings.ToLower(a.Val), "javascript:") && a.Key != "aria-label" && a.Key != "title" {
				return errors.New("<" + n.Data + "> has " + a.Key + "=" + a.Val)
			}
		}
	}
	return nil
}

// soundSVG wants a drawing without what runs or leads away.
func soundSVG(data []byte) error {
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		switch strings.ToLower(e.Name.Local) {
		case "script", "img", "image", "foreignobject", "a", "use", "iframe":
			return errors.New("the drawing has <" + e.Name.Local + ">")
		}
		for _, a := range e.Attr {
			if strings.HasPrefix(a.Name.Local, "on") || a.Name.Local == "href" || a.Name.Local == "data-cw" {
				return errors.New("<" + e.Name.Local + "> has " + a.Name.Local)
			}
		}
	}
}

// soundPDF wants a document without an action.
func soundPDF(data []byte) error {
	for _, bad := range []string{"/JavaScript", "/JS", "/Launch", "/OpenAction", "/AA", "/URI", "/EmbeddedFile", "/SubmitForm", "/RichMedia"} {
		if regexp.MustCompile(regexp.QuoteMeta(bad) + `\b`).Match(data) {
			return errors.New("the document has " + bad)
		}
	}
	return nil
}

var fence = regexp.MustCompile("(?ms)^(`{3,})[^`\n]*\n.*?^`{3,}$")

// soundMarkdown wants no markup that comes from a name; what stands between fences is text.
func soundMarkdown(data []byte) error {
	text := fence.ReplaceAllString(string(data), "")
	for _, bad := range []string{`<img`, `<script`, `</title`, `](javascript`, `[a]`, `&lt;`} {
		for at := strings.Index(text, bad); at >= 0; {
			if at == 0 || text[at-1] != '\\' {
				return errors.New("markup from a name: " + text[max(0, at-40):min(len(text), at+40)])
			}
			next := strings.Index(text[at+1:], bad)
			if next < 0 {
				break
			}
			at += 1 + next
		}
	}
	return nil
}

// soundCSV wants no cell that a spreadsheet takes for a formula.
func soundCSV(data []byte) error {
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		return err
	}
	for _, row := range rows {
		for _, cell := range row {
			if cell == "" || !strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
				continue
			}
			if _, err := strconv.ParseFloat(cell, 64); err != nil {
				return errors.New("a cell is a formula: " + cell)
			}
		}
	}
	return nil
}

// TestHostileStudy checks and runs a study whose name and comments are script.
func TestHostileStudy(t *testing.T) {
	b := startHostile(t)
	var v StudyCheck
	b.want(200, "POST", "/api/study-check", StudyDraft{File: hostileStudy}, &v)
	if v.Plan == nil || !strings.Contains(v.Plan.Name, "<script>") {
		t.Fatalf("the hostile study is not whole: %+v", v.Problems)
	}
	b.search(hostileStudy)
	var rows StudyRows
	b.want(200, "POST", "/api/studies/"+hostileStudy+"/query", StudyQuery{Front: true}, &rows)
	if len(rows.Rows) == 0 {
		t.Error("it found nothing")
	}
	// A candidate is called after its base; its file has a plain name all the same.
	var c EngineView
	b.want(201, "POST", "/api/studies/"+hostileStudy+"/candidates/"+itoa(int(rows.Index[0]))+"/keep", map[string]any{}, &c)
	if !validName(c.File) || strings.ContainsAny(c.File, "<>'\"&=") {
		t.Errorf("it is kept as %s", c.File)
	}
}
