package spec

import (
	"fmt"
	"regexp"
	"runtime"
	"strings"
	"testing"
	"time"
	"unicode"

	"crankwright/mechanics/layout"
)

// bomb is ten lists of ten aliases each: 10¹⁰ values in a few lines.
func bomb() string {
	text := "a: &a [0, 1, 2, 3, 4, 5, 6, 7, 8, 9]\n"
	for c := 'b'; c < 'k'; c++ {
		text += fmt.Sprintf("%c: &%c [*%c%s]\n", c, c, c-1, strings.Repeat(fmt.Sprintf(", *%c", c-1), 9))
	}
	return text
}

// TestHostileTextsForEveryReader gives every reader, and what edits its files, texts that are made to exhaust it. Each is refused
// in words, for little memory, and in no time that a user would notice.
func TestHostileTextsForEveryReader(t *testing.T) {
	name, bore := "x", "80 mm"
	readers := map[string]struct {
		read func([]byte) error
		keys []string // of lists, maps and texts
	}{
		"engine":        {func(d []byte) error { _, _, err := ReadEngine("f", d, Options{}); return err }, []string{"layout", "name", "balance_shafts", "bore"}},
		"brief":         {func(d []byte) error { _, err := ReadBrief("f", d); return err }, []string{"priorities", "limits", "made_of", "worth", "why", "application"}},
		"study":         {func(d []byte) error { _, err := ReadStudy("f", d); return err }, []string{"vary", "require", "minimise", "base"}},
		"prices":        {func(d []byte) error { _, err := ReadPrices("f", d); return err }, []string{"prices", "reference", "name"}},
		"balance job":   {func(d []byte) error { _, err := ReadBalanceJob("f", d); return err }, []string{"planes", "name"}},
		"edited engine": {func(d []byte) error { _, err := Edit(d, []Change{{Path: "bore", Text: &bore}}); return err }, []string{"layout", "name"}},
		"edited brief":  {func(d []byte) error { _, err := EditBrief(d, []Change{{Path: "name", Text: &name}}); return err }, []string{"priorities", "name"}},
		"edited study":  {func(d []byte) error { _, err := EditStudy(d, []Change{{Path: "name", Text: &name}}); return err }, []string{"vary", "name"}},
		"weighed parts": {func(d []byte) error { _, _, err := ReadWeighed("f", d); return err }, []string{"kind"}},
		"trace":         {func(d []byte) error { _, _, err := ReadTrace("f", d, layout.FourStroke); return err }, []string{"angle"}},
	}
	for of, r := range readers {
		if err := r.read([]byte(strings.Repeat("# x\n", MaxTraceSize/4+1) + r.keys[0] + ": 1\n")); err == nil {
			t.Errorf("%s: a text that is too large is taken", of)
		}
		for _, key := range r.keys {
			for what, text := range map[string]string{
				"aliases":          bomb() + key + ": *j\n",
				"aliases in a map": bomb() + key + ": {a: *j, b: *j, c: [*j, *j]}\n",
				"its own alias":    key + ": &a [*a, *a]\n",
				"a map in itself":  key + ": &a {x: *a, y: *a}\n",
				"merge keys":       "a: &a {x: 1}\n" + key + ": {<<: [" + strings.TrimSuffix(strings.Repeat("*a, ", 5000), ", ") + "]}\n",
				"open lists":       key + ": " + strings.Repeat("[", 1<<16),
				"closed lists":     key + ": " + strings.Repeat("[", 3000) + strings.Repeat("]", 3000) + "\n",
				"open maps":        key + ": " + strings.Repeat("{a: ", 1<<14),
				"closed maps":      key + ": " + strings.Repeat("{a: ", 3000) + strings.Repeat("}", 3000) + "\n",
				"indentation":      key + ":\n" + indented(400),
				"dashes":           key + ":\n  " + strings.Repeat("- ", 3000) + "1\n",
				"questions":        key + ": " + strings.Repeat("? ", 3000) + "1\n",
				"a huge text":      key + ": " + strings.Repeat("x", 1<<16) + "\n",
				"a huge quotation": key + ": \"" + strings.Repeat("\\u0041", 1<<16) + "\"\n",
				"a huge block":     key + ": |\n" + strings.Repeat("  x\n", 1<<14),
				"a huge number":    key + ": " + strings.Repeat("9", 1<<16) + "\n",
				"a huge exponent":  key + ": 1e" + strings.Repeat("9", 1<<10) + " mm\n",
				"a huge key":       strings.Repeat("k", 1<<16) + ": 1\n",
				"many keys":        manyKeys(key),
				"many documents":   strings.Repeat("---\n"+key+": 1\n", 1<<12),
				"many anchors":     key + ": [" + strings.TrimSuffix(strings.Repeat("&a 1, ", 1<<12), ", ") + "]\n",
				"many comments":    strings.Repeat("# x\n", 1<<14) + key + ": [\n",
				"a tag of Go":      key + ": !!python/object/apply:os.system [id]\n",
				"binary":           key + ": !!binary " + strings.Repeat("QUFB", 1<<16) + "\n",
				"a directive":      "%TAG ! tag:evil.example,2000:\n---\n" + key + ": !x 1\n",
			} {
				var before, after runtime.MemStats
				runtime.ReadMemStats(&before)
				from := time.Now()
				err := r.read([]byte(text))
				took := time.Since(from)
				runtime.ReadMemStats(&after)
				// An edit does not judge what it does not touch, and a trace skips what is no table.
				if err == nil && !strings.HasPrefix(of, "edited") {
					t.Errorf("%s, %s: %s is taken", of, key, what)
				}
				if err != nil && len(err.Error()) > 300_000 {
					t.Errorf("%s, %s: %s: %d bytes of errors", of, key, what, len(err.Error()))
				}
				if took > 20*time.Second || after.TotalAlloc-before.TotalAlloc > 2<<30 {
					t.Errorf("%s, %s: %s: %s and %d MiB", of, key, what, took, (after.TotalAlloc-before.TotalAlloc)>>20)
				}
			}
		}
	}
}

// TestControlCharactersStayOut refuses names that would move the cursor of a terminal or hide a text, as bytes and as YAML spells them.
func TestControlCharactersStayOut(t *testing.T) {
	for _, bad := range []string{"\x1b[31m", "\\e]0;title\\a", "\\x9b31m", "\\0", "\\b", "\\u0085", "a\\rb", "\x00", "\x7f", "\x08"} {
		for _, key := range []string{"name", "cycle", "bore"} {
			line := regexp.MustCompile("(?m)^" + key + ": .*$")
			text := line.ReplaceAllLiteralString(okHead+okLayout, key+": \"x"+bad+"\"")
			_, _, err := ReadEngine("f", []byte(text), Options{})
			if err == nil || !strings.Contains(err.Error(), "control character") && !strings.Contains(err.Error(), "damaged") {
				t.Errorf("%s: %q: %v", key, bad, err)
			} else if strings.ContainsFunc(err.Error(), func(r rune) bool { return r != '\n' && unicode.IsControl(r) }) {
				t.Errorf("%s: %q: the message has it: %q", key, bad, err)
			}
		}
	}
}

// indented is a map in a map, many times, a line each.
func indented(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(strings.Repeat(" ", i+1) + "a:\n")
	}
	return b.String()
}

func manyKeys(key string) string {
	var b strings.Builder
	b.WriteString(key + ":\n")
	for i := range 1 << 15 {
		fmt.Fprintf(&b, "  k%d: 1\n", i)
	}
	return b.String()
}

// TestLongTables gives the readers of tables very many lines: the time grows with the text, and not with its square.
func TestLongTables(t *testing.T) {
	twin := twinTrain(t)
	weighed := func(d []byte) error { _, _, err := ReadWeighed("f", d); return err }
	parts := func(d []byte) error { _, err := ReadParts("f", d, twin); return err }
	trace := func(d []byte) error { _, _, err := ReadTrace("f", d, layout.FourStroke); return err }
	for _, c := range []struct {
		what, head, line string
		read             func([]byte) error
		most             int
	}{
		{"weighed parts of no kind", "kind,id,mass\n", "x\n", weighed, MaxFileSize},
		{"weighed parts without a number", "kind,id,mass\n", "rod,,\n", weighed, MaxFileSize},
		{"good parts", "part,mass,count,kind\n", "a,1 g,1,rotating\n", parts, MaxFileSize},
		{"parts without a number", "part,mass,count,kind\n", "a\n", parts, MaxFileSize},
		{"lines of a trace without a number", "ca deg, p bar\n", "1,x\n", trace, MaxTraceSize / 8},
		{"one angle of a trace", "ca deg, p bar\n", "1,1\n", trace, MaxTraceSize / 8},
	} {
		text := []byte(c.head + strings.Repeat(c.line, (c.most-len(c.head))/len(c.line)))
		from := time.Now()
		err := c.read(text)
		if took := time.Since(from); took > 20*time.Second {
			t.Errorf("%s: %d bytes take %s", c.what, len(text), took)
		}
		if good := c.what == "good parts"; good != (err == nil) {
			t.Errorf("%s: %.300v", c.what, err)
		}
	}
}
