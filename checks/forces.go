package checks

import (
	"fmt"
	"math"
	"strings"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
)

// single returns an engine of one upright cylinder.
func single(s slider, piston float64, rod layout.Rod) *layout.Train {
	rod.Length = s.l
	return &layout.Train{
		Throws:    []layout.Throw{{Name: "1", Radius: s.r}},
		Cylinders: []layout.Cylinder{{Name: "1", Piston: layout.Piston{Mass: piston}, Rod: rod}},
	}
}

// crankTorque returns our inertia torque of one cylinder on the crank, against the turning [unit of
// mass × length²/s²].
func (s slider) crankTorque(piston float64, rod layout.Rod, twoMass bool) (float64, error) {
	var solver inertia.Solver
	b, err := solver.Solve(nil, single(s, piston, rod), inertia.Options{TwoMass: twoMass})
	if err != nil {
		return 0, err
	}
	ω := s.omega()
	return -ω * ω * b.Torque.At(angle(s.angle)), nil
}

// inertiaTorque lists the harmonics of the inertia torque of a reciprocating mass.
func (l *list) inertiaTorque() {
	coefficient := func(n int, λ float64) (float64, error) {
		var solver inertia.Solver
		b, err := solver.Solve(nil, single(slider{r: λ, l: 1}, 1, layout.Rod{}), inertia.Options{})
		if err != nil {
			return 0, err
		}
		return -imag(b.Torque.Order(2*n)) / (λ * λ), nil
	}
	for _, c := range []struct {
		λ      float64
		values []string
	}{
		{0.25, []string{"0.063506", "-0.500130", "-0.192056", "-0.016129", "0.002592", "0.000390"}},
		{0.30, []string{"0.076763", "-0.500278", "-0.233002", "-0.023560", "0.004604", "0.000833"}},
	} {
		for i, printed := range c.values {
			n := i + 1
			l.add(Check{
				ID: fmt.Sprintf("torque/λ=%.2f/order-%d", c.λ, n), Chapter: "inertia", Kind: ClosedForm, Source: "TAYLOR2", Seen: Recomputed,
				Place:   "inertia torque of the reciprocating mass; transform of the exact motion",
				What:    fmt.Sprintf("sine coefficient of order %d of the torque on the crank per m r² ω²", n),
				Printed: printed, Want: number(printed),
				Ours: func() (float64, error) { return coefficient(n, c.λ) },
			})
		}
	}
	const λ = 0.01
	for i, c := range []struct {
		printed string
		leading float64
	}{{"1/4 λ", λ / 4}, {"-1/2", -0.5}, {"-3/4 λ", -0.75 * λ}, {"-1/4 λ²", -λ * λ / 4}} {
		n := i + 1
		l.add(Check{
			ID: fmt.Sprintf("torque/leading/order-%d", n), Chapter: "inertia", Kind: Published, Source: "DENHARTOG", Seen: Memory,
			Place:   "T = m r² ω² (¼λ sin φ − ½ sin 2φ − ¾λ sin 3φ − ¼λ² sin 4φ)",
			What:    fmt.Sprintf("order %d of the torque over its leading term, at r/l = 0.01", n),
			Printed: c.printed, Want: 1, Tol: 5e-4,
			TolWhy: "the leading terms leave out a share of about λ², here 1e-4",
			Ours: func() (float64, error) {
				v, err := coefficient(n, λ)
				return v / c.leading, err
			},
		})
	}
}

// statics is the state of a slider-crank whose gas force the source gives: net force on the piston,
// side force, rod force, force along and across the crank, and torque.
type statics struct{ net, side, rod, tangential, radial, torque float64 }

// statics returns the forces of a slider-crank.
//
//	N = F_gas + weight − m a,  side = N tan β,  rod = N/cos β,  torque = N v/ω
//
// with
//   - mass: reciprocating mass, in units that make mass × acceleration a force
//   - load: gas force and weight along the cylinder, towards the crank
//
// Result [force]: accelerations reduced to two terms as the sources do. Definition.
func (s slider) statics(mass, load float64) (statics, error) {
	a, err := s.acceleration(true)
	if err != nil {
		return statics{}, err
	}
	v, err := s.velocity(false)
	if err != nil {
		return statics{}, err
	}
	cos, tan, _, _, err := s.rod()
	net := load - mass*a
	arm := v / s.omega()
	φ := s.φ()
	return statics{
		net: net, side: net * tan, rod: net / cos, torque: net * arm, tangential: net * arm / s.r,
		radial: net * (math.Cos(φ) - tan*math.Sin(φ)),
	}, err
}

func (s slider) force(mass, load, scale float64, pick func(statics) float64) func() (float64, error) {
	return func() (float64, error) {
		f, err := s.statics(mass, load)
		return scale * pick(f), err
	}
}

func net(f statics) float64     { return f.net }
func side(f statics) float64    { return f.side }
func rod(f statics) float64     { return f.rod }
func turning(f statics) float64 { return f.torque }

// workedForces lists worked examples of inertia forces and of the statics of the slider-crank.
func (l *list) workedForces() {
	add := func(id, place, what, unit, printed string, ours func() (float64, error)) *Check {
		source, _, _ := strings.Cut(id, "-") // such as KG-15.7/side
		l.add(Check{
			ID: "worked/" + id, Chapter: "motion", Kind: Published, Source: source, Place: place, Seen: Read, What: what, Unit: unit,
			Printed: printed, Want: number(printed), Note: "gas force as in the source; " + leftOut, Ours: ours,
		})
		return &l.checks[len(l.checks)-1]
	}
	wrong := func(c *Check, want, tol float64, why string) {
		c.Want, c.Tol, c.Disagrees = want, tol, why
	}
	const g = 9.81
	area := func(d float64) float64 { return math.Pi / 4 * d * d }

	s7 := slider{r: 0.3, l: 1.2, rpm: 250, angle: 60}
	gas7 := 0.35e6 * area(0.5)
	p7 := "ex. 15.7, p. 533"
	add("KG-15.7/side", p7, "side force", "kN", "10.97 kN", s7.force(250, gas7, 1e-3, side))
	add("KG-15.7/rod", p7, "thrust in the rod", "kN", "50.65 kN", s7.force(250, gas7, 1e-3, rod))
	add("KG-15.7/tangential", p7, "tangential force at the crankpin", "kN", "48.30 kN",
		s7.force(250, gas7, 1e-3, func(f statics) float64 { return f.tangential }))
	add("KG-15.7/torque", p7, "turning moment", "kN m", "14.491 kN m", s7.force(250, gas7, 1e-3, turning))

	s8 := slider{r: 0.225, l: 1.2, rpm: 200, angle: 125}
	c := add("KG-15.8/torque", "ex. 15.8, p. 534", "turning moment", "N m", "3020 N m",
		s8.force(225, math.Round(30e3*area(0.3)-1.5e3*(area(0.3)-area(0.05)))+225*g, 1, turning))
	c.Tol, c.TolWhy = 5, "the source marks its result as subject to its own rounding"

	s9 := slider{r: 0.05, l: 0.2, rpm: 1800, angle: 33}
	gas9 := math.Round(0.7e6 * area(0.08))
	p9 := "ex. 15.9, p. 534"
	add("KG-15.9/net", p9, "net load on the piston pin", "N", "1848 N", s9.force(1, gas9, 1, net))
	add("KG-15.9/rod", p9, "thrust in the rod", "N", "1865.8 N", s9.force(1, gas9, 1, rod))
	c = add("KG-15.9/side", p9, "side force", "N", "254 N", s9.force(1, gas9, 1, side))
	c.Tol, c.TolWhy = 0.5, ""
	c = add("KG-15.9/reversal", p9, "speed at which the load on the piston pin reverses", "rpm", "2612 rpm", s9.reversal(1, 0.7e6*area(0.08)))
	c.Tol, c.TolWhy = 1, "the source cuts the decimals off"

	s11 := slider{r: 0.06, l: 0.25, rpm: 2000, angle: 20}
	load11 := 700e3*area(0.1) + 1.1*g
	p11 := "ex. 15.11, p. 537"
	c = add("KG-15.11/net", p11, "net force on the piston", "N", "2255.6 N", s11.force(1.1, load11, 1, net))
	c.Tol, c.TolWhy = 0.5, "the source rounds the inertia force to whole newtons first"
	slip := "the notebook takes the sine of 20 radians, not degrees; expected is the value recomputed"
	wrong(add("KG-15.11/rod", p11, "load on the piston pin", "N", "2265 N", s11.force(1.1, load11, 1, rod)), 2263.5, 0.05, slip)
	wrong(add("KG-15.11/side", p11, "thrust on the cylinder wall", "N", "185.4 N", s11.force(1.1, load11, 1, side)), 185.8, 0.05,
		"the notebook types in an obliquity rounded to 4.7 degrees; expected is the value recomputed")
	wrong(add("KG-15.11/reversal", p11, "speed at which the load on the piston pin reverses", "rpm", "2606 rpm", s11.reversal(1.1, load11)),
		2602.7, 0.05, "the notebook types in 273 rad/s by hand; expected is the value recomputed")

	s12 := slider{r: 0.2, l: 0.6, rpm: 120, angle: 45}
	gas12 := 550e3*area(0.25) - 70e3*(area(0.25)-area(0.05))
	p12 := "ex. 15.12, p. 538"
	add("KG-15.12/torque", p12, "turning moment", "N m", "3929.026139 N m", s12.force(60, gas12, 1, turning))
	add("KG-15.12/bearing", p12, "thrust on the main bearings along the crank", "kN", "11.98 kN",
		s12.force(60, gas12, 1e-3, func(f statics) float64 { return f.radial }))

	b3 := slider{r: 1, l: 5, rpm: 120, angle: 40}
	steam := 160*area(9) - 32*(area(9)-area(2))
	c = add("BEV-12.3/torque", "ex. 12.3, p. 415", "torque of the steam force", "lb ft", "6110 lb ft", func() (float64, error) {
		v, err := b3.velocity(true)
		return steam * v / b3.omega(), err
	})
	c.Tol, c.TolWhy = 1, "the source cuts the decimals off"
	l.bevanTorques()
}

// reversal returns the speed at which the load on the piston pin is zero [rpm].
func (s slider) reversal(mass, load float64) func() (float64, error) {
	return func() (float64, error) {
		a, err := s.turning(1).acceleration(true)
		return math.Sqrt(load/(mass*a)) * 30 / math.Pi, err
	}
}

// bevanTorques lists the inertia torques of Bevan's example 12.5, in pounds and feet.
func (l *list) bevanTorques() {
	const g = 32.2
	s := slider{r: 1, l: 5, rpm: 120, angle: 40}
	cg := 60 - 41.0 // from the big end [in]
	gyration := 25.0
	bar := layout.Rod{Mass: 500 / g, CG: cg / 12, Inertia: 500 / g * gyration * gyration / 144, Length: 5}
	piston := 580 / g
	masses := func() (float64, error) { // reciprocating masses only, two terms as the source
		a, err := s.acceleration(true)
		if err != nil {
			return 0, err
		}
		v, err := s.velocity(true)
		return -(piston + inertia.ReciprocatingShare(bar)) * a * v / s.omega(), err
	}
	correction := func() (float64, error) { // what the two-mass replacement leaves out
		rigid, err := s.crankTorque(piston, bar, false)
		if err != nil {
			return 0, err
		}
		shortcut, err := s.crankTorque(piston, bar, true)
		if err != nil {
			return 0, err
		}
		cos, _, _, _, err := s.rod()
		λ := s.r / s.l
		return -(rigid - shortcut) * math.Pow(cos, 4) / (1 - λ*λ), err
	}
	weight := -500.0 * 41 / 12 / 5 * math.Cos(40*math.Pi/180)
	base := Check{Chapter: "inertia", Kind: Published, Source: "BEV", Place: "ex. 12.5, p. 424", Seen: Read, Unit: "lb ft"}
	twice := "the notebook turns the angle into radians twice; expected is the value recomputed"

	c := base
	c.ID, c.What, c.Printed, c.Want, c.Note = "worked/BEV-12.5/Tp", "torque of the masses at the piston pin", "-2149 lb ft", -2149, leftOut
	c.Ours = masses
	l.add(c)
	c = base
	c.ID, c.What, c.Printed, c.Want, c.Tol = "worked/BEV-12.5/Tc", "correction torque of the rod", "-1.3 lb ft", -51.65, 0.005
	c.Disagrees, c.Ours = twice, correction
	c.Note = "rigid rod less two-mass rod, divided by the exact (1−λ²)/cos⁴ of the obliquity that the source sets to 1"
	l.add(c)
	c = base
	c.ID, c.What, c.Printed, c.Want, c.Tol = "worked/BEV-12.5/sum", "total torque with the weight of the rod", "-2492.3 lb ft", -2462.8, 0.1
	c.TolWhy = "the source carries the lever of the piston velocity as 0.7413 ft, ours has all digits"
	c.Disagrees = twice
	c.Note = "torque of the rod's weight, −261.73 lb ft, by statics; " + leftOut
	c.Ours = func() (float64, error) {
		m, err := masses()
		if err != nil {
			return 0, err
		}
		k, err := correction()
		return m + k + weight, err
	}
	l.add(c)
}

// workedRods lists the examples of equivalent masses of a rod.
func (l *list) workedRods() {
	s := slider{r: 0.06, l: 0.25, rpm: 2000, angle: 50}
	bar := layout.Rod{Mass: 2, CG: 0.15, Inertia: 2 * 0.11 * 0.11, Length: 0.25}
	l.add(Check{
		ID: "worked/KG-15.18/couple", Chapter: "inertia", Kind: Published, Source: "KG", Place: "ex. 15.18, p. 550", Seen: Read,
		What: "correction couple of the masses at both eyes at 23000 rad/s²", Unit: "N m", Printed: "133.4 N m", Want: 133.4,
		Ours: func() (float64, error) { return inertia.ExcessInertia(bar) * 23000, nil },
	})
	l.add(Check{
		ID: "worked/KG-15.18/couple-exact", Chapter: "inertia", Kind: ClosedForm, Source: "KG", Place: "ex. 15.18: m (l1 l3 − k²) α", Seen: Recomputed,
		What: "correction couple", Unit: "N m", Printed: "133.40", Want: 133.40,
		Ours: func() (float64, error) { return inertia.ExcessInertia(bar) * 23000, nil },
	})
	long := slider{r: 0.07, l: 0.3, rpm: 1500, angle: 50}
	for _, c := range []struct {
		id, place, printed string
		s                  slider
		rod                layout.Rod
		small              float64 // centre of gravity from the small end [m]
	}{
		{
			"KG-15.15", "ex. 15.15, p. 545", "0.17 kg and 14.83 kg at 2.33 mm", long,
			layout.Rod{Mass: 15, CG: 0.1, Inertia: 7000e-6, Length: 0.3},
			0.2,
		},
		{"KG-15.18", "ex. 15.18, p. 550", "1.1 kg and 0.9 kg at 0.121 m", s, bar, 0.1},
	} {
		k2 := c.rod.Inertia / c.rod.Mass
		second := k2 / c.small // of the other mass, beyond the centre of gravity
		m1 := c.rod.Mass * second / (c.small + second)
		point := layout.Rod{Mass: c.rod.Mass - m1, CG: c.rod.CG - second, Length: c.rod.Length}
		l.add(Check{
			ID: "worked/" + c.id + "/equivalent", Chapter: "inertia", Kind: Published, Source: "KG", Place: c.place, Seen: Read,
			What: "inertia torque of the rod less that of the two masses that the source puts in its place", Unit: "N m",
			Printed: c.printed, Tol: 1e-10, TolWhy: "the two are equal but for rounding; the masses of the source are used with all their digits",
			Note: "a piston of 1 kg and a crank added, so that the rod moves",
			Ours: func() (float64, error) {
				a, err := c.s.crankTorque(1, c.rod, false)
				if err != nil {
					return 0, err
				}
				b, err := c.s.crankTorque(1+m1, point, false)
				return a - b, err
			},
		})
		for _, m := range []struct {
			name string
			ours float64
			want float64
		}{
			{"rotating", inertia.RotatingShare(c.rod), c.rod.Mass * c.small / c.rod.Length},
			{"reciprocating", inertia.ReciprocatingShare(c.rod), c.rod.Mass * (c.rod.Length - c.small) / c.rod.Length},
		} {
			l.add(Check{
				ID: "worked/" + c.id + "/" + m.name, Chapter: "inertia", Kind: ClosedForm, Source: "KG", Place: c.place + ", lever rule", Seen: Recomputed,
				What: m.name + " share of the rod", Unit: "kg", Printed: fmt.Sprintf("%.3f", m.want), Want: m.want, Tol: 1e-12,
				Ours: func() (float64, error) { return m.ours, nil },
			})
		}
	}
}
