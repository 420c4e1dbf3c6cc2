package choice

import (
	"fmt"
	"math"
)

// Worth is a value function: what a value of a criterion is worth, 0 the worst and 1 the best, in
// straight lines through the points and level beyond them.
type Worth []Point

// Point is a point of a value function.
type Point struct {
	At    float64 // value of the criterion, in its unit
	Worth float64 // 0 to 1
}

// Of returns what a value is worth.
//
//   - x: value of the criterion, in its unit
//
// Result [1], 0 to 1 for a function that Validate accepts. Definition.
func (w Worth) Of(x float64) float64 {
	if len(w) == 0 {
		return 0
	}
	if x <= w[0].At {
		return w[0].Worth
	}
	for i := 1; i < len(w); i++ {
		if b := w[i]; x <= b.At {
			a := w[i-1]
			return a.Worth + (b.Worth-a.Worth)*((x-a.At)/(b.At-a.At))
		}
	}
	return w[len(w)-1].Worth
}

// Linear returns the value function that rises in a straight line from the worst value to the best.
//
//   - worst, best: values of the criterion, in its unit, different ones
//
// Worth [1]. Definition.
func Linear(worst, best float64) Worth {
	if worst < best {
		return Worth{{worst, 0}, {best, 1}}
	}
	return Worth{{best, 1}, {worst, 0}}
}

// Between returns the value function that is usual where nobody gives one: a straight line from the
// worst of some values to the best, but over no less than a span that matters, so that a difference
// nobody would notice does not decide.
//
//   - values: of the criterion, in its unit
//   - better: −1 where less is better, +1 where more is better [1]
//   - least: smallest span that matters, in the unit; 0 or less: any
//
// The best value is worth 1 where the span is that of the values; a shorter span is widened on both
// sides. Worth [1]; values that are all alike are worth a half. Definition.
func Between(values []float64, better int, least float64) Worth {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		low, high = math.Min(low, v), math.Max(high, v)
	}
	if len(values) == 0 {
		low, high = 0, 0
	}
	if !(least > 0) && high-low <= 1e-9*math.Max(math.Abs(low), math.Abs(high)) {
		least = math.Max(math.Abs(low), 1)
	}
	if more := least - (high - low); more > 0 {
		low, high = low-more/2, high+more/2
	}
	if better > 0 {
		return Linear(low, high)
	}
	return Linear(high, low)
}

// Validate says what is wrong with the value function of a criterion, at values in its unit.
//
// More or less must be better. The function needs two or more points with ascending values, worths between 0 and 1 [1]
// that never fall on the way to the better side, and differ. Definition.
func (c Criterion) Validate() error {
	w, better := c.Worth, c.Better
	at := func(v float64) string {
		if c.Unit == "1" || c.Unit == "" {
			return fmt.Sprintf("%g", v)
		}
		return fmt.Sprintf("%g %s", v, c.Unit)
	}
	if better != -1 && better != 1 {
		return fmt.Errorf("it is said of it neither that more nor that less is better, so no aim can use it")
	}
	if len(w) < 2 {
		return fmt.Errorf("a value function with so few points (%d) says nothing; give two or more", len(w))
	}
	for i, p := range w {
		if !(p.Worth >= 0 && p.Worth <= 1) {
			return fmt.Errorf("the value function is worth %g at %s; worths lie between 0 and 1", p.Worth, at(p.At))
		}
		if !(math.Abs(p.At) <= 1e100) {
			return fmt.Errorf("the value function has a point at %g; give a number", p.At)
		}
		if i == 0 {
			continue
		}
		before := w[i-1]
		if !(p.At > before.At) {
			return fmt.Errorf("the value function has %s behind %s; give its points by ascending value", at(p.At), at(before.At))
		}
		if (p.Worth-before.Worth)*float64(better) < 0 {
			side := "less"
			if better > 0 {
				side = "more"
			}
			return fmt.Errorf("the value function is worth %g at %s and %g at %s, but %s is better", before.Worth, at(before.At), p.Worth, at(p.At), side)
		}
	}
	if w[0].Worth == w[len(w)-1].Worth {
		return fmt.Errorf("the value function is worth %g everywhere, so it decides nothing", w[0].Worth)
	}
	return nil
}
