package analysis

import (
	"fmt"
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/spatial/r3"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/mount"
	"crankwright/mechanics/person"
	"crankwright/mechanics/torque"
)

// Felt is what one receiver feels at one speed.
type Felt struct {
	Weighted [3]float64 // along x, y, z, root mean square [m/s²]
	Raw      float64    // without weighting, all directions [m/s²]
	Value    float64    // that counts for exposure: the largest direction for the whole body, the total for the hand [m/s²]
	Daily    float64    // of Value over the exposure of the day, referred to eight hours [m/s²]
	ToAction float64    // time a day until the action value is reached [s]
	ToLimit  float64    // and the limit value [s]
	Over     int        // 0: below the action value, 1: above it, 2: above the limit value
}

// UsualExposure is the time a day for which exposures are computed where the file says none [s]. Source: EU2002, the
// eight hours to which exposures are referred.
const UsualExposure = 8 * 3600.0

// feeling gathers the accelerations of all receivers order by order.
type feeling struct {
	t     *layout.Train
	lines [][3][]person.Line
}

func newFeeling(t *layout.Train) *feeling {
	return &feeling{t: t, lines: make([][3][]person.Line, len(t.Mounting.Receivers))}
}

// add puts one order in: the motion of the engine and the forces into the structure at a frequency [rad/s].
func (f *feeling) add(v *mounted, q mount.Swing, forces [][3]complex128, ω float64) {
	for i := range f.t.Mounting.Receivers {
		r := &f.t.Mounting.Receivers[i]
		var a [3]float64
		switch {
		case r.On == layout.OnEngine:
			for k, x := range v.At(q, r3.Vec{X: r.X, Y: r.Y, Z: r.Z}) {
				a[k] = ω * ω * cmplx.Abs(x)
			}
		case r.Mass > 0: // a free rigid body that all mounts push
			for k := range a {
				var sum complex128
				for _, x := range forces {
					sum += x[k]
				}
				a[k] = cmplx.Abs(sum) / r.Mass
			}
		default: // the phases of the paths are not known: magnitudes add
			for k := range a {
				for _, x := range forces {
					a[k] += ω * r.Mobility * cmplx.Abs(x[k])
				}
			}
		}
		for k := range a {
			f.lines[i][k] = append(f.lines[i][k], person.Line{Frequency: ω / (2 * math.Pi), Amplitude: a[k]})
		}
	}
}

// all weighs what was gathered.
func (f *feeling) all() ([]Felt, error) {
	time := f.t.Mounting.Exposure
	if time == 0 {
		time = UsualExposure
	}
	var out []Felt
	for i := range f.lines {
		touch := f.t.Mounting.Receivers[i].Touch
		var x Felt
		raw := 0.0
		for k, lines := range f.lines[i] {
			w := person.Wd
			switch {
			case touch == layout.ByHand:
				w = person.Wh
			case k == 2:
				w = person.Wk
			}
			var err error
			if x.Weighted[k], err = w.Weighted(lines); err != nil {
				return nil, err
			}
			for _, l := range lines {
				raw += l.Amplitude * l.Amplitude / 2
			}
		}
		x.Raw = math.Sqrt(raw)
		values := person.WholeBody()
		if x.Value = person.Largest(x.Weighted[0], x.Weighted[1], x.Weighted[2]); touch == layout.ByHand {
			values = person.HandArm()
			x.Value = person.Combined(x.Weighted[0], x.Weighted[1], x.Weighted[2], person.Hand)
		}
		var err error
		if x.Daily, err = person.Daily(x.Value, time); err != nil {
			return nil, err
		}
		if x.ToAction, err = person.TimeTo(x.Value, values.Action); err != nil {
			return nil, err
		}
		if x.ToLimit, err = person.TimeTo(x.Value, values.Limit); err != nil {
			return nil, err
		}
		switch {
		case x.Daily >= values.Limit:
			x.Over = 2
		case x.Daily >= values.Action:
			x.Over = 1
		}
		out = append(out, x)
	}
	return out, nil
}

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
	lo, hi, err := r.speeds()
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
