package search

import (
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/spec"
	"crankwright/study"
)

// TestAgainstBruteForce writes every engine of a small study as a file by nested loops, with nothing of this package, and finds
// the same figures as often as the study does.
func TestAgainstBruteForce(t *testing.T) {
	p := opened(t, `
name: a
base: vee-four-90-offset-180.engine.yaml
vary:
  layout.bank_angle: [60 deg, 72 deg, 90 deg]
  layout.pins: {all: 90 deg, twins: apart}
  layout.firing_order: all
  layout.pin_split: [0 deg, 30 deg]
minimise: [free_force_order_1, free_force_order_2, free_moment_order_1, free_moment_order_2]
maximise: [firing_evenness]
`)
	kept, _ := all(t, p)
	found := map[string]int{}
	first := len(p.columns) - len(p.figures)
	for r := range kept.Len() {
		var v []float64
		for c := range p.figures {
			v = append(v, kept.Values[first+c][r])
		}
		found[shown(v)]++
	}
	base, err := os.ReadFile(filepath.Join("..", "examples", "vee-four-90-offset-180.engine.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]int{}
	for _, bank := range []int{60, 72, 90} {
		for pin := 0; pin < 360; pin += 90 {
			for _, split := range []int{0, 30} {
				for _, order := range permutations([]int{2, 3, 4}) {
					text := bytes.Replace(base, []byte("bank_angle: 90 deg"), fmt.Appendf(nil, "bank_angle: %d deg\n  pin_split: %d deg\n  firing_order: [1, %d, %d, %d]", bank, split, order[0], order[1], order[2]), 1)
					text = bytes.Replace(text, []byte("pins: [0, 180] deg"), fmt.Appendf(nil, "pins: [0, %d] deg", pin), 1)
					tr, _, err := spec.ReadEngine("x", text, spec.Options{})
					if err != nil {
						t.Fatal(err)
					}
					r, err := analysis.Run(tr, analysis.Options{})
					if err != nil {
						continue // the crank cannot fire in this order
					}
					want[shown([]float64{r.Order(2).Force.Ellipse.Major, r.Order(4).Force.Ellipse.Major, r.Order(2).Moment.Ellipse.Major, r.Order(4).Moment.Ellipse.Major, r.Measures.Evenness})]++
				}
			}
		}
	}
	if !maps.Equal(found, want) {
		t.Errorf("%d kinds of candidates, %d by brute force:\n%v\n%v", len(found), len(want), found, want)
	}
}

func shown(v []float64) string {
	var list []string
	for _, x := range v {
		list = append(list, fmt.Sprintf("%.6f", x+1e-9))
	}
	return strings.Join(list, " ")
}

func permutations(of []int) [][]int {
	if len(of) == 0 {
		return [][]int{nil}
	}
	var out [][]int
	for i, x := range of {
		for _, rest := range permutations(slices.Delete(slices.Clone(of), i, i+1)) {
			out = append(out, append([]int{x}, rest...))
		}
	}
	return out
}

// TestRangesDoNotMatter cuts studies into random ranges and evaluates them in random sequence.
func TestRangesDoNotMatter(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	for name, text := range studies() {
		p := opened(t, text)
		size, _ := p.Space().Size()
		whole, left := all(t, p)
		shards := study.Shards(size, 1+rng.Uint64N(size/4+1))
		parts := make([]*study.Batch, len(shards))
		sum := make([]study.Count, len(left))
		e := p.Evaluator()
		for _, k := range rng.Perm(len(shards)) {
			parts[k] = study.NewBatch(len(p.Columns()))
			counts := make([]study.Count, len(left))
			if err := e.Evaluate(shards[k], parts[k], counts, func() bool { return false }); err != nil {
				t.Fatal(err)
			}
			for i := range counts {
				sum[i].Merge(counts[i])
			}
		}
		joined := study.NewBatch(len(p.Columns()))
		for _, b := range parts {
			joined.Index = append(joined.Index, b.Index...)
			for c := range b.Values {
				joined.Values[c] = append(joined.Values[c], b.Values[c]...)
			}
		}
		if fmt.Sprint(joined.Index, sum) != fmt.Sprint(whole.Index, left) || fmt.Sprint(joined.Values) != fmt.Sprint(whole.Values) {
			t.Errorf("%s: %d ranges give other results than one", name, len(shards))
		}
	}
}

// TestTwinsAreTwins: with twins apart the front has the same values, and every value as often as there are twins more.
func TestTwinsAreTwins(t *testing.T) {
	for _, c := range []struct{ base, pins, more string }{
		{"inline-four-flat", "90 deg", ""},
		{"inline-five", "72 deg", ""},
		{"inline-six", "120 deg", ""},
		{"vee-six-60", "60 deg", ""},
		{"opposed-six", "60 deg", ""},
		{"vee-four-90-offset-180", "30 deg", "  layout.bank_stagger: [0 mm, 20 mm]\n  layout.pin_split: [0, 20] deg\n"},
		{"inline-three", "30 deg", "  layout.cylinder_offset: [0 mm, 10 mm]\n  layout.firing_order: all\n"},
		{"inline-three", "60 deg", "  reference: [0 mm, 30 mm]\n"},
	} {
		fronts := map[string][]string{}
		sizes := map[string]uint64{}
		for _, twins := range []string{"once", "apart"} {
			p := opened(t, fmt.Sprintf(`
name: a
base: %s.engine.yaml
vary:
%s  layout.pins: {all: %s, twins: %s}
minimise: [free_force_order_1, free_moment_order_1, free_force_order_2, free_moment_order_2]
maximise: [firing_evenness]
`, c.base, c.more, c.pins, twins))
			sizes[twins], _ = p.Space().Size()
			kept, _ := all(t, p)
			o := study.NewOutcome(p)
			o.Add(p, study.Shard{To: sizes[twins]}, kept, make([]study.Count, len(p.Rules())))
			for _, q := range o.Front {
				fronts[twins] = append(fronts[twins], shown(q.Values[len(p.columns)-len(p.figures):]))
			}
			slices.Sort(fronts[twins])
		}
		if !reflect.DeepEqual(fronts["once"], fronts["apart"]) {
			t.Errorf("%s: twins once %v, twins apart %v", c.base, fronts["once"], fronts["apart"])
		}
		if sizes["once"] > sizes["apart"] {
			t.Errorf("%s: %d with twins once, %d apart", c.base, sizes["once"], sizes["apart"])
		}
		t.Log(c.base, c.more, sizes)
	}
}
