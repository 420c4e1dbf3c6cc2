package envelope

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/motion"
	"crankwright/mechanics/mount"
	"crankwright/mechanics/torque"
	"crankwright/num"
)

// SteelDensity is the density of steel [kg/m³]. Source: PRACTICE.
const SteelDensity = 7850.0

// IronDensity is the density of cast iron [kg/m³]. Source: PRACTICE.
const IronDensity = 7200.0

// point puts a plane vector y + i·z at a place along x.
func point(x float64, w complex128) r3.Vec { return r3.Vec{X: x, Y: real(w), Z: imag(w)} }

// alongX returns a tube parallel to the crank.
func alongX(part Part, name string, from, to float64, centre complex128, outer, inner, density float64) Solid {
	return Solid{Part: part, Name: name, Kind: Tube, Density: density, Fill: 1, A: point(from, centre), B: point(to, centre), Outer: outer, Inner: inner}
}

func prism(part Part, name string, from, to float64, section []complex128, density float64) Solid {
	return Solid{Part: part, Name: name, Kind: Prism, Density: density, Fill: 1, From: from, To: to, Section: section}
}

// seat is a main journal or a crankpin; throw is −1 for a main.
type seat struct {
	at, width, diameter, bore float64
	pin                       complex128
	throw                     int
}

// seats returns main journals and crankpins along the crank.
func (f *frame) seats() []seat {
	var seats []seat
	c := &f.t.Crank
	for _, m := range f.mains {
		seats = append(seats, seat{at: m.At, width: m.Width, diameter: m.Diameter, bore: c.MainJournal.Bore, throw: -1})
	}
	for i, th := range f.t.Throws {
		seats = append(seats, seat{th.At, c.Crankpin.Width, c.Crankpin.Diameter, c.Crankpin.Bore, complex(th.Radius, 0) * 1i * th.Angle.Unit(), i})
	}
	slices.SortStableFunc(seats, func(a, b seat) int { return cmp.Compare(a.at, b.at) })
	return seats
}

// crank builds journals, pins, webs and counterweights at crank angle 0.
func (f *frame) crank() []Solid {
	var out []Solid
	seats := f.seats()
	c := &f.t.Crank
	end := math.Inf(-1)
	for i, s := range seats {
		lo, hi := s.at-s.width/2, s.at+s.width/2
		if i > 0 {
			if lo > end {
				out = append(out, f.web(seats[i-1], s, end, lo))
			}
			lo = max(lo, end)
		}
		if hi > lo {
			name := "crankpin"
			if s.throw < 0 {
				name = "main journal"
			}
			inner := min(s.bore, 0.99*s.diameter) / 2
			out = append(out, alongX(CrankPart, name, lo, hi, s.pin, s.diameter/2, inner, SteelDensity))
		}
		end = max(end, hi)
	}
	if f.crankFrom > f.front {
		out = append(out, alongX(CrankPart, "crank nose", f.front, f.crankFrom, 0, 0.35*c.MainJournal.Diameter, 0, SteelDensity))
	}
	if nose := 0.7 * f.b.FrontRoom; nose > 0 {
		out = append(out, alongX(CrankPart, "crank nose", f.front-nose, f.front, 0, 0.3*c.MainJournal.Diameter, 0, SteelDensity))
	}
	if f.rear > f.crankTo {
		out = append(out, alongX(CrankPart, "flange", f.crankTo, f.rear, 0, 0.5*c.MainJournal.Diameter, 0, SteelDensity))
	}
	out = append(out, f.counterweights()...)
	for i := range out {
		out[i].Moving = true
	}
	return out
}

// web is what joins two neighbouring seats: the hull of a circle of the web's width round the axis and one of 1.25 pin
// diameters round each pin, a flange where pins overlap, a shaft between two mains.
func (f *frame) web(l, r seat, from, to float64) Solid {
	c := &f.t.Crank
	switch {
	case l.throw < 0 && r.throw < 0:
		return alongX(CrankPart, "shaft", from, to, 0, min(l.diameter, r.diameter)/2, 0, SteelDensity)
	case l.throw >= 0 && r.throw >= 0 && cmplx.Abs(l.pin-r.pin) < min(l.diameter, r.diameter):
		both := append(round(l.pin, 0.55*l.diameter), round(r.pin, 0.55*r.diameter)...)
		return prism(CrankPart, "flange", from, to, hull(both), SteelDensity)
	}
	points := round(0, c.Web.Width/2)
	if l.throw >= 0 && r.throw >= 0 { // a flying web need not reach round the axis
		points = nil
	}
	for _, s := range []seat{l, r} {
		if s.throw >= 0 {
			points = append(points, round(s.pin, 0.625*s.diameter)...)
		}
	}
	return prism(CrankPart, "web", from, to, hull(points), SteelDensity)
}

// counterweights builds a sector for every unbalance, so thick that it has that unbalance.
//
// A sector that needs more than a half ring of the web's thickness is made thicker, as heavy metal or a wider cheek would.
func (f *frame) counterweights() []Solid {
	var out []Solid
	c := &f.t.Crank
	for _, u := range f.t.Counterweights {
		if math.Abs(u.Amount) < 1e-12 {
			continue
		}
		angle, amount := u.Angle, u.Amount
		if amount < 0 {
			angle, amount = angle+num.Turn/2, -amount
		}
		cheek := balance.Cheek{
			Outer: f.b.CounterweightRadius, Inner: min(c.MainJournal.Diameter/2, 0.9*f.b.CounterweightRadius),
			Thickness: c.Web.Thickness, Density: SteelDensity,
		}
		half := num.Turn / 4
		if amount <= cheek.Most() {
			if a, err := cheek.HalfAngle(amount); err == nil {
				half = a
			}
		} else {
			cheek.Thickness *= amount / cheek.Most()
		}
		// corners so far out that each triangle has the unbalance of its sector: R cos(δ/2)^(−2/3)
		const n = 24
		outside := math.Pow(math.Cos(float64(half)/n), -2./3)
		var section []complex128
		corner := func(r float64, k int) {
			section = append(section, complex(r*outside, 0)*1i*(angle+half*num.Angle(2*k-n)/n).Unit())
		}
		for k := range n + 1 {
			corner(cheek.Outer, k)
		}
		for k := n; k >= 0; k-- {
			corner(cheek.Inner, k)
		}
		s := prism(CrankPart, "counterweight", u.At-cheek.Thickness/2, u.At+cheek.Thickness/2, section, SteelDensity)
		if half > 0 {
			out = append(out, s)
		}
	}
	return out
}

// flywheel builds a disc that has the flywheel's moment of inertia.
func (f *frame) flywheel() []Solid {
	w, d := &f.t.Turning, f.t.Flywheel
	if !(d > 0) {
		return nil
	}
	wheel, err := torque.DiscWheel(d, torque.Material{Density: w.Density, Poisson: torque.WheelPoisson}, w.Diameter, 0)
	if err != nil {
		f.say("The flywheel is left out: %v.", err)
		return nil
	}
	s := alongX(FlywheelPart, "flywheel", f.rear, f.rear+wheel.Width, 0, wheel.Outer/2, 0, w.Density)
	s.Moving = true
	return []Solid{s}
}

// damper builds the pulley or damper on the free end.
func (f *frame) damper() []Solid {
	if f.b.FrontRoom <= 0 {
		return nil
	}
	width := min(0.4*f.b.FrontRoom, 0.35*f.bore)
	s := alongX(FlywheelPart, "damper or pulley", f.front-f.b.FrontRoom, f.front-f.b.FrontRoom+width, 0, 0.8*f.bore, 0, IronDensity)
	s.Fill, s.Moving = 0.7, true
	return []Solid{s}
}

// pistons builds the pistons at their mean place, each with its mass.
func (f *frame) pistons() []Solid {
	var out []Solid
	for i := range f.cylinder {
		c, m := &f.t.Cylinders[i], &f.cylinder[i]
		s := Solid{Part: PistonPart, Name: "piston " + c.Name, Kind: Tube, Fill: 1, Moving: true, Outer: 0.5 * f.bore}
		s.A = point(c.At, complex(m.mean-max(f.b.PistonSkirt, 0.05*f.bore), c.Offset)*m.axis)
		s.B = point(c.At, complex(m.mean+m.crown, c.Offset)*m.axis)
		weigh(&s, c.Piston.Mass, 2700)
		if c.Piston.Mass > 0 {
			out = append(out, s)
		}
	}
	return out
}

// weigh gives a solid a mass: a material, and the share of the volume that it fills.
func weigh(s *Solid, mass, density float64) {
	s.Density, s.Fill = density, 1
	if b := s.Body(); b.Mass > 0 {
		s.Fill = mass / b.Mass
	}
	if s.Fill > 1 { // it is not all in there: the density tells
		s.Density, s.Fill = density*s.Fill, 1
	}
}

// rods builds the rods at their mean place, for the eye; their bodies are those of rodBodies.
func (f *frame) rods() []Solid {
	var out []Solid
	for i := range f.cylinder {
		c, m := &f.t.Cylinders[i], &f.cylinder[i]
		if c.Rod.Mass <= 0 {
			continue
		}
		big, shank := f.rodCorners(i)
		from := complex(m.mean-c.Rod.Length, m.offset)
		corners := hull(append(big, shank...))
		for k, p := range corners {
			corners[k] = (from + p) * m.axis
		}
		width := 0.8 * f.t.Crank.Crankpin.Width
		s := prism(RodPart, "rod "+c.Name, c.At-width/2, c.At+width/2, corners, SteelDensity)
		s.Moving = true
		weigh(&s, c.Rod.Mass, SteelDensity)
		out = append(out, s)
	}
	return out
}

// rodBodies returns the mean of the rods over a revolution: a thin bar with the rod's own moment of inertia.
//
//	J = mean of I (1 − d dᵀ) + m (|w − w_m|² 1 − (w − w_m)(w − w_m)ᵀ)
func (f *frame) rodBodies() []mount.Body {
	const steps = 72
	var out []mount.Body
	for i := range f.cylinder {
		c, m := &f.t.Cylinders[i], &f.cylinder[i]
		if c.Rod.Mass <= 0 {
			continue
		}
		bars, name := make([]mount.Body, 0, steps), "rod "+c.Name
		m.poses(steps, func(_ num.Angle, s motion.State) {
			g := motion.Along(s.Pin, s.Piston, c.Rod.CG/c.Rod.Length).Pos * m.axis
			d := s.Rod.Direction * m.axis
			j := c.Rod.Inertia / steps
			bars = append(bars, mount.Body{
				Name: name, Mass: c.Rod.Mass / steps, Centre: point(c.At, g),
				Inertia: mount.Tensor{
					{j, 0, 0},
					{0, j * (1 - real(d)*real(d)), -j * real(d) * imag(d)},
					{0, -j * real(d) * imag(d), j * (1 - imag(d)*imag(d))},
				},
			})
		})
		out = append(out, mount.Join(bars...))
	}
	return out
}
