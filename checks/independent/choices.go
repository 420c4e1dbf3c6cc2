package independent

import (
	"embed"
	"fmt"
	"math"
	"strconv"
	"strings"

	"crankwright/choice"
)

//go:embed choices/*.choice.txt
var choiceFiles embed.FS

// Chosen is a problem of choice whose ranks are known exactly.
type Chosen struct {
	Stem    string
	Problem choice.Problem
	Any     bool // over all weights that there are; otherwise within the ranges of the aims
}

// Choices returns the problems whose ranks are computed twice: the case of three alternatives whose shares another
// generator drew, five alternatives by three aims, six by four aims of several criteria with bent value functions, and
// five within ranges of weights, one of which has no width.
//
// Result: weights in points [1]. Definition.
func Choices() []Chosen {
	plain := func(stem string, rows ...[]float64) Chosen {
		c := Chosen{Stem: stem, Any: true}
		for k := range rows[0] {
			c.criterion(1, choice.Linear(0, 1))
			c.aim(choice.Range{Low: 0, High: choice.Most}, choice.Part{Criterion: k, Share: 1})
		}
		c.alternatives(rows...)
		return c
	}
	three := plain("three-by-three", []float64{1, 0.2, 0.4}, []float64{0.3, 1, 0.5}, []float64{0.6, 0.6, 0.6})
	five := plain("five-by-three", []float64{0.95, 0.1, 0.3}, []float64{0.2, 0.9, 0.35}, []float64{0.15, 0.3, 1}, []float64{0.55, 0.5, 0.5}, []float64{0.7, 0.45, 0.25})

	mixed := func(stem string, anyWeights bool, ranges ...choice.Range) Chosen {
		c := Chosen{Stem: stem, Any: anyWeights}
		c.criterion(-1, choice.Linear(620, 480))                              // length [mm]
		c.criterion(-1, choice.Linear(9000, 0))                               // force [N]
		c.criterion(-1, choice.Worth{{At: 0, Worth: 1}, {At: 400, Worth: 0}}) // moment [N m]
		c.criterion(+1, choice.Worth{{At: 60, Worth: 0}, {At: 85, Worth: 0.8}, {At: 110, Worth: 1}})
		c.criterion(-1, choice.Linear(1.5, 0.9)) // cost
		c.aim(ranges[0], choice.Part{Criterion: 0, Share: 1})
		c.aim(ranges[1], choice.Part{Criterion: 1, Share: 3}, choice.Part{Criterion: 2, Share: 2})
		c.aim(ranges[2], choice.Part{Criterion: 3, Share: 1})
		c.aim(ranges[3], choice.Part{Criterion: 4, Share: 2}, choice.Part{Criterion: 0, Share: 0.5})
		return c
	}
	all := choice.Range{Low: 0, High: choice.Most}
	six := mixed("six-by-four", true, all, all, all, all)
	six.alternatives([]float64{505, 5200, 40, 82, 0.98}, []float64{560, 300, 180, 88, 1.21}, []float64{610, 0, 0, 101, 1.44},
		[]float64{490, 7400, 15, 71, 0.93}, []float64{540, 2600, 120, 93, 1.12}, []float64{585, 900, 260, 105, 1.19})
	ranges := mixed("five-in-ranges", false, choice.Range{Low: 2, High: 8}, choice.Range{Low: 4, High: 9}, choice.Range{Low: 5, High: 5}, choice.Range{Low: 0, High: 6})
	ranges.alternatives([]float64{505, 5200, 40, 82, 0.98}, []float64{560, 300, 180, 86, 1.21}, []float64{590, 0, 0, 92, 1.38},
		[]float64{500, 6400, 15, 85, 1.01}, []float64{540, 2000, 90, 86, 1.12})
	return []Chosen{three, five, six, ranges}
}

func (c *Chosen) criterion(better int, w choice.Worth) {
	key := "c" + strconv.Itoa(len(c.Problem.Criteria))
	c.Problem.Criteria = append(c.Problem.Criteria, choice.Criterion{Key: key, Name: key, Unit: "1", Better: better, Worth: w})
}

func (c *Chosen) aim(weight choice.Range, parts ...choice.Part) {
	key := "a" + strconv.Itoa(len(c.Problem.Aims))
	c.Problem.Aims = append(c.Problem.Aims, choice.Aim{Key: key, Name: key, Weight: weight, Parts: parts})
}

func (c *Chosen) alternatives(rows ...[]float64) {
	for i, row := range rows {
		c.Problem.Alternatives = append(c.Problem.Alternatives, choice.Alternative{Name: string(rune('A' + i)), Values: row})
	}
}

// DescribeChoice writes a problem as choices.py reads it.
//
//   - c: one of Choices
//
// Result: values in the units of their criteria [1]: see README.md. Definition.
func DescribeChoice(c Chosen) []byte {
	var b strings.Builder
	line := func(word string, values ...float64) { writeRow(&b, word, values...) }
	b.WriteString("name " + c.Stem + "\n")
	for _, k := range c.Problem.Criteria {
		var values []float64
		for _, p := range k.Worth {
			values = append(values, p.At, p.Worth)
		}
		line("criterion", values...)
	}
	for _, a := range c.Problem.Aims {
		var values []float64
		for _, p := range a.Parts {
			values = append(values, float64(p.Criterion), p.Share)
		}
		line("aim", values...)
		if !c.Any {
			line("range", a.Weight.Low, a.Weight.High)
		}
	}
	for _, a := range c.Problem.Alternatives {
		line("alternative", a.Values...)
	}
	return []byte(b.String())
}

// RawChoice is what choices.py printed for one problem.
type RawChoice struct {
	Rank, Beats map[[2]int]float64    // by alternative and rank, by pair: share of the weights [1]
	Central     map[[2]int][2]float64 // by alternative and aim: mean and deviation of the weight where it is first [1]
}

// CommittedChoice returns the committed output of choices.py for one problem [1]; an error where there is none. Definition.
func CommittedChoice(stem string) (*RawChoice, error) {
	text, err := choiceFiles.ReadFile("choices/" + stem + ".choice.txt")
	if err != nil {
		return nil, fmt.Errorf("independent: no raw output of the choice %s: make independent writes it", stem)
	}
	return ParseChoice(string(text))
}

// ParseChoice reads the output of choices.py.
//
//   - text: header lines that start with #, lines of ranks, pairs and central weights
//
// Result [1]; an error that names the line. Definition.
func ParseChoice(text string) (*RawChoice, error) {
	r := &RawChoice{Rank: map[[2]int]float64{}, Beats: map[[2]int]float64{}, Central: map[[2]int][2]float64{}}
	_, err := readRows(text, "choice", "rank, pair or central weight", func(word string, v []float64) bool {
		switch {
		case len(v) == 3 && word == "rank":
			r.Rank[[2]int{int(v[0]), int(v[1])}] = v[2]
		case len(v) == 3 && word == "beats":
			r.Beats[[2]int{int(v[0]), int(v[1])}] = v[2]
		case len(v) == 4 && word == "central":
			r.Central[[2]int{int(v[0]), int(v[1])}] = [2]float64{v[2], v[3]}
		default:
			return false
		}
		return true
	})
	if err != nil {
		return nil, err
	}
	if len(r.Rank) == 0 || len(r.Beats) == 0 {
		return nil, fmt.Errorf("independent: ranks or pairs of the choice are missing")
	}
	return r, nil
}

// CompareChoice measures how far the draws of package choice are from the exact shares, in standard errors.
//
//	e_p = √(p (1 − p)/n), no less than 1/n        e_w = σ/√(n p₁)
//
// with
//   - c: the problem
//   - raw: of the same problem
//   - draws: n [1]
//   - seed: of the draws [1]
//
// p is a share that choices.py computed, σ the scatter of a weight where an alternative is first, p₁ how often it is.
// Result: the largest gap over its standard error [1]; an error where the two do not hold the same. Definition.
func CompareChoice(c Chosen, raw *RawChoice, draws int, seed uint64) (float64, error) {
	ours, err := c.Problem.Accept(nil, choice.Options{Draws: draws, Seed: seed, AnyWeights: c.Any})
	if err != nil {
		return 0, err
	}
	n := len(c.Problem.Alternatives)
	if len(raw.Rank) != n*n || len(raw.Beats) != n*(n-1) {
		return 0, fmt.Errorf("independent: %d ranks and %d pairs for %d alternatives", len(raw.Rank), len(raw.Beats), n)
	}
	worst := 0.0
	share := func(ours, exact float64) {
		e := math.Sqrt(max(0, exact*(1-exact)) / float64(draws))
		worst = max(worst, math.Abs(ours-exact)/max(e, 1/float64(draws)))
	}
	for i := range n {
		for r := range n {
			share(ours.Rank[i][r], raw.Rank[[2]int{i, r}])
			if i != r {
				share(ours.Beats[i][r], raw.Beats[[2]int{i, r}])
			}
		}
		first := raw.Rank[[2]int{i, 0}]
		if !c.Any || first == 0 {
			continue
		}
		if ours.Central[i] == nil {
			return 0, fmt.Errorf("independent: %s was never first, and is with %g of the weights", c.Problem.Alternatives[i].Name, first)
		}
		for k, w := range ours.Central[i] {
			exact, ok := raw.Central[[2]int{i, k}]
			if !ok {
				return 0, fmt.Errorf("independent: no central weight %d of alternative %d", k, i)
			}
			worst = max(worst, math.Abs(w-exact[0])*math.Sqrt(float64(draws)*first)/exact[1])
		}
	}
	return worst, nil
}
