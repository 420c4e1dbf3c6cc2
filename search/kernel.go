package search

import (
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// turning is by how much the angles of a train differ from those of another one.
type turning struct {
	axis  []float64 // of each cylinder's base axis [rad]
	throw []float64 // of each throw [rad]
}

// pull is a force and its moment, as two counter-turning phasors each, per ω².
type pull struct{ forceWith, forceAgainst, momentWith, momentAgainst complex128 }

func (p *pull) add(q pull) {
	p.forceWith += q.forceWith
	p.forceAgainst += q.forceAgainst
	p.momentWith += q.momentWith
	p.momentAgainst += q.momentAgainst
}

// turned returns the pull with its parts that turn with the crank and against it turned by unit vectors.
func (p pull) turned(with, against complex128) pull {
	return pull{p.forceWith * with, p.forceAgainst * against, p.momentWith * with, p.momentAgainst * against}
}

// portion is what one part of the reference train adds to one order.
type portion struct {
	pull
	cylinder, throw int // that turn it; −1: none
}

// kernel sums the free forces and moments of trains that differ from a reference train in angles only:
//
//	W⁺' = W⁺ e^{iδβ} e^{in(δψ−δβ)}   W⁻' = W⁻ e^{iδβ} e^{−in(δψ−δβ)}
//
// with δβ the change of a cylinder's base axis and δψ that of its throw. What turns together with one pin of the crank is
// summed once for all phasings (load); a phasing then takes one product of each sum with a unit vector from a table.
// Nothing is allocated after newKernel. Source of the formula: package inertia.
type kernel struct {
	orders   []int       // whole orders
	portions [][]portion // by order
	throwOf  []int       // by cylinder
	place    []int       // by throw: the pin that turns it
	places   int
	scale    float64 // ω² [rad²/s²]

	spreads [][2]float64 // by order: what force and moment would be if nothing cancelled [N], [N m]

	loads []pull // by order, then by place
	fixed []pull // by order: what no pin turns
	sums  []pull // by order: of the candidate
}

// newKernel prepares a kernel.
//
//   - t: the reference train
//   - orders: whole orders, as 1 and 2
//   - place: by throw, which pin turns it
//   - places: number of pins
//   - speed [rad/s]
func newKernel(s *inertia.Solver, t *layout.Train, orders []int, place []int, places int, speed float64) (*kernel, error) {
	k := &kernel{orders: orders, place: place, places: places, scale: speed * speed}
	for i := range t.Cylinders {
		k.throwOf = append(k.throwOf, t.Cylinders[i].Throw)
	}
	for _, n := range orders {
		parts, err := s.Contributions(t, 2*n, inertia.Options{})
		if err != nil {
			return nil, err
		}
		var list []portion
		for _, c := range parts {
			p := portion{pull{c.With, c.Against, c.MomentWith(t.Reference), c.MomentAgainst(t.Reference)}, -1, -1}
			switch c.Kind {
			case inertia.FromCylinder:
				p.cylinder, p.throw = c.Index, t.Cylinders[c.Index].Throw
			case inertia.FromThrow:
				p.throw = c.Index
			case inertia.FromCounterweight:
				p.throw = t.Counterweights[c.Index].Throw - 1
			}
			list = append(list, p)
		}
		k.portions = append(k.portions, list)
	}
	for _, list := range k.portions {
		var sum [2]float64
		for _, p := range list {
			sum[0] += k.scale * (magnitude(p.forceWith) + magnitude(p.forceAgainst))
			sum[1] += k.scale * (magnitude(p.momentWith) + magnitude(p.momentAgainst))
		}
		k.spreads = append(k.spreads, sum)
	}
	k.loads = make([]pull, len(orders)*places)
	k.fixed, k.sums = make([]pull, len(orders)), make([]pull, len(orders))
	return k, nil
}

// load sums what each pin turns, with every other angle as it is for the candidates that follow.
func (k *kernel) load(by turning) {
	clear(k.loads)
	clear(k.fixed)
	for o, n := range k.orders {
		for _, p := range k.portions[o] {
			axis, phase := 0.0, 0.0
			if p.throw >= 0 {
				phase = by.throw[p.throw]
			}
			if p.cylinder >= 0 {
				axis = by.axis[p.cylinder]
				phase -= axis
			}
			q := p.pull
			if axis != 0 || phase != 0 {
				by := float64(n) * phase
				q = q.turned(cmplx.Rect(1, axis+by), cmplx.Rect(1, axis-by))
			}
			if p.throw < 0 {
				k.fixed[o].add(q)
			} else {
				k.loads[o*k.places+k.place[p.throw]].add(q)
			}
		}
	}
}

// gains sets by how much phase each cylinder gains [rad]: by the angles, and by its pin, of which steps says how many parts of a
// turn it is set; nil: as it is.
func (k *kernel) gains(gained []float64, by turning, steps []int, parts int) {
	for c, throw := range k.throwOf {
		gained[c] = by.throw[throw] - by.axis[c]
		if steps != nil {
			gained[c] += turn * float64(steps[k.place[throw]]) / float64(parts)
		}
	}
}

// still takes the angles of load as they are.
func (k *kernel) still() {
	for o := range k.orders {
		s := k.fixed[o]
		for _, l := range k.loads[o*k.places : (o+1)*k.places] {
			s.add(l)
		}
		k.sums[o] = s
	}
}

// units are unit vectors e^{2πi k/steps}.
type units []complex128

func newUnits(steps int) units {
	u := make(units, steps)
	for i := range u {
		u[i] = num.Angle(turn * float64(i) / float64(steps)).Unit()
	}
	return u
}

// phase turns the pins by steps of a turn and sums.
func (k *kernel) phase(u units, steps []int) {
	m := len(u)
	for o, n := range k.orders {
		s := k.fixed[o]
		loads := k.loads[o*k.places : (o+1)*k.places]
		for p := range loads {
			l := &loads[p]
			w := u[n*steps[p]%m]
			a := complex(real(w), -imag(w))
			s.forceWith += l.forceWith * w
			s.forceAgainst += l.forceAgainst * a
			s.momentWith += l.momentWith * w
			s.momentAgainst += l.momentAgainst * a
		}
		k.sums[o] = s
	}
}

// force returns the largest free force of the order at place o [N], the major half axis of its ellipse.
func (k *kernel) force(o int) float64 {
	s := &k.sums[o]
	return k.scale * (magnitude(s.forceWith) + magnitude(s.forceAgainst))
}

// moment returns the largest free moment of the order at place o [N m].
func (k *kernel) moment(o int) float64 {
	s := &k.sums[o]
	return k.scale * (magnitude(s.momentWith) + magnitude(s.momentAgainst))
}

// against returns what turns against the crank of the order at place o [N], [N m].
func (k *kernel) against(o int) (force, moment float64) {
	s := &k.sums[o]
	return k.scale * magnitude(s.forceAgainst), k.scale * magnitude(s.momentAgainst)
}

// magnitude is cmplx.Abs where no square overflows or sinks: mass times radius of an engine.
func magnitude(c complex128) float64 {
	return math.Sqrt(real(c)*real(c) + imag(c)*imag(c))
}

// differs tells whether two trains differ in more than angles, as far as forces, moments and firing depend on it.
func differs(a, b *layout.Train) bool {
	if a.Cycle != b.Cycle || a.Rotation != b.Rotation || a.Reference != b.Reference || a.Speeds.Rated != b.Speeds.Rated ||
		len(a.Throws) != len(b.Throws) || len(a.Cylinders) != len(b.Cylinders) || len(a.Counterweights) != len(b.Counterweights) ||
		!slices.Equal(a.FiringOrder, b.FiringOrder) || !slices.EqualFunc(a.Shafts, b.Shafts, sameShaft) {
		return true
	}
	for i := range a.Throws {
		p, q := a.Throws[i], b.Throws[i]
		p.Angle, q.Angle = 0, 0
		if p != q {
			return true
		}
	}
	for i := range a.Cylinders {
		p, q := a.Cylinders[i], b.Cylinders[i]
		p.Axis, q.Axis = 0, 0
		p.Bank, q.Bank, p.Exhaust, q.Exhaust = 0, 0, "", ""
		if p != q {
			return true
		}
	}
	for i := range a.Counterweights {
		p, q := a.Counterweights[i], b.Counterweights[i]
		if p.Throw != q.Throw || p.At != q.At || math.Abs(p.Amount-q.Amount) > 1e-12*math.Abs(p.Amount) { // found from angles, so rounded
			return true
		}
	}
	return false
}

func sameShaft(a, b layout.Shaft) bool {
	return a.SpeedRatio == b.SpeedRatio && a.Y == b.Y && a.Z == b.Z && slices.Equal(a.Masses, b.Masses)
}

// turningOf returns by how much the angles of a train differ from those of a reference that it does not otherwise differ
// from; false where a counterweight does not turn with its throw.
func turningOf(ref, t *layout.Train) (turning, bool) {
	by := turning{make([]float64, len(t.Cylinders)), make([]float64, len(t.Throws))}
	for i := range t.Throws {
		by.throw[i] = float64(t.Throws[i].Angle - ref.Throws[i].Angle)
	}
	for i := range t.Cylinders {
		j := i
		if t.Cylinders[i].Rod.Linked {
			j = t.Cylinders[i].Rod.Master
			if !sameAngle(float64(t.Cylinders[i].Axis-t.Cylinders[j].Axis), float64(ref.Cylinders[i].Axis-ref.Cylinders[j].Axis)) {
				return by, false
			}
		}
		by.axis[i] = float64(t.Cylinders[j].Axis - ref.Cylinders[j].Axis)
	}
	for i, c := range t.Counterweights {
		want := 0.0
		if c.Throw > 0 {
			want = by.throw[c.Throw-1]
		}
		if !sameAngle(float64(c.Angle-ref.Counterweights[i].Angle), want) {
			return by, false
		}
	}
	return by, true
}

// sameAngle tells whether two angles are the same but for whole turns and rounding.
func sameAngle(a, b float64) bool {
	d := math.Mod(a-b, turn)
	return math.Abs(d) < 1e-9 || math.Abs(math.Abs(d)-turn) < 1e-9
}

// exact is how many digits a figure has, so that machines which round differently on the way agree.
const exact = 12

// grain returns the number of steps in a unit that keep so many digits of a value that is at most as large as given.
func grain(most float64, digits int) float64 {
	if !(most > 0) {
		return math.Pow(10, float64(digits))
	}
	return math.Pow(10, float64(digits)-math.Ceil(math.Log10(most)))
}

// rounded rounds a value to steps, of which there are so many in a unit.
func rounded(v, grain float64) float64 { return math.Round(v*grain) / grain }
