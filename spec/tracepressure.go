package spec

import (
	"math"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// pressureGuess is what a range of pressure without a unit is taken for: an engine has some bar to 350.
var pressureGuess = []struct {
	below  float64
	unit   string
	factor float64
}{{4, "MPa", 1e6}, {400, "bar", 1e5}, {40000, "kPa", 1e3}, {math.Inf(1), "Pa", 1}}

// pascals returns the columns of pressure in SI, and says in the trace whether they count from vacuum.
func (r *traceReader) pascals(t *layout.Trace) [][]float64 {
	out := make([][]float64, len(r.pressures))
	sense, lowest := 0, math.Inf(1)
	largest, said := 0.0, false
	for _, j := range r.pressures {
		low, high := math.Inf(1), math.Inf(-1)
		for _, row := range r.rows {
			low, high = math.Min(low, row.v[j]), math.Max(high, row.v[j])
		}
		largest = math.Max(largest, high-low)
	}
	guess := 0
	for largest >= pressureGuess[guess].below {
		guess++
	}
	for k, j := range r.pressures {
		c := &r.columns[j]
		factor := c.factor
		if c.unit == "" {
			factor = pressureGuess[guess].factor
			if !said {
				r.remark("the unit of the pressure is not said: %s, as it runs over %s", pressureGuess[guess].unit, num.Digits(largest, 3))
				said = true
			}
		}
		out[k] = make([]float64, len(r.rows))
		low, high := math.Inf(1), math.Inf(-1)
		for i, row := range r.rows {
			p := row.v[j] * factor
			out[k][i] = p
			low, high = math.Min(low, p), math.Max(high, p)
		}
		lowest = math.Min(lowest, low)
		if !(math.Abs(low) <= 5e8 && math.Abs(high) <= 5e8) {
			r.fail(c.at, "look at the unit; up to 5000 bar are read", "the pressures of column %s reach from %s to %s bar", r.label(k), num.Digits(low/1e5, 3), num.Digits(high/1e5, 3))
			return nil
		}
		if high-low < 1e4 {
			r.fail(c.at, "look at the unit and at the column", "the pressures of column %s change by %s bar only", r.label(k), num.Digits((high-low)/1e5, 3))
			return nil
		}
		if c.sense != 0 {
			sense = c.sense
		}
	}
	switch {
	case sense != 0:
		t.Absolute = sense > 0
	case lowest > 0.25e5 && lowest < 4e5:
		t.Absolute = true
		r.remark("the file does not say what the pressure counts from: from vacuum, as the lowest is %s bar", num.Digits(lowest/1e5, 3))
	default:
		r.remark("the file does not say what the pressure counts from: its zero is open, as the lowest is %s bar", num.Digits(lowest/1e5, 3))
	}
	return out
}

// average replaces several cycles by their mean. starts are the rows where they begin, where a column counts them.
func (r *traceReader) average(t *layout.Trace, starts []int) {
	period := r.cycle.Period()
	n := len(t.Angles)
	if starts == nil {
		starts = []int{0}
		for i, a := range t.Angles {
			if a-t.Angles[0] > num.Angle(len(starts))*period-1e-6 {
				starts = append(starts, i)
			}
		}
	}
	if len(starts) < 2 {
		return
	}
	type run struct{ from, to int }
	var runs []run
	longest := num.Angle(0)
	for k, from := range starts {
		to := n
		if k+1 < len(starts) {
			to = starts[k+1]
		}
		if to-from >= leastTraceValues/2 {
			runs = append(runs, run{from, to})
			longest = max(longest, t.Angles[to-1]-t.Angles[from])
		}
	}
	whole := runs[:0:0]
	for _, c := range runs {
		if t.Angles[c.to-1]-t.Angles[c.from] > 0.97*longest {
			whole = append(whole, c)
		}
	}
	if len(whole) == 0 {
		return
	}
	if left := len(starts) - len(whole); left > 0 && n-starts[len(starts)-1] > 1 {
		r.remark("%d of %d cycles are not whole and were left out", left, len(starts))
	}
	first := whole[0]
	grid := t.Angles[first.from:first.to]
	origin := t.Angles[starts[0]]
	relative := func(i int) num.Angle { // from the begin of the first cycle
		a := t.Angles[i] - origin
		return a - period*num.Angle(math.Floor(float64((a+1e-6)/period)))
	}
	mean := make([][]float64, len(t.Pressures))
	t.Cycles = len(whole)
	for k, p := range t.Pressures {
		mean[k] = make([]float64, len(grid))
		works := make([]float64, len(whole))
		cycle := make([]float64, len(grid))
		for w, c := range whole {
			i := c.from
			for g := range grid {
				at := relative(first.from + g)
				for i+1 < c.to-1 && relative(i+1) < at {
					i++
				}
				a, b := relative(i), relative(i+1)
				u := 0.0
				if i+1 < c.to && b > a {
					u = math.Min(1, math.Max(0, float64((at-a)/(b-a))))
				}
				cycle[g] = p[i]
				if u > 0 {
					cycle[g] += u * (p[i+1] - p[i])
				}
				mean[k][g] += cycle[g] / float64(len(whole))
			}

			works[w] = roughWork(grid, cycle)
		}
		if len(whole) > 1 {
			v := variation(works)
			t.Variation = append(t.Variation, v)
			r.remark("the mean of %d cycles is taken; the coefficient of variation of their IMEP is %s %% (column %s)", len(whole), num.Digits(100*v, 3), r.label(k))
		}
	}
	t.Angles, t.Pressures = slices.Clone(grid), mean
}

// roughWork is in proportion to the work of a cycle with a rod of common length, as far as the ratio of cycles goes.
func roughWork(θ []num.Angle, p []float64) float64 {
	best := 0
	for i := range p {
		if p[i] > p[best] {
			best = i
		}
	}
	const usual = 10 * math.Pi / 180
	top := math.Round(float64(θ[best]-usual)/math.Pi) * math.Pi
	volume := func(a num.Angle) float64 {
		s, c := math.Sincos(float64(a) - top)
		return 1 - c + 0.15*s*s // rod of 3.3 crank radii
	}
	sum := 0.0
	for i := 1; i < len(θ); i++ {
		sum += (p[i] + p[i-1]) / 2 * (volume(θ[i]) - volume(θ[i-1]))
	}
	last := len(θ) - 1
	return sum + (p[0]+p[last])/2*(volume(θ[0])-volume(θ[last]))
}

// variation is the standard deviation of some values by their mean.
func variation(x []float64) float64 {
	mean, sum := 0.0, 0.0
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		sum += (v - mean) * (v - mean)
	}
	if mean == 0 {
		return 0
	}
	return math.Sqrt(sum/float64(len(x)-1)) / math.Abs(mean)
}
