package estimate

import (
	"math"

	"crankwright/num"
)

// CylinderSpacing returns the distance of neighbouring cylinder axes that the cylinders ask for.
//
//	a = 1.15 D (general), 1.12 D (light), 1.25 D (heavy)
//
// with
//   - bore: D [m], greater than zero
//   - duty: what the engine is for [-]
//
// Result [m]. Range: liquid-cooled blocks; of air-cooled ones see FinnedSpacing. Scatter: 1.08 D
// to 1.3 D. Source: PRACTICE.
func CylinderSpacing(bore float64, duty Duty) float64 { return byDuty(duty, 1.15, 1.12, 1.25) * bore }

// FinnedSpacing is the distance of neighbouring cylinder axes that fins between the barrels of an air-cooled engine ask for,
// over the bore [1]. Scatter: 1.25 to 1.5. Source: PRACTICE.
const FinnedSpacing = 1.35

// PinOverlap returns how far the two pins of a split throw overlap.
//
//	u = 1 − 2 (r/d) sin(δ/2)
//
// with
//   - radius: of the throw r [m], greater than zero
//   - diameter: of the pins d [m], greater than zero
//   - split: angle between the pins δ [rad]
//
// Result [1]: 1 for one pin, 0 where they touch, negative where they lie apart. Definition.
func PinOverlap(radius, diameter float64, split num.Angle) float64 {
	return 1 - 2*radius/diameter*math.Abs(math.Sin(float64(split)/2))
}

// SplitOverlap is the overlap of two pins below which a web between them is needed [1]: a quarter
// of the diameter. Source: PRACTICE.
const SplitOverlap = 0.25

// MiddleWeb returns the thickness of the web between the two pins of a throw.
//
//	t_mid = 0.6 t          where the pins overlap by less than a quarter of their diameter
//	t_mid = 0.05 D         else: a flange that keeps the two big ends apart
//
// with
//   - web: thickness t of the webs beside the main journals [m]
//   - bore: D [m], greater than zero
//   - overlap: as PinOverlap [1]
//
// Result [m]. Range: forged and cast cranks. Scatter: ±30 %. Source: PRACTICE.
func MiddleWeb(web, bore, overlap float64) float64 {
	if overlap < SplitOverlap {
		return 0.6 * web
	}
	return math.Min(0.05*bore, 0.6*web)
}
