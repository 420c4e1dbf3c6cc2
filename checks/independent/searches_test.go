package independent

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"crankwright/search"
)

// searchTolerance is how far our figures may be from those of searches.py, of what they would be if nothing cancelled [1]:
// ours are rounded to twelve digits of it.
const searchTolerance = 1e-10

// searched is a study that both sides go through whole, in the units in which people write.
type searched struct {
	stem                              string
	throws                            int
	stroke, rod, cg, spacing, stagger float64   // [mm]
	rodMass, pistonMass, unbalance    float64   // [kg], [kg mm]
	factors                           []float64 // balance factors, below 0 no counterweights [%]
	offsets                           [][]float64
	banks, splits                     []float64 // of a vee; nil: inline [deg]
	step, speed                       float64   // [deg], [rpm]
	fronts                            [][]int   // by front, by figure: 1 less is better, −1 more, 0 neither
	turned                            []string  // axes that the fast path turns, without reading the engine anew
	draw, seed                        int
}

// searchedFigures are what searches.py computes, in its sequence; an inline has no firing orders and leaves out the last two.
func searchedFigures() []string {
	return []string{
		"free_force_order_1", "free_force_order_2", "free_moment_order_1", "free_moment_order_2", "force_order_1_against_crank",
		"moment_order_1_against_crank", "firing_evenness", "longest_firing_interval", "shortest_firing_interval",
	}
}

func searchedStudies() []searched {
	fours := searched{
		stem: "vee-fours", throws: 2, stroke: 86, rod: 139, cg: 38.9, spacing: 103, stagger: 20, rodMass: 0.504, pistonMass: 0.401,
		unbalance: 9.4, factors: []float64{-1}, offsets: [][]float64{{0, 0}, {5, -3}}, splits: []float64{0, 30}, step: 45, speed: 6000,
		fronts: [][]int{{1, 1, 1, 1, 0, 0, -1, 0, 0}, {0, -1, 1, 0, 0, 0, 0, 1, 0}}, draw: 300, seed: 9, turned: []string{"layout.bank_angle", "layout.pins", "layout.firing_order"},
	}
	for b := 40.0; b <= 180; b += 20 {
		fours.banks = append(fours.banks, b)
	}
	weighted := searched{
		stem: "weighted-vee-fours", throws: 2, stroke: 86, rod: 139, cg: 38.9, spacing: 103, stagger: 20, rodMass: 0.504, pistonMass: 0.401,
		unbalance: 9.4, factors: []float64{35, 50}, offsets: [][]float64{{5, -3}}, banks: []float64{60, 90, 150}, splits: []float64{0, 30},
		step: 45, speed: 6000, fronts: [][]int{{1, 1, 1, 1, 0, 0, -1, 0, 0}, {0, -1, 1, 0, 0, 0, 0, 1, 0}},
		draw: 60, seed: 9, turned: []string{"layout.bank_angle", "layout.pins", "layout.firing_order"},
	}
	sixes := searched{
		stem: "vee-sixes", throws: 3, stroke: 80, rod: 140, cg: 37.5, spacing: 98, stagger: 18, rodMass: 0.46, pistonMass: 0.37,
		unbalance: 8.2, factors: []float64{-1, 50}, offsets: [][]float64{{0, 0}}, banks: []float64{60, 90}, splits: []float64{0},
		step: 60, speed: 6000, fronts: [][]int{{1, 1, 1, 1, 0, 0, -1, 0, 0}, {0, -1, 0, 1, 0, 1, 0, 0, -1}},
		draw: 150, seed: 9, turned: []string{"layout.bank_angle", "layout.pin_split", "layout.pins", "layout.firing_order"},
	}
	return []searched{fours, weighted, sixes, {
		stem: "inline-sixes", throws: 6, stroke: 75.4, rod: 122, cg: 34.2, spacing: 85, rodMass: 0.336, pistonMass: 0.266,
		unbalance: 7.5, factors: []float64{-1}, offsets: [][]float64{{4}}, splits: []float64{0}, step: 60, speed: 6000,
		fronts: [][]int{{1, 1, 1, 1, 0, 0, -1}, {1, -1, 1, -1, 0, 0, -1}}, draw: 150, seed: 9, turned: []string{"layout.pins"},
	}, {
		stem: "inline-fives", throws: 5, stroke: 82, rod: 136, cg: 36.1, spacing: 91, rodMass: 0.42, pistonMass: 0.33,
		unbalance: 6.8, factors: []float64{-1}, offsets: [][]float64{{-6}}, splits: []float64{0}, step: 45, speed: 6000,
		fronts: [][]int{{1, 1, 1, 1, 0, 0, -1}, {0, -1, 1, 0, 1, 0, -1}}, draw: 50, seed: 9, turned: []string{"layout.pins"},
	}}
}

func (s searched) vee() bool { return s.banks != nil }

func (s searched) figures() []string {
	if s.vee() {
		return searchedFigures()
	}
	return searchedFigures()[:7]
}

// describe writes the study as searches.py reads it.
func (s searched) describe() []byte {
	var b strings.Builder
	line := func(word string, values ...float64) { writeRow(&b, word, values...) }
	b.WriteString("name " + s.stem + "\n")
	line("crank", s.stroke/2e3, s.unbalance/1e3)
	line("rod", s.rod/1e3, s.rodMass, s.cg/1e3)
	line("piston", s.pistonMass)
	line("places", float64(s.throws), s.spacing/1e3, s.stagger/1e3)
	orders := 0.0
	if s.vee() {
		orders = 1
		line("banks", s.banks...)
	}
	var factors []float64
	for _, f := range s.factors {
		factors = append(factors, f/100)
	}
	line("weights", factors...)
	for _, o := range s.offsets {
		var values []float64
		for _, v := range o {
			values = append(values, v/1e3)
		}
		line("offsets", values...)
	}
	line("splits", s.splits...)
	line("step", s.step)
	line("speed", s.speed)
	line("orders", orders)
	for _, f := range s.fronts {
		var values []float64
		for _, v := range f {
			values = append(values, float64(v))
		}
		line("front", values...)
	}
	line("draw", float64(s.draw), float64(s.seed))
	return []byte(b.String())
}

// files writes the study and its base engine as people write them; front says which of the figures are wanted and which way.
func (s searched) files(front []int, twins string) map[string]string {
	engine, vary := "arrangement: inline\n", ""
	list := func(values []float64) string {
		var words []string
		for _, v := range values {
			words = append(words, fmt.Sprint(v))
		}
		return "[" + strings.Join(words, ", ") + "]"
	}
	if s.vee() {
		engine = fmt.Sprintf("arrangement: vee\n  bank_angle: 90 deg\n  bank_stagger: %v mm\n", s.stagger)
		var pairs []string
		for _, o := range s.offsets {
			pairs = append(pairs, list(o)+" mm")
		}
		var weights []string
		for _, f := range s.factors {
			if f < 0 {
				weights = append(weights, "none")
			} else {
				weights = append(weights, fmt.Sprintf("{balance_factor: %v %%}", f))
			}
		}
		vary = fmt.Sprintf("  crank.counterweights: [%s]\n  layout.cylinder_offset: [%s]\n  layout.bank_angle: %s deg\n  layout.pin_split: %s deg\n",
			strings.Join(weights, ", "), strings.Join(pairs, ", "), list(s.banks), list(s.splits))
	} else {
		engine += fmt.Sprintf("  cylinder_offset: %v mm\n", s.offsets[0][0])
	}
	cylinders := s.throws
	if s.vee() {
		cylinders *= 2
	}
	base := fmt.Sprintf(`name: %s
cycle: four-stroke
bore: %v mm
stroke: %v mm
layout:
  %s  cylinders: %d
  cylinder_spacing: %v mm
rod: {length: %v mm, mass: %v kg, cg_from_big_end: %v mm, inertia: 0.0015 kg m2}
piston: {mass: %v kg}
crank: {throw_unbalance: %v kg mm, counterweights: none}
speeds: {idle: 900 rpm, rated: 5500 rpm, limit: 6500 rpm}
`, s.stem, s.stroke, s.stroke, engine, cylinders, s.spacing, s.rod, s.rodMass, s.cg, s.pistonMass, s.unbalance)
	text := fmt.Sprintf("name: %s\nbase: base.engine.yaml\nspeed: %v rpm\nvary:\n%s  layout.pins: {all: %v deg, twins: %s}\n", s.stem, s.speed, vary, s.step, twins)
	if s.vee() {
		text += "  layout.firing_order: all\n"
	}
	for _, way := range []int{1, -1} {
		var keys []string
		for k, v := range front {
			if v == way {
				keys = append(keys, s.figures()[k])
			}
		}
		if keys != nil {
			text += map[int]string{1: "minimise", -1: "maximise"}[way] + ": [" + strings.Join(keys, ", ") + "]\n"
		}
	}
	return map[string]string{"s.study.yaml": text, "base.engine.yaml": base}
}

// open opens the study; front as for files.
func (s searched) open(front []int, twins string) (*search.Problem, error) {
	files := s.files(front, twins)
	b, err := search.Gather("s.study.yaml", func(name string) ([]byte, error) {
		text, ok := files[name]
		if !ok {
			return nil, os.ErrNotExist
		}
		return []byte(text), nil
	})
	if err != nil {
		return nil, err
	}
	return search.Open(b)
}

// phasingClasses are the cranks whose classes of phasings are counted, with every group of twins.
func phasingClasses() [][5]int {
	var list [][5]int
	for _, c := range [][2]int{{2, 24}, {3, 12}, {3, 15}, {4, 8}, {4, 9}, {5, 6}, {5, 5}, {6, 6}, {8, 4}} {
		for _, twins := range [][3]int{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 1, 1}} {
			list = append(list, [5]int{c[0], c[1], twins[0], twins[1], twins[2]})
		}
	}
	return list
}

func describeClasses() []byte {
	var b strings.Builder
	b.WriteString("name phasings\n")
	for _, c := range phasingClasses() {
		writeRow(&b, "classes", float64(c[0]), float64(c[1]), float64(c[2]), float64(c[3]), float64(c[4]))
	}
	return []byte(b.String())
}

// The committed inputs are what we describe.
func TestSearchInputs(t *testing.T) {
	described := map[string][]byte{"phasings": describeClasses()}
	for _, s := range searchedStudies() {
		described[s.stem] = s.describe()
	}
	sameInputs(t, "searches", "search", described)
}

// Figures, firing orders and fronts of whole studies are those of searches.py, and a spoilt engine is seen.
func TestSearchesAgree(t *testing.T) {
	for n, s := range searchedStudies() {
		raw := committedSearch(t, s.stem)
		gap, err := compareSearch(s, raw)
		if err != nil {
			t.Errorf("%s: %v", s.stem, err)
			continue
		}
		t.Logf("%s: %d candidates, fronts of %d and %d, %.1e", s.stem, raw.kept, len(raw.fronts[0]), len(raw.fronts[1]), gap)
		if !(gap <= searchTolerance) {
			t.Errorf("%s: %.2g apart, %g is accepted", s.stem, gap, searchTolerance)
		}
		spoils := map[string]func(*searched){
			"a milligram of a piston":        func(s *searched) { s.pistonMass += 1e-6 },
			"a milligram of a rod":           func(s *searched) { s.rodMass += 1e-6 },
			"a micrometre of a rod":          func(s *searched) { s.rod += 1e-3 },
			"a micrometre of a rod's centre": func(s *searched) { s.cg += 1e-3 },
			"a micrometre of the spacing":    func(s *searched) { s.spacing += 1e-3 },
			"a micrometre of an offset":      func(s *searched) { s.offsets[len(s.offsets)-1][0] += 1e-3 },
			"a thousandth of a revolution":   func(s *searched) { s.speed += 1e-3 },
			"an aim the other way":           func(s *searched) { s.fronts[1][1] *= -1 },
		}
		if s.factors[0] < 0 { // counterweights balance throws whatever they are
			spoils["a thousandth of a kg mm on a throw"] = func(s *searched) { s.unbalance += 1e-3 }
		}
		if s.factors[len(s.factors)-1] > 0 {
			spoils["a thousandth of a balance factor"] = func(s *searched) { s.factors[len(s.factors)-1] *= 1.001 }
		}
		for name, spoil := range spoils {
			spoilt := searchedStudies()[n]
			spoil(&spoilt)
			if gap, err := compareSearch(spoilt, raw); err == nil && gap <= searchTolerance {
				t.Errorf("%s: %s is not seen: %.2g", s.stem, name, gap)
			}
		}
	}
}

// As many phasings are listed, and counted by Burnside's lemma, as there are classes by walking from twin to twin.
func TestPhasingClassesAgree(t *testing.T) {
	raw := committedSearch(t, "phasings")
	for _, c := range phasingClasses() {
		twins := search.Twins{Mirror: c[2] == 1, Reversal: c[3] == 1, Both: c[4] == 1}
		p, err := search.NewPhasings(c[0], c[1], twins)
		if err != nil {
			t.Fatal(err)
		}
		if b := search.CountPhasings(c[0], c[1], twins); p.Len() != raw.classes[c] || b.Int64() != int64(raw.classes[c]) {
			t.Errorf("%d throws, %d steps, %+v: %d listed, %v by Burnside's lemma, %d by searches.py", c[0], c[1], twins, p.Len(), b, raw.classes[c])
		}
	}
}

// A front that has lost a point, or counts a candidate more, is seen, and so is a figure and a candidate too many.
func TestSpoiltSearchesAreSeen(t *testing.T) {
	s := searchedStudies()[0]
	for name, spoil := range map[string]func(r *rawSearch){
		"a point less":                func(r *rawSearch) { r.fronts[0] = r.fronts[0][1:] },
		"a point in another's place":  func(r *rawSearch) { r.fronts[0][3] = r.fronts[0][4] },
		"a candidate more at a point": func(r *rawSearch) { r.fronts[0][5].alike++ },
		"a candidate more":            func(r *rawSearch) { r.kept++ },
		"another firing order":        func(r *rawSearch) { r.inputs[7][6] = 1111 },
		"a mean":                      func(r *rawSearch) { r.mean[6] += 1e-9 },
		"a figure":                    func(r *rawSearch) { r.figures[7][6] += 1e-9 },
		"a value of a point":          func(r *rawSearch) { r.fronts[1][0].values[0] += 1e-3 },
	} {
		raw := committedSearch(t, s.stem)
		spoil(raw)
		if gap, err := compareSearch(s, raw); err == nil && gap <= searchTolerance {
			t.Errorf("%s is not seen: %.2g", name, gap)
		}
	}
}

// The committed output is what searches.py prints today; CRANKWRIGHT_NO_SCIPY=1 leaves it out.
func TestSearchesRunAgain(t *testing.T) {
	printed := recomputed(t, "search", "CRANKWRIGHT_NO_SCIPY")
	for _, stem := range []string{"phasings", "vee-fours", "weighted-vee-fours", "vee-sixes", "inline-sixes", "inline-fives"} {
		again, err := parseSearch(printed(stem))
		if err != nil {
			t.Fatal(err)
		}
		committed := committedSearch(t, stem)
		if fmt.Sprint(again.kept, again.inputs, again.classes) != fmt.Sprint(committed.kept, committed.inputs, committed.classes) {
			t.Errorf("%s: other candidates or classes than the committed ones", stem)
		}
		for i, s := range searchedStudies() {
			if s.stem != stem {
				continue
			}
			if gap, err := compareSearch(searchedStudies()[i], again); err != nil || !(gap <= searchTolerance) {
				t.Errorf("%s: %.2g %v", stem, gap, err)
			}
		}
	}
}

func TestParseSearchNamesTheLine(t *testing.T) {
	for text, want := range map[string]string{
		"# h\nkept x\n": "line 2", "point 1 2\n": "line 1", "scale 1\ncandidate 1\nfigures 1 2\n": "line 3", "classes 1 2\n": "line 1",
	} {
		if _, err := parseSearch(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}
