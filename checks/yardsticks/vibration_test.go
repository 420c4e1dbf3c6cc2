package yardsticks

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"crankwright/checks/independent"
	"crankwright/mechanics/mount"
	"crankwright/mechanics/torsion"
)

// speeds and orders of the forced vibrations [1].
const (
	sweepSpeeds = 200
	sweepOrders = 24
)

// shafts are contests about a vee six with split pins, rubber damper and alternator: natural modes, and the vibration at 200
// speeds in 24 half orders.
func shafts(t *testing.T, f field) []*contest {
	t.Helper()
	all, err := independent.Shafts()
	if err != nil {
		t.Fatal(err)
	}
	s := all[slices.IndexFunc(all, func(s independent.Shaft) bool { return s.Stem == "vee-six-rubber" })]
	s.Orders, s.Speeds = sweepOrders, nil
	for i := range sweepSpeeds {
		s.Speeds = append(s.Speeds, 60+3*float64(i))
	}
	n := len(s.Model.Discs)

	var modes []torsion.Mode
	free := &contest{work: fmt.Sprintf("natural modes of a shaft of %d discs", n)}
	free.ours = func(times int) (err error) {
		for range times {
			if modes, err = torsion.Modes(s.Model); err != nil {
				return err
			}
		}
		return nil
	}
	free.apart = func(theirs []float64) (float64, error) {
		if err := free.ours(1); err != nil {
			return 0, err
		}
		var frequencies []float64
		var shapes [][]float64
		for _, m := range modes {
			frequencies, shapes = append(frequencies, m.Frequency), append(shapes, m.Shape)
		}
		return modesApart(frequencies, shapes, theirs)
	}

	responses := make([]torsion.Response, len(s.Speeds))
	forced := &contest{work: fmt.Sprintf("its vibration at %d speeds in %d orders, with the torque in every span", sweepSpeeds, sweepOrders)}
	forced.ours = func(times int) error {
		for range times {
			solver, err := torsion.NewSolver(s.Model)
			if err != nil {
				return err
			}
			for i, ω := range s.Speeds {
				if _, err := solver.Respond(&responses[i], s.Excitation, ω, s.Orders); err != nil {
					return err
				}
			}
		}
		return nil
	}
	forced.apart = func(theirs []float64) (float64, error) {
		if err := forced.ours(1); err != nil {
			return 0, err
		}
		var twists, torques []float64
		for _, r := range responses {
			for k := 1; k <= s.Orders; k++ {
				for _, x := range r.Twist {
					twists = parts(twists, x[k])
				}
				for _, x := range r.Torque {
					torques = parts(torques, x[k])
				}
			}
		}
		if len(theirs) < len(twists) {
			return 0, fmt.Errorf("%d numbers are too few", len(theirs))
		}
		a, err := groups(twists, theirs[:len(twists)], 2*n)
		if err != nil {
			return 0, err
		}
		b, err := groups(torques, theirs[len(twists):], 2*len(s.Model.Spans))
		return max(a, b), err
	}
	vibrations(f, free, forced, "shaft", func() string { return input(t, independent.DescribeShaft(s)) })
	return []*contest{free, forced}
}

// mounts are contests about a body with products of inertia on three leaning mounts: natural modes, and the force into every
// mount at 200 speeds in 24 half orders.
func mounts(t *testing.T, f field) []*contest {
	t.Helper()
	all := independent.MountedBodies()
	m := all[slices.IndexFunc(all, func(m independent.Mounted) bool { return m.Stem == "three-leaning" })]
	load := m.Loads[0].Load
	m.Loads = nil
	for n := range sweepSpeeds {
		for k := 1; k <= sweepOrders; k++ {
			m.Loads = append(m.Loads, independent.MountedLoad{Frequency: (80 + 3*float64(n)) * float64(k) / 2, Load: load})
		}
	}

	var modes [6]mount.Mode
	free := &contest{work: fmt.Sprintf("six natural modes of a body on %d mounts", len(m.System.Mounts))}
	free.ours = func(times int) (err error) {
		for range times {
			if modes, err = mount.Modes(&m.System); err != nil {
				return err
			}
		}
		return nil
	}
	free.apart = func(theirs []float64) (float64, error) {
		if err := free.ours(1); err != nil {
			return 0, err
		}
		var frequencies []float64
		var shapes [][]float64
		for _, m := range modes {
			frequencies, shapes = append(frequencies, m.Frequency), append(shapes, m.Shape[:])
		}
		return modesApart(frequencies, shapes, theirs)
	}

	forces := make([][][3]complex128, len(m.Loads))
	forced := &contest{work: fmt.Sprintf("its forces into the mounts at %d speeds in %d orders", sweepSpeeds, sweepOrders)}
	forced.ours = func(times int) error {
		for range times {
			solver, err := mount.NewSolver(&m.System)
			if err != nil {
				return err
			}
			for i, l := range m.Loads {
				q, err := solver.Respond(l.Frequency, l.Load)
				if err != nil {
					return err
				}
				forces[i] = solver.Forces(q)
			}
		}
		return nil
	}
	forced.apart = func(theirs []float64) (float64, error) {
		if err := forced.ours(1); err != nil {
			return 0, err
		}
		var ours []float64
		for _, list := range forces {
			for _, f := range list {
				for _, c := range f {
					ours = parts(ours, c)
				}
			}
		}
		return groups(ours, theirs, 6*len(m.System.Mounts))
	}
	vibrations(f, free, forced, "mounts", func() string { return input(t, independent.DescribeMounted(m)) })
	return []*contest{free, forced}
}

// vibrations adds the ways of SciPy and NumPy.
func vibrations(f field, free, forced *contest, kind string, describe func() string) {
	if f.python == nil {
		return
	}
	p := f.python(kind, describe())
	free.add("SciPy", p, "modes")
	forced.add("SciPy", p, "each")
	forced.add("NumPy", p, "stacked")
}

// modesApart compares natural frequencies, against the highest, and shapes, each against its largest part; the sign of a shape
// means nothing.
func modesApart(frequencies []float64, shapes [][]float64, theirs []float64) (float64, error) {
	n := len(frequencies)
	if len(theirs) != n+n*n {
		return 0, fmt.Errorf("%d numbers for %d modes", len(theirs), n)
	}
	worst, err := groups(frequencies, theirs[:n], n)
	if err != nil {
		return 0, err
	}
	for i, shape := range shapes {
		other, turned := theirs[n+i*n:n+(i+1)*n], slices.Clone(shape)
		for d := range turned {
			turned[d] = -turned[d]
		}
		same, err := groups(shape, other, n)
		if err != nil {
			return 0, err
		}
		opposite, err := groups(turned, other, n)
		if err != nil {
			return 0, err
		}
		worst = max(worst, math.Min(same, opposite))
	}
	return worst, nil
}
