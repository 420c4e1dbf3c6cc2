package report_test

import (
	"bytes"
	"encoding/json"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
	"crankwright/report"
	"crankwright/spec"
)

func vee8(t *testing.T) *layout.Train {
	t.Helper()
	train, _, err := spec.ReadEngineFile("../examples/vee-eight-90-cross.engine.yaml", spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return train
}

func bobDoc(t *testing.T, train *layout.Train, k float64) report.BobweightDoc {
	t.Helper()
	data, err := os.ReadFile("../examples/balancing-shop/harbour-pilot.parts.csv")
	if err != nil {
		t.Fatal(err)
	}
	parts, err := spec.ReadParts("parts", data, train)
	if err != nil {
		t.Fatal(err)
	}
	c, err := balance.BobweightCard(train, parts, k)
	if err != nil {
		t.Fatal(err)
	}
	return report.Bobweights(train, c, train.Speeds.Rated, "parts.csv")
}

func TestBobweightFacesAgree(t *testing.T) {
	d := bobDoc(t, vee8(t), 0.52)
	// by hand: 2 (182 + 2 · 16.5 + 4) + 0.52 · 2 (71 + 138 + 41 + 1.2 + 13.4) = 713.184 g
	if len(d.Pins) != 4 || math.Abs(d.Pins[0].BobweightG-713.184) > 1e-9 {
		t.Errorf("%+v", d.Pins)
	}
	html, err := report.BobweightHTML(d)
	if err != nil {
		t.Fatal(err)
	}
	csv, err := report.BobweightCSV(d)
	if err != nil {
		t.Fatal(err)
	}
	for face, text := range map[string]string{
		"text": report.BobweightText(d, report.Screen{}), "page": string(html), "figure": string(report.BobweightFigure(d).SVG()),
	} {
		if strings.Count(text, "713.2") < 4 || !strings.Contains(text, "piston pin") || !strings.Contains(text, "licensed") {
			t.Errorf("%s: %s", face, text)
		}
	}
	if !bytes.Contains(csv, []byte(",713.184,false\r\n")) {
		t.Errorf("%s", csv)
	}
	for _, bad := range []string{"<script", "http:", "https:", "url("} {
		if bytes.Contains(html, []byte(bad)) {
			t.Errorf("the page has %q", bad)
		}
	}
	if f := report.BobweightFigure(d); f.Height > 1123 || math.Abs(f.Width-793.7) > 0.01 {
		t.Errorf("the card of a vee eight takes %g by %g, more than one A4 page", f.Width, f.Height)
	}
}

// A name from a file stays text on the page.
func TestBobweightPageEscapesNames(t *testing.T) {
	train := vee8(t)
	train.Name = "<script>alert(1)</script>"
	html, err := report.BobweightHTML(bobDoc(t, train, 0.5))
	if err != nil || bytes.Contains(html, []byte("<script")) {
		t.Errorf("%v\n%s", err, html)
	}
}

func TestClockwiseCard(t *testing.T) {
	train := vee8(t)
	a := bobDoc(t, train, 0.6)
	train.Rotation = layout.Clockwise
	b := bobDoc(t, train, 0.6)
	if a.Pins[0].BobweightG != b.Pins[0].BobweightG || math.Abs(a.Left.Moment.MajorNm-b.Left.Moment.MajorNm) > 1e-9 {
		t.Error("a clockwise crank has other bobweights")
	}
	if a.Left.Moment.WithNm[0] != b.Left.Moment.WithNm[0] || a.Left.Moment.WithNm[1] != -b.Left.Moment.WithNm[1] {
		t.Errorf("%v is not the mirror of %v", a.Left.Moment.WithNm, b.Left.Moment.WithNm)
	}
}

// The edits of a card, applied to the file, make the engine shake as the card says.
func TestCardEditsGiveWhatTheCardSays(t *testing.T) {
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) < 20 {
		t.Fatal(files, err)
	}
	more, err := filepath.Glob("testdata/engines/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range append(files, more...) {
		train, _, err := spec.ReadEngineFile(file, spec.Options{})
		if err != nil {
			t.Fatal(err)
		}
		c, err := balance.BobweightCard(train, balance.FileParts(train), 0.6)
		if err != nil {
			t.Fatal(file, err)
		}
		d := report.Bobweights(train, c, 100, report.PartsFromFile)
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var changes []spec.Change
		for i := range d.Edits {
			changes = append(changes, spec.Change{Path: d.Edits[i].Path, Text: &d.Edits[i].Text})
		}
		out, err := spec.Edit(data, changes)
		if err != nil {
			t.Fatal(file, err)
		}
		again, _, err := spec.ReadEngine(file, out, spec.Options{})
		if err != nil {
			t.Fatal(file, err)
		}
		again.Shafts = nil // the card leaves balance shafts out
		var s inertia.Solver
		b, err := s.Solve(nil, again, inertia.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range []struct {
			orbit num.Orbit
			with  report.Complex
			back  report.Complex
		}{{b.Force, d.Left.Force.WithN, d.Left.Force.AgainstN}, {b.Moment, d.Left.Moment.WithNm, d.Left.Moment.AgainstNm}} {
			w, a := q.orbit.Order(2)
			if cmplx.Abs(w*1e4-complex(q.with[0], q.with[1])) > 1e-4 || cmplx.Abs(a*1e4-complex(q.back[0], q.back[1])) > 1e-4 {
				t.Errorf("%s: %v %v, the card says %v %v", file, w*1e4, a*1e4, q.with, q.back)
			}
		}
	}
}

func TestResidualUnbalance(t *testing.T) {
	g, err := balance.GradeNamed("G16")
	if err != nil {
		t.Fatal(err)
	}
	d, err := report.ResidualUnbalance(g, 20, 100*math.Pi, []float64{0.15, 0.25}, []float64{6e-4, 4e-4})
	if err != nil || math.Abs(d.UnbalanceGmm-1018.6) > 0.05 || math.Abs(d.Planes[0].PermissibleGmm-d.UnbalanceGmm*0.625) > 1e-9 {
		t.Errorf("%+v %v", d, err)
	}
	if !d.Planes[0].Found.Within || d.Planes[1].Found.Within { // 636.6 and 382.0 g mm
		t.Errorf("%+v", d.Planes)
	}
	if text := report.ResidualText(d, report.Screen{Width: 160}); !strings.Contains(text, "found 600 g mm, within it (94.25 %)") {
		t.Error(text)
	}
	for _, c := range [][2][]float64{{{1}, nil}, {nil, {1, 1}}, {nil, {1, 1, 1}}, {nil, {-1}}, {{1, 1}, {1, -1}}} {
		if _, err := report.ResidualUnbalance(g, 20, 100, c[0], c[1]); err == nil {
			t.Errorf("%v was accepted", c)
		}
	}
}

func TestCorrectionDocument(t *testing.T) {
	data, err := os.ReadFile("../examples/balancing-shop/harbour-pilot.balance.yaml")
	if err != nil {
		t.Fatal(err)
	}
	job, err := spec.ReadBalanceJob("job", data)
	if err != nil {
		t.Fatal(err)
	}
	d, _, err := report.CorrectUnbalance(job.Name, job.Grade, job.Planes, job.Sites)
	if err != nil || !d.Within || len(d.Sites) != len(job.Sites) {
		t.Fatalf("%+v %v", d, err)
	}
	if _, err := report.Encode(d); err != nil {
		t.Fatal(err)
	}
	// what the document says is done, worked out again by its own numbers, leaves what it says
	sum := [2]complex128{}
	for i, p := range job.Planes {
		sum[i] = complex(1e6*p.Amount, 0) * p.Angle.Unit()
	}
	for i, s := range d.Sites {
		if !s.Used {
			continue
		}
		u := complex(s.UnbalanceGmm, 0) * job.Sites[i].Angle.Unit()
		if !strings.Contains(s.Way, "slug") && s.Way != "mass on" {
			u = -u
		}
		share := (s.AtMM - d.Planes[0].AtMM) / (d.Planes[1].AtMM - d.Planes[0].AtMM)
		sum[0] += u * complex(1-share, 0)
		sum[1] += u * complex(share, 0)
	}
	for i, p := range d.Planes {
		if math.Abs(math.Hypot(real(sum[i]), imag(sum[i]))-p.LeftGmm) > 1e-6 {
			t.Errorf("plane %s: %v, says %g", p.Name, sum[i], p.LeftGmm)
		}
	}
	var back map[string]any
	text, err := json.Marshal(d)
	if err != nil || json.Unmarshal(text, &back) != nil {
		t.Fatal(err)
	}
	if out := report.CorrectionText(d, report.Screen{Width: 80}); !strings.Contains(out, "web 1 right") || !strings.Contains(out, "licensed") {
		t.Error(out)
	}
}
