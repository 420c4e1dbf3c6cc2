package independent

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"crankwright/search"
	"crankwright/study"
)

// evaluate goes through a whole problem.
func evaluate(p *search.Problem) (*study.Batch, *study.Outcome, error) {
	size, err := p.Space().Size()
	if err != nil {
		return nil, nil, err
	}
	kept, left := study.NewBatch(len(p.Columns())), make([]study.Count, len(p.Rules()))
	if err := p.Evaluator().Evaluate(study.Shard{To: size}, kept, left, func() bool { return false }); err != nil {
		return nil, nil, err
	}
	o := study.NewOutcome(p)
	o.Add(p, study.Shard{To: size}, kept, left)
	return kept, o, nil
}

// rawSearch is what searches.py printed for one study.
type rawSearch struct {
	kept    int
	scale   []float64 // by figure: what it would be if nothing cancelled, at most
	mean    []float64 // by figure: over all candidates
	inputs  [][]float64
	figures [][]float64
	fronts  [][]rawPoint
	classes map[[5]int]int // by throws, steps, mirror, reversal, both
}

// rawPoint is a point of a front.
type rawPoint struct {
	alike  int // candidates with these values
	values []float64
}

func parseSearch(text string) (*rawSearch, error) {
	r := &rawSearch{classes: map[[5]int]int{}}
	_, err := readRows(text, "search", "line of a search", func(word string, v []float64) bool {
		last := len(r.fronts) - 1
		switch {
		case word == "kept" && len(v) == 1:
			r.kept = int(v[0])
		case word == "scale":
			r.scale = v
		case word == "mean" && len(v) == len(r.scale):
			r.mean = v
		case word == "candidate" && len(r.inputs) == len(r.figures):
			r.inputs = append(r.inputs, v)
		case word == "figures" && len(r.inputs) == len(r.figures)+1 && len(v) == len(r.scale):
			r.figures = append(r.figures, v)
		case word == "aims":
			r.fronts = append(r.fronts, nil)
		case word == "point" && last >= 0 && len(v) > 1:
			r.fronts[last] = append(r.fronts[last], rawPoint{int(v[0]), v[1:]})
		case word == "classes" && len(v) == 6:
			r.classes[[5]int{int(v[0]), int(v[1]), int(v[2]), int(v[3]), int(v[4])}] = int(v[5])
		default:
			return false
		}
		return true
	})
	return r, err
}

func committedSearch(t *testing.T, stem string) *rawSearch {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("searches", stem+".search.txt"))
	if err != nil {
		t.Fatal(err)
	}
	r, err := parseSearch(string(text))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// compareSearch holds everything that our search says of a study against searches.py: the number of candidates that can be and
// their mean figures, the figures of those that it drew, and, where they agree, the fronts as sets, with how many candidates
// share each point. It returns the largest gap of a figure over its scale; an error where one side has what the other has not.
func compareSearch(s searched, raw *rawSearch) (worst float64, err error) {
	keys := s.figures()
	if len(raw.fronts) != len(s.fronts) || len(raw.inputs) == 0 || len(raw.mean) != len(keys) {
		return 0, fmt.Errorf("%d fronts for %d, %d candidates, %d means for %d", len(raw.fronts), len(s.fronts), len(raw.inputs), len(raw.mean), len(keys))
	}
	every := make([]int, len(keys))
	for i := range every {
		every[i] = 1
	}
	p, err := s.open(every, "apart")
	if err != nil {
		return 0, err
	}
	if turned := turnedBy(p); !slices.Equal(turned, s.turned) {
		return 0, fmt.Errorf("the fast path turns %v, not %v", turned, s.turned)
	}
	kept, _, err := evaluate(p)
	if err != nil {
		return 0, err
	}
	if kept.Len() != raw.kept {
		return 0, fmt.Errorf("%d candidates can be, %d by searches.py", kept.Len(), raw.kept)
	}
	inputs := len(p.Columns()) - len(keys)
	rows := map[string][]float64{}
	for i := range kept.Len() {
		row := kept.Row(i)
		rows[inputKey(row[:inputs])] = row[inputs:]
	}
	if len(rows) != kept.Len() {
		return 0, fmt.Errorf("%d candidates have %d different inputs", kept.Len(), len(rows))
	}
	for k, v := range raw.mean {
		sum := 0.0
		for _, x := range kept.Values[inputs+k] {
			sum += x
		}
		worst = max(worst, math.Abs(sum/float64(kept.Len())-v)/raw.scale[k])
	}
	for i, in := range raw.inputs {
		ours, ok := rows[inputKey(in)]
		if !ok {
			return 0, fmt.Errorf("no candidate of ours has the inputs %s", inputKey(in))
		}
		for k, v := range raw.figures[i] {
			worst = max(worst, math.Abs(ours[k]-v)/raw.scale[k])
		}
	}
	if worst > searchTolerance {
		return worst, nil
	}
	for k, signs := range s.fronts {
		for _, twins := range []string{"apart", "once"} {
			gap, err := compareFront(s, signs, twins, raw.fronts[k], raw.scale)
			if err != nil {
				return 0, fmt.Errorf("front %d, twins %s: %w", k, twins, err)
			}
			worst = max(worst, gap)
		}
	}
	return worst, nil
}

// turnedBy lists the axes that change angles only.
func turnedBy(p *search.Problem) []string {
	var keys []string
	for _, a := range p.Size().Blocks[0].Axes {
		if a.Angle {
			keys = append(keys, a.Key)
		}
	}
	return keys
}

// compareFront finds each point of theirs in the front of ours, and the other way round. Where twins are counted once, fewer
// candidates share a point.
func compareFront(s searched, signs []int, twins string, theirs []rawPoint, scale []float64) (worst float64, err error) {
	p, err := s.open(signs, twins)
	if err != nil {
		return 0, err
	}
	_, o, err := evaluate(p)
	if err != nil {
		return 0, err
	}
	if len(o.Front) != len(theirs) {
		return 0, fmt.Errorf("%d points, %d by searches.py", len(o.Front), len(theirs))
	}
	found := map[uint64]bool{}
	for _, q := range theirs {
		near, at, alike := math.Inf(1), uint64(0), 0
		for _, ours := range o.Front {
			gap, n := 0.0, 0
			for k, sign := range signs {
				if sign == 0 {
					continue
				}
				column := slices.IndexFunc(p.Columns(), func(c study.Column) bool { return c.Key == s.figures()[k] })
				gap = max(gap, math.Abs(ours.Values[column]-q.values[n])/scale[k])
				n++
			}
			if gap < near {
				near, at, alike = gap, ours.Index, int(ours.Alike)+1
			}
		}
		if twins == "apart" && alike != q.alike || alike > q.alike {
			return 0, fmt.Errorf("candidate %d has the values of %d candidates, of %d by searches.py", at, alike, q.alike)
		}
		found[at] = true
		worst = max(worst, near)
	}
	if len(found) != len(theirs) {
		return 0, fmt.Errorf("%d points of ours are near the %d of searches.py", len(found), len(theirs))
	}
	return worst, nil
}

// inputKey writes the inputs of a candidate; both sides have them in the sequence of the study file.
func inputKey(values []float64) string {
	var words []string
	for _, v := range values {
		words = append(words, strconv.FormatFloat(v, 'g', 9, 64))
	}
	return strings.Join(words, " ")
}
