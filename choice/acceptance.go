package choice

import (
	"fmt"
	"math"
	"runtime"
	"sync"
)

// Options say how weights and values are drawn. The zero value is the usual choice.
type Options struct {
	Draws      int     // 0: 100 000
	Seed       uint64  // of the draws; the same seed gives the same result
	AnyWeights bool    // over all weights that there are instead of the ranges of the problem
	Common     float64 // share of an error's variance that alternatives have in common where they are in doubt about the same key; 0: a half; negative: none
	Workers    int     // that draw at the same time; 0: as many as there are processors. The result does not depend on it
}

const (
	usualDraws  = 100_000
	usualCommon = 0.5
	together    = 4096   // draws of one stream
	bins        = 2000   // of a histogram of totals
	surely      = 20_000 // draws of a confidence, which make its standard error 0.4 % at most
)

// spread is the standard deviation of an input over the way from its estimate to the end of where nearly
// all lie: two of them reach it.
const spread = 0.5

// mixed returns the weights of the common and of the own part of an error.
func mixed(common float64) (of, own float64) {
	common = min(max(common, 0), 1)
	return spread * math.Sqrt(common), spread * math.Sqrt(1-common)
}

// Acceptance says how the alternatives rank over all weights and values that are possible.
type Acceptance struct {
	Draws      int
	Rank       [][]float64 // by alternative and rank: share of the draws in which it takes the rank; ties share
	Central    [][]float64 // by alternative and aim: mean weights, as shares of 1, with which it is first; nil where it never is
	Confidence []float64   // by alternative: probability of being first with its central weights; 0 where it never is first
	Beats      [][]float64 // by pair: share of the draws in which the first is worth more than the second; ties half
	Totals     []Band      // by alternative: what it is worth
	Holds      [][]float64 // by alternative and limit: share of the draws in which it keeps the limit
}

// Band is where a number lies: in the middle half of all, and in nine of ten.
type Band struct{ P05, P25, P50, P75, P95 float64 }

// Accept draws weights and doubtful values, and counts how the alternatives rank (SMAA-2).
//
//	b_i^r = share of the draws in which i has the rank r
//	w_i^c = mean weights of the draws in which i is first
//	p_i^c = probability that i is first with the weights w_i^c
//
// with
//   - standing: alternatives that are ranked, the others are ruled out; nil: all
//   - opt: number of draws, seed, over which weights
//
// Weights are uniform in their ranges and normalised, or uniform over the simplex. An input in doubt is
// normal around its estimate, its ends two standard deviations away, cut there. Result [1]; rows of
// alternatives that are ruled out are 0. Errors: what Validate says, draws out of range.
// Source: SMAA2001.
func (p *Problem) Accept(standing []int, opt Options) (*Acceptance, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	if opt.Draws == 0 {
		opt.Draws = usualDraws
	}
	if opt.Draws < 1 || opt.Draws > MostDraws {
		return nil, fmt.Errorf("the number of draws must lie between 1 and %d, it is %d", MostDraws, opt.Draws)
	}
	if standing == nil {
		standing = make([]int, len(p.Alternatives))
		for i := range standing {
			standing[i] = i
		}
	}
	s := newSampler(p, opt)
	dominated := make([]bool, len(p.Alternatives))
	for i, by := range p.dominators(standing) {
		dominated[i] = len(by) > 0
	}
	all := s.count(standing, dominated, opt)
	out := all.acceptance(opt.Draws)
	out.Confidence = s.confidence(standing, dominated, out.Central, opt)
	return out, nil
}

// tally is what is counted of some draws.
type tally struct {
	rank, beats, holds, central [][]float64
	totals                      [][]int
}

func newTally(p *Problem) *tally {
	n := len(p.Alternatives)
	t := &tally{rank: square(n, n), beats: square(n, n), holds: square(n, len(p.Limits)), central: square(n, len(p.Aims)), totals: make([][]int, n)}
	for i := range t.totals {
		t.totals[i] = make([]int, bins+1)
	}
	return t
}

func square(rows, columns int) [][]float64 {
	out := make([][]float64, rows)
	all := make([]float64, rows*columns)
	for i := range out {
		out[i] = all[i*columns : (i+1)*columns : (i+1)*columns]
	}
	return out
}

// add adds what others counted. The sequence in which it is done belongs to the result's last bits.
func (t *tally) add(o *tally) {
	for _, pair := range [][2][][]float64{{t.rank, o.rank}, {t.beats, o.beats}, {t.holds, o.holds}, {t.central, o.central}} {
		for i, row := range pair[1] {
			for j, v := range row {
				pair[0][i][j] += v
			}
		}
	}
	for i, row := range o.totals {
		for j, n := range row {
			t.totals[i][j] += n
		}
	}
}

// streams runs a piece of work for each stream of draws, some at a time, and hands on what they counted
// in the sequence of the streams.
func streams[T any](opt Options, work func(stream uint64, draws int) T, take func(T)) {
	workers := opt.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	n := (opt.Draws + together - 1) / together
	for first := 0; first < n; first += workers {
		some := min(workers, n-first)
		done := make([]T, some)
		var wait sync.WaitGroup
		for i := range some {
			wait.Go(func() {
				stream := first + i
				done[i] = work(uint64(stream), min(together, opt.Draws-stream*together))
			})
		}
		wait.Wait()
		for _, d := range done {
			take(d)
		}
	}
}

// count draws weights and values and counts ranks.
func (s *sampler) count(standing []int, dominated []bool, opt Options) *tally {
	all := newTally(s.p)
	doubtful := s.doubtful()
	streams(opt, func(stream uint64, draws int) *tally {
		t := newTally(s.p)
		d := s.begin(opt.Seed, stream)
		totals := make([]float64, len(s.p.Alternatives))
		order := append([]int{}, standing...)
		for range draws {
			s.weights(d)
			if doubtful {
				s.vary(d)
			}
			for _, i := range standing {
				totals[i] = dot(d.shares, d.worths[i])
				t.totals[i][int(min(max(totals[i], 0), 1)*bins+0.5)]++
			}
			t.place(totals, dominated, order, d.shares)
			if doubtful {
				s.keep(t, d)
			}
		}
		if !doubtful {
			s.keep(t, d)
			for i := range t.holds {
				for l := range t.holds[i] {
					t.holds[i][l] *= float64(draws)
				}
			}
		}
		return t
	}, all.add)
	return all
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

// place orders the alternatives by total and counts ranks, pairs and weights. Equal ones share their ranks.
func (t *tally) place(totals []float64, dominated []bool, order []int, shares []float64) {
	for n := 1; n < len(order); n++ { // short, and nearly in order from the last draw
		for m := n; m > 0 && compare(totals, dominated, order[m], order[m-1]) < 0; m-- {
			order[m], order[m-1] = order[m-1], order[m]
		}
	}
	for from := 0; from < len(order); {
		to := from + 1
		for to < len(order) && tied(totals, dominated, order[from], order[to]) {
			to++
		}
		share := 1 / float64(to-from)
		for _, i := range order[from:to] {
			for r := from; r < to; r++ {
				t.rank[i][r] += share
			}
			if from == 0 {
				for k, w := range shares {
					t.central[i][k] += share * w
				}
			}
			beats := t.beats[i]
			for _, j := range order[from:to] {
				beats[j] += 0.5
			}
			for _, j := range order[to:] {
				beats[j]++
			}
		}
		from = to
	}
}

// keep counts which limits are kept.
func (s *sampler) keep(t *tally, d *drawn) {
	for l, limit := range s.p.Limits {
		n := s.column[limit.Criterion]
		for i, v := range d.values {
			if limit.holds(v[n]) {
				t.holds[i][l]++
			}
		}
	}
}

// acceptance makes shares of what was counted; it writes into the tally.
func (t *tally) acceptance(draws int) *Acceptance {
	a := &Acceptance{Draws: draws, Rank: t.rank, Beats: t.beats, Holds: t.holds, Totals: make([]Band, len(t.rank)), Central: make([][]float64, len(t.rank))}
	n := float64(draws)
	for i := range t.rank {
		if first := t.rank[i][0]; first > 0 {
			a.Central[i] = t.central[i]
			for k := range a.Central[i] {
				a.Central[i][k] /= first
			}
		}
		for _, rows := range [][][]float64{t.rank, t.beats, t.holds} {
			for j := range rows[i] {
				rows[i][j] /= n
			}
		}
		t.beats[i][i] = 0
		a.Totals[i] = band(t.totals[i])
	}
	return a
}

// band reads where the counted totals lie.
func band(counts []int) Band {
	all := 0
	for _, n := range counts {
		all += n
	}
	at := func(share float64) float64 {
		sum := 0
		for i, n := range counts {
			if sum += n; n > 0 && float64(sum) >= share*float64(all) {
				return float64(i) / bins
			}
		}
		return 0
	}
	return Band{at(0.05), at(0.25), at(0.5), at(0.75), at(0.95)}
}

// confidence is the probability of being first with the central weights.
func (s *sampler) confidence(standing []int, dominated []bool, central [][]float64, opt Options) []float64 {
	n := len(central)
	opt.Draws = min(opt.Draws, surely)
	doubtful := s.doubtful()
	if !doubtful {
		opt.Draws = 1 // all would be alike
	}
	sums := make([]float64, n)
	streams(opt, func(stream uint64, draws int) []float64 {
		first := make([]float64, n)
		d := s.begin(opt.Seed+1, stream)
		totals := make([]float64, n)
		for range draws {
			if doubtful {
				s.vary(d)
			}
			for i, w := range central {
				if w != nil {
					first[i] += firstShare(i, standing, dominated, totals, w, d.worths)
				}
			}
		}
		return first
	}, func(first []float64) {
		for i, v := range first {
			sums[i] += v
		}
	})
	for i := range sums {
		sums[i] /= float64(opt.Draws)
	}
	return sums
}

// firstShare is 1 where an alternative is first, a share of it where others are equal, 0 otherwise.
func firstShare(i int, standing []int, dominated []bool, totals, weights []float64, worths [][]float64) float64 {
	totals[i] = dot(weights, worths[i])
	equal := 1
	for _, j := range standing {
		if j == i {
			continue
		}
		totals[j] = dot(weights, worths[j])
		switch c := compare(totals, dominated, j, i); {
		case c < 0:
			return 0
		case c == 0:
			equal++
		}
	}
	return 1 / float64(equal)
}
