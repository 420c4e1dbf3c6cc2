package brief_test

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/brief"
	"crankwright/choice"
)

// worthOf returns the value function of a measure in a problem.
func worthOf(t *testing.T, p *choice.Problem, key string) choice.Worth {
	t.Helper()
	for _, c := range p.Criteria {
		if c.Key == key {
			return c.Worth
		}
	}
	t.Fatalf("%s is no criterion", key)
	return nil
}

func problem(t *testing.T, b *brief.Brief, values ...brief.Values) *choice.Problem {
	t.Helper()
	names := []string{"A", "B", "C", "D"}[:len(values)]
	p, err := b.Problem(names, values)
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Validate(); err != nil && len(b.Priorities) > 0 {
		t.Errorf("the problem cannot be decided: %v", err)
	}
	return p
}

// TestValueFunctions are those that the doc comment of Problem promises.
func TestValueFunctions(t *testing.T) {
	same := func(key string, values []float64, want choice.Worth) {
		t.Helper()
		b := wants(key)
		var rows []brief.Values
		for _, v := range values {
			rows = append(rows, brief.Values{key: v})
		}
		got := worthOf(t, problem(t, b, rows...), key)
		ok := len(got) == len(want)
		for i := range min(len(got), len(want)) {
			ok = ok && math.Abs(got[i].At-want[i].At) < 1e-9 && math.Abs(got[i].Worth-want[i].Worth) < 1e-12
		}
		if !ok {
			t.Errorf("%s of %g: %v, want %v", key, values, got, want)
		}
	}
	same("length", []float64{500, 620, 560}, choice.Worth{{At: 500, Worth: 1}, {At: 620, Worth: 0}})         // from worst to best
	same("brake_power", []float64{60, 90}, choice.Worth{{At: 60, Worth: 0}, {At: 90, Worth: 1}})             // more is better
	same("length", []float64{500, 520}, choice.Worth{{At: 484, Worth: 1}, {At: 536, Worth: 0}})              // a tenth of the largest at least
	same("centre_height", []float64{100, 104}, choice.Worth{{At: 92, Worth: 1}, {At: 112, Worth: 0}})        // 20 mm at least
	same("free_force_order_2", []float64{3000, 4000}, choice.Worth{{At: 0, Worth: 1}, {At: 4000, Worth: 0}}) // 0 is as good as it can be
	same("free_force_order_1", []float64{0, 100}, choice.Worth{{At: 0, Worth: 1}, {At: 250, Worth: 0}})      // below 250 N nobody tells them apart
	same("free_force_order_1", []float64{0, 0}, choice.Worth{{At: 0, Worth: 1}, {At: 250, Worth: 0}})        // nobody has any
	same("firing_evenness", []float64{1, 1}, choice.Worth{{At: 0.9, Worth: 0}, {At: 1, Worth: 1}})           // nothing is more even than 1
	same("firing_evenness", []float64{0.6, 0.8}, choice.Worth{{At: 0.6, Worth: 0}, {At: 1, Worth: 1}})
	same("centre_height", []float64{-30, 40, 10, -5}, choice.Worth{{At: -30, Worth: 1}, {At: 40, Worth: 0}})      // on both sides of the axis
	same("camshaft_drive_length", []float64{0, 0}, choice.Worth{{At: -0.5, Worth: 1}, {At: 0.5, Worth: 0}})       // there is none of it
	same("peak_torque", []float64{900, 1000, 1100, 800}, choice.Worth{{At: 800, Worth: 1}, {At: 1100, Worth: 0}}) // less is better
	same("inertia_share", []float64{0.3, 0.1}, choice.Worth{{At: 0, Worth: 1}, {At: 0.3, Worth: 0}})              // above its least span of 0.2
	same("impulses", []float64{4, 4, 4}, choice.Worth{{At: 3.5, Worth: 0}, {At: 4.5, Worth: 1}})                  // one impulse at least
}

// TestOnlyWhatStandsStretches leaves engines that a limit rules out away from the value functions, all where none is left.
func TestOnlyWhatStandsStretches(t *testing.T) {
	b := wants("dry_mass")
	b.Limits = []brief.Limit{{Measure: "length", AtMost: true, Bound: 600, Why: "the hatch"}}
	rows := []brief.Values{{"dry_mass": 100, "length": 500}, {"dry_mass": 150, "length": 600}, {"dry_mass": 400, "length": 601}}
	p := problem(t, b, rows...)
	if w := worthOf(t, p, "dry_mass"); w[0].At != 100 || w[1].At != 150 {
		t.Errorf("%v, want 100 to 150 kg, for the third is ruled out", w)
	}
	if w := worthOf(t, p, "length"); w != nil {
		t.Errorf("a limit alone has the value function %v", w)
	}
	if l := p.Limits[0]; p.Criteria[l.Criterion].Key != "length" || !l.AtMost || l.Bound != 600 || l.Why != "the hatch" {
		t.Errorf("%+v", l)
	}
	b.Limits[0].Bound = 400
	p = problem(t, b, rows...)
	if w := worthOf(t, p, "dry_mass"); w[0].At != 100 || w[1].At != 400 {
		t.Errorf("%v, want 100 to 400 kg, for none is left", w)
	}
}

// TestLimitsOfBothSides rules out what lies below as well as what lies above.
func TestLimitsOfBothSides(t *testing.T) {
	b := wants("dry_mass")
	b.Limits = []brief.Limit{{Measure: "brake_power", Bound: 60}, {Measure: "brake_power", AtMost: true, Bound: 90}, {Measure: "speed", AtMost: true, Bound: 6000}}
	var rows []brief.Values
	for i, kW := range []float64{59.9, 60, 90, 90.1} {
		rows = append(rows, brief.Values{"brake_power": kW, "dry_mass": 100 + float64(i), "speed": 6000})
	}
	p := problem(t, b, rows...)
	d, err := choice.Decide(p, choice.Options{Draws: 100})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(d.Standing, []int{1, 2}) || math.Abs(d.Breaches[0][0].Margin-0.1) > 1e-9 || d.Breaches[0][0].Limit != 0 || d.Breaches[3][0].Limit != 1 {
		t.Errorf("standing %v, breaches %+v", d.Standing, d.Breaches)
	}
	for _, c := range p.Criteria {
		m, _ := brief.MeasureOf(c.Key)
		if c.Over != m.Over || c.Under != m.Under || c.Unit != m.Unit || c.Name != m.Name {
			t.Errorf("%+v is not %+v", c, m)
		}
	}
}

// TestOwnValueFunction takes the brief's before the usual one, and only of the measure that it names.
func TestOwnValueFunction(t *testing.T) {
	b := wants("compactness")
	own := choice.Worth{{At: 400, Worth: 1}, {At: 550, Worth: 0.9}, {At: 620, Worth: 0}}
	b.Worths = map[string]choice.Worth{"length": own}
	p := problem(t, b, brief.Values{"length": 500, "width": 300, "height": 400}, brief.Values{"length": 700, "width": 500, "height": 400})
	if w := worthOf(t, p, "length"); !reflect.DeepEqual(w, own) {
		t.Errorf("%v", w)
	}
	if w := worthOf(t, p, "width"); w[0].At != 300 || w[1].At != 500 {
		t.Errorf("%v", w)
	}
	// compactness is length twice, width and height once: 1/4 (2·own(500) + 1 + 1/2)
	if got, want := p.Scores([]float64{1})[0].Total, (2*own.Of(500)+1+0.5)/4; math.Abs(got-want) > 1e-12 {
		t.Errorf("compactness of the first is worth %g, want %g", got, want)
	}
}

// TestProblemsThatCannotBe names the engine and the measure.
func TestProblemsThatCannotBe(t *testing.T) {
	limited := wants("length")
	limited.Limits = []brief.Limit{{Measure: "beauty"}}
	odd := wants("beauty")
	for _, c := range []struct {
		b    *brief.Brief
		v    brief.Values
		want string
	}{
		{wants("length"), brief.Values{"width": 1}, "A: Length is not known of it"},
		{limited, brief.Values{"length": 1}, `there is no measure "beauty"`},
		{odd, brief.Values{"length": 1}, `there is no priority "beauty"`},
	} {
		if _, err := c.b.Problem([]string{"A"}, []brief.Values{c.v}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
}

// TestMissing names the measure, and why the engine does not have it.
func TestMissing(t *testing.T) {
	none := train(t, "inline-four-flat.engine.yaml")
	none.Bore = 0
	bare := result(t, none, all())
	odd := result(t, train(t, "offset-pair.engine.yaml"), all())
	inline := result(t, train(t, "inline-four-flat.engine.yaml"), all())
	for _, c := range []struct {
		key  string
		of   *analysis.Result
		want []string
	}{
		{"brake_power", bare, []string{"Brake power is not known of it: ", "bore"}},
		{"oil_film", bare, []string{"Thinnest oil film is not known of it: ", "bore"}},
		{"isolation", bare, []string{"Force into the structure at idle is not known of it: ", "bore"}},
		{"length", bare, []string{"Length is not known of it: ", "bore"}},
		{"oil_film", odd, []string{"Thinnest oil film is not known of it: ", "no running surface"}},
		{"crank_acceptability", odd, []string{"Smallest acceptability factor of the crank is not known of it: "}},
		{"bank_width", inline, []string{"Width over the heads is not known of it: all cylinders stand in one plane"}},
	} {
		said := wants("smoothness", c.key).Missing(c.of)
		for _, w := range c.want {
			if !strings.Contains(said, w) {
				t.Errorf("%s of %s: %q, want %q in it", c.key, c.of.Train.Name, said, w)
			}
		}
		if strings.HasSuffix(said, ": ") {
			t.Errorf("%s of %s: no reason: %q", c.key, c.of.Train.Name, said)
		}
	}
	var words []string
	for _, a := range brief.Aims() {
		words = append(words, a.Key)
	}
	if said := wants(words...).Missing(result(t, train(t, everything), all())); said != "" {
		t.Errorf("%s lacks something: %s", everything, said)
	}
	if v := brief.ValuesOf(inline); math.Abs(v[brief.Speed]-inline.Speed*30/math.Pi) > 1e-9 {
		t.Errorf("speed %g rpm of %g rad/s", v[brief.Speed], inline.Speed)
	}
}
