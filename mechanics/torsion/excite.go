package torsion

import (
	"fmt"
	"math/cmplx"

	"gonum.org/v1/gonum/dsp/fourier"

	"crankwright/mechanics/torque"
	"crankwright/num"
)

// Excitation is the torque on each disc by half orders: Re Σ (Gas_k + ω² Inertia_k) e^{ikθ/2}. Index 0 of a series, the
// mean, makes no vibration and is not used.
type Excitation struct {
	Gas     []num.Series // by disc [N m]
	Inertia []num.Series // by disc, per ω² [kg m²]
}

// NewExcitation returns an excitation without torque for a model of some discs.
//
//   - discs: their number
//
// Result [N m]. Definition.
func NewExcitation(discs int) *Excitation {
	return &Excitation{Gas: make([]num.Series, discs), Inertia: make([]num.Series, discs)}
}

// Excite returns the excitation that gas and inertia of all cylinders are to a crank.
//
//	T_k = (2/N) Σ_j T(θ_j) e^{−ikθ_j/2}      over two revolutions
//
// with
//   - c: the crank
//   - curves: torques of the engine by cylinder, as torque.Mechanism.Curves returns them
//   - ω: crank speed of these curves [rad/s]
//   - orders: highest half order k [1], below half the number of angles
//
// Result [N m] and per ω² [kg m²]; the gas is that of this speed, the inertia serves every speed. Errors: curves of
// another engine. Source: DEFINITION, discrete Fourier transform.
func (c *Crank) Excite(curves *torque.Curves, ω float64, orders int) (*Excitation, error) {
	if err := checkOrders(orders); err != nil {
		return nil, err
	}
	if curves == nil || len(curves.Of) != len(c.Cylinders) {
		return nil, fmt.Errorf("torsion: the torques are not those of this engine, which has %d cylinders", len(c.Cylinders))
	}
	if !(ω > 0 && ω <= MaxSpeed) {
		return nil, fmt.Errorf("torsion: the speed must be greater than 0 and at most %g rad/s, it is %g rad/s", MaxSpeed, ω)
	}
	e := NewExcitation(len(c.Discs))
	n := len(curves.Gas)
	if 2*orders >= n {
		return nil, fmt.Errorf("torsion: %d angles over two revolutions do not tell order %g; take more than %d", n, float64(orders)/2, 2*orders)
	}
	fft := fourier.NewFFT(n)
	bins := make([]complex128, n/2+1)
	add := func(to *num.Series, curve []float64, scale float64) error {
		if len(curve) != n {
			return fmt.Errorf("torsion: a torque has %d values where others have %d", len(curve), n)
		}
		fft.Coefficients(bins, curve)
		if len(*to) == 0 {
			*to = make(num.Series, orders+1)
		}
		for k := 1; k <= orders; k++ {
			v := bins[k] * complex(2*scale/float64(n), 0)
			if !(cmplx.Abs(v) <= MaxTorque) {
				return fmt.Errorf("torsion: order %g of a torque is %v, which is no torque", float64(k)/2, v)
			}
			(*to)[k] += v
		}
		return nil
	}
	for i, d := range c.Cylinders {
		if err := add(&e.Gas[d], curves.Of[i].Gas, 1); err != nil {
			return nil, err
		}
		if err := add(&e.Inertia[d], curves.Of[i].Inertia, 1/(ω*ω)); err != nil {
			return nil, err
		}
	}
	return e, nil
}

// at is the torque on a disc in one half order [N m].
func (e *Excitation) at(disc, k int, square float64) complex128 {
	var v complex128
	if s := e.Gas[disc]; k < len(s) {
		v = s[k]
	}
	if s := e.Inertia[disc]; k < len(s) {
		v += s[k] * complex(square, 0)
	}
	return v
}

func (e *Excitation) check(discs int) error {
	if e == nil || len(e.Gas) != discs || len(e.Inertia) != discs {
		return fmt.Errorf("torsion: the excitation does not belong to this shaft of %d discs", discs)
	}
	for _, list := range [][]num.Series{e.Gas, e.Inertia} {
		for _, s := range list {
			for k, v := range s {
				if !(square(v) <= MaxTorque*MaxTorque) {
					return fmt.Errorf("torsion: order %g of a torque is %v, which is no torque", float64(k)/2, v)
				}
			}
		}
	}
	return nil
}
