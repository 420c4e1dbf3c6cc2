package checks

import (
	"fmt"
	"math"
	"strconv"
	"sync"

	"crankwright/choice"
)

// choiceDraws is how often the weights of a check are drawn; five standard errors of a share are a hundredth then.
const choiceDraws = 60_000

// choices lists how often alternatives take each rank over all weights: a case by hand, one by exact volumes, and one whose
// doubtful value has a closed form.
func (l *list) choices() {
	l.choiceOfTwo()
	l.choiceOfThree()
	l.choiceInDoubt()
}

// worthAsIs makes a problem of values that are worth what they are, each an aim of its own.
func worthAsIs(rows ...[]float64) *choice.Problem {
	p := &choice.Problem{}
	for k := range rows[0] {
		key := "criterion " + strconv.Itoa(k+1)
		p.Criteria = append(p.Criteria, choice.Criterion{Key: key, Name: key, Unit: "1", Better: 1, Worth: choice.Linear(0, 1)})
		p.Aims = append(p.Aims, choice.Aim{Key: key, Name: key, Weight: choice.Range{Low: 0, High: choice.Most}, Parts: []choice.Part{{Criterion: k, Share: 1}}})
	}
	for i, row := range rows {
		p.Alternatives = append(p.Alternatives, choice.Alternative{Name: string(rune('A' + i)), Values: row})
	}
	return p
}

// accepted draws once, for all checks of a case.
func accepted(p *choice.Problem) func() (*choice.Acceptance, error) {
	return sync.OnceValues(func() (*choice.Acceptance, error) {
		return p.Accept(nil, choice.Options{Draws: choiceDraws, Seed: 1, AnyWeights: true})
	})
}

// errors4 is four standard errors of a share that is drawn so many times.
func errors4(share, draws float64) float64 { return 4 * math.Sqrt(share*(1-share)/draws) }

const drawnWhy = "ours is drawn: four standard errors of 60 000 draws"

// choiceOfTwo lists a case of three alternatives by two criteria, worked by hand.
func (l *list) choiceOfTwo() {
	drawn := accepted(worthAsIs([]float64{1, 0}, []float64{0, 1}, []float64{0.6, 0.6}))
	add := func(id, source, what string, want, tol float64, of func(*choice.Acceptance) float64) {
		c := Check{
			ID: "choice/two-criteria/" + id, Chapter: "choice", Kind: ClosedForm, Source: source, Seen: Recomputed,
			Place: "A (1, 0), B (0, 1), C (0.6, 0.6): A is first where w₁ > 0.6, second where 0.5 < w₁ < 0.6", What: what,
			Printed: fmt.Sprint(want), Want: want, Tol: tol, TolWhy: drawnWhy, Note: "definitions from memory, value by hand",
			Ours: func() (float64, error) {
				a, err := drawn()
				if err != nil {
					return 0, err
				}
				return of(a), nil
			},
		}
		if tol == 0 {
			c.Tol, c.TolWhy = 1e-12, ""
		}
		l.add(c)
	}
	for i, row := range [][]float64{{0.4, 0.1, 0.5}, {0.4, 0.1, 0.5}, {0.2, 0.8, 0}} {
		name := string(rune('A' + i))
		for r, want := range row {
			add(fmt.Sprintf("rank-%s%d", name, r+1), "SMAA2001", fmt.Sprintf("share of all weights in which %s has rank %d", name, r+1), want, errors4(want, choiceDraws),
				func(a *choice.Acceptance) float64 { return a.Rank[i][r] })
		}
	}
	// uniform over an interval of length h, so the deviation is h/√12
	for i, want := range []float64{0.8, 0.2, 0.5} {
		name, share := string(rune('A'+i)), []float64{0.4, 0.4, 0.2}[i]
		add("central-"+name, "SMAA1998", "mean w₁ where "+name+" is first", want, 4*share/math.Sqrt(12*share*choiceDraws),
			func(a *choice.Acceptance) float64 { return a.Central[i][0] })
		add("confidence-"+name, "SMAA1998", "probability that "+name+" is first with its central weights, no value in doubt", 1, 0,
			func(a *choice.Acceptance) float64 { return a.Confidence[i] })
	}
}

// choiceOfThree lists one by three criteria, which another program's generator drew.
func (l *list) choiceOfThree() {
	drawn := accepted(worthAsIs([]float64{1, 0.2, 0.4}, []float64{0.3, 1, 0.5}, []float64{0.6, 0.6, 0.6}))
	const theirs = 2e6 // draws of the other generator
	add := func(id, source, what, printed string, share, deviation float64, of func(*choice.Acceptance) float64) {
		half, _ := HalfUnit(printed)
		l.add(Check{
			ID: "choice/three-criteria/" + id, Chapter: "choice", Kind: IndependentLibrary, Source: source, Seen: Recomputed,
			Place: "A (1, 0.2, 0.4), B (0.3, 1, 0.5), C (0.6, 0.6, 0.6)", What: what, Printed: printed, Want: number(printed),
			Tol:    half + 4*deviation*math.Sqrt(1/(share*choiceDraws)+1/(share*theirs)),
			TolWhy: "both are drawn: four standard errors, ours of 60 000 draws and theirs of 2 million, and half of the last digit",
			Note:   "2 million draws of another program's generator, standard error of a share 0.0003; the exact volumes in checks/independent/choices agree with both",
			Ours: func() (float64, error) {
				a, err := drawn()
				if err != nil {
					return 0, err
				}
				return of(a), nil
			},
		})
	}
	rank := func(i, r int, printed string) {
		name, p := string(rune('A'+i)), number(printed)
		add(fmt.Sprintf("rank-%s%d", name, r+1), "SMAA2001", fmt.Sprintf("share of all weights in which %s has rank %d", name, r+1), printed, 1, math.Sqrt(p*(1-p)),
			func(a *choice.Acceptance) float64 { return a.Rank[i][r] })
	}
	rank(0, 0, "0.328")
	rank(1, 0, "0.451")
	for r, printed := range []string{"0.2205", "0.7685", "0.0109"} {
		rank(2, r, printed)
	}
	const most = 0.2 // no weight scatters by more where one alternative is first: over the whole triangle it is 0.236
	for i, row := range [][]string{{"0.613", "0.162", "0.225"}, {"0.186", "0.545", "0.270"}, {"0.219", "0.156", "0.625"}} {
		name, share := string(rune('A'+i)), []float64{0.328, 0.451, 0.2205}[i]
		for k, printed := range row {
			add(fmt.Sprintf("central-%s%d", name, k+1), "SMAA1998", "mean w"+[]string{"₁", "₂", "₃"}[k]+" where "+name+" is first", printed, share, most,
				func(a *choice.Acceptance) float64 { return a.Central[i][k] })
		}
	}
}

// choiceInDoubt: a value of 0.55 whose ends are 0.45 and 0.65, two standard deviations away, is above 0.6 with the
// probability 1 − Φ(1), one of 0.6 is then first with Φ(1).
func (l *list) choiceInDoubt() {
	p := worthAsIs([]float64{0.6}, []float64{0.55})
	p.Alternatives[1].Doubts = []choice.Doubt{{Key: "input", Name: "an input", Low: []float64{0.45}, High: []float64{0.65}}}
	drawn := accepted(p)
	const draws = 20_000 // of a confidence
	add := func(id string, of func(*choice.Acceptance) float64) {
		l.add(Check{
			ID: "choice/doubt/" + id, Chapter: "choice", Kind: ClosedForm, Source: "SMAA1998", Seen: Recomputed,
			Place: "confidence with a normal value: Φ((0.6 − 0.55)/0.05) = Φ(1)", What: "probability that 0.6 is worth more than 0.55 ± 0.1, the ends two standard deviations away",
			Printed: "0.841345", Want: 0.841345, Tol: errors4(0.841345, draws), TolWhy: "ours is drawn: four standard errors of 20 000 draws", Note: "definition from memory, table of the normal distribution",
			Ours: func() (float64, error) {
				a, err := drawn()
				if err != nil {
					return 0, err
				}
				return of(a), nil
			},
		})
	}
	add("confidence", func(a *choice.Acceptance) float64 { return a.Confidence[0] })
	add("beats", func(a *choice.Acceptance) float64 { return a.Beats[0][1] })
}
