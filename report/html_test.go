package report_test

import (
	"bytes"
	"errors"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"crankwright/analysis"
	"crankwright/report"
	"crankwright/spec"
)

// exampleResults analyses n engines, the examples over and over.
func exampleResults(t *testing.T, n int) []*analysis.Result {
	t.Helper()
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no example engines: %v", err)
	}
	var rs []*analysis.Result
	for i := range n {
		rs = append(rs, resultOf(t, files[i%len(files)], func(*analysis.Result) {}))
	}
	return rs
}

func resultOf(t *testing.T, file string, change func(*analysis.Result)) *analysis.Result {
	t.Helper()
	train, _, err := spec.ReadEngineFile(file, spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := analysis.Run(train, analysis.Options{})
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	change(r)
	return r
}

// elements walks all elements of a page.
func elements(root *html.Node, visit func(*html.Node)) {
	for n := range root.Descendants() {
		if n.Type == html.ElementNode {
			visit(n)
		}
	}
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func text(n *html.Node) string {
	var b strings.Builder
	for c := range n.Descendants() {
		if c.Type == html.TextNode {
			b.WriteString(c.Data)
		}
	}
	return b.String()
}

func parsed(t *testing.T, rs []*analysis.Result) (*html.Node, []byte) {
	t.Helper()
	page, err := report.CompareHTML(rs)
	if err != nil {
		t.Fatal(err)
	}
	root, err := html.Parse(bytes.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	return root, page
}

func TestPageOfAnyNumberOfEngines(t *testing.T) {
	for _, n := range []int{1, 2, 6, 7, 30} {
		t.Run(strconv.Itoa(n), func(t *testing.T) {
			rs := exampleResults(t, n)
			root, page := parsed(t, rs)
			checkReferences(t, root)
			checkHeadings(t, root)
			checkSealed(t, root)
			checkTable(t, root, rs)
			checkFigures(t, root)
			const perEngine, frame = 150_000, 30_000
			if most := n*perEngine + frame; len(page) > most {
				t.Errorf("the page has %d bytes, %d are the most", len(page), most)
			}
			t.Logf("%d engines: %d kB, %d kB each", n, len(page)/1000, len(page)/1000/n)
		})
	}
}

// checkReferences holds every id against every use of one.
func checkReferences(t *testing.T, root *html.Node) {
	t.Helper()
	ids := map[string]bool{}
	elements(root, func(n *html.Node) {
		id := attribute(n, "id")
		if id == "" {
			return
		}
		if ids[id] {
			t.Errorf("id %q stands on the page twice", id)
		}
		ids[id] = true
	})
	elements(root, func(n *html.Node) {
		used := strings.Fields(attribute(n, "aria-labelledby") + " " + attribute(n, "aria-describedby"))
		if target, ok := strings.CutPrefix(attribute(n, "href"), "#"); ok {
			used = append(used, target)
		}
		for _, u := range used {
			if !ids[u] {
				t.Errorf("<%s> refers to %q, which does not exist", n.Data, u)
			}
		}
	})
}

// checkHeadings wants one h1 and no level left out.
func checkHeadings(t *testing.T, root *html.Node) {
	t.Helper()
	last, first := 0, 0
	elements(root, func(n *html.Node) {
		if len(n.Data) != 2 || n.Data[0] != 'h' || n.Data[1] < '1' || n.Data[1] > '6' {
			return
		}
		level := int(n.Data[1] - '0')
		if level == 1 {
			first++
		}
		if level > last+1 {
			t.Errorf("heading %q is of level %d after level %d", text(n), level, last)
		}
		last = level
	})
	if first != 1 {
		t.Errorf("%d headings of level 1", first)
	}
}

// checkSealed wants nothing that runs or fetches.
func checkSealed(t *testing.T, root *html.Node) {
	t.Helper()
	policy, lang := "", ""
	elements(root, func(n *html.Node) {
		switch n.Data {
		case "script", "link", "iframe", "object", "embed", "img", "image", "use", "base", "form":
			t.Errorf("the page has a <%s>", n.Data)
		case "meta":
			if attribute(n, "http-equiv") == "Content-Security-Policy" {
				policy = attribute(n, "content")
			}
		case "html":
			lang = attribute(n, "lang")
		case "style":
			if policy == "" {
				t.Error("a style stands before the content security policy")
			}
			for _, bad := range []string{"url(", "@import", "http:", "https:"} {
				if strings.Contains(text(n), bad) {
					t.Errorf("the style sheet has %q", bad)
				}
			}
		}
		for _, a := range n.Attr {
			if strings.HasPrefix(a.Key, "on") || a.Key == "src" || a.Key == "srcset" || a.Key == "href" && !strings.HasPrefix(a.Val, "#") {
				t.Errorf("<%s> has %s=%q", n.Data, a.Key, a.Val)
			}
		}
	})
	if !strings.HasPrefix(policy, "default-src 'none'; style-src 'unsafe-inline'; img-src data:") {
		t.Errorf("the content security policy is %q", policy)
	}
	if lang != "en" {
		t.Errorf("the language is %q", lang)
	}
}

// checkTable wants a column for each engine, a row for each figure, and the marks of ComparedRows.
func checkTable(t *testing.T, root *html.Node, rs []*analysis.Result) {
	t.Helper()
	var table *html.Node
	elements(root, func(n *html.Node) {
		if n.Data == "table" && table == nil {
			table = n
		}
	})
	columns, rows, best, worst := 0, 0, 0, 0
	elements(table, func(n *html.Node) {
		switch {
		case n.Data == "th" && attribute(n, "scope") == "col":
			columns++
		case n.Data == "tr":
			cells := 0
			for c := range n.ChildNodes() {
				if c.Data == "td" {
					cells++
				}
				switch attribute(c, "class") {
				case "best":
					best++
				case "worst":
					worst++
				}
			}
			if cells == len(rs) && attribute(n, "class") == "" {
				rows++
			}
		}
	})
	if columns != 1+len(rs) {
		t.Errorf("the table has %d columns for %d engines", columns-1, len(rs))
	}
	compared := report.ComparedRows(rs)
	if rows != len(compared)+2 {
		t.Errorf("the table has %d full rows, want %d figures, the speed and the estimates", rows, len(compared))
	}
	wantBest, wantWorst := 0, 0
	for _, r := range compared {
		wantBest += len(r.Best)
		wantWorst += len(r.Worst)
	}
	if best != wantBest || worst != wantWorst {
		t.Errorf("marked %d best and %d worst, want %d and %d", best, worst, wantBest, wantWorst)
	}
}

// checkFigures wants a name and a description in every drawing.
func checkFigures(t *testing.T, root *html.Node) {
	t.Helper()
	drawings := 0
	elements(root, func(n *html.Node) {
		if n.Data != "svg" {
			return
		}
		drawings++
		title := ""
		for c := range n.ChildNodes() {
			if c.Data == "title" {
				title = strings.TrimSpace(text(c))
			}
		}
		if attribute(n, "role") != "img" || title == "" || attribute(n, "aria-labelledby") == "" {
			t.Errorf("a drawing has role %q and title %q", attribute(n, "role"), title)
		}
	})
	if drawings == 0 {
		t.Error("the page has no drawing")
	}
}

func TestHostileNamesStayText(t *testing.T) {
	const bad = `"'><script>alert(1)</script></style></title></svg><img src=x onerror=alert(1)>&amp;` + "\u202e"
	r := resultOf(t, "../examples/vee-six-60.engine.yaml", func(r *analysis.Result) {
		r.Train.Name = bad
		r.Train.Estimates = slices.Clone(r.Train.Estimates)
		for i := range r.Train.Estimates {
			e := &r.Train.Estimates[i]
			e.Key, e.Rule, e.Source, e.Shown = bad, bad, bad, bad
		}
		for i := range r.Train.Cylinders {
			r.Train.Cylinders[i].Name = bad + strconv.Itoa(i)
		}
		for i := range r.Train.Banks {
			r.Train.Banks[i].Name = bad
		}
		for i := range r.Train.Throws {
			r.Train.Throws[i].Name = bad
		}
	})
	root, _ := parsed(t, []*analysis.Result{r, r})
	checkSealed(t, root)
	checkReferences(t, root)
	checkFigures(t, root)
	headings := 0
	elements(root, func(n *html.Node) {
		if n.Data == "h2" && text(n) == bad {
			headings++
		}
	})
	if headings != 2 {
		t.Errorf("the name stands whole in %d headings, want 2", headings)
	}
}

func TestPageIsTheSameEveryTime(t *testing.T) {
	one, err := report.CompareHTML(exampleResults(t, 3))
	if err != nil {
		t.Fatal(err)
	}
	two, err := report.CompareHTML(exampleResults(t, 3))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(one, two) {
		t.Error("the same engines gave two pages")
	}
}

func TestPageOfOneEngine(t *testing.T) {
	alone, err := report.CompareHTML(exampleResults(t, 1))
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(alone, []byte(`class="mark`)) {
		t.Error("one engine alone is called best or worst")
	}
}

func TestPageNeedsEngines(t *testing.T) {
	if _, err := report.CompareHTML(nil); !errors.Is(err, report.ErrNoEngine) {
		t.Errorf("no engines: %v", err)
	}
	if _, err := report.CompareHTML([]*analysis.Result{nil}); err == nil {
		t.Error("a missing result gave a page")
	}
}

func TestPageSaysTheSpeed(t *testing.T) {
	rs := exampleResults(t, 2)
	page := func() string {
		b, err := report.CompareHTML(rs)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	for i := range rs {
		r, err := analysis.Run(rs[i].Train, analysis.Options{Speed: 400})
		if err != nil {
			t.Fatal(err)
		}
		rs[i] = r
	}
	if p := page(); !strings.Contains(p, "is for 3820 rpm, the same for all engines") {
		t.Error("the page does not say the common speed")
	}
	r, err := analysis.Run(rs[0].Train, analysis.Options{Speed: 200})
	if err != nil {
		t.Fatal(err)
	}
	rs[0] = r
	if p := page(); !strings.Contains(p, "from 1910 to 3820 rpm") {
		t.Error("the page does not say the range of speeds")
	}
}
