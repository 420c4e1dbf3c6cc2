package balance

import (
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// ShaftTiming is what is left of one quantity when the shafts are not timed exactly, per ω².
type ShaftTiming struct {
	K      int // twice the order
	Aim    ShaftAim
	Before float64 // without shafts: largest resultant [kg m] or [kg m²]
	Exact  float64 // with exact timing
	Worst  float64 // with every shaft off by the error in the worse sense
}

// PhaseError returns what a timing error of balance shafts leaves.
//
//	ΔW = W_s (e^{±iδ} − 1), |ΔW| = 2 sin(δ/2) |W_s| for each shaft
//
// with
//   - t: a train whose counterweights are those wanted; its own balance shafts are left out
//   - shafts: the shafts that are timed, at most eight
//   - δ: timing error as an angle of the shaft [rad], 0 to π
//
// Result per ω² [kg m] and [kg m²]: force, moment and roll moment of every order that a shaft acts on, in the
// worst of all combinations of senses. Errors: layout.Problems, an angle or number of shafts out of
// range, motion.ErrReach. Source: DEFINITION, a shaft turned about its axis.
func PhaseError(t *layout.Train, shafts []layout.Shaft, δ num.Angle) ([]ShaftTiming, error) {
	if !(δ >= 0 && δ <= math.Pi) {
		return nil, fmt.Errorf("a timing error lies between 0 deg and 180 deg of the shaft, it is %.4g deg", δ.Deg())
	}
	if len(shafts) > MostShafts {
		return nil, fmt.Errorf("%d shafts are too many to try every combination of timing errors; %d is the most", len(shafts), MostShafts)
	}
	with := *t
	with.Rotation = layout.Anticlockwise
	var s inertia.Solver
	look := func(shafts []layout.Shaft) (*inertia.Balance, error) {
		with.Shafts = shafts
		if err := layout.Validate(&with); err != nil {
			return nil, err
		}
		return s.Solve(nil, &with, inertia.Options{})
	}
	before, err := look(nil)
	if err != nil {
		return nil, err
	}
	exact, err := look(shafts)
	if err != nil {
		return nil, err
	}
	var out []ShaftTiming
	for _, shaft := range shafts {
		k := halfOrder(shaft.SpeedRatio)
		if slices.ContainsFunc(out, func(o ShaftTiming) bool { return o.K == k }) {
			continue
		}
		p, q := phasorsOf(before, k), phasorsOf(exact, k)
		for a := AimForce; a <= AimRoll; a++ {
			out = append(out, ShaftTiming{K: k, Aim: a, Before: p[a].size(), Exact: q[a].size(), Worst: q[a].size()})
		}
	}
	slices.SortStableFunc(out, func(a, b ShaftTiming) int { return a.K - b.K })
	for senses := range 1 << len(shafts) {
		turned := make([]layout.Shaft, len(shafts))
		for i, shaft := range shafts {
			turn := δ
			if senses>>i&1 == 1 {
				turn = -δ
			}
			turned[i] = shaft
			turned[i].Masses = slices.Clone(shaft.Masses)
			for j := range turned[i].Masses {
				turned[i].Masses[j].Angle += turn
			}
		}
		b, err := look(turned)
		if err != nil {
			return nil, err
		}
		for i := range out {
			out[i].Worst = math.Max(out[i].Worst, phasorsOf(b, out[i].K)[out[i].Aim].size())
		}
	}
	return out, nil
}
