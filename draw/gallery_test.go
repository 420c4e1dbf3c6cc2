package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"image/png"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/num"
)

var update = flag.Bool("update", false, "write the snapshots anew")

// views are the options under which a figure is taken, by the end of its snapshot's name.
func views(e Entry) map[string]Options {
	angle := num.Degrees(20)
	out := map[string]Options{"": {K: e.Defaults.K, Angle: angle}}
	if slices.Contains(e.Takes, TakesQuantity) {
		out["-moment"] = Options{K: 2, Quantity: Moment}
	}
	if slices.Contains(e.Takes, TakesOrder) {
		out["-2"] = Options{K: 4}
		out["-moment-2"] = Options{K: 4, Quantity: Moment}
	}
	if slices.Contains(e.Takes, TakesCylinders) {
		out["-by-cylinder"] = Options{K: 2, ByCylinder: true}
	}
	return out
}

// drawn are the figures of the gallery, which take seconds.
var drawn map[string]Figure

// figures returns the whole gallery over all engines, by snapshot name.
func figures(tb testing.TB) map[string]Figure {
	tb.Helper()
	if drawn == nil {
		drawn = drawFigures(tb)
	}
	return drawn
}

// drawFigures draws the whole gallery anew.
func drawFigures(tb testing.TB) map[string]Figure {
	tb.Helper()
	out := map[string]Figure{}
	all := engines(tb)
	work := driven(tb)
	for _, e := range Gallery() {
		if e.Several {
			var list []*analysis.Result
			for _, name := range slices.Sorted(maps.Keys(all)) {
				list = append(list, all[name])
			}
			out[e.Name] = e.Draw(e.Defaults, list...)
			continue
		}
		list := all
		if e.Drive || e.Name == "three-views" || e.Name == "length-over-bore" { // engines of which enough is known
			list = work
		}
		for name, r := range list {
			if overSpeed(e) && r.Drive.Load < 1 {
				continue // a sweep at part load takes seconds, and looks like one at full load
			}
			for end, o := range views(e) {
				out[e.Name+end+"."+name] = e.Draw(o, r)
			}
		}
	}
	return out
}

// Snapshots: go test ./draw -update writes testdata/<figure>[-options].<engine>.svg anew.
func TestSnapshots(t *testing.T) {
	all := figures(t)
	if *update {
		old, err := filepath.Glob("testdata/*.svg")
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range old {
			if err := os.Remove(name); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, e := range Gallery() { // a snapshot of nothing holds nothing
		shown := false
		for name, f := range all {
			shown = shown || strings.HasPrefix(name+".", e.Name+".") && !bytes.Contains(f.SVG(), []byte("There is nothing to show"))
		}
		if !shown {
			t.Errorf("no snapshot of %s shows anything", e.Name)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(all)) {
		snapshot(t, "", name, all[name])
	}
	kept, err := filepath.Glob("testdata/*.svg")
	if err != nil {
		t.Fatal(err)
	}
	if len(kept) != len(all) {
		t.Errorf("there are %d snapshots for %d figures", len(kept), len(all))
	}
}

// overSpeed says whether a figure computes the engine over its speeds.
func overSpeed(e Entry) bool { return e.Name == "power" || e.Name == "inertia-share" }

// snapshot holds a figure against testdata/<folder>/<name>.svg, which -update writes anew.
func snapshot(t *testing.T, folder, name string, f Figure) {
	t.Helper()
	path := filepath.Join("testdata", folder, name+".svg")
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, f.SVG(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Errorf("%s has no snapshot; go test ./draw -update makes it, then look at it", name)
		return
	}
	if got := f.SVG(); !bytes.Equal(got, want) {
		t.Errorf("%s differs from %s in byte %d; if that is meant: go test ./draw -update, then look at it", name, path, firstDifference(got, want))
	}
}

func firstDifference(a, b []byte) int {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return i
		}
	}
	return min(len(a), len(b))
}

// check holds a figure to what all figures promise.
func check(t *testing.T, name string, f Figure) {
	t.Helper()
	for kind, svg := range map[string][]byte{"SVG": f.SVG(), "inline SVG": f.Inline()} {
		if err := wellFormed(svg, f.ID); err != nil {
			t.Errorf("%s: %s: %v", name, kind, err)
		}
		for _, bad := range []string{"NaN", "Inf", "<script", "href", "url(", "@import", "http://", "https://"} {
			text := strings.Replace(string(svg), `xmlns="http://www.w3.org/2000/svg"`, "", 1)
			if strings.Contains(text, bad) {
				t.Errorf("%s: %s contains %q", name, kind, bad)
			}
		}
	}
	if f.Title == "" || f.Desc == "" {
		t.Errorf("%s: no text alternative", name)
	}
	if f.Width != column || f.Height < 60 || f.Height > 20000 {
		t.Errorf("%s: %g by %g", name, f.Width, f.Height)
	}
	eachLabel(f.nodes, func(l label) {
		if b := boxOf(l); b.x0 < -1 || b.x1 > f.Width+1 || b.y0 < 0 || b.y1 > f.Height {
			t.Errorf("%s: the label %q leaves the figure: %v", name, l.text, b)
		}
		if l.size < sizeSmall {
			t.Errorf("%s: the label %q is too small", name, l.text)
		}
	})
}

func eachLabel(nodes []node, do func(label)) {
	for _, n := range nodes {
		switch n := n.(type) {
		case label:
			do(n)
		case *group:
			eachLabel(n.nodes, do)
		}
	}
}

// wellFormed parses an SVG; every id must begin with the figure's, once only.
func wellFormed(svg []byte, id string) error {
	d := xml.NewDecoder(bytes.NewReader(svg))
	seen := map[string]bool{}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if e, ok := token.(xml.StartElement); ok {
			for _, a := range e.Attr {
				if a.Name.Local == "id" && (seen[a.Value] || !strings.HasPrefix(a.Value, id)) {
					return errors.New("the id " + a.Value + " is not unique on a page")
				}
				if a.Name.Local == "id" {
					seen[a.Value] = true
				}
			}
		}
	}
}

func TestFiguresKeepTheirPromises(t *testing.T) {
	all := figures(t)
	for name, f := range all {
		check(t, name, f)
	}
	for name, f := range drawFigures(t) {
		if !bytes.Equal(f.SVG(), all[name].SVG()) {
			t.Errorf("%s: not the same twice", name)
		}
	}
}

// Names of parts must not lie on each other; a figure that cannot place one says so instead.
func TestLabelsDoNotOverlap(t *testing.T) {
	for name, f := range figures(t) {
		var boxes []box
		var texts []string
		eachLabel(f.nodes, func(l label) {
			b := boxOf(l)
			b = box{b.x0 + 3, b.y0 + 4, b.x1 - 3, b.y1 - 3} // the ink, without the air round it
			for i, c := range boxes {
				if b.overlaps(c) {
					t.Errorf("%s: %q lies on %q", name, l.text, texts[i])
				}
			}
			boxes, texts = append(boxes, b), append(texts, l.text)
		})
	}
}

func TestPNG(t *testing.T) {
	for _, name := range []string{"end-view.v8", "phasor-star.i4", "firing-strip.marine56"} {
		f := figures(t)[name]
		data, err := f.PNG(2)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		m, err := png.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if got := m.Bounds().Dx(); got != 960 {
			t.Errorf("%s: %d pixels wide, want 960", name, got)
		}
		if r, g, b, a := m.At(1, 1).RGBA(); r&g&b&a != 0xffff {
			t.Errorf("%s: the paper is not white", name)
		}
		dark := 0
		for y := range m.Bounds().Dy() {
			for x := range m.Bounds().Dx() {
				if r, _, _, _ := m.At(x, y).RGBA(); r < 0x4000 {
					dark++
				}
			}
		}
		if dark < 2000 {
			t.Errorf("%s: only %d dark pixels", name, dark)
		}
	}
	for _, scale := range []float64{0, -1, 1e9} {
		if _, err := (Figure{Width: 10, Height: 10}).PNG(scale); err == nil {
			t.Errorf("scale %g: no error", scale)
		}
	}
}

func TestPDF(t *testing.T) {
	f := figures(t)["phasor-star.v8"]
	a, err := f.PDF()
	if err != nil {
		t.Fatal(err)
	}
	b, err := f.PDF()
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a, b) {
		t.Error("not the same twice")
	}
	if !bytes.HasPrefix(a, []byte("%PDF-1.7")) || !bytes.HasSuffix(a, []byte("%%EOF\n")) || len(a) > 400e3 {
		t.Errorf("no sound PDF of %d bytes", len(a))
	}
}

func TestEveryGalleryEntryAnswersNothing(t *testing.T) {
	for _, e := range Gallery() {
		check(t, e.Name, e.Draw(e.Defaults))
		check(t, e.Name, e.Draw(e.Defaults, nil))
		if found, err := Find(e.Name); err != nil || found.Name != e.Name {
			t.Errorf("%s is not found: %v", e.Name, err)
		}
	}
	if _, err := Find("no-such-figure"); err == nil || !strings.Contains(err.Error(), "phasor-star") {
		t.Errorf("the error does not list the figures: %v", err)
	}
}

func BenchmarkLargestFigure(b *testing.B) {
	r := engines(b)["marine56"]
	for b.Loop() {
		EndView(r, 1).SVG()
	}
}
