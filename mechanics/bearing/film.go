package bearing

import (
	"fmt"
	"math"
)

// Gap is the geometry of an oil film.
type Gap struct {
	Diameter  float64 // of the journal [m]
	Width     float64 // of one land [m]
	Lands     int     // 1, or 2 with a groove all round between them; 0 is 1
	Clearance float64 // radial [m]
}

func (g Gap) lands() float64 { return float64(max(1, g.Lands)) }

// Ratio returns the width of a land over its diameter.
//
// Result [L/D, -]. Definition.
func (g Gap) Ratio() float64 { return g.Width / g.Diameter }

// Validate tells what is impossible about a gap.
//
// Result [-]: nil for a gap whose film can be computed. Definition.
func (g Gap) Validate() error {
	switch {
	case !(g.Diameter >= 1e-3 && g.Diameter <= 3):
		return fmt.Errorf("a journal of %g mm: 1 mm to 3000 mm are possible", g.Diameter*1e3)
	case !(g.Ratio() >= 0.01 && g.Ratio() <= 1.5):
		return fmt.Errorf("a land of %g mm on a journal of %g mm: 0.01 to 1.5 diameters are possible", g.Width*1e3, g.Diameter*1e3)
	case g.Lands < 0 || g.Lands > 2:
		return fmt.Errorf("%d lands: a bearing has 1, or 2 with a groove all round", g.Lands)
	case !(g.Clearance >= 1e-5*g.Diameter && g.Clearance <= 1e-2*g.Diameter):
		return fmt.Errorf("a radial clearance of %g µm in a journal of %g mm: a thousandth of the radius is usual, such as %g µm",
			g.Clearance*1e6, g.Diameter*1e3, g.Diameter*500)
	}
	return nil
}

// Duty is what a bearing carries over one cycle, in any frame that the caller likes: the block's for a main bearing, the rod's
// for a big end.
type Duty struct {
	Load    []complex128 // force on the journal [N], at equal steps of crank angle over one cycle
	Turns   float64      // turns of the crank a cycle: 1 or 2
	Speed   float64      // of the crank [rad/s], above 0
	Journal []float64    // speed of the journal in the frame [rad/s]: one for the cycle, or one an angle
	Sleeve  []float64    // of the sleeve in the frame [rad/s]: as Journal; none is at rest
}

// speed returns one of the speeds at sample k.
func speed(s []float64, k int) float64 {
	switch len(s) {
	case 0:
		return 0
	case 1:
		return s[0]
	}
	return s[k]
}

// Validate tells what is impossible about a duty.
//
// Result [-]: nil for a duty that has an orbit. Definition.
func (d Duty) Validate() error {
	n := len(d.Load)
	if n < 8 || n > 1e5 {
		return fmt.Errorf("loads at %d angles: 8 to 100000 are possible, such as 720", n)
	}
	if d.Turns != 1 && d.Turns != 2 {
		return fmt.Errorf("a cycle of %g turns: 1 or 2 are possible", d.Turns)
	}
	if !(d.Speed > 0 && d.Speed <= 1e5) {
		return fmt.Errorf("a crank speed of %g rad/s: it must be above 0", d.Speed)
	}
	for _, part := range []struct {
		name   string
		speeds []float64
	}{{"journal", d.Journal}, {"sleeve", d.Sleeve}} {
		if m := len(part.speeds); m > 1 && m != n {
			return fmt.Errorf("%d speeds of the %s for loads at %d angles: give one speed, or one an angle", m, part.name, n)
		}
		for _, v := range part.speeds {
			if !(math.Abs(v) <= 1e6) {
				return fmt.Errorf("a %s speed of %g rad/s", part.name, v)
			}
		}
	}
	most := 0.0
	for k, w := range d.Load {
		f := math.Hypot(real(w), imag(w))
		if !(f <= 1e10) {
			return fmt.Errorf("a load of %g N at sample %d", f, k)
		}
		most = max(most, f)
	}
	if most < 1e-6 {
		return fmt.Errorf("no load at any angle: a journal without load has no orbit of its own")
	}
	return nil
}

// checkViscosity tells whether a viscosity can be.
func checkViscosity(mu float64) error {
	if !(mu >= 1e-5 && mu <= 1e3) {
		return fmt.Errorf("a viscosity of %g Pa s: oil in a running engine has about 0.01 Pa s", mu)
	}
	return nil
}

// FilmLimit is a computed minimum film with which bearings are known to work.
type FilmLimit struct {
	Name      string
	Low, High float64 // [m]: thinner needs a reason, thicker is usual
	Place     string  // in the source
}

// FilmLimits returns computed minimum films of bearings of medium and large engines that are known to work: computed as here, for a
// circular rigid bearing of one temperature. They judge a computed film, not a measured one.
//
// Result [m]. Source: NEALE
func FilmLimits() []FilmLimit {
	const place = "section A11, crankshaft bearings, p. 70"
	return []FilmLimit{{"main bearing", 2.5e-6, 4.2e-6, place}, {"big end", 2e-6, 4e-6, place}}
}
