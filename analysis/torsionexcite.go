package analysis

import (
	"fmt"
	"math"

	"crankwright/mechanics/torque"
	"crankwright/mechanics/torsion"
	"crankwright/num"
)

// excitations returns the excitation of the crank at every speed of the sweep.
func (d *Driver) excitations(r *Torsion) ([]*torsion.Excitation, *singly, error) {
	knots := GasSpeeds
	if d.Measured {
		knots = 1
	}
	one := &singly{}
	var found []*torsion.Excitation
	lo, hi := r.Speeds[0], r.Speeds[len(r.Speeds)-1]
	var curves *torque.Curves
	for i := range knots {
		speed := d.Train.Speeds.Rated
		if knots > 1 {
			speed = lo + (hi-lo)*float64(i)/float64(knots-1)
		}
		p, again, err := d.gasTorque(curves, speed, r.Load)
		if err != nil {
			return nil, nil, err
		}
		curves = again
		e, err := r.Crank.Excite(curves, speed, TorsionOrders)
		if err != nil {
			return nil, nil, err
		}
		found = append(found, e)
		one.add(speed, p, curves)
	}
	if knots == 1 {
		return found, one, nil
	}
	out := make([]*torsion.Excitation, len(r.Speeds))
	for i, ω := range r.Speeds {
		k, f := between(one.speeds, ω)
		e := torsion.NewExcitation(len(r.Crank.Discs))
		copy(e.Inertia, found[k].Inertia)
		for disc := range e.Gas {
			a, b := found[k].Gas[disc], found[k+1].Gas[disc]
			if len(a) == 0 {
				continue
			}
			e.Gas[disc] = make(num.Series, len(a))
			for j := range a {
				e.Gas[disc][j] = a[j]*complex(1-f, 0) + b[j]*complex(f, 0)
			}
		}
		out[i] = e
	}
	return out, one, nil
}

// gasTorque computes the torque of the gas at one speed and load, and nothing else of a Drive. dst is reused.
func (d *Driver) gasTorque(dst *torque.Curves, speed, load float64) (*Drive, *torque.Curves, error) {
	p := &Drive{Driver: d, Speed: speed, Load: load}
	if d.Measured && load != 1 {
		return nil, nil, errOwnLoad
	}
	if err := d.cycles(p); err != nil {
		return nil, nil, fmt.Errorf("at %.4g rpm: %w", speed*30/math.Pi, err)
	}
	curves, err := d.mechanism.Curves(dst, p.pressures(), d.Train.Gas.Crankcase, speed)
	return p, curves, err
}

// singly is the torque of one cylinder that fires, at some speeds.
type singly struct {
	speeds       []float64
	gas, inertia []num.Series // [N m], per ω² [kg m²]
}

func (o *singly) add(speed float64, p *Drive, curves *torque.Curves) {
	cylinder := 0
	for i := range p.Cycles {
		if p.Cycles[i].Fires {
			cylinder = p.Cycles[i].Cylinders[0]
			break
		}
	}
	of := &curves.Of[cylinder]
	series := func(curve []float64, scale float64) num.Series {
		s := make(num.Series, TorsionOrders+1)
		step := 4 * math.Pi / float64(len(curve))
		for k := range s {
			for j, v := range curve {
				sin, cos := math.Sincos(-float64(k) * float64(j) * step / 2)
				s[k] += complex(v*cos, v*sin)
			}
			s[k] *= complex(2*scale/float64(len(curve)), 0)
		}
		return s
	}
	o.speeds = append(o.speeds, speed)
	o.gas = append(o.gas, series(of.Gas, 1))
	o.inertia = append(o.inertia, series(of.Inertia, 1/(speed*speed)))
}

// between returns which of ascending speeds lies below one, and how far this lies on the way to the next [1].
func between(speeds []float64, ω float64) (k int, f float64) {
	n := len(speeds)
	if n == 1 {
		return 0, 0
	}
	for k < n-2 && ω >= speeds[k+1] {
		k++
	}
	return k, min(max((ω-speeds[k])/(speeds[k+1]-speeds[k]), 0), 1)
}

// at returns the torque of one half order at a speed.
func (o *singly) at(ω float64, k int) complex128 {
	i, f := between(o.speeds, ω)
	v := o.gas[i][k]
	if f > 0 {
		v += complex(f, 0) * (o.gas[i+1][k] - o.gas[i][k])
	}
	return v + complex(ω*ω, 0)*o.inertia[i][k]
}

// widened gives excitations a place for every disc of a model, such as the ring of a damper.
func widened(list []*torsion.Excitation, discs int) []*torsion.Excitation {
	out := make([]*torsion.Excitation, len(list))
	for i, e := range list {
		w := torsion.NewExcitation(discs)
		copy(w.Gas, e.Gas)
		copy(w.Inertia, e.Inertia)
		out[i] = w
	}
	return out
}
