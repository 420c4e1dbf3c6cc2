package analysis_test

import (
	"reflect"
	"slices"
	"sync"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/gas"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// TestRunLikeIsRun holds what is taken over from another engine against what is computed anew, to the last digit, several
// at the same time.
func TestRunLikeIsRun(t *testing.T) {
	opt := analysis.Options{Drive: true, Lasting: true, Space: true, Parts: true}
	base := exampleTrain(t, "vee-twin-90")
	like, err := analysis.Run(base, opt)
	if err != nil {
		t.Fatal(err)
	}
	changes := map[string]func(u *layout.Train){
		"nothing":         func(*layout.Train) {},
		"the block":       func(u *layout.Train) { u.Block.Wall *= 1.4; u.Block.Accessories *= 0.6 },
		"camshafts":       func(u *layout.Train) { u.Making.CamHeight *= 1.2 },
		"the flywheel":    func(u *layout.Train) { u.Flywheel *= 2 },
		"the main widths": func(u *layout.Train) { u.Crank.MainJournal.Width *= 0.9 },
		"the pistons":     func(u *layout.Train) { u.Cylinders = heavier(u.Cylinders) },
		"the combustion":  func(u *layout.Train) { u.Gas.HalfBurned *= 1.5 },
		"the rated speed": func(u *layout.Train) { u.Speeds.Rated *= 0.95 },
		"friction":        func(u *layout.Train) { u.Friction.Factor = 1.1 },
		"another engine":  func(u *layout.Train) { *u = *exampleTrain(t, "inline-three") },
	}
	var group sync.WaitGroup
	for name, change := range changes {
		u := *base
		change(&u)
		group.Go(func() {
			want, err := analysis.Run(&u, opt)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				return
			}
			got, err := analysis.RunLike(&u, opt, like)
			if err != nil || got.Train != &u || got.Drive.Driver.Train != &u {
				t.Errorf("%s: %v", name, err)
				return
			}
			if a, b := want.Figures(), got.Figures(); !slices.Equal(a, b) {
				t.Errorf("%s changed: %v, anew %v", name, b, a)
			}
			part, err := analysis.RunLike(&u, analysis.Options{Drive: true, Load: 0.5}, like)
			anew, err2 := analysis.Run(&u, analysis.Options{Drive: true, Load: 0.5})
			if err != nil || err2 != nil || !slices.Equal(part.Figures(), anew.Figures()) {
				t.Errorf("%s changed, half load: %v, %v", name, err, err2)
			}
		})
	}
	group.Wait()
}

func heavier(list []layout.Cylinder) []layout.Cylinder {
	list = slices.Clone(list)
	for i := range list {
		list[i].Piston.Mass *= 1.25
	}
	return list
}

// TestRecall goes from one engine to another and back: a cycle that was solved for one of those before serves again.
func TestRecall(t *testing.T) {
	opt := analysis.Options{Drive: true, Scope: analysis.FewFigures}
	var like *analysis.Result
	var cycles []*gas.Result
	for k := range 6 {
		u := *exampleTrain(t, "vee-twin-90")
		u.Gas.HalfBurned *= 1 + 0.1*num.Angle(k%2)
		u.Counterweights = nil
		u.Flywheel *= 1 + 0.1*float64(k/2)
		r, err := analysis.RunLike(&u, opt, like)
		if err != nil {
			t.Fatal(err)
		}
		like = r
		cycles = append(cycles, r.Drive.Cycles[0].Result)
	}
	if cycles[0] == cycles[1] {
		t.Error("another combustion has the same cycle")
	}
	for k := 2; k < len(cycles); k++ {
		if cycles[k] != cycles[k-2] {
			t.Errorf("engine %d was solved again", k)
		}
	}
}

// TestScope holds the figures of a smaller scope against those of everything.
func TestScope(t *testing.T) {
	var like *analysis.Result
	for _, name := range []string{"vee-twin-90", "vee-twin-52"} {
		tr := exampleTrain(t, name)
		opt := analysis.Options{Drive: true, Space: true, Parts: true}
		all, err := analysis.Run(tr, opt)
		if err != nil {
			t.Fatal(err)
		}
		want := all.Figures()
		flywheel := func(f analysis.Figure) bool { return f.Key == "flywheel_inertia" }
		if !slices.ContainsFunc(want, flywheel) {
			t.Fatalf("%s has no flywheel", name)
		}
		for range 2 {
			opt.Scope = analysis.FewFigures
			few, err := analysis.RunLike(tr, opt, like)
			if err != nil || !slices.Equal(few.Figures(), slices.DeleteFunc(slices.Clone(want), flywheel)) {
				t.Errorf("%s, few: %v, %v, not %v", name, err, few.Figures(), want)
			}
			opt.Scope = analysis.OnlyFigures
			only, err := analysis.RunLike(tr, opt, few)
			if err != nil || !slices.Equal(only.Figures(), want) {
				t.Errorf("%s: %v, %v, not %v", name, err, only.Figures(), want)
			}
			like = few
		}
	}
}

// TestExtend adds chapters one after the other, and finds what Run gives at once.
func TestExtend(t *testing.T) {
	tr := exampleTrain(t, "vee-twin-52")
	all := analysis.Options{Drive: true, Lasting: true, Space: true, Parts: true}
	want, err := analysis.Run(tr, all)
	if err != nil {
		t.Fatal(err)
	}
	r, err := analysis.Run(tr, analysis.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, opt := range []analysis.Options{{Space: true}, {Parts: true}, {Drive: true}, {Lasting: true}, all} {
		r = r.Extend(opt, want)
	}
	if got := r.Figures(); !reflect.DeepEqual(got, want.Figures()) {
		t.Errorf("%v\nwant %v", got, want.Figures())
	}
}
