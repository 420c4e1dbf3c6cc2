package search

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/brief"
	"crankwright/spec"
	"crankwright/study"
)

// opened opens a study written as a file, on examples.
func opened(t testing.TB, text string) *Problem {
	t.Helper()
	b, err := Gather("a.study.yaml", func(name string) ([]byte, error) {
		if name == "a.study.yaml" {
			return []byte(text), nil
		}
		return os.ReadFile(filepath.Join("..", "examples", name))
	})
	if err != nil {
		t.Fatal(err)
	}
	p, err := Open(b)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// front evaluates a whole problem and returns its front, each candidate as its inputs by column.
func front(t testing.TB, p *Problem) []map[string]string {
	t.Helper()
	kept, left := all(t, p)
	o := study.NewOutcome(p)
	size, _ := p.Space().Size()
	o.Add(p, study.Shard{To: size}, kept, left)
	var out []map[string]string
	for _, q := range o.Front {
		m := map[string]string{}
		for i, c := range p.Columns() {
			m[c.Key] = fmt.Sprintf("%g", q.Values[i])
			if c.Texts != nil && !math.IsNaN(q.Values[i]) {
				m[c.Key] = c.Texts[int(q.Values[i])]
			}
		}
		m["alike"] = fmt.Sprint(q.Alike)
		out = append(out, m)
	}
	return out
}

// pins joins the pins of a candidate.
func pins(m map[string]string) string {
	var list []string
	for k := 1; m[fmt.Sprintf("pin_%d", k)] != ""; k++ {
		list = append(list, m[fmt.Sprintf("pin_%d", k)])
	}
	return strings.Join(list, " ")
}

// TestKnownOptima finds what the trade knows without being told (common practice; the reasons are in docs/notation.md).
func TestKnownOptima(t *testing.T) {
	find := func(name, text string, want func(m map[string]string) bool, only bool) {
		t.Helper()
		list := front(t, opened(t, text))
		found := slices.ContainsFunc(list, want)
		if !found || only && slices.ContainsFunc(list, func(m map[string]string) bool { return !want(m) }) {
			t.Errorf("%s: the front is %v", name, list)
		}
	}
	find("flat-plane four", `
name: Fours
base: inline-four-flat.engine.yaml
vary:
  layout.pins: {all: 90 deg}
  layout.firing_order: all
minimise: [free_force_order_1, free_moment_order_1, free_moment_order_2]
maximise: [firing_evenness]
`, func(m map[string]string) bool { return pins(m) == "0 180 180 0" && m["firing_evenness"] == "1" }, true)
	find("mirrored six", `
name: Sixes
base: inline-six.engine.yaml
vary:
  layout.pins: {all: 60 deg}
minimise: [free_force_order_1, free_force_order_2, free_moment_order_1, free_moment_order_2]
maximise: [firing_evenness]
`, func(m map[string]string) bool {
		return slices.Contains([]string{"0 120 240 240 120 0", "0 240 120 120 240 0"}, pins(m))
	}, true)
	for bank, splits := range map[string]string{"60": "-60 60", "90": "-90 30"} { // bank angle and split together a multiple of 120 deg
		p := opened(t, fmt.Sprintf(`
name: Vee sixes
base: vee-six-%s.engine.yaml
vary:
  layout.pins: {all: 120 deg}
  layout.pin_split: {from: -110 deg, to: 110 deg, step: 10 deg}
maximise: [firing_evenness]
require: {firing_evenness: ">= 1"}
`, bank))
		kept, _ := all(t, p)
		var found []string
		for r := range kept.Len() {
			if s := fmt.Sprint(kept.Values[3][r]); !slices.Contains(found, s) {
				found = append(found, s)
			}
		}
		if got := strings.Join(found, " "); got != splits {
			t.Errorf("a vee six of %s deg fires evenly with splits of %s deg, want %s", bank, got, splits)
		}
	}
	find("vee of 90 deg", `
name: Vees
base: vee-four-90-offset-180.engine.yaml
vary:
  layout.bank_angle: {from: 30 deg, to: 180 deg, step: 1 deg}
  layout.pins: {all: 90 deg}
  crank.counterweights: [{balance_factor: 50 %}]
minimise: [force_order_1_against_crank, moment_order_1_against_crank]
`, func(m map[string]string) bool { return m["layout.bank_angle"] == "90" }, false)
	find("opposed four on pins of their own", `
name: Opposed
base: opposed-four-own-pins.engine.yaml
vary:
  layout.each_rod_own_pin: [true, false]
  layout.pins: {all: 90 deg}
minimise: [free_force_order_1, free_force_order_2]
maximise: [firing_evenness]
`, func(m map[string]string) bool {
		return m["layout.each_rod_own_pin"] == "true" && pins(m) == "0 180"
	}, true)
}

// TestEveryCandidateIsItsFile holds what the search says of candidates of many studies against the whole analysis of the
// files that it writes for them.
func TestEveryCandidateIsItsFile(t *testing.T) {
	for name, text := range studies() {
		p := opened(t, text)
		kept, _ := all(t, p)
		if kept.Len() == 0 {
			t.Errorf("%s: nothing was kept", name)
		}
		every := max(1, kept.Len()/12)
		for r := 0; r < kept.Len(); r += every {
			c, err := p.Candidate(kept.Index[r])
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			tr, _, err := spec.ReadEngine(p.Study.Base, c.Text, spec.Options{})
			if err != nil {
				t.Errorf("%s: %v\n%s", name, err, c.Text)
				continue
			}
			res, err := analysis.Run(tr, analysis.Options{Speed: p.Study.Speed, Space: true, Parts: true, Drive: p.needs >= brief.Drive})
			if err != nil {
				t.Errorf("%s: %v\n%s", name, err, c.Text)
				continue
			}
			values := brief.ValuesOf(res)
			for k, f := range p.figures {
				got := kept.Values[len(p.columns)-len(p.figures)+k][r]
				if want := values[f.Key]; math.Abs(got-want) > max(1e-8*max(1000, math.Abs(want)), 1/p.grainOf(&f, want)) {
					t.Errorf("%s: candidate %d: %s is %.12g, its file has %.12g\n%s", name, c.Index, f.Key, got, want, c.Text)
				}
			}
		}
	}
}

// studies are studies of all sorts on the examples.
func studies() map[string]string {
	return map[string]string{
		"bank angle by step, split and orders": `
name: a
base: vee-four-90-offset-180.engine.yaml
vary:
  layout.bank_angle: {from: 60 deg, to: 120 deg, step: 15 deg}
  layout.pins: {all: 45 deg}
  layout.firing_order: all
  layout.pin_split: [0, 15, 30] deg
require: {free_force_order_2: "<= 20 kN"}
minimise: [free_force_order_1, free_moment_order_1]
maximise: [firing_evenness, shortest_firing_interval]
`,
		"shapes, ratios, an open order": `
name: a
base: inline-three.engine.yaml
vary:
  layout.arrangement: [inline, vee, opposed]
  layout.cylinders: [3, 4, 6]
  layout.bank_angle: [60 deg, 90 deg]
  stroke_over_bore: [0.9, 1.05]
  rod_over_throw: [3.4, 3.8]
minimise: [peak_free_force, length, cost_index, torque_unevenness]
maximise: [firing_evenness]
`,
		"designs": `
name: a
base: vee-six-90.engine.yaml
vary:
  crank.counterweights: [none, best]
  balance_shafts: [none, order-1]
  layout.pins: {all: 120 deg}
  layout.firing_order: all
require: {firing_evenness: ">= 0.9"}
minimise: [free_moment_order_1, free_moment_order_2, peak_free_moment]
`,
		"listed pins and orders, two-stroke": `
name: a
base: inline-four-flat.engine.yaml
vary:
  cycle: [four-stroke, two-stroke]
  layout.pins: [flat-plane, cross-plane, [0, 90, 180, 270] deg]
  layout.firing_order: [[1, 3, 4, 2], [1, 2, 4, 3], [1, 4, 2, 3], [1, 3, 2, 4]]
  rotation: [anticlockwise, clockwise]
speed: 4000 rpm
minimise: [free_force_order_4, longest_firing_interval, speed]
maximise: [firing_evenness]
`,
		"radial": `
name: a
base: radial-five.engine.yaml
vary:
  layout.knuckle_radius: [50 mm, 54 mm]
  crank.counterweights: [none, {balance_factor: 30 %}]
  layout.firing_order: all
minimise: [free_force_order_1, free_force_order_2, free_force_order_4]
maximise: [firing_evenness]
`,
	}
}
