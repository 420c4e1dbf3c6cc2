package analysis

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/mount"
	"crankwright/mechanics/torque"
	"crankwright/num"
)

// whole computes modes, sag, idle and the sweep.
func (r *Mounts) whole(b *inertia.Balance, idle *torque.Curves, lo, hi float64) error {
	var err error
	if r.Modes, err = mount.Modes(&r.System); err != nil {
		return err
	}
	crank, down := r3.Vec{X: 1}, r3.Vec{Z: -1}
	if r.Axis, err = mount.TorqueRollAxis(r.System.Body, crank); err != nil {
		return err
	}
	if r.Shares, err = mount.TorqueShares(&r.System, r.Modes, crank); err != nil {
		return err
	}
	if _, r.Sags, err = mount.Sag(&r.System, down); err != nil {
		return err
	}
	v, err := r.solver(&r.System)
	if err != nil {
		return err
	}
	if r.Idle, err = v.at(loads(r.Train, b, idle.Orders, lo), lo); err != nil {
		return err
	}
	most := 0.0
	for _, o := range r.Idle.Orders {
		if o.Torque > most {
			most, r.Main = o.Torque, o.K
		}
	}
	if r.Main == 0 {
		r.Main = 2
	}
	r.Aim = mount.Aim{Excitation: lo * float64(r.Main) / 2, Separation: UsualSeparation, Crank: crank, Down: down}
	if r.Merit, err = mount.Judge(&r.System, r.Aim); err != nil {
		return err
	}
	for i := range MountSpeeds {
		ω := lo + (hi-lo)*float64(i)/(MountSpeeds-1)
		p, err := v.at(loads(r.Train, b, r.gas.at(ω), ω), ω)
		if err != nil {
			return err
		}
		r.Sweep = append(r.Sweep, p)
	}
	return r.meetings(v, b, lo, hi)
}

// meetings finds the speeds at which an order runs through a mode, reaches the structure more than any other order, and more than
// if nothing swung.
func (r *Mounts) meetings(v *mounted, b *inertia.Balance, lo, hi float64) error {
	for i, m := range r.Modes {
		for k := 1; k <= MountOrders; k++ {
			ω := 2 * m.Frequency / float64(k)
			if !(ω >= lo && ω <= hi) {
				continue
			}
			p, err := v.at(loads(r.Train, b, r.gas.at(ω), ω), ω)
			if err != nil {
				return err
			}
			largest := MountOrder{}
			for _, o := range p.Orders {
				if o.Total > largest.Total {
					largest = o
				}
			}
			if largest.K == k && largest.Total > largest.Resting {
				r.Meets = append(r.Meets, Meeting{K: k, Mode: i, Speed: ω, Total: p.Total})
			}
		}
	}
	slices.SortFunc(r.Meets, func(a, b Meeting) int { return cmp.Compare(a.Speed, b.Speed) })
	return nil
}

// loads returns what the crank train does to the block at a speed, by half orders with content.
//
//	F = shaking force      M = shaking moment, and about x: roll moment of the inertia − torque of the gas
func loads(t *layout.Train, b *inertia.Balance, gas num.Series, ω float64) []MountOrder {
	square := complex(ω*ω, 0)
	fy, fz, my, mz := b.Force.Y(nil), b.Force.Z(nil), b.Moment.Y(nil), b.Moment.Z(nil)
	sense := complex(1, 0) // the torque counts in the sense of rotation, the moment about +x
	if t.Rotation == layout.Clockwise {
		sense = -1
	}
	var out []MountOrder
	most := 0.0
	for k := 1; k <= MountOrders; k++ {
		o := MountOrder{K: k}
		o.Load.Point = r3.Vec{X: b.Reference}
		o.Load.Force = [3]complex128{0, fy.Order(k) * square, fz.Order(k) * square}
		o.Load.Moment = [3]complex128{b.Roll.Order(k)*square - sense*gas.Order(k), my.Order(k) * square, mz.Order(k) * square}
		o.Torque = cmplx.Abs(o.Load.Moment[0])
		size := o.size()
		most = max(most, size)
		out = append(out, o)
	}
	var kept []MountOrder
	for _, o := range out {
		if o.size() > 1e-9*most {
			kept = append(kept, o)
		}
	}
	return kept
}

// size is a measure of an order's load, by which dust is told from content.
func (o *MountOrder) size() float64 {
	sum := 0.0
	for i := range 3 {
		sum += cmplx.Abs(o.Load.Force[i]) + cmplx.Abs(o.Load.Moment[i])
	}
	return sum
}

// mounted answers loads on one system.
type mounted struct {
	r *Mounts
	s *mount.System
	*mount.Solver
}

func (r *Mounts) solver(s *mount.System) (*mounted, error) {
	v, err := mount.NewSolver(s)
	if err != nil {
		return nil, err
	}
	return &mounted{r, s, v}, nil
}

// at returns what reaches the structure at a speed.
func (v *mounted) at(orders []MountOrder, ω float64) (MountPoint, error) {
	p := MountPoint{Speed: ω, Forces: make([]float64, len(v.s.Mounts))}
	swing := make([]float64, len(v.s.Mounts))
	felt := newFeeling(v.r.Train)
	resting := 0.0
	for _, o := range orders {
		f := ω * float64(o.K) / 2
		q, err := v.Respond(f, o.Load)
		if err != nil {
			return p, err
		}
		slow, err := v.Respond(0, o.Load)
		if err != nil {
			return p, err
		}
		forces := v.Forces(q)
		total := 0.0
		for i, x := range forces {
			part := square3(x) / 2
			p.Forces[i] += part
			total += part
			swing[i] += square3(v.At(q, v.s.Mounts[i].At)) / 2
		}
		still := 0.0
		for _, x := range v.Forces(slow) {
			still += square3(x) / 2
		}
		resting += still
		o.Total, o.Resting = math.Sqrt(total), math.Sqrt(still)
		p.Orders = append(p.Orders, o)
		p.Total += total
		felt.add(v, q, forces, f)
	}
	for i := range p.Forces {
		p.Forces[i] = math.Sqrt(p.Forces[i])
		p.Swing = max(p.Swing, math.Sqrt(swing[i]))
	}
	p.Total, p.Resting = math.Sqrt(p.Total), math.Sqrt(resting)
	if p.Resting > 0 {
		p.Passes = p.Total / p.Resting
	}
	var err error
	p.Felt, err = felt.all()
	return p, err
}

func square3(x [3]complex128) float64 {
	sum := 0.0
	for _, c := range x {
		sum += real(c)*real(c) + imag(c)*imag(c)
	}
	return sum
}

// Worst returns the point of the sweep at which most reaches the structure [N]. Definition.
func (r *Mounts) Worst() MountPoint { return worstOf(r.Sweep) }

func worstOf(sweep []MountPoint) MountPoint {
	var worst MountPoint
	for _, p := range sweep {
		if p.Total >= worst.Total {
			worst = p
		}
	}
	return worst
}

// exactly returns what reaches the structure at one speed, between those of the sweep too.
func (r *Mounts) exactly(b *inertia.Balance, ω float64) (MountPoint, error) {
	v, err := r.solver(&r.System)
	if err != nil {
		return MountPoint{}, err
	}
	return v.at(loads(r.Train, b, r.gas.at(ω), ω), ω)
}
