package balance

import (
	"math"
	"math/cmplx"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Web is a cheek of the crank that may carry a counterweight: one of the two outer webs of a throw, or of
// the pins that are split from one throw.
type Web struct {
	At        float64   // axial place of its middle [m]
	Thickness float64   // along the crank [m]; 0 where unknown
	Throw     int       // index of the throw that it carries; of split pins the first or the last
	Pair      int       // index of the throw from which its pins are split: both webs have the same
	DriveEnd  bool      // it stands at the drive end of its throw, else at the free end
	Opposite  num.Angle // direction opposite the pin of Throw at θ = 0 [rad], where a counterweight stands
}

// Webs returns the cheeks of a crank that may carry counterweights, from throw to throw, the web at the free
// end of a throw before the one at its drive end.
//
//	x = x_pin ∓ (pin width + web thickness)/2
//
// with
//   - t: any train; where a width is unknown both webs stand at the middle of the pin
//
// Result: places [m], two for each throw. Pins split from one throw have the two outer webs of the
// throw between them. Source: PRACTICE, counterweights on the outer webs of a throw.
func Webs(t *layout.Train) []Web {
	away := 0.0
	if pin, web := t.Crank.Crankpin.Width, t.Crank.Web.Thickness; pin > 0 && web > 0 {
		away = pin/2 + web/2
	}
	var webs []Web
	for first := range t.Throws {
		lo, hi, last := math.Inf(1), math.Inf(-1), -1
		for i := range t.Throws {
			if t.PairOf(i) == first {
				lo, hi, last = math.Min(lo, t.Throws[i].At), math.Max(hi, t.Throws[i].At), i
			}
		}
		if last < 0 {
			continue
		}
		for side, at := range [2]float64{lo - away, hi + away} {
			throw := [2]int{first, last}[side]
			webs = append(webs, Web{
				At: at, Thickness: t.Crank.Web.Thickness, Throw: throw, Pair: first, DriveEnd: side == 1,
				Opposite: tidyAngle(t.Throws[throw].Angle + num.Turn/2),
			})
		}
	}
	return webs
}

// unbalance puts an unbalance U e^{ia} on a web.
func (w Web) unbalance(u complex128) layout.Unbalance {
	return layout.Unbalance{At: w.At, Angle: tidyAngle(num.Angle(cmplx.Phase(u))), Amount: cmplx.Abs(u), Throw: 1 + w.Throw}
}

// tidyAngle brings an angle into one turn and keeps nine decimals of its degrees, without the dust of rounding.
func tidyAngle(a num.Angle) num.Angle {
	return num.Degrees(math.Round(a.Wrap(num.Turn).Deg()*1e9) / 1e9)
}
