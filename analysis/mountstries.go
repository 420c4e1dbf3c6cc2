package analysis

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/mount"
	"crankwright/mechanics/torque"
)

// tries computes what other choices would change: softer and stiffer mounts, shafts left out, and the strongest order of
// force or moment that shafts could take.
func (r *Mounts) tries(b *inertia.Balance, idle *torque.Curves, lo, hi float64) error {
	rated := r.Train.Speeds.Rated
	if rated == 0 {
		rated = hi
	}
	at, err := r.exactly(b, rated)
	if err != nil {
		return err
	}
	r.Tries = append(r.Tries, MountTry{"as it is", r.Idle, at, r.Worst()})
	scaled := func(f float64) *mount.System {
		s := &mount.System{Body: r.System.Body, Mounts: append([]mount.Mount(nil), r.System.Mounts...)}
		for i := range s.Mounts {
			for a := range s.Mounts[i].Stiffness {
				s.Mounts[i].Stiffness[a] *= f
			}
		}
		return s
	}
	run := func(name string, s *mount.System, b *inertia.Balance) error {
		v, err := r.solver(s)
		if err != nil {
			return err
		}
		try := MountTry{Name: name}
		if try.Idle, err = v.at(loads(r.Train, b, idle.Orders, lo), lo); err != nil {
			return err
		}
		if try.Rated, err = v.at(loads(r.Train, b, r.gas.at(rated), rated), rated); err != nil {
			return err
		}
		const some = 25 // speeds, enough to find where most arrives
		var sweep []MountPoint
		for i := range some {
			ω := lo + (hi-lo)*float64(i)/(some-1)
			p, err := v.at(loads(r.Train, b, r.gas.at(ω), ω), ω)
			if err != nil {
				return err
			}
			sweep = append(sweep, p)
		}
		try.Worst = worstOf(sweep)
		r.Tries = append(r.Tries, try)
		return nil
	}
	if err := run("mounts half as stiff", scaled(0.5), b); err != nil {
		return err
	}
	if err := run("mounts twice as stiff", scaled(2), b); err != nil {
		return err
	}
	if len(r.Train.Shafts) > 0 {
		bare := *r.Train
		bare.Shafts = nil
		var s inertia.Solver
		without, err := s.Solve(nil, &bare, inertia.Options{})
		if err != nil {
			return err
		}
		if err := run("without its balance shafts", &r.System, without); err != nil {
			return err
		}
	}
	if k := strongest(b, 0.01*r.System.Body.Mass*mount.Gravity/(rated*rated)); k > 0 {
		return run(fmt.Sprintf("order %g of force and moment taken by perfect shafts", float64(k)/2), &r.System, taken(b, k))
	}
	return nil
}

// strongest returns the half order of free force or moment that shafts at once or twice the speed could take and that
// would push most, 0 where none pushes with more than least, per ω² [kg m].
func strongest(b *inertia.Balance, least float64) int {
	const arm = 0.3 // [m] by which a moment is compared with a force: about half the length of an engine
	best, most := 0, least
	for _, k := range []int{2, 4} {
		fw, fa := b.Force.Order(k)
		mw, ma := b.Moment.Order(k)
		if size := cmplx.Abs(fw) + cmplx.Abs(fa) + (cmplx.Abs(mw)+cmplx.Abs(ma))/arm; size > most {
			best, most = k, size
		}
	}
	return best
}

// taken returns a balance without one order of force and moment.
func taken(b *inertia.Balance, k int) *inertia.Balance {
	out := *b
	out.Force, out.Moment = b.Force.Scaled(1), b.Moment.Scaled(1)
	for _, o := range []*[]complex128{&out.Force.With, &out.Force.Against, &out.Moment.With, &out.Moment.Against} {
		if k < len(*o) {
			(*o)[k] = 0
		}
	}
	return &out
}

// MountWish says what may be varied when mounts are looked for, and what they are to reach.
type MountWish struct {
	Separation float64 // least ratio of the excitation at idle to the fastest mode [1]
	MostSag    float64 // largest deflection of a mount under the weight [m]
	Order      float64 // order of the excitation that counts [1]; 0: the one with the largest torque at idle
	Within     mount.Freedoms
	Seed       uint64
}

// UsualWish returns the usual one: 60 mm either way along each axis, a lean of 45°, a quarter to three times the stiffness
// [m], [rad], [1]. Definition.
func UsualWish() MountWish {
	return MountWish{Separation: UsualSeparation, MostSag: MostUsualSag, Within: mount.Freedoms{X: 0.06, Y: 0.06, Z: 0.06, Softest: 0.25, Stiffest: 3, Lean: math.Pi / 4}}
}

// Find looks for places and stiffnesses of the mounts that keep the modes below idle, decouple the roll, and let no more into
// the structure at idle than these do.
//
//   - w: what may be varied, and the aim [m], [1], [rad]
//
// Result: of mount.Find, with what these mounts do at idle and over the speeds. Errors: those of mount.Find. Definition.
func (r *Mounts) Find(d *Driver, w MountWish) (*mount.Found, MountTry, error) {
	aim := r.Aim
	aim.Separation, aim.MostSag, aim.MostForce = w.Separation, w.MostSag, r.Idle.Total
	if w.Order > 0 {
		aim.Excitation *= 2 * w.Order / float64(r.Main)
	}
	for _, o := range r.Idle.Orders {
		aim.Excites = append(aim.Excites, mount.Excite{Frequency: r.Idle.Speed * float64(o.K) / 2, Load: o.Load})
	}
	f, err := mount.Find(&r.System, aim, w.Within, w.Seed)
	if err != nil {
		return nil, MountTry{}, err
	}
	lo, hi, err := speedsOf(r.Train)
	if err != nil {
		return nil, MountTry{}, err
	}
	var s inertia.Solver
	b, err := s.Solve(nil, r.Train, inertia.Options{})
	if err != nil {
		return nil, MountTry{}, err
	}
	idle, err := r.idling(d, lo)
	if err != nil {
		return nil, MountTry{}, err
	}
	other := *r
	other.System, other.Tries, other.Sweep, other.Meets = f.System, nil, nil, nil
	if err := other.whole(b, idle.Curves, lo, hi); err != nil {
		return nil, MountTry{}, err
	}
	rated := r.Train.Speeds.Rated
	if rated == 0 {
		rated = hi
	}
	at, err := other.exactly(b, rated)
	return f, MountTry{"mounts found", other.Idle, at, other.Worst()}, err
}
