package estimate

import (
	"math"
	"math/cmplx"

	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
)

// CrankInertia returns the moment of inertia of a crank about its axis, without flywheel, pistons and rods.
//
//	J = Σ mains ρ π/32 D⁴ B + Σ pins ρ π/4 d² b (r² + d²/8) + Σ webs m [ (w² + l²)/12 + c² ] + Σ U · 1.2 r
//	beside a main       l = r + (D + d)/2        c = (r + (d − D)/2)/2     m = ρ t w l
//	between two pins    l = |p₁ − p₂| + 1.25 d   c = |p₁ + p₂|/2           m = ρ (|x₁ − x₂| − b) w l, w = 1.25 d
//
// with
//   - t: a train with bore, throws and counterweights; sizes of journals, pins and webs that it does not have are
//     estimated
//   - duty: what the engine is for
//
// Result [kg m²]: one main journal more than bays, two webs a bay, in a bay of split or own pins all of its pins and what
// joins them; p are the places of pins across the crank, x along it; counterweights U at 1.2 crank radii; bores of pins and
// journals count. Range: cranks of steel. Scatter: ±30 %, for real webs are bevelled and pins drilled. Source: PRACTICE.
func CrankInertia(t *layout.Train, duty Duty) float64 {
	or := func(value, otherwise float64) float64 {
		if value > 0 {
			return value
		}
		return otherwise
	}
	c := &t.Crank
	pin := or(c.Crankpin.Diameter, PinDiameter(t.Bore, duty))
	main := or(c.MainJournal.Diameter, MainDiameter(t.Bore, duty))
	mainWidth := or(c.MainJournal.Width, MainWidth(t.Bore, 1, duty))
	pinWidth := or(c.Crankpin.Width, RodWidth(t.Bore, 1, duty))
	thickness := or(c.Web.Thickness, WebThickness(t.Bore, duty))
	width := or(c.Web.Width, WebWidth(t.Bore, math.Max(pin, main), duty))
	web := func(thickness, width, length, centre float64) float64 {
		return SteelDensity * thickness * width * length * ((width*width+length*length)/12 + centre*centre)
	}
	place := func(throw int) complex128 {
		return complex(t.Throws[throw].Radius, 0) * t.Throws[throw].Angle.Unit()
	}
	bays := bearing.Bays(t)
	sum, longest, hole := 0.0, 0.0, c.Crankpin.Bore
	for _, b := range bays {
		for k, throw := range b.Throws {
			th := &t.Throws[throw]
			longest = math.Max(longest, th.Radius)
			sum += SteelDensity * math.Pi / 4 * (pin*pin - hole*hole) * pinWidth * (th.Radius*th.Radius + (pin*pin+hole*hole)/8)
			if k > 0 {
				p, q := place(b.Throws[k-1]), place(throw)
				gap := math.Max(0, th.At-t.Throws[b.Throws[k-1]].At-pinWidth)
				sum += web(gap, 1.25*pin, cmplx.Abs(p-q)+1.25*pin, cmplx.Abs(p+q)/2)
			}
		}
		for _, throw := range []int{b.Throws[0], b.Throws[len(b.Throws)-1]} {
			r := t.Throws[throw].Radius
			sum += web(thickness, width, r+(main+pin)/2, (r+(pin-main)/2)/2)
		}
	}
	sum += float64(len(bays)+1) * SteelDensity * math.Pi / 32 * (math.Pow(main, 4) - math.Pow(c.MainJournal.Bore, 4)) * mainWidth
	for _, u := range t.Counterweights {
		sum += math.Abs(u.Amount) * 1.2 * longest
	}
	return sum
}
