package analysis

import (
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/torque"
)

// Figure is one number by which engines are compared.
type Figure struct {
	Key    string  // as in a brief's limits, such as free_force_order_2
	Name   string  // in words
	Unit   string  // unit of Value: N, N m, deg, mm, kg, m/s, bar, kW, kg m², MPa, µm, Hz, %, 1
	Value  float64 // in Unit
	Better int     // −1: less is better, +1: more is better, 0: neither
}

// Figures lists the numbers by which this engine is compared with others, always the same ones in
// the same sequence.
//
// Result: values in the unit that each names [N], [N m], [deg], [m/s], [1]. Definition.
func (r *Result) Figures() []Figure {
	figures := []Figure{
		{"displacement", "Displacement", "cm³", 1e6 * r.Swept, 0},
		{"mean_piston_speed", "Mean piston speed", "m/s", r.meanPistonSpeed(), -1},
	}
	for _, k := range []int{2, 4, 8, 12} {
		o := r.Order(k)
		figures = append(figures, Figure{"free_force_order_" + orderKey(k), "Free force, order " + orderKey(k), "N", o.Force.Ellipse.Major, -1})
	}
	figures = append(figures, Figure{"peak_free_force", "Largest free force", "N", r.Peaks.Force, -1})
	for _, k := range []int{2, 4, 8} {
		o := r.Order(k)
		figures = append(figures, Figure{"free_moment_order_" + orderKey(k), "Free moment, order " + orderKey(k), "N m", o.Moment.Ellipse.Major, -1})
	}
	one := r.Order(2)
	figures = append(figures,
		Figure{"peak_free_moment", "Largest free moment", "N m", r.Peaks.Moment, -1},
		Figure{"force_order_1_against_crank", "Order 1 force no counterweight takes", "N", cmplx.Abs(one.Force.Against), -1},
		Figure{"moment_order_1_against_crank", "Order 1 moment no counterweight takes", "N m", cmplx.Abs(one.Moment.Against), -1},
		Figure{"peak_inertia_torque", "Largest inertia torque", "N m", r.Peaks.Torque, -1},
		Figure{"peak_roll_moment", "Largest roll moment", "N m", r.Peaks.Roll, -1},
		Figure{"firing_evenness", "Firing evenness", "1", r.Measures.Evenness, 1},
		Figure{"longest_firing_interval", "Longest firing interval", "deg", r.Measures.Longest.Deg(), -1},
		Figure{"shortest_firing_interval", "Shortest firing interval", "deg", r.Measures.Shortest.Deg(), 0},
		Figure{"neighbours_in_succession", "Neighbours firing in succession", "1", float64(len(r.Measures.Neighbours)), -1},
	)
	return slices.Concat(figures, r.Drive.figures(), r.Lasting.figures(), r.Mounts.figures(), spaceFigures(r.Space), r.Parts.figures())
}

// figures lists the numbers of gas and torque; none where there is no drive.
func (d *Drive) figures() []Figure {
	if d == nil {
		return nil
	}
	top, _, bottom, _ := torque.Extremes(d.Curves.Total)
	most := math.Max(top, -bottom)
	out := []Figure{
		{"mean_torque", "Mean indicated torque", "N m", d.Curves.Mean, 1},
		{"brake_torque", "Mean brake torque", "N m", d.Brake, 1},
		{"brake_power", "Brake power", "kW", d.Power / 1e3, 1},
		{"peak_torque", "Largest torque of gas and inertia", "N m", most, -1},
		{"torque_unevenness", "Uneven torque, root mean square", "N m", d.Share.Total, -1},
		{"inertia_share", "Inertia over gas in the uneven torque", "1", d.Share.Ratio, -1},
		{"impulses", "Tractive impulses in two revolutions", "1", float64(len(d.Impulses)), 1},
		{"friction_mep", "Friction mean effective pressure", "bar", d.Friction.Total / 1e5, -1},
	}
	swing := torque.MostFluctuation // or more: the crank would almost stop
	if d.Crank != nil {
		swing = d.Crank.Fluctuation
	}
	out = append(out, Figure{"speed_fluctuation", "Coefficient of fluctuation of speed", "%", 100 * swing, -1})
	if d.Flywheel != nil {
		out = append(out, Figure{"flywheel_inertia", "Flywheel for the wanted fluctuation", "kg m²", d.Flywheel.Inertia, -1})
	}
	return out
}

func orderKey(k int) string {
	return map[int]string{2: "1", 4: "2", 8: "4", 12: "6"}[k]
}

func (r *Result) meanPistonSpeed() float64 {
	most := 0.0
	for _, c := range r.Cylinders {
		most = math.Max(most, c.MeanPistonSpeed)
	}
	return most
}

// SweepPoint is the balance of one engine at one speed.
type SweepPoint struct {
	Speed                       float64 // [rad/s]
	Force, Moment, Torque, Roll float64 // largest over the cycle [N], [N m]
	Orders                      []Order // as Result.Orders at this speed
	MeanPistonSpeed             float64 // [m/s]
}

// Sweep returns the balance over speed.
//
//	every force and moment ∝ ω²
//
// with
//   - speeds: crank speeds [rad/s]
//
// Result [N] and [N m], one point for each speed. Source: DEFINITION, rigid bodies at constant
// speed; exact.
func (r *Result) Sweep(speeds []float64) []SweepPoint {
	out := make([]SweepPoint, len(speeds))
	for i, ω := range speeds {
		f := ω * ω / (r.Speed * r.Speed)
		p := SweepPoint{
			Speed: ω, MeanPistonSpeed: r.meanPistonSpeed() * ω / r.Speed,
			Force: r.Peaks.Force * f, Moment: r.Peaks.Moment * f, Torque: r.Peaks.Torque * f, Roll: r.Peaks.Roll * f,
		}
		for _, o := range r.Orders {
			p.Orders = append(p.Orders, o.scaled(f))
		}
		out[i] = p
	}
	return out
}

func (o Order) scaled(f float64) Order {
	g := complex(f, 0)
	return Order{
		K: o.K, Force: pairOf(o.Force.With, o.Force.Against, f), Moment: pairOf(o.Moment.With, o.Moment.Against, f),
		Roll: o.Roll * g, Torque: o.Torque * g,
	}
}

// UsualSpeeds returns twelve speeds from idle to the limit of an engine, the rated speed among them.
//
//   - s: its speeds; where idle or limit are unknown they follow from the others
//
// Result [rad/s], ascending; nil where none is known. Definition.
func UsualSpeeds(s layout.Speeds) []float64 {
	top := math.Max(s.Limit, s.Rated)
	if top == 0 {
		return nil
	}
	low := s.Idle
	if !(low > 0 && low < top) {
		low = top / 6
	}
	const n = 12
	out := make([]float64, n)
	for i := range out {
		out[i] = low + (top-low)*float64(i)/(n-1)
	}
	if s.Rated > low && s.Rated < top { // the nearest point but the ends gives way to it
		i := int(math.Round((s.Rated - low) / (top - low) * (n - 1)))
		out[min(max(i, 1), n-2)] = s.Rated
	}
	return out
}
