package brief_test

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/brief"
	"crankwright/choice"
	"crankwright/mechanics/layout"
	"crankwright/spec"
)

const everything = "vee-eight-90-cross.engine.yaml" // has banks, films, a crank that the rule covers

func train(t *testing.T, file string) *layout.Train {
	t.Helper()
	tr, _, err := spec.ReadEngineFile(filepath.Join("..", "examples", file), spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return tr
}

// felt puts somebody on an engine.
func felt(tr *layout.Train) *layout.Train {
	tr.Mounting.Receivers = append(tr.Mounting.Receivers, layout.Receiver{Name: "lever", Touch: layout.ByHand, On: layout.OnEngine, Z: 0.3})
	return tr
}

func result(t *testing.T, tr *layout.Train, opt analysis.Options) *analysis.Result {
	t.Helper()
	r, err := analysis.Run(tr, opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func all() analysis.Options {
	return analysis.Options{Drive: true, Space: true, Parts: true, Lasting: true}
}

// wants makes a brief with these priorities.
func wants(keys ...string) *brief.Brief {
	b := &brief.Brief{Name: "A boat"}
	for _, k := range keys {
		b.Priorities = append(b.Priorities, brief.Priority{Key: k, Weight: choice.Range{Low: 5, High: 5}})
	}
	return b
}

// TestMeasuresAreFigures holds every measure against the figures of an engine that has them all, and every figure against
// the measures.
func TestMeasuresAreFigures(t *testing.T) {
	figures := map[string]analysis.Figure{}
	for _, f := range result(t, felt(train(t, everything)), all()).Figures() {
		if strings.HasPrefix(f.Key, "exposure_") { // of one place, which a file names
			continue
		}
		figures[f.Key] = f
	}
	seen := map[string]bool{}
	for _, m := range brief.Measures() {
		if seen[m.Key] {
			t.Errorf("%s stands there twice", m.Key)
		}
		seen[m.Key] = true
		if m.FromZero && m.Better != -1 {
			t.Errorf("%s: 0 is as good as it can be, but less is not better", m.Key)
		}
		if m.Most != 0 && m.Better != 1 || m.Signed && (m.FromZero || m.None) {
			t.Errorf("%s: %+v contradicts itself", m.Key, m)
		}
		if m.Least < 0 || m.Least > 0 && m.Better == 0 {
			t.Errorf("%s: a span of %g that matters, of a measure with direction %d", m.Key, m.Least, m.Better)
		}
		if m.Key == brief.Speed {
			continue
		}
		f, ok := figures[m.Key]
		if !ok {
			t.Errorf("%s is no figure of %s", m.Key, everything)
			continue
		}
		if f.Name != m.Name || f.Unit != m.Unit || f.Better != m.Better {
			t.Errorf("%s: %q [%s] %+d as a measure, %q [%s] %+d as a figure", m.Key, m.Name, m.Unit, m.Better, f.Name, f.Unit, f.Better)
		}
		if got, ok := brief.MeasureOf(m.Key); !ok || got != m {
			t.Errorf("%s is not found again", m.Key)
		}
	}
	for key := range figures {
		if !seen[key] {
			t.Errorf("the figure %s is no measure, so no brief can name it", key)
		}
	}
	for _, f := range []string{"inline-four-flat.engine.yaml", "radial-five.engine.yaml", "offset-pair.engine.yaml"} {
		for _, fig := range result(t, train(t, f), all()).Figures() {
			if !seen[fig.Key] {
				t.Errorf("%s: the figure %s is no measure", f, fig.Key)
			}
		}
	}
}

// TestOptionsAskForEnough analyses with what each measure asks for, and finds it with the same value as with everything on;
// with less it is not there.
func TestOptionsAskForEnough(t *testing.T) {
	tr := felt(train(t, everything))
	whole := brief.ValuesOf(result(t, tr, all()))
	part := map[analysis.Options]brief.Values{}
	valuesOf := func(opt analysis.Options) brief.Values {
		if part[opt] == nil {
			part[opt] = brief.ValuesOf(result(t, tr, opt))
		}
		return part[opt]
	}
	for _, m := range brief.Measures() {
		b := wants()
		b.Limits = []brief.Limit{{Measure: m.Key, AtMost: true, Bound: 1}}
		opt := b.Options()
		if v, ok := valuesOf(opt)[m.Key]; !ok || v != whole[m.Key] {
			t.Errorf("%s: %g with %+v, %g with everything", m.Key, v, opt, whole[m.Key])
		}
		for _, leave := range []func(*analysis.Options){
			func(o *analysis.Options) { o.Lasting = false }, func(o *analysis.Options) { o.Parts = false },
			func(o *analysis.Options) { o.Space = false }, func(o *analysis.Options) { o.Drive, o.Lasting = false, false },
		} {
			less := opt
			if leave(&less); less == opt {
				continue
			}
			if _, ok := valuesOf(less)[m.Key]; ok {
				t.Errorf("%s is there with %+v, and %+v was asked for", m.Key, less, opt)
			}
		}
	}
	if got := wants("smoothness", "firing_evenness").Options(); got != (analysis.Options{}) {
		t.Errorf("smoothness needs no chapter, %+v was asked for", got)
	}
	if got := wants("isolation").Options(); !got.Drive || !got.Lasting || got.Space || got.Parts {
		t.Errorf("isolation: %+v", got)
	}
}

// TestAimsNameMeasures holds every aim against the measures that it is made of.
func TestAimsNameMeasures(t *testing.T) {
	seen := map[string]bool{}
	for _, a := range brief.Aims() {
		if seen[a.Key] || a.Name == "" || a.Means == "" || len(a.Parts) == 0 {
			t.Errorf("%+v", a)
		}
		seen[a.Key] = true
		if _, ok := brief.MeasureOf(a.Key); ok {
			t.Errorf("%s is an aim and a measure", a.Key)
		}
		for _, p := range a.Parts {
			if m, ok := brief.MeasureOf(p.Measure); !ok || m.Better == 0 || !(p.Share > 0) {
				t.Errorf("%s: %+v: no measure with a better side, or no share", a.Key, p)
			}
		}
		if got, ok := brief.AimOf(a.Key); !ok || got.Name != a.Name {
			t.Errorf("%s is not found again", a.Key)
		}
	}
	if a, ok := brief.AimOf("brake_power"); !ok || a.Name != "Brake power" || a.Means != "more is better" || !slices.Equal(a.Parts, []brief.Part{{Measure: "brake_power", Share: 1}}) {
		t.Errorf("a measure alone: %+v", a)
	}
	for _, key := range []string{"displacement", brief.Speed, "beauty", ""} {
		if a, ok := brief.AimOf(key); ok {
			t.Errorf("%q: %+v", key, a)
		}
	}
	own := brief.Priority{Key: "quiet_idle", Parts: []brief.Part{{Measure: "mount_force_idle", Share: 2}}}
	if a := own.Aim(); a.Name != "Quiet idle" || a.Key != "quiet_idle" || !slices.Equal(a.Parts, own.Parts) {
		t.Errorf("an aim of one's own: %+v", a)
	}
	own.Key = "smoothness"
	if a := own.Aim(); a.Name != "Smoothness" || !slices.Equal(a.Parts, own.Parts) || a.Means == "" || strings.Contains(a.Means, "free force") {
		t.Errorf("a word of the trade, made of something else: %+v", a)
	}
}

func TestKeysStandOnce(t *testing.T) {
	b := wants("smoothness", "free_force_order_1", "compactness")
	b.Limits = []brief.Limit{{Measure: "length"}, {Measure: "speed"}, {Measure: "free_force_order_2"}}
	want := []string{"free_force_order_1", "free_force_order_2", "free_moment_order_1", "free_moment_order_2", "length", "width", "height", "speed"}
	if got := b.Keys(); !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestDrawn: a single number was rounded to a point, a range is taken as it is.
func TestDrawn(t *testing.T) {
	for given, want := range map[choice.Range]choice.Range{
		{Low: 5, High: 5}: {Low: 4.5, High: 5.5}, {Low: 0, High: 0}: {}, {Low: 10, High: 10}: {Low: 10, High: 10},
		{Low: 9.8, High: 9.8}: {Low: 9.6, High: 10}, {Low: 0.2, High: 0.2}: {Low: 0, High: 0.4}, {Low: 3, High: 8}: {Low: 3, High: 8}, {Low: 0, High: 10}: {Low: 0, High: 10},
	} {
		got := brief.Drawn(given)
		if math.Abs(got.Low-want.Low) > 1e-12 || math.Abs(got.High-want.High) > 1e-12 {
			t.Errorf("%v is drawn in %v, want %v", given, got, want)
		}
	}
	p, err := wants("length").Problem([]string{"A"}, []brief.Values{{"length": 500}})
	if err != nil || p.Aims[0].Weight != (choice.Range{Low: 4.5, High: 5.5}) {
		t.Errorf("%v, %+v", err, p)
	}
}

// TestPrioritiesOfZero ask for nothing and leave nobody out, and stay where their figures are known anyway.
func TestPrioritiesOfZero(t *testing.T) {
	b := wants("length", "durability", "smoothness")
	b.Priorities[1].Weight, b.Priorities[2].Weight = choice.Range{}, choice.Range{}
	if got := b.Keys(); !slices.Equal(got, []string{"length"}) {
		t.Errorf("it needs %q", got)
	}
	if got := b.Options(); got != (analysis.Options{Space: true}) {
		t.Errorf("it asks for %+v", got)
	}
	r := result(t, train(t, "offset-pair.engine.yaml"), b.Options())
	if said := b.Missing(r); said != "" {
		t.Error(said)
	}
	rows := []brief.Values{brief.ValuesOf(r), brief.ValuesOf(r)}
	left := b.Among(rows)
	if len(left.Priorities) != 2 || left.Priorities[1].Key != "smoothness" || len(b.Priorities) != 3 {
		t.Errorf("left are %+v", left.Priorities)
	}
	p, err := left.Problem([]string{"A", "B"}, rows)
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Validate(); err != nil || len(p.Aims) != 2 || p.Aims[1].Weight != (choice.Range{}) {
		t.Errorf("%v, %+v", err, p.Aims)
	}
	b.Priorities[1].Weight.High = 1
	if got := b.Among(rows); len(got.Priorities) != 3 {
		t.Errorf("a priority that may be above 0 is gone: %+v", got.Priorities)
	}
}

// Bounds that no engine can miss, or that every engine misses, are none.
func TestImpossibleBounds(t *testing.T) {
	for _, c := range []struct {
		key    string
		bound  float64
		atMost bool
		says   string
	}{
		{"length", -620, true, "it is never below 0"},
		{"length", -3, false, "it is never below 0"},
		{"cost_index", -3, true, "it is never below 0"},
		{"dry_mass", 0, true, "it is always above 0"},
		{"dry_mass", 0, false, ""},
		{"firing_evenness", 1.1, false, "it is never above 1"},
		{"firing_evenness", 1, false, ""},
		{"roll_decoupling", 101, false, "it is never above 100"},
		{"free_force_order_2", 0, true, ""},
		{"neighbours_in_succession", 0, true, ""},
		{"centre_height", -20, true, ""},
		{"brake_torque", -5, false, ""},
		{"length", 620, true, ""},
	} {
		if m, _ := brief.MeasureOf(c.key); m.Impossible(c.bound, c.atMost) != c.says {
			t.Errorf("%s %g: %q, want %q", c.key, c.bound, m.Impossible(c.bound, c.atMost), c.says)
		}
	}
}

// What people feel is a limit: the largest daily exposure of the sweep, over the action value, as the figures by place have it.
func TestExposureRulesOut(t *testing.T) {
	b := wants("length")
	b.Limits = []brief.Limit{{Measure: brief.DailyExposure, AtMost: true, Bound: 1}}
	r := result(t, felt(train(t, "inline-four-flat.engine.yaml")), b.Options())
	v := brief.ValuesOf(r)
	if share := v[brief.DailyExposure]; share <= 1 || math.Abs(share-100*v["exposure_lever"]/2.5) > 1e-9*share {
		t.Errorf("%g %% of the action value, %g m/s² at the worst speed", share, v["exposure_lever"])
	}
	p, err := b.Problem([]string{"four"}, []brief.Values{v})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Keeping()) > 0 {
		t.Error("nobody is ruled out")
	}
	nobody := result(t, train(t, "inline-four-flat.engine.yaml"), b.Options())
	if why := b.Missing(nobody); !strings.Contains(why, "names no place where people feel it") {
		t.Errorf("without a place: %q", why)
	}
}
