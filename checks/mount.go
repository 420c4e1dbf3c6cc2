package checks

import (
	"fmt"
	"math"

	"crankwright/mechanics/mount"

	"gonum.org/v1/gonum/spatial/r3"
)

// mounts lists the closed form of a plane-symmetric body on four mounts, the torque roll axis, and transmissibility.
func (l *list) mounts() {
	body := mount.System{Body: mount.Body{Name: "block", Mass: 200, Inertia: mount.Tensor{{8, 0, 0}, {0, 14, 0}, {0, 0, 12}}}}
	for _, x := range []float64{-0.25, 0.25} {
		for _, y := range []float64{-0.2, 0.2} {
			body.Mounts = append(body.Mounts, mount.Mount{Name: fmt.Sprintf("%g, %g", x, y), At: r3.Vec{X: x, Y: y, Z: -0.15}, Stiffness: [3]float64{100e3, 100e3, 200e3}})
		}
	}
	for mode, printed := range []string{"5.94766", "6.20985", "9.30297", "10.06584", "10.90172", "12.04590"} {
		half, _ := HalfUnit(printed)
		l.add(Check{
			ID: fmt.Sprintf("mount/four/%d", mode+1), Chapter: "mount", Kind: ClosedForm, Source: "SHOCKHB", Place: "ch. 3, plane-symmetric body on four equal mounts; numbers recomputed by hand", Seen: Recomputed,
			What: fmt.Sprintf("natural frequency %d of a block on four mounts", mode+1), Unit: "Hz", Printed: printed, Want: number(printed), Tol: 1.02 * half, TolWhy: "half of the last digit",
			Ours: func() (float64, error) {
				all, err := mount.Modes(&body)
				return all[mode].Frequency / (2 * math.Pi), err
			},
		})
	}
	skew := mount.Body{Name: "engine", Mass: 180, Inertia: mount.Tensor{{15.8, -1.1, -0.6}, {-1.1, 11.6, 0.3}, {-0.6, 0.3, 15.6}}}
	for axis, printed := range []string{"0.994960", "0.093406", "0.036471"} {
		half, _ := HalfUnit(printed)
		l.add(Check{
			ID: "mount/torque-roll-axis/" + string("xyz"[axis]), Chapter: "mount", Kind: ClosedForm, Source: "DECOUPLING", Place: "definition of the torque roll axis; numbers recomputed by hand", Seen: Recomputed,
			What: "direction of the torque roll axis along " + string("xyz"[axis]), Unit: "1", Printed: printed, Want: number(printed), Tol: 1.02 * half, TolWhy: "half of the last digit",
			Ours: func() (float64, error) {
				q, err := mount.TorqueRollAxis(skew, r3.Vec{X: 1})
				return [3]float64{q.X, q.Y, q.Z}[axis], err
			},
		})
	}
	for _, c := range []struct {
		g, z    float64
		printed string
	}{{2, 0, "0.333333"}, {2, 0.1, "0.355862"}, {3, 0.05, "0.130412"}, {math.Sqrt2, 0, "1.000000"}, {math.Sqrt2, 0.3, "1.000000"}} {
		half, _ := HalfUnit(c.printed)
		l.add(Check{
			ID: fmt.Sprintf("mount/transmissibility/%.3g/%g", c.g, c.z), Chapter: "mount", Kind: ClosedForm, Source: "SHOCKHB", Place: "ch. 2, transmissibility of one degree of freedom; numbers recomputed by hand", Seen: Recomputed,
			What: fmt.Sprintf("transmissibility at %.4g times the natural frequency, damping %g", c.g, c.z), Unit: "1", Printed: c.printed, Want: number(c.printed), Tol: 1.02 * half, TolWhy: "half of the last digit",
			Ours: func() (float64, error) { return mount.Transmissibility(c.g, c.z), nil },
		})
	}
}
