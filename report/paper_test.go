package report

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"crankwright/analysis"
	"crankwright/draw"
	"crankwright/spec"
)

// paperResults analyses n examples with all chapters that all engines can have.
func paperResults(t testing.TB, n int, opt analysis.Options) []*analysis.Result {
	t.Helper()
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no example engines: %v", err)
	}
	var rs []*analysis.Result
	for i := range n {
		k := i // engines of many kinds, and in the end all
		if len(files)%5 != 0 {
			k = 5 * i
		}
		rs = append(rs, paperResult(t, files[k%len(files)], opt))
	}
	return rs
}

// analysed keeps what tests have computed, for they only read it.
var analysed sync.Map

func paperResult(t testing.TB, file string, opt analysis.Options) *analysis.Result {
	t.Helper()
	key := file + fmt.Sprint(opt)
	if r, ok := analysed.Load(key); ok {
		return r.(*analysis.Result)
	}
	train, _, err := spec.ReadEngineFile(file, spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := analysis.Run(train, opt)
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	analysed.Store(key, r)
	return r
}

func everyChapter() analysis.Options {
	return analysis.Options{Drive: true, Lasting: true, Space: true, Parts: true}
}

// checkPaper holds every line of text against the margins and its neighbours.
func checkPaper(t rapid.TB, b draw.Book) {
	t.Helper()
	for n, p := range b.Pages {
		texts := p.Texts()
		for i, a := range texts {
			left, right, top, bottom := paperLeft-1, paperRight+1, 25.0, paperHeight-25
			if a.Figure {
				left, right = left-figureBleed, right+figureBleed
			}
			if a.Left < left || a.Right > right || a.Top < top || a.Bottom > bottom {
				t.Fatalf("page %d of %d: %q reaches from %.1f, %.1f to %.1f, %.1f", n+1, len(b.Pages), a.Text, a.Left, a.Top, a.Right, a.Bottom)
			}
			if a.Figure || strings.TrimSpace(a.Text) == "" {
				continue
			}
			for _, c := range texts[i+1:] {
				const air = 0.4
				if !c.Figure && strings.TrimSpace(c.Text) != "" && a.Left < c.Right-air && c.Left < a.Right-air && a.Top < c.Bottom-air && c.Top < a.Bottom-air {
					t.Fatalf("page %d of %d: %q lies on %q", n+1, len(b.Pages), a.Text, c.Text)
				}
			}
		}
	}
}

// checkHeads holds every bookmark's heading against what follows it: none stands alone at the foot of a page.
func checkHeads(t *testing.T, b draw.Book) {
	t.Helper()
	titles := map[string]bool{}
	var walk func([]draw.Bookmark)
	walk = func(list []draw.Bookmark) {
		for _, m := range list {
			titles[m.Title] = true
			walk(m.Kids)
		}
	}
	walk(b.Bookmarks)
	const foot = paperHeight - 50
	for n, p := range b.Pages[1:] {
		last := draw.Placed{}
		for _, a := range p.Texts() {
			if a.Bottom < foot && a.Bottom > last.Bottom {
				last = a
			}
		}
		if titles[last.Text] && !strings.Contains(pageText(p), "Contents") {
			t.Errorf("page %d ends with the heading %q", n+2, last.Text)
		}
	}
}

func pageText(p *draw.Page) string {
	var b strings.Builder
	for _, a := range p.Texts() {
		b.WriteString(a.Text + "\n")
	}
	return b.String()
}

func TestPaperOfAnyNumberOfEngines(t *testing.T) {
	for _, n := range []int{1, 2, 4, 30} { // 30 are all examples
		t.Run(strconv.Itoa(n), func(t *testing.T) {
			opt := everyChapter()
			if n > 10 { // that takes long
				opt = analysis.Options{}
			}
			p := newPage(paperResults(t, n, opt))
			p.Front, p.Back = testSections(), testSections()
			wide, noted := p.Engines[0].Shape[1], p.Engines[0].Cycle[0]
			wide.Wide, noted.Caption = true, strings.Repeat("What stands below a figure. ", 12)
			p.Front[0].Figures = []pageFigure{noted, wide, p.Engines[0].Shape[0], noted}
			b := bookOf(p)
			checkPaper(t, b)
			checkHeads(t, b)
			if least := 4 * n; len(b.Pages) < least {
				t.Errorf("%d pages for %d engines, want %d at least", len(b.Pages), n, least)
			}
			words := strings.Join(strings.Fields(strings.Join(mapped(b.Pages, pageText), "\n")), " ")
			for _, e := range p.Engines {
				if !strings.Contains(words, e.Name) {
					t.Errorf("%q stands nowhere", e.Name)
				}
			}
			for i, page := range b.Pages {
				if !strings.Contains(pageText(page), Caution) {
					t.Errorf("page %d has no caution", i+1)
				}
				if want := fmt.Sprintf("Page %d of %d", i+1, len(b.Pages)); i > 0 && !strings.Contains(pageText(page), want) {
					t.Errorf("page %d does not say %q", i+1, want)
				}
			}
			checkContents(t, b)
			if lacking := draw.Lacking(words); len(lacking) > 0 {
				t.Errorf("the fonts lack %q", string(lacking))
			}
		})
	}
}

func mapped[A, B any](list []A, f func(A) B) []B {
	out := make([]B, len(list))
	for i, a := range list {
		out[i] = f(a)
	}
	return out
}

// checkContents holds the page numbers of the contents against where the headings stand.
func checkContents(t *testing.T, b draw.Book) {
	t.Helper()
	line := regexp.MustCompile(`(?m)^(.+)\n(?:(?:\. )+\n)?(\d+)$`)
	entries := 0
	for _, p := range b.Pages[1:] {
		text := pageText(p)
		if !strings.Contains(text, "\nContents\n") {
			break
		}
		_, text, _ = strings.Cut(text, Caution)
		for _, m := range line.FindAllStringSubmatch(pageText(p), -1) {
			n, _ := strconv.Atoi(m[2])
			if n < 1 || n > len(b.Pages) || !strings.Contains(squeezed(pageText(b.Pages[n-1])), squeezed(m[1])) {
				t.Errorf("the contents say that %q stands on page %s", m[1], m[2])
			}
			entries++
		}
		_ = text
	}
	if entries < 3 {
		t.Errorf("the contents have %d entries", entries)
	}
}

func squeezed(s string) string { return strings.Join(strings.Fields(s), "") }

// testSections are sections of every kind, with a file, wide tables and sections inside.
func testSections() []pageSection {
	head := []plainHead{{Text: "Criterion"}}
	row, second := []string{"smoothness"}, []string{"what it costs to build one"}
	for i := range 16 {
		head = append(head, plainHead{Text: fmt.Sprintf("Candidate number %d", i+1), Number: true})
		row, second = append(row, plain(float64(i)*1234.5)), append(second, "–")
	}
	return []pageSection{
		{
			Title: "Brief", Lead: "What the boat asks of its engine.", Facts: []pageFact{{"Power", "260 kW"}, {"Room", strings.Repeat("long and wide ", 30)}},
			Lines:  []string{"A harbour pilot boat goes out in all weathers.", strings.Repeat("It comes back. ", 40)},
			Tables: []plainTable{{ID: "limits", Caption: "Limits", Head: head[:3], Rows: [][]string{row[:3], second[:2]}}, {Caption: "All", Head: head, Rows: [][]string{row, second}}},
			Parts:  []pageSection{{ID: "inner", Title: "Inner", Caution: "Weights are opinions.", Parts: []pageSection{{Title: "Innermost", Lines: []string{"deep"}}}}},
		},
		{ID: "inputs", Title: "Inputs in full", Listings: []pageListing{{"pilot.engine.yaml", "name: pilot\n\n  # " + strings.Repeat("remark ", 60) + "\n\tbore: 120 mm\n"}}},
	}
}

func TestPaperIsTheSameEveryTime(t *testing.T) {
	rs := paperResults(t, 2, everyChapter())
	a, err := Report{Results: rs}.PDF()
	if err != nil {
		t.Fatal(err)
	}
	b, err := Report{Results: paperResults(t, 2, everyChapter())}.PDF()
	if err != nil || !bytes.Equal(a, b) {
		t.Errorf("the same engines give other bytes (%v)", err)
	}
	x, err := Report{Results: rs}.Markdown()
	if err != nil {
		t.Fatal(err)
	}
	if y, err := (Report{Results: paperResults(t, 2, everyChapter())}).Markdown(); err != nil || !bytes.Equal(x, y) {
		t.Errorf("the same engines give other Markdown (%v)", err)
	}
	for _, f := range []func(Report) ([]byte, error){Report.PDF, Report.Markdown} {
		if _, err := f(Report{}); err != ErrNoEngine { //nolint:errorlint // the very error
			t.Errorf("no engines give %v", err)
		}
		if _, err := f(Report{Results: []*analysis.Result{nil}}); err == nil {
			t.Error("no result gives no error")
		}
	}
}

// Bookmarks and tools that read PDF see what the page says.
func TestPaperOutline(t *testing.T) {
	p := newPage(paperResults(t, 2, everyChapter()))
	p.Front = testSections()
	b := bookOf(p)
	var got []string
	for _, m := range b.Bookmarks {
		got = append(got, m.Title)
		for _, k := range m.Kids {
			got = append(got, "  "+k.Title)
		}
	}
	sheet := []string{"  In short", "  Crank train", "  What shakes: orders 1 and 2", "  Over the cycle", "  Firing", "  Torque", "  Crank and bearings", "  Mounts and people", "  Room and mass", "  Parts and cost", "  Why each order is what it is", "  All orders", "  Estimates"}
	want := []string{"Contents", "Brief", "  Inner", "Inputs in full", "Comparison table", "Comparison bars", "How to read this report"}
	for i, e := range p.Engines {
		want = append(append(want, fmt.Sprintf("%d  %s", i+1, e.Name)), sheet...)
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("the bookmarks are\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	data, err := b.PDF()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("no program that reads PDF is installed; draw reads books back by itself")
	}
	file := filepath.Join(t.TempDir(), "report.pdf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", file, "-").CombinedOutput()
	if err != nil || strings.Contains(string(out), "Error") {
		t.Fatalf("pdftotext: %v: %.500s", err, out)
	}
	for _, want := range []string{p.Engines[0].Name, p.Engines[1].Name, Caution, "Inputs in full"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("%q cannot be read from the file", want)
		}
	}
}

// anyText is what people may write in a name.
func anyText() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.String(), rapid.StringN(0, 400, 800),
		rapid.SampledFrom([]string{"", " ", "Opposed six", strings.Repeat("m", 300), strings.Repeat("long name ", 60), "機関の名前", "محرك", "a|b*c_d<e>", "\x00\n\t`", "- 1. # x", "W\u0301\u200b\u2060\u00ad", "🚤 boat", "_____[x](y)![z]"}),
	)
}

// anyPage fills the texts of a page with whatever may stand in them.
func anyPage(t *rapid.T, base page) page {
	p := base
	word := anyText()
	p.Title, p.Kind, p.Lead, p.Caution = word.Draw(t, "title"), word.Draw(t, "kind"), word.Draw(t, "lead"), word.Draw(t, "caution")
	p.Engines = append([]pageEngine{}, base.Engines...)
	p.Table.Engines = append([]pageColumn{}, base.Table.Engines...)
	for i := range p.Engines {
		name := word.Draw(t, "name")
		p.Engines[i].Name, p.Table.Engines[i].Name = name, name
		p.Engines[i].Kind, p.Table.Engines[i].Kind = word.Draw(t, "kind"), word.Draw(t, "kind")
		p.Engines[i].Facts = []pageFact{{word.Draw(t, "fact"), word.Draw(t, "text")}, {"Layout", word.Draw(t, "text")}}
		p.Engines[i].Estimates = []pageEstimate{{word.Draw(t, "key"), word.Draw(t, "shown"), word.Draw(t, "rule"), word.Draw(t, "source")}}
	}
	p.Sheets = p.Table.cut(enginesPerSheet)
	p.Front = anySections(t, 2)
	p.Back = anySections(t, 1)
	return p
}

func anySections(t *rapid.T, depth int) []pageSection {
	word := anyText()
	var out []pageSection
	for range rapid.IntRange(0, 2).Draw(t, "sections") {
		s := pageSection{ID: word.Draw(t, "id"), Title: word.Draw(t, "title"), Lead: word.Draw(t, "lead"), Caution: word.Draw(t, "caution"), Lines: rapid.SliceOfN(word, 0, 4).Draw(t, "lines")}
		for range rapid.IntRange(0, 5).Draw(t, "facts") {
			s.Facts = append(s.Facts, pageFact{word.Draw(t, "fact"), word.Draw(t, "text")})
		}
		if rapid.Bool().Draw(t, "table") {
			table := plainTable{Caption: word.Draw(t, "caption")}
			for range rapid.IntRange(0, 14).Draw(t, "columns") {
				table.Head = append(table.Head, plainHead{Text: word.Draw(t, "head"), Number: rapid.Bool().Draw(t, "number")})
			}
			for range rapid.IntRange(0, 5).Draw(t, "rows") {
				table.Rows = append(table.Rows, rapid.SliceOfN(word, 0, 15).Draw(t, "row"))
			}
			s.Tables = append(s.Tables, table)
		}
		if rapid.Bool().Draw(t, "listing") {
			s.Listings = append(s.Listings, pageListing{word.Draw(t, "file"), word.Draw(t, "text")})
		}
		if depth > 0 {
			s.Parts = anySections(t, depth-1)
		}
		out = append(out, s)
	}
	return out
}

func TestPaperTakesAnyText(t *testing.T) {
	bases := []page{newPage(paperResults(t, 1, analysis.Options{})), newPage(paperResults(t, 9, analysis.Options{}))}
	for i := range bases {
		for j := range bases[i].Engines { // what is not drawn at random
			e := &bases[i].Engines[j]
			e.Stars, e.Cycle, e.Fires, e.Whys, e.Orders = nil, nil, nil, nil, e.Orders[:min(2, len(e.Orders))]
		}
		bases[i].Bars = nil
	}
	rapid.Check(t, func(t *rapid.T) {
		p := anyPage(t, bases[rapid.IntRange(0, len(bases)-1).Draw(t, "base")])
		b := bookOf(p)
		checkPaper(t, b)
		if p.One {
			if _, err := b.PDF(); err != nil {
				t.Fatal(err)
			}
		}
		checkMarkdown(t, markdownOf(p))
	})
}

// checkMarkdown counts the cells of all rows, and looks for markup that a text brought along.
func checkMarkdown(t rapid.TB, text []byte) {
	t.Helper()
	columns, fence := 0, ""
	for n, line := range strings.Split(string(text), "\n") {
		if strings.HasPrefix(line, "```") && (fence == "" || line == fence) {
			if fence == "" {
				fence = line
			} else {
				fence = ""
			}
			continue
		}
		if fence != "" {
			continue
		}
		if !strings.HasPrefix(line, "| ") {
			columns = 0
			continue
		}
		cells := strings.Count(strings.NewReplacer(`\\`, "", `\|`, "").Replace(line), "|")
		if columns == 0 {
			columns = cells
		}
		if cells != columns {
			t.Fatalf("line %d has %d cells, the table %d: %.200s", n+1, cells-1, columns-1, line)
		}
	}
	if fence != "" {
		t.Fatal("a listing does not end")
	}
}

func TestMarkdownEscapes(t *testing.T) {
	for text, want := range map[string]string{
		"a|b": `a\|b`, "a*b_c": `a\*b\_c`, "<b>": `\<b\>`, "- x": `\- x`, "1. x": `1\. x`, "12) x": `12\) x`, "1.5 mm": "1.5 mm", "# x": `\# x`,
		"[a](b)": `\[a\](b)`, "`x`": "\\`x\\`", "a\nb": "a b", `a\b`: `a\\b`, "~~x~~": `\~\~x\~\~`, "+ x": `\+ x`, "a - b": "a - b", "&lt;": `\&lt;`, "λ ≈ 1": "λ ≈ 1",
	} {
		if got := escaped(text); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
	for text, want := range map[string]string{"gas.air_ratio": "`gas.air_ratio`", "a|b": `a\|b`, "a`b": "a\\`b", `\|`: `\\\|`, " ": ""} {
		if got := code(text); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
}

func TestMarkdownOfExamples(t *testing.T) {
	p := newPage(paperResults(t, 3, everyChapter()))
	p.Front = testSections()
	text := markdownOf(p)
	checkMarkdown(t, text)
	for _, e := range p.Engines {
		for _, want := range []string{"Engine " + strconv.Itoa(e.Number) + ": " + escaped(e.Name), "Orders", escaped(e.Shape[0].Figure.Desc), "`" + e.Estimates[0].Key + "`", escaped(Caution)} {
			if want != "Orders" && !bytes.Contains(text, []byte(want)) {
				t.Errorf("%q is not told", want)
			}
		}
	}
	for _, link := range regexp.MustCompile(`\]\(#([^)]+)\)`).FindAllSubmatch(text, -1) {
		if !bytes.Contains(text, []byte(`<a id="`+string(link[1])+`">`)) {
			t.Errorf("a link leads to %s, which is not there", link[1])
		}
	}
}

func BenchmarkPaperOfSix(b *testing.B) {
	p := newPage(paperResults(b, 6, everyChapter()))
	b.ReportAllocs()
	for b.Loop() {
		data, err := pdfOf(p)
		if err != nil {
			b.Fatal(err)
		}
		b.SetBytes(int64(len(data)))
	}
}

func BenchmarkMarkdownOfSix(b *testing.B) {
	p := newPage(paperResults(b, 6, everyChapter()))
	b.ReportAllocs()
	for b.Loop() {
		b.SetBytes(int64(len(markdownOf(p))))
	}
}
