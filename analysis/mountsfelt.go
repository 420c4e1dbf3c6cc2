package analysis

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/spatial/r3"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/mount"
	"crankwright/mechanics/person"
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

// valuesFor returns the action and limit values for a way of touching.
func valuesFor(touch layout.Touch) person.Exposure {
	if touch == layout.ByHand {
		return person.HandArm()
	}
	return person.WholeBody()
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
		values := valuesFor(touch)
		if x.Value = person.Largest(x.Weighted[0], x.Weighted[1], x.Weighted[2]); touch == layout.ByHand {
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
