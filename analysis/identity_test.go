package analysis_test

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
	"crankwright/spec"
)

// The identities hold for any crank train. They run over every example file and over trains drawn at
// random.

func TestIdentitiesOfExamples(t *testing.T) {
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) < 20 {
		t.Fatalf("found %d example files, %v", len(files), err)
	}
	for _, f := range files {
		t.Run(strings.TrimSuffix(filepath.Base(f), ".engine.yaml"), func(t *testing.T) {
			data, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			train, _, err := spec.ReadEngine(f, data, spec.Options{})
			if err != nil {
				t.Fatal(err)
			}
			identities(t, train)
		})
	}
}

func TestIdentitiesOfAnyTrain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		train := anyTrain(t)
		if _, err := analysis.Run(train, analysis.Options{}); err != nil {
			t.Skip("an impossible train")
		}
		identities(t, train)
	})
}

type failer interface {
	Helper()
	Errorf(string, ...any)
	Fatal(...any)
}

func run(t failer, train *layout.Train) *analysis.Result {
	t.Helper()
	r, err := analysis.Run(train, analysis.Options{Speed: 500})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func identities(t failer, train *layout.Train) {
	r := run(t, train)
	momentum(t, r)
	rebuilt(t, r)
	contributions(t, r)
	turned(t, r)
	shifted(t, r)
	mirrored(t, r)
	clockwise(t, r)
	renumbered(t, r)
}

// momentum holds force, moment, torque and roll moment against −d/dt of momentum, moment of momentum,
// kinetic energy and angular momentum, each summed over the bodies from places and speeds alone and
// differentiated numerically.
func momentum(t failer, r *analysis.Result) {
	scale := scaleOf(r)
	step := 2e-3
	sense := 1.0 // of the torque about +x
	if r.Train.Rotation == layout.Clockwise {
		sense = -1
	}
	for j := 0; j < len(r.Angles); j += len(r.Angles)/37 + 1 {
		θ := float64(r.Angles[j])
		d := derivative(func(θ float64) state { return bodies(r.Train, θ) }, θ, step)
		ω2 := r.Speed * r.Speed
		close(t, "force −dP/dt", θ, complex(r.Curves.ForceY[j], r.Curves.ForceZ[j]), -d.momentum*complex(ω2, 0), 1e-8*scale.force)
		close(t, "moment", θ, complex(r.Curves.MomentY[j], r.Curves.MomentZ[j]), -d.moment*complex(ω2, 0), 1e-8*scale.moment)
		close(t, "torque × speed = −dE/dt", θ, complex(r.Curves.Torque[j], 0), complex(-d.energy*ω2, 0), 1e-8*scale.torque)
		close(t, "roll = −torque − dH/dt", θ, complex(r.Curves.Roll[j]+sense*r.Curves.Torque[j], 0), complex(-d.spin*ω2, 0), 1e-8*scale.torque)
	}
}

type state struct {
	momentum, moment complex128
	energy, spin     float64
}

// bodies sums momentum, moment of momentum, energy and spin of all moving parts per ω, ω², ω.
func bodies(t *layout.Train, θ float64) state {
	var s state
	mirror := t.Rotation == layout.Clockwise
	add := func(at, mass float64, pos, vel complex128) {
		if mirror {
			pos, vel = -cmplx.Conj(pos), -cmplx.Conj(vel)
		}
		s.momentum += complex(mass, 0) * vel
		s.moment += complex(0, (at-t.Reference)*mass) * vel
		s.energy += mass * (real(vel)*real(vel) + imag(vel)*imag(vel)) / 2
		s.spin += mass * (real(pos)*imag(vel) - imag(pos)*real(vel))
	}
	for i := range t.Cylinders {
		c := &t.Cylinders[i]
		k, _, phase := motion.LinkageOf(t, i)
		m, err := k.At(num.Angle(θ) + phase)
		if err != nil {
			panic(err)
		}
		frame := 1i * c.Axis.Unit()
		add(c.At, c.Piston.Mass, frame*m.Piston.Pos, frame*m.Piston.Vel)
		g := motion.Along(m.Pin, m.Piston, c.Rod.CG/c.Rod.Length)
		add(c.At, c.Rod.Mass, frame*g.Pos, frame*g.Vel)
		s.energy += c.Rod.Inertia * m.Rod.Vel * m.Rod.Vel / 2
		turn := c.Rod.Inertia * m.Rod.Vel
		if mirror {
			turn = -turn
		}
		s.spin += turn
	}
	// a mass of 1 kg at the radius that its unbalance says; it turns at constant radius about its axis
	turning := func(at, unbalance, ratio float64, angle num.Angle, centre complex128) {
		arm := complex(0, unbalance) * (angle + num.Angle(ratio*θ)).Unit()
		add(at, 1, centre+arm, arm*complex(0, ratio))
	}
	for _, th := range t.Throws {
		turning(th.At, th.Unbalance, 1, th.Angle, 0)
	}
	for _, c := range t.Counterweights {
		turning(c.At, c.Amount, 1, c.Angle, 0)
	}
	for _, sh := range t.Shafts {
		for _, m := range sh.Masses {
			turning(m.At, m.Amount, sh.SpeedRatio, m.Angle, complex(sh.Y, sh.Z))
		}
	}
	return s
}

// derivative is the central difference, extrapolated twice: its error falls with the sixth power of
// the step.
func derivative(f func(float64) state, θ, h float64) state {
	central := func(h float64) state {
		a, b := f(θ+h), f(θ-h)
		g := complex(1/(2*h), 0)
		return state{(a.momentum - b.momentum) * g, (a.moment - b.moment) * g, (a.energy - b.energy) / (2 * h), (a.spin - b.spin) / (2 * h)}
	}
	blend := func(a, b state, w float64) state {
		g := complex(w, 0)
		return state{a.momentum + (a.momentum-b.momentum)*g, a.moment + (a.moment-b.moment)*g, a.energy + (a.energy-b.energy)*w, a.spin + (a.spin-b.spin)*w}
	}
	one, two, four := central(h), central(2*h), central(4*h)
	return blend(blend(one, two, 1.0/3), blend(two, four, 1.0/3), 1.0/15)
}

type scales struct{ force, moment, torque float64 }

// scaleOf is what would act if nothing cancelled.
func scaleOf(r *analysis.Result) scales {
	var s scales
	for k := 1; k <= 24; k++ {
		for _, c := range r.Contributions(k) {
			f := cmplx.Abs(c.With) + cmplx.Abs(c.Against)
			s.force += f
			s.moment += f * (math.Abs(c.At-r.Train.Reference) + 0.05)
			s.torque += cmplx.Abs(c.Torque) + cmplx.Abs(c.Roll)
		}
	}
	s.force += 1e-6
	s.moment += 1e-6
	s.torque += s.force * 0.05
	return s
}

func close(t failer, what string, θ float64, got, want complex128, tolerance float64) {
	t.Helper()
	if !(cmplx.Abs(got-want) <= tolerance) {
		t.Errorf("%s at %.3f rad: %v, want %v within %.3g", what, θ, got, want, tolerance)
	}
}

// rebuilt puts the two counter-turning parts of every order together again.
func rebuilt(t failer, r *analysis.Result) {
	ω2 := r.Speed * r.Speed
	scale := scaleOf(r)
	for j := 0; j < len(r.Angles); j += len(r.Angles)/53 + 1 {
		θ := r.Angles[j]
		close(t, "force from its orders", float64(θ), r.Balance.Force.At(θ)*complex(ω2, 0), complex(r.Curves.ForceY[j], r.Curves.ForceZ[j]), 1e-12*scale.force)
		close(t, "moment from its orders", float64(θ), r.Balance.Moment.At(θ)*complex(ω2, 0), complex(r.Curves.MomentY[j], r.Curves.MomentZ[j]), 1e-12*scale.moment)
		if f := cmplx.Abs(complex(r.Curves.ForceY[j], r.Curves.ForceZ[j])); f > r.Peaks.Force*(1+1e-12)+1e-9*scale.force {
			t.Errorf("the force at %g rad, %g N, is larger than the peak %g N", θ, f, r.Peaks.Force)
		}
	}
}

// contributions adds up the parts of each order.
func contributions(t failer, r *analysis.Result) {
	scale := scaleOf(r)
	for k := 1; k <= 24; k++ {
		var with, against, momentWith, torque, roll complex128
		for _, c := range r.Contributions(k) {
			with, against = with+c.With, against+c.Against
			momentWith += c.MomentWith(r.Train.Reference)
			torque, roll = torque+c.Torque, roll+c.Roll
		}
		o := r.Order(k)
		close(t, "sum of with-crank parts", float64(k), with, o.Force.With, 1e-12*scale.force)
		close(t, "sum of against-crank parts", float64(k), against, o.Force.Against, 1e-12*scale.force)
		close(t, "sum of moments", float64(k), momentWith, o.Moment.With, 1e-12*scale.moment)
		close(t, "sum of torques", float64(k), torque, o.Torque, 1e-12*scale.torque)
		close(t, "sum of roll moments", float64(k), roll, o.Roll, 1e-12*scale.torque)
	}
}

// same compares two engines of which the second is the first after a change that maps the force as
// given.
func same(t failer, what string, a, b *analysis.Result, force, moment func(complex128) complex128, angle func(num.Angle) num.Angle, roll float64) {
	scale := scaleOf(a)
	ω2 := complex(a.Speed*a.Speed, 0)
	for j := range 40 {
		θ := num.Angle(j) * 2 * num.Turn / 40
		close(t, what+": force", float64(θ), b.Balance.Force.At(angle(θ))*ω2, force(a.Balance.Force.At(θ)*ω2), 1e-11*scale.force)
		close(t, what+": moment", float64(θ), b.Balance.Moment.At(angle(θ))*ω2, moment(a.Balance.Moment.At(θ)*ω2), 1e-11*scale.moment)
		close(t, what+": roll", float64(θ), complex(b.Balance.Roll.At(angle(θ)), 0)*ω2, complex(roll*a.Balance.Roll.At(θ), 0)*ω2, 1e-11*scale.torque)
	}
}

func keepAngle(θ num.Angle) num.Angle    { return θ }
func keepVector(w complex128) complex128 { return w }

// turned turns the whole engine about the crank axis: the forces turn with it.
func turned(t failer, r *analysis.Result) {
	const by = num.Angle(0.7)
	sign := num.Angle(1)
	if r.Train.Rotation == layout.Clockwise {
		sign = -1
	}
	c := clone(r.Train)
	turnEngine(c, by)
	u := (sign * by).Unit()
	turn := func(w complex128) complex128 { return u * w }
	b := run(t, c)
	same(t, "turned engine", r, b, turn, turn, keepAngle, 1)
	close(t, "turned engine: peak torque", 0, complex(b.Peaks.Torque, 0), complex(r.Peaks.Torque, 0), 1e-11*scaleOf(r).torque)
}

func turnEngine(c *layout.Train, by num.Angle) {
	for i := range c.Throws {
		c.Throws[i].Angle += by
	}
	for i := range c.Cylinders {
		c.Cylinders[i].Axis += by
	}
	for i := range c.Counterweights {
		c.Counterweights[i].Angle += by
	}
	for i := range c.Shafts {
		s := &c.Shafts[i]
		w := complex(s.Y, s.Z) * by.Unit()
		s.Y, s.Z = real(w), imag(w)
		for j := range s.Masses {
			s.Masses[j].Angle += by
		}
	}
}

// shifted counts the crank angle from elsewhere.
func shifted(t failer, r *analysis.Result) {
	const by = num.Angle(1.1)
	c := clone(r.Train)
	for i := range c.Throws {
		c.Throws[i].Angle += by
	}
	for i := range c.Counterweights {
		c.Counterweights[i].Angle += by
	}
	for i := range c.Shafts {
		for j := range c.Shafts[i].Masses {
			c.Shafts[i].Masses[j].Angle += by * num.Angle(c.Shafts[i].SpeedRatio)
		}
	}
	forgetFiring(c)
	same(t, "shifted origin", r, run(t, c), keepVector, keepVector, func(θ num.Angle) num.Angle { return θ - by }, 1)
}

func forgetFiring(c *layout.Train) {
	c.FiringOrder = nil
	for i := range c.Cylinders {
		c.Cylinders[i].FiresGiven, c.Cylinders[i].FiresAt = false, 0
	}
}

// mirrored builds the mirror image part by part; turning the usual way, it does at θ what the
// original does at −θ, mirrored.
func mirrored(t failer, r *analysis.Result) {
	c := clone(r.Train)
	for i := range c.Throws {
		c.Throws[i].Angle *= -1
	}
	for i := range c.Cylinders {
		y := &c.Cylinders[i]
		y.Axis *= -1
		y.Offset *= -1
		y.Piston.PinOffset *= -1
		y.Rod.KnuckleAngle *= -1
	}
	for i := range c.Counterweights {
		c.Counterweights[i].Angle *= -1
	}
	for i := range c.Shafts {
		c.Shafts[i].Y *= -1
		for j := range c.Shafts[i].Masses {
			c.Shafts[i].Masses[j].Angle *= -1
		}
	}
	forgetFiring(c)
	same(t, "mirror image", r, run(t, c),
		func(w complex128) complex128 { return -cmplx.Conj(w) },
		cmplx.Conj,
		func(θ num.Angle) num.Angle { return -θ }, -1)
}

// clockwise turns the engine the other way: the mirror image at every crank angle.
func clockwise(t failer, r *analysis.Result) {
	c := clone(r.Train)
	c.Rotation = layout.Clockwise - c.Rotation
	same(t, "other rotation", r, run(t, c),
		func(w complex128) complex128 { return -cmplx.Conj(w) },
		cmplx.Conj,
		keepAngle, -1)
}

// renumbered shuffles the cylinders.
func renumbered(t failer, r *analysis.Result) {
	c := clone(r.Train)
	order := rand.New(rand.NewPCG(1, 2)).Perm(len(c.Cylinders))
	for i, from := range order {
		c.Cylinders[i] = r.Train.Cylinders[from]
		if rod := &c.Cylinders[i].Rod; rod.Linked {
			rod.Master = slices.Index(order, rod.Master)
		}
	}
	forgetFiring(c)
	same(t, "renumbered", r, run(t, c), keepVector, keepVector, keepAngle, 1)
}
