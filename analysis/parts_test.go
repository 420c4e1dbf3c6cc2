package analysis_test

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/parts"
	"crankwright/num"
)

// byHand are counts of the examples, each by hand.
//
// Heads, camshafts and drives: two overhead camshafts and one drive over each bank; the radial five has a head a cylinder,
// one cam ring and one drive. Mains: throws + 1, own and split pins of a pair as one throw. Webs: 2 a throw, and one flying
// web a pair of pins. Faces: deck 1 a bank (or barrel), head 2 a head, mains 1 tunnel and, with caps, 2 cap faces each; split
// 2 where halves; sump (none under a star), front, rear 3; flanges 2 a head; 2 a flying web; bores.
var byHand = map[string]struct {
	heads, cams, drives, mains, webs, valves, faces, manifolds int
}{
	"single":                   {1, 1, 1, 2, 2, 4, 1 + 2 + 2 + 4 + 3 + 2 + 1, 1}, // 136 mm bore: pushrods, one camshaft in the block
	"inline-three":             {1, 2, 1, 4, 6, 12, 1 + 2 + 4 + 8 + 3 + 2 + 3, 1},
	"inline-four-flat":         {1, 2, 1, 5, 8, 16, 1 + 2 + 5 + 10 + 3 + 2 + 4, 1},
	"inline-four-flat-shafts":  {1, 2, 1, 5, 8, 16, 1 + 2 + 5 + 10 + 3 + 2 + 4, 1},
	"inline-four-cross":        {1, 2, 1, 5, 8, 16, 1 + 2 + 5 + 10 + 3 + 2 + 4, 1},
	"inline-five":              {1, 2, 1, 6, 10, 20, 1 + 2 + 6 + 12 + 3 + 2 + 5, 1},
	"inline-six":               {1, 2, 1, 7, 12, 24, 1 + 2 + 7 + 14 + 3 + 2 + 6, 1},
	"vee-twin-90":              {2, 4, 2, 2, 2, 8, 2 + 4 + 2 + 4 + 3 + 4 + 2, 2},        // one throw for both rods
	"vee-six-15":               {1, 2, 1, 4, 9, 24, 1 + 2 + 4 + 8 + 3 + 2 + 2*3 + 6, 2}, // one head and two camshafts over both banks
	"vee-six-60":               {2, 4, 2, 4, 6, 24, 2 + 4 + 4 + 8 + 3 + 4 + 6, 2},       // three throws
	"vee-six-60-split":         {2, 4, 2, 4, 9, 24, 2 + 4 + 4 + 8 + 3 + 4 + 2*3 + 6, 2}, // a flying web for each of three split throws
	"vee-eight-90-cross":       {2, 4, 2, 5, 8, 32, 2 + 4 + 5 + 10 + 3 + 4 + 8, 2},      // four throws
	"opposed-four-own-pins":    {2, 4, 2, 3, 6, 16, 2 + 4 + 3 + 2 + 3 + 4 + 2*2 + 4, 2}, // two pairs of pins, one flying web each; halves
	"opposed-four-shared-pins": {2, 4, 2, 3, 4, 16, 2 + 4 + 3 + 2 + 3 + 4 + 4, 2},       // two throws
	"opposed-six":              {2, 4, 2, 4, 9, 24, 2 + 4 + 4 + 2 + 3 + 4 + 2*3 + 6, 2}, // three pairs of pins
	"radial-five":              {5, 1, 1, 2, 2, 20, 5 + 10 + 2 + 2 + 2 + 10 + 5, 5},     // one throw, master and link; halves, no sump
	"vee-four-60-split":        {2, 4, 2, 3, 6, 16, 2 + 4 + 3 + 6 + 3 + 4 + 2*2 + 4, 2}, // two split throws
	"vee-four-90-offset-090":   {2, 4, 2, 3, 4, 16, 2 + 4 + 3 + 6 + 3 + 4 + 4, 2},       // two throws
}

func TestCountsByHand(t *testing.T) {
	for name, want := range byHand {
		l, err := parts.Count(exampleTrain(t, name))
		if err != nil {
			t.Fatal(err)
		}
		got := want
		got.heads, got.cams, got.drives, got.mains = l.Heads, int(l.Of("camshaft")), len(l.Drives), l.Mains
		got.webs, got.valves, got.faces, got.manifolds = int(l.Of("web")), int(l.Of("valve")), int(l.Faces()), len(l.Exhausts)
		if got != want {
			t.Errorf("%s: %+v, by hand %+v", name, got, want)
		}
	}
	l, err := parts.Count(exampleTrain(t, "radial-five"))
	if err != nil || l.Of("master rod") != 1 || l.Of("linked rod") != 4 || l.Of("plain rod") != 0 || l.Of("knuckle pin") != 4 || l.Of("big-end bearing") != 1 {
		t.Errorf("the radial five has %g master and %g linked rods, %v", l.Of("master rod"), l.Of("linked rod"), err)
	}
	l, err = parts.Count(exampleTrain(t, "inline-four-flat-shafts"))
	// two shafts, at +2 and −2: one gear on the crank, two on the shafts, no idler; two bearings each
	if err != nil || l.Of("balance shaft") != 2 || l.Of("balance gear") != 3 || l.Of("balance bearing") != 4 {
		t.Errorf("two balance shafts have %g gears and %g bearings, %v", l.Of("balance gear"), l.Of("balance bearing"), err)
	}
}

// The exhaust of the in-line four by hand: runners of a bore and 1.5, 0.5, 0.5, 1.5 spacings: 4 · 86 + 4 · 98 mm. Its chain is
// held against the brute-force length of its wheels in the chapter.
func TestExhaustOfTheInlineFour(t *testing.T) {
	l, err := parts.Count(exampleTrain(t, "inline-four-flat"))
	if want := 4*0.086 + 4*0.098; err != nil || math.Abs(l.ExhaustLength()-want) > 1e-9 {
		t.Errorf("%g m of exhaust, %v; by hand %g m", l.ExhaustLength(), err, want)
	}
}

// With everything else alike more rows of cylinders need more drives, more chain and more faces, and cost more.
func TestPartsFollowTheTrade(t *testing.T) {
	of := func(name string) *analysis.Parts {
		r, err := analysis.Run(exampleTrain(t, name), analysis.Options{Drive: true, Parts: true})
		if err != nil {
			t.Fatal(err)
		}
		return r.Parts
	}
	row, vee, boxer, shafts := of("inline-four-flat"), of("vee-four-90-offset-090"), of("opposed-four-own-pins"), of("inline-four-flat-shafts")
	if row.List.Heads != 1 || vee.List.Heads != 2 || boxer.List.Heads != 2 {
		t.Error("an in-line has one head, a vee and an opposed engine two")
	}
	if !(row.List.DriveLength() < vee.List.DriveLength()) || !(row.Cost.Index < vee.Cost.Index) || !(row.Cost.Index < shafts.Cost.Index) {
		t.Errorf("chains of %g and %g m; cost indices %g, %g, with shafts %g", row.List.DriveLength(), vee.List.DriveLength(), row.Cost.Index, vee.Cost.Index, shafts.Cost.Index)
	}
	if !(vee.List.Mains < row.List.Mains) {
		t.Error("a vee four has fewer mains than an in-line four")
	}
	if !(parts.ServiceScore(row.Jobs) < parts.ServiceScore(boxer.Jobs)) {
		t.Error("an opposed engine is reached worse than an in-line one")
	}
	if math.Abs(row.Cost.Index-1) > 0.1 {
		t.Errorf("the index of the in-line four is %g, it stands near 1", row.Cost.Index)
	}
	if row.Cooling.Worst != 3 { // the last in the stream
		t.Errorf("the worst-placed cylinder of an in-line four is %d", row.Cooling.Worst+1)
	}
}

func TestFrictionByPartIsTheEngines(t *testing.T) {
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) < 20 {
		t.Fatal(err)
	}
	for _, f := range files {
		r, err := analysis.Run(exampleTrain(t, strings.TrimSuffix(filepath.Base(f), ".engine.yaml")), analysis.Options{Drive: true, Parts: true})
		if err != nil {
			t.Fatal(err)
		}
		if known := r.Drive != nil && r.Drive.Friction.Parts.Total > 0; known != (r.Parts.NoRubs == "") || !known {
			if known || f != "../examples/offset-pair.engine.yaml" { // a custom file without widths of bearings
				t.Errorf("%s: %s", f, r.Parts.NoRubs)
			}
			continue
		}
		sum, model := 0.0, 0.0
		for _, rub := range r.Parts.Rubs {
			sum, model = sum+rub.OfAll, model+rub.MEP
		}
		if math.Abs(sum-r.Drive.Friction.Total) > 1e-9*sum || math.Abs(model-r.Drive.Friction.Parts.Total) > 1e-9*model {
			t.Errorf("%s: parts of %g Pa for %g Pa", f, sum, r.Drive.Friction.Total)
		}
		n := len(r.Parts.List.Drives) + parts.PumpDrives + len(r.Train.Shafts)
		if r.Drive.Friction.Rub.Drives != n || r.Drive.Friction.Rub.Mains.Count != r.Parts.List.Mains {
			t.Errorf("%s: friction counts %d drives and %d mains, the list %d and %d", f, r.Drive.Friction.Rub.Drives, r.Drive.Friction.Rub.Mains.Count, n, r.Parts.List.Mains)
		}
	}
}

func sameCounts(t failer, what string, a, b *parts.List) {
	t.Helper()
	for _, k := range parts.Kinds() {
		if x, y := a.Of(k.Key), b.Of(k.Key); math.Abs(x-y) > 1e-9*(1+x) {
			t.Errorf("%s: %s %g instead of %g", what, k.Key, y, x)
		}
	}
}

// Any train is counted without panic and without a number that is none; its mirror image and another sequence of its cylinders
// change no count and no score.
func TestPartsOfAnyTrain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		train := anyTrain(t)
		train.Bore = rapid.SampledFrom([]float64{0, 0.05, 0.09, 0.2}).Draw(t, "bore")
		pick := func(name string, n int) int { return rapid.IntRange(0, n).Draw(t, name) }
		if k := pick("valve drive", 3); k < 3 {
			train.Making.ValveDrive = layout.ValveDrives()[k]
		}
		if k := pick("cam drive", 3); k < 3 {
			train.Making.CamDrive = layout.CamDrives()[k]
		}
		if k := pick("case", 4); k < 4 {
			train.Making.Crankcase = layout.Crankcases()[k]
		}
		if k := pick("cooling", 2); k < 2 {
			train.Making.Cooling = layout.Coolings()[k]
		}
		r, err := analysis.Run(train, analysis.Options{Parts: true})
		if err != nil {
			t.Skip("an impossible train")
		}
		p := r.Parts
		if p.NoCost != "" {
			t.Fatal(p.NoCost)
		}
		for _, f := range r.Figures() {
			if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) {
				t.Errorf("%s is %g", f.Key, f.Value)
			}
		}
		for _, row := range p.Cost.Rows {
			if !(row.Count > 0) || !(row.Points >= 0) || row.From == "" {
				t.Errorf("%+v", row)
			}
		}

		mirror := *train
		mirror.Cylinders = slices.Clone(train.Cylinders)
		for i := range mirror.Cylinders {
			c := &mirror.Cylinders[i]
			c.Axis, c.Offset, c.Piston.PinOffset = (-c.Axis).Wrap(num.Turn), -c.Offset, -c.Piston.PinOffset
		}
		mirrored, err := parts.Count(&mirror)
		if err != nil {
			t.Skip("a mirror that cannot exist alone")
		}
		sameCounts(t, "mirror image", p.List, mirrored)
		if a, b := parts.ServiceScore(p.Jobs), parts.ServiceScore(parts.Service(&mirror, mirrored)); math.Abs(a-b) > 1e-9 {
			t.Errorf("service of the mirror image %g instead of %g", b, a)
		}

		turned := *train
		turned.Cylinders = slices.Clone(train.Cylinders)
		slices.Reverse(turned.Cylinders)
		for i := range turned.Cylinders {
			if c := &turned.Cylinders[i]; c.Rod.Linked {
				c.Rod.Master = len(turned.Cylinders) - 1 - c.Rod.Master
			}
		}
		turned.FiringOrder = nil
		if reversed, err := parts.Count(&turned); err != nil {
			t.Error(err)
		} else {
			sameCounts(t, "another sequence", p.List, reversed)
		}
	})
}

func BenchmarkParts(b *testing.B) {
	r, err := analysis.Run(exampleTrain(b, "vee-eight-90-cross"), analysis.Options{Drive: true})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		analysis.NewParts(r, analysis.PartsOptions{})
	}
}
