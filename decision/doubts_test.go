package decision

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/spec"
)

const shortFour = `name: four
cycle: four-stroke
bore: 84 mm
stroke: 90 mm
layout: {arrangement: inline, cylinders: 4, pins: [0, 180, 180, 0] deg, firing_order: [1, 3, 4, 2], cylinder_spacing: 96 mm}
speeds: {rated: 5500 rpm}
`

const customFour = `name: four
cycle: four-stroke
bore: 84 mm
stroke: 90 mm
layout:
  arrangement: custom
  firing_order: [1, 3, 4, 2]
  throws:
    - {name: T1, at: -144 mm, angle: 0 deg}
    - {name: T2, at: -48 mm, angle: 180 deg}
    - {name: T3, at: 48 mm, angle: 180 deg}
    - {name: T4, at: 144 mm, angle: 0 deg}
  cylinders:
    - {name: 1, throw: T1, axis: 0 deg}
    - {name: 2, throw: T2, axis: 0 deg}
    - {name: 3, throw: T3, axis: 0 deg}
    - {name: 4, throw: T4, axis: 0 deg}
speeds: {rated: 5500 rpm}
`

func text(s string) Candidate { return Candidate{File: "four.engine.yaml", Data: []byte(s)} }

func doubts(t *testing.T, c Candidate, opt analysis.Options, how DoubtOptions) *Doubts {
	t.Helper()
	d, err := DoubtsOf(context.Background(), c, opt, how)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func (d *Doubts) of(t *testing.T, key string) *Doubt {
	t.Helper()
	i := slices.IndexFunc(d.List, func(x Doubt) bool { return x.Key == key })
	if i < 0 {
		t.Fatalf("no doubt of %s", key)
	}
	return &d.List[i]
}

func (d *Doubts) figure(t *testing.T, key string) int {
	t.Helper()
	i := slices.IndexFunc(d.Figures, func(f analysis.Figure) bool { return f.Key == key })
	if i < 0 {
		t.Fatalf("no figure %s", key)
	}
	return i
}

// TestDoubtIsTheFileWithTheValue holds the ends of a doubt against an engine file that gives the value.
func TestDoubtIsTheFileWithTheValue(t *testing.T) {
	opt := analysis.Options{Drive: true, Space: true}
	d := doubts(t, text(shortFour), opt, DoubtOptions{})
	for _, key := range []string{"rod.mass", "piston.mass", "gas.compression_ratio", "block.head_height", "rod.length"} {
		x := d.of(t, key)
		for _, end := range []End{x.Low, x.High} {
			unit := map[string]string{"1": ""}
			u, ok := unit[x.Unit]
			if !ok {
				u = " " + x.Unit
			}
			value := spec.Change{Path: key, Text: new(string)}
			*value.Text = formatted(end.Value) + u
			data, err := spec.Edit([]byte(shortFour), []spec.Change{value})
			if err != nil {
				t.Fatal(err)
			}
			train, _, err := spec.ReadEngine("four.engine.yaml", data, spec.Options{})
			if err != nil {
				t.Fatal(err)
			}
			r, err := analysis.Run(train, opt)
			if err != nil {
				t.Fatal(err)
			}
			for i, f := range r.Figures() {
				if f.Key != d.Figures[i].Key || end.Figures[i] != f.Value {
					t.Errorf("%s at %s: %s is %g, the file with it gives %g", key, end.Shown, f.Key, end.Figures[i], f.Value)
				}
			}
		}
	}
	x := d.of(t, "rod.mass")
	if x.Name != "Rod mass" || x.Unit != "kg" || !strings.HasSuffix(x.High.Shown, " g") && !strings.HasSuffix(x.High.Shown, " kg") || x.Rule == "" || x.Source != "MANUALS" || x.Estimated == "" {
		t.Errorf("%+v", x)
	}
	if math.Abs(x.High.Value-1.3*x.Value) > 1e-12 || math.Abs(x.Low.Value-0.7*x.Value) > 1e-12 || x.Low.Reached != 1 || x.Low.Note != "" {
		t.Errorf("the ends of the rod's mass are %g and %g about %g", x.Low.Value, x.High.Value, x.Value)
	}
	// twice the order's force grows with the sliding mass: heavier rods, more of it
	i := d.figure(t, "free_force_order_2")
	if !(x.Low.Figures[i] < d.Figures[i].Value && d.Figures[i].Value < x.High.Figures[i]) {
		t.Errorf("order 2 is %g, %g, %g N", x.Low.Figures[i], d.Figures[i].Value, x.High.Figures[i])
	}
}

// TestInertiaOfARodLeavesItsMass holds what a value of the file would drag along.
func TestInertiaOfARodLeavesItsMass(t *testing.T) {
	d := doubts(t, text(shortFour), analysis.Options{}, DoubtOptions{})
	i := d.figure(t, "free_force_order_2")
	for _, x := range d.List {
		if x.Key == "rod.inertia" && x.High.Figures[i] != d.Figures[i].Value {
			t.Errorf("the force of order 2 goes from %g to %g N with the inertia of the rods alone", d.Figures[i].Value, x.High.Figures[i])
		}
	}
	d.of(t, "rod.inertia")
}

func TestCustomFormDoubtsAsTheShortForm(t *testing.T) {
	short := doubts(t, text(shortFour), analysis.Options{}, DoubtOptions{})
	custom := doubts(t, text(customFour), analysis.Options{}, DoubtOptions{})
	for _, key := range []string{"rod.mass", "rod.length", "rod.inertia", "rod.cg_from_big_end", "piston.mass"} {
		a, b := short.of(t, key), custom.of(t, key)
		if a.Value != b.Value || a.Shown != b.Shown || a.Name != b.Name || len(a.Keys) != 1 || len(b.Keys) != 4 {
			t.Errorf("%s: %s %q %v, in the custom form %s %q %v", key, a.Shown, a.Name, a.Keys, b.Shown, b.Name, b.Keys)
		}
		for i, f := range short.Figures {
			for _, e := range [][2]End{{a.Low, b.Low}, {a.High, b.High}} {
				if x, y := e[0].Figures[i], e[1].Figures[i]; math.Abs(x-y) > 1e-9*math.Max(1, math.Abs(x)) {
					t.Errorf("%s at %s: %s is %g, in the custom form %g", key, e[0].Shown, f.Key, x, y)
				}
			}
		}
	}
}

func TestImpossibleEndMovesBack(t *testing.T) {
	file := strings.Replace(shortFour, "{rated: 5500 rpm}", "{limit: 6000 rpm}", 1)
	x := doubts(t, text(file), analysis.Options{}, DoubtOptions{}).of(t, "speeds.rated")
	if x.High.Reached != 0.5 || !strings.Contains(x.High.Note, "not possible at") || !strings.Contains(x.High.Note, "instead") || x.High.Figures == nil {
		t.Errorf("a rated speed above the highest speed: %+v", x.High)
	}
	if x.Low.Reached != 1 || x.Low.Note != "" {
		t.Errorf("%+v", x.Low)
	}
	s, err := newSubject(text(shortFour), analysis.Options{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	in := s.inputs[slices.IndexFunc(s.inputs, func(in input) bool { return in.key == "rod.length" })]
	in.spread.Less, in.spread.Absolute = 100, true // metres
	e, ok := s.end(context.Background(), &in, false)
	if !ok || e.Reached != 0 || e.Figures != nil || e.Value != in.at[0].Value || !strings.Contains(e.Note, "left out") || !s.matters(e) {
		t.Errorf("a rod of less than nothing: %+v", e)
	}
}

func TestOnlyFiguresThatMatter(t *testing.T) {
	c, all := text(shortFour), analysis.Options{Drive: true, Space: true, Parts: true, Lasting: true}
	s, err := newSubject(c, all, []string{"free_force_order_2", "displacement"})
	if err != nil {
		t.Fatal(err)
	}
	if s.opt != (analysis.Options{}) || len(s.figures) != 2 {
		t.Errorf("for the force of order 2 the chapters %+v are computed", s.opt)
	}
	d := doubts(t, c, all, DoubtOptions{Figures: []string{"free_force_order_2", "displacement"}})
	for _, x := range d.List {
		if !strings.HasPrefix(x.Key, "rod.") && x.Key != "piston.mass" {
			t.Errorf("the force of order 2 and the displacement depend on %s", x.Key)
		}
	}
	if len(d.List) != 4 || !slices.Contains(d.Without, "gas.half_burned") || !slices.Contains(d.Without, "rod.inertia") || !slices.Contains(d.Chosen, "gas.ignition") {
		t.Errorf("%d doubts, without %v, chosen %v", len(d.List), d.Without, d.Chosen)
	}
	if s, err = newSubject(c, all, []string{"brake_power"}); err != nil || !s.opt.Drive || s.opt.Lasting || s.opt.Space {
		t.Errorf("for the power the chapters %+v are computed: %v", s.opt, err)
	}
	if _, err = newSubject(c, analysis.Options{}, []string{"brake_power"}); err == nil || !strings.Contains(err.Error(), "brake_power") {
		t.Errorf("a figure that was not asked for: %v", err)
	}
	if _, err = newSubject(text("name: nothing"), all, nil); err == nil {
		t.Error("a file without an engine")
	}
}

// TestWhyWithout gives the reason that belongs to the figure, where another chapter is missing too.
func TestWhyWithout(t *testing.T) {
	all := analysis.Options{Drive: true, Space: true, Parts: true, Lasting: true}
	const pair = "../examples/offset-pair.engine.yaml"
	data, err := os.ReadFile(pair)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		of   Candidate
		key  string
		want string
	}{
		{text(shortFour), "bank_width", ": all cylinders stand in one plane with the crank"},
		{Candidate{File: pair, Data: data}, "oil_film", ": main 1: the widths of journals and fillets are unknown"},
	} {
		_, err := newSubject(c.of, all, []string{c.key})
		if want := fmt.Sprintf("%s: there is no figure %q of this engine%s", c.of.File, c.key, c.want); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%v, want %s", err, want)
		}
	}
	s := &subject{c: text(shortFour)}
	r := &analysis.Result{NoDrive: "no drive", NoMounts: "no mounts", NoSpace: "no room"}
	for key, why := range map[string]string{"brake_power": ": no drive", "length": ": no room", "free_force_order_2": ""} {
		if err := s.without(key, r); !strings.HasSuffix(err.Error(), "of this engine"+why) {
			t.Errorf("%s: %v", key, err)
		}
	}
}

func TestWorkersDoNotChangeTheAnswer(t *testing.T) {
	one := doubts(t, text(shortFour), analysis.Options{}, DoubtOptions{Workers: 1})
	var steps []int
	many := doubts(t, text(shortFour), analysis.Options{}, DoubtOptions{Workers: 5, Progress: func(done, of int) { steps = append(steps, done, of) }})
	if !reflect.DeepEqual(one, many) {
		t.Error("five workers find something else than one")
	}
	of := 2 * (len(one.List) + len(one.Without))
	if len(steps) != 2*of || steps[0] != 1 || steps[1] != of || steps[len(steps)-2] != of {
		t.Errorf("progress %v of %d", steps, of)
	}
}

func TestDoubtsStop(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	most := 0
	_, err := DoubtsOf(ctx, text(shortFour), analysis.Options{}, DoubtOptions{Workers: 2, Progress: func(done, _ int) {
		most = done
		if done == 3 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) || most > 6 {
		t.Errorf("%v after %d engines", err, most)
	}
	if _, err = DoubtsOf(ctx, text(shortFour), analysis.Options{}, DoubtOptions{}); !errors.Is(err, context.Canceled) {
		t.Errorf("begun after the end: %v", err)
	}
}

func TestMeasuredPressureHasNoDoubt(t *testing.T) {
	c := candidate(t, "../examples/test-bed/single-test-engine.engine.yaml")
	for _, x := range doubts(t, c, analysis.Options{Drive: true}, DoubtOptions{Figures: []string{"mean_torque"}}).List {
		if x.Key == "gas.half_burned" || x.Key == "gas.burn_duration" {
			t.Errorf("the pressure is measured, yet the torque depends on %s", x.Key)
		}
	}
	// friction less the pumping of a modelled cycle, by which combustion has a little part in it
	doubts(t, c, analysis.Options{Drive: true}, DoubtOptions{Figures: []string{"brake_torque"}}).of(t, "friction.factor")
	c.Read = func(string) ([]byte, error) { return nil, os.ErrNotExist }
	if _, err := DoubtsOf(context.Background(), c, analysis.Options{}, DoubtOptions{}); err == nil {
		t.Error("a trace that is missing")
	}
}

// formatted writes a number with all its digits.
func formatted(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
