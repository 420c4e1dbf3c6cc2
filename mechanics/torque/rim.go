package torque

import (
	"errors"
	"fmt"
	"math"
)

// Wheel is a flywheel of one material: a full disc, or a rim whose arms or web are not counted.
type Wheel struct {
	Outer, Inner float64 // diameters [m]; Inner is 0 for a full disc
	Width        float64 // along the crank [m]
	Mass         float64 // [kg]
	Inertia      float64 // [kg m²]
	RimSpeed     float64 // at the outer diameter [m/s]
	RingStress   float64 // hoop stress of a thin ring at the outer diameter [Pa]
	DiscStress   float64 // largest hoop stress of the turning disc, at its centre or at its bore [Pa]
}

// Material is what a flywheel is made of.
type Material struct {
	Density float64 // [kg/m³]
	Poisson float64 // Poisson's ratio [1]; it counts in the stress of the disc alone
}

// WheelPoisson is the Poisson's ratio of a flywheel of cast iron [1], of which one is assumed to be. With that of steel, 0.3, the
// stress of a full disc is a hundredth higher. Source: PRACTICE.
const WheelPoisson = 0.26

func (m Material) check() error {
	if !(m.Density > 0 && m.Density < 1e5) || !(m.Poisson >= 0 && m.Poisson <= 0.5) {
		return fmt.Errorf("torque: a density of %g kg/m³ with a Poisson's ratio of %g is no material; cast iron has about 7200 kg/m³ and %g", m.Density, m.Poisson, WheelPoisson)
	}
	return nil
}

// DiscWheel returns the full disc that has a wanted moment of inertia.
//
//	b = 32 J/(π ρ D⁴)
//
// with
//   - inertia: J [kg m²], greater than zero
//   - material: its density ρ and Poisson's ratio
//   - outer: diameter D [m], greater than zero
//   - speed: highest crank speed ω [rad/s], for the stress; not negative
//
// Result [m], [kg] and [Pa]; stresses as RimWheel. Errors: impossible values. Definition.
func DiscWheel(inertia float64, material Material, outer, speed float64) (Wheel, error) {
	if err := checkWheel(inertia, material, outer, 1, speed); err != nil {
		return Wheel{}, err
	}
	r := outer / 2
	w := Wheel{Outer: outer, Width: 2 * inertia / (math.Pi * material.Density * r * r * r * r)}
	return w.filled(inertia, material, speed)
}

// RimWheel returns the rim that has a wanted moment of inertia.
//
//	J = π/32 ρ b (D⁴ − d⁴)
//	thin ring   σ = ρ v²,  v = ω D/2
//	disc        σ = (3+ν)/8 ρ v²                                   full, at its centre
//	            σ = (3+ν)/4 ρ v² ( 1 + (1−ν)/(3+ν) (d/D)² )        with a bore, at the bore
//
// with
//   - inertia: J [kg m²], greater than zero
//   - material: its density ρ and Poisson's ratio ν
//   - outer, width: diameter D and width b of the rim [m], greater than zero
//   - speed: highest crank speed ω [rad/s], for the stress; not negative
//
// Result [m], [kg] and [Pa]. Stress concentrations at holes, keys and arms are not in it. Errors: a wheel
// that is too small even as a full disc, with the width that it needs; impossible values.
// Source: TIMOSHENKO, rotating discs.
func RimWheel(inertia float64, material Material, outer, width, speed float64) (Wheel, error) {
	if err := checkWheel(inertia, material, outer, width, speed); err != nil {
		return Wheel{}, err
	}
	r := outer / 2
	full := math.Pi / 2 * material.Density * width * r * r * r * r
	if inertia > full {
		return Wheel{}, fmt.Errorf("torque: even a full disc of %.4g mm diameter and %.4g mm width has only %.4g kg m², and %.4g kg m² are wanted; make it %.4g mm wide or larger",
			1e3*outer, 1e3*width, full, inertia, 1e3*width*inertia/full)
	}
	w := Wheel{Outer: outer, Width: width, Inner: outer * math.Sqrt(math.Sqrt(max(0, 1-inertia/full)))}
	return w.filled(inertia, material, speed)
}

// filled adds what follows from the size.
func (w Wheel) filled(inertia float64, material Material, speed float64) (Wheel, error) {
	ro, ri := w.Outer/2, w.Inner/2
	v := speed * ro
	w.Inertia = inertia
	w.Mass = 2 * inertia / (ro*ro + ri*ri)
	w.RimSpeed = v
	w.RingStress = material.Density * v * v
	ν, x := material.Poisson, w.Inner/w.Outer
	if w.Inner == 0 {
		w.DiscStress = (3 + ν) / 8 * w.RingStress
	} else {
		w.DiscStress = (3 + ν) / 4 * w.RingStress * (1 + (1-ν)/(3+ν)*x*x)
	}
	if !finite(w.Width, w.Mass, w.RingStress, w.DiscStress) {
		return Wheel{}, errors.New("torque: a flywheel of that size is beyond all measure; check the units")
	}
	return w, nil
}

func checkWheel(inertia float64, material Material, outer, width, speed float64) error {
	if err := material.check(); err != nil {
		return err
	}
	switch {
	case !(inertia > 0 && inertia <= 1e9):
		return fmt.Errorf("torque: the moment of inertia of a flywheel must be greater than zero, it is %g kg m²", inertia)
	case !(outer >= 1e-3 && outer <= 100):
		return fmt.Errorf("torque: the diameter of a flywheel must lie between 1 mm and 100 m, it is %g m", outer)
	case !(width >= 1e-4 && width <= 100):
		return fmt.Errorf("torque: the width of a flywheel must lie between 0.1 mm and 100 m, it is %g m", width)
	case !(speed >= 0 && speed <= 1e5):
		return fmt.Errorf("torque: the speed must lie between 0 and 1e5 rad/s, it is %g rad/s", speed)
	}
	return nil
}

// ThinRim returns mass and cross section of a rim whose thickness is small beside its diameter.
//
//	m = J/R²   A = m/(2π R ρ)
//
// with
//   - inertia: J [kg m²], greater than zero
//   - material: its density ρ
//   - diameter: mean diameter 2R [m], greater than zero
//
// Results: mass [kg] and area [m²]. Errors: impossible values. Source: KG, ex. 16.15.
func ThinRim(inertia float64, material Material, diameter float64) (mass, area float64, err error) {
	if err := checkWheel(inertia, material, diameter, 1, 0); err != nil {
		return 0, 0, err
	}
	r := diameter / 2
	mass = inertia / (r * r)
	return mass, mass / (2 * math.Pi * r * material.Density), nil
}
