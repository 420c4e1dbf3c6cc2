package strength

import (
	"math"
)

// Size names a size of a throw that can be changed.
type Size string

// The sizes whose worth is asked for.
const (
	WebThickness  Size = "web thickness"
	WebWidth      Size = "web width"
	PinDiameter   Size = "crankpin diameter"
	JournalSize   Size = "main journal diameter"
	PinFillet     Size = "crankpin fillet radius"
	JournalFillet Size = "main journal fillet radius"
	OilBoreSize   Size = "oil bore diameter"
)

// Sizes lists them [m]. Definition.
func Sizes() []Size {
	return []Size{WebThickness, WebWidth, PinDiameter, JournalSize, PinFillet, JournalFillet, OilBoreSize}
}

// Of returns the size's place in a throw [m]. Definition.
func (s Size) Of(t *Throw) *float64 {
	switch s {
	case WebThickness:
		return &t.Web
	case WebWidth:
		return &t.WebWidth
	case PinDiameter:
		return &t.Pin
	case JournalSize:
		return &t.Journal
	case PinFillet:
		return &t.PinFillet
	case JournalFillet:
		return &t.JournalFillet
	default:
		return &t.OilBore
	}
}

// Change is what a change of one size does to the acceptability factor of a throw.
type Change struct {
	Size    Size
	Now     float64   // the size [m]
	Q       float64   // with a step more [1]; 0: the rule does not hold there
	Gain    float64   // Q with a step more, less Q now [1]
	Points  []float64 // Q of each point with a step more [1]; nil: the rule does not hold there
	Least   float64   // smallest change by which Q reaches Required [m]; may be negative
	Reaches bool      // within the range of the rule and a fifth of the size; else Least has no meaning
	Spare   float64   // how much the size may shrink before Q falls below Required [m]; 0 where it is below already, and of an oil bore
	Bound   bool      // it is Q that ends Spare; else the range of the rule
}

// Changes returns what each size of a throw is worth, with the loads as they are.
//
//   - t, l, steel, set: as Assess
//   - step: that is added to each size [m], such as 1 mm
//
// Result [m, 1], in the sequence of Sizes; the least worst point of the throw counts. A fillet or web that grows takes
// room from the journals, one that shrinks gives them some, which this does not weigh. A size that is zero, such as an oil bore that is not there, is left
// out. Errors: those of Assess for the throw as it is. Source: IACSM53, by assessing again; Least and Spare by bisection to 1 µm.
func Changes(t Throw, l Loads, steel Steel, set Setting, step float64) ([]Change, error) {
	now, err := Assess(t, l, steel, set)
	if err != nil {
		return nil, err
	}
	base := now.Worst().Q
	again := func(s Size, by float64) (*Assessment, bool) {
		u := t
		*s.Of(&u) += by
		a, err := Assess(u, l, steel, set)
		if err != nil || len(a.Outside) > len(now.Outside) {
			return nil, false
		}
		return a, true
	}
	var out []Change
	for _, s := range Sizes() {
		u := t
		c := Change{Size: s, Now: *s.Of(&u)}
		if c.Now == 0 {
			continue
		}
		if a, ok := again(s, step); ok {
			c.Q = a.Worst().Q
			c.Gain = c.Q - base
			for _, p := range a.Points {
				c.Points = append(c.Points, p.Q)
			}
		}
		q := func(by float64) (float64, bool) {
			a, ok := again(s, by)
			if !ok {
				return 0, false
			}
			return a.Worst().Q, true
		}
		switch {
		case base < Required:
			c.Least, c.Reaches = least(q, c.Now)
		case s != OilBoreSize:
			c.Spare, c.Bound = spare(q, c.Now)
		}
		out = append(out, c)
	}
	return out, nil
}

// least finds the smallest change, up or down, that reaches Required.
func least(q func(by float64) (float64, bool), size float64) (change float64, ok bool) {
	const steps = 40
	best := math.Inf(1)
	for _, sign := range []float64{1, -1} {
		last := 0.0
		for i := 1; i <= steps; i++ {
			by := sign * size / 5 * float64(i) / steps
			v, in := q(by)
			if !in {
				break
			}
			if v < Required {
				last = by
				continue
			}
			lo, hi := last, by
			for math.Abs(hi-lo) > 1e-6 {
				mid := (lo + hi) / 2
				if v, in := q(mid); in && v >= Required {
					hi = mid
				} else {
					lo = mid
				}
			}
			if math.Abs(hi) < math.Abs(best) {
				best = hi
			}
			break
		}
	}
	return best, !math.IsInf(best, 0)
}

// spare finds how far a size may shrink with Required still reached all the way, and whether it is Q that ends it.
func spare(q func(by float64) (float64, bool), size float64) (by float64, bound bool) {
	const steps = 10
	kept := 0.0
	for i := 1; i <= steps; i++ {
		next := size * float64(i) / steps
		v, in := q(-next)
		if in && v >= Required {
			kept = next
			continue
		}
		for next-kept > 1e-6 {
			mid := (kept + next) / 2
			v, ok := q(-mid)
			if ok && v >= Required {
				kept = mid
			} else {
				next, in = mid, ok
			}
		}
		return kept, in
	}
	return kept, false
}
