package balance

import (
	"fmt"
	"math"

	"crankwright/num"
)

// Cheek is the form of a counterweight: a sector of a ring about the crank axis.
type Cheek struct {
	Outer     float64 // radius limit R [m]
	Inner     float64 // inner radius r_i [m], that of the journal or 0
	Thickness float64 // along the crank [m]
	Density   float64 // [kg/m³]
}

// mostHalf is the half angle beyond which a sector loses unbalance again.
const mostHalf = num.Turn / 4

// HeaviestPlug is the density of the heaviest metal that counterweights get, a tungsten alloy
// [kg/m³]. Such plugs have 17 000 to 18 500 kg/m³. Source: PRACTICE.
const HeaviestPlug = 18500.0

// Check says why a cheek cannot exist, nil where it can.
//
// Lengths in the message are in [mm]. Definition.
func (c Cheek) Check() error {
	for _, v := range []struct {
		name string
		v    float64
		lo   float64
	}{{"radius limit", c.Outer, 1e-6}, {"inner radius", c.Inner, 0}, {"thickness", c.Thickness, 1e-6}} {
		if !(v.v >= v.lo) || v.v > 100 {
			return fmt.Errorf("the %s of the counterweights is %g mm; it must lie between %g mm and 100 m", v.name, 1e3*v.v, 1e3*v.lo)
		}
	}
	if c.Inner >= c.Outer {
		return fmt.Errorf("the radius limit of the counterweights, %.4g mm, must be larger than their inner radius of %.4g mm", 1e3*c.Outer, 1e3*c.Inner)
	}
	if !(c.Density >= 100) || c.Density > 25000 {
		return fmt.Errorf("a density of %g kg/m³ is not that of a metal; steel has 7850 kg/m³, tungsten alloy 17000 to 18500 kg/m³", c.Density)
	}
	return nil
}

// Mass returns the mass of a sector.
//
//	m = ρ t φ (R² − r_i²)
//
// with
//   - φ: half angle of the sector [rad], 0 to π/2
//
// Result [kg]. Definition.
func (c Cheek) Mass(φ num.Angle) float64 {
	return c.Density * c.Thickness * float64(φ) * (c.Outer*c.Outer - c.Inner*c.Inner)
}

// Unbalance returns the unbalance of a sector.
//
//	U = ρ t (2/3)(R³ − r_i³) sin φ
//
// with
//   - φ: half angle of the sector [rad], 0 to π/2
//
// Result [kg m], in the direction of the middle of the sector. Definition.
func (c Cheek) Unbalance(φ num.Angle) float64 { return c.Most() * math.Sin(float64(φ)) }

// Most returns the largest unbalance that fits: that of a half ring.
//
//	U = ρ t (2/3)(R³ − r_i³)
//
// Result [kg m]. Definition.
func (c Cheek) Most() float64 {
	return c.Density * c.Thickness * 2 / 3 * (math.Pow(c.Outer, 3) - math.Pow(c.Inner, 3))
}

// Inertia returns the moment of inertia of a sector about the crank axis.
//
//	J = ρ t φ (R⁴ − r_i⁴)/2
//
// with
//   - φ: half angle of the sector [rad], 0 to π/2
//
// Result [kg m²]. Definition.
func (c Cheek) Inertia(φ num.Angle) float64 {
	return c.Density * c.Thickness * float64(φ) * (math.Pow(c.Outer, 4) - math.Pow(c.Inner, 4)) / 2
}

// NoFitError says that an unbalance does not fit into a cheek, and what would make it fit.
type NoFitError struct {
	Wanted, Most float64 // [kg m]
	Radius       float64 // radius limit that would do, everything else as it is [m]
	Thickness    float64 // thickness that would do [m]
	Density      float64 // mean density that would do [kg/m³]
}

// Error returns what is wrong and what would be right [-]. Definition.
func (e *NoFitError) Error() string {
	text := fmt.Sprintf("%s kg mm do not fit: a half ring has %s kg mm. A radius of %s mm or a thickness of %s mm would do",
		num.Digits(1e3*e.Wanted, 4), num.Digits(1e3*e.Most, 4), num.Digits(1e3*e.Radius, 4), num.Digits(1e3*e.Thickness, 4))
	if e.Density > HeaviestPlug {
		return text + fmt.Sprintf("; no metal is heavy enough (mean density %s g/cm³; plugs of tungsten alloy have 17 to 18.5 g/cm³)", num.Digits(e.Density/1e3, 3))
	}
	return text + fmt.Sprintf(", or a mean density of %s g/cm³ with plugs of tungsten alloy (17 to 18.5 g/cm³, common practice)", num.Digits(e.Density/1e3, 3))
}

// HalfAngle returns the half angle of the sector that has a wanted unbalance.
//
//	φ = asin( U / (ρ t (2/3)(R³ − r_i³)) )
//
// with
//   - u: unbalance [kg m], not negative
//
// Result [rad], 0 to π/2. A *NoFitError where more is wanted than a half ring has, or what Check says.
// Definition.
func (c Cheek) HalfAngle(u float64) (num.Angle, error) {
	if err := c.Check(); err != nil {
		return 0, err
	}
	if !(u >= 0) || u > 1e9 {
		return 0, fmt.Errorf("an unbalance is a finite number that is not negative; it is %g kg m", u)
	}
	most := c.Most()
	if u > most*(1+1e-9) {
		return 0, &NoFitError{
			Wanted: u, Most: most,
			Radius:    math.Cbrt(math.Pow(c.Inner, 3) + 1.5*u/(c.Density*c.Thickness)),
			Thickness: c.Thickness * u / most,
			Density:   c.Density * u / most,
		}
	}
	return min(mostHalf, num.Angle(math.Asin(math.Min(1, u/most)))), nil
}
