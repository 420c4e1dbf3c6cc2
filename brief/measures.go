package brief

import (
	"fmt"

	"crankwright/analysis"
)

// Chapter is a part of the analysis that a measure needs.
type Chapter int

// The chapters beyond inertia and firing, by what they cost.
const (
	Always  Chapter = iota // inertia and firing, which are always there
	Space                  // room and mass
	Parts                  // parts, cost, service, cooling
	Drive                  // gas, torque, friction
	Lasting                // bearings, torsion, strength
	Mounted                // on its mounts; computed with Lasting
)

// With adds to what is analysed of an engine what a chapter needs.
//
//   - opt: what is analysed already
//
// Result: opt with the chapter and those that it stands on; speed [rad/s] and load as they are. Definition.
func (c Chapter) With(opt analysis.Options) analysis.Options {
	switch c {
	case Space:
		opt.Space = true
	case Parts:
		opt.Parts = true
	case Drive:
		opt.Drive = true
	case Lasting, Mounted:
		opt.Drive, opt.Lasting = true, true
	}
	return opt
}

// Measure is a figure of a result that a brief may name.
type Measure struct {
	Key, Name, Unit string
	Better          int     // −1: less is better, +1: more is better, 0: neither
	Needs           Chapter // of the analysis
	FromZero        bool    // 0 is as good as it can be, and worth 1 unless the brief says otherwise
	Most            float64 // as good as it can be where more is better, and worth 1 unless the brief says otherwise; 0: there is no such value
	Signed          bool    // it may be negative
	None            bool    // it may be 0, as FromZero may too
	Least           float64 // span that matters at least, in Unit; 0: a tenth of the value
	Over, Under     string  // what an engine beyond a limit is; empty: nothing said
}

// Measures lists the figures that a brief may name: those by which engines are compared, and speed.
//
// Result: keys, units and directions as in analysis.Result.Figures, such as [N] and [mm]; least spans are judgements.
// Source: PRACTICE.
func Measures() []Measure {
	const force, moment = 250, 25 // below these nobody tells two engines of the usual size apart
	return []Measure{
		{Key: Speed, Name: "Crank speed", Unit: "rpm", Over: "too fast", Under: "too slow"},
		{Key: "displacement", Name: "Displacement", Unit: "cm³", Over: "too large", Under: "too small"},
		{Key: "mean_piston_speed", Name: "Mean piston speed", Unit: "m/s", Better: -1, Over: "too fast"},
		{Key: "free_force_order_1", Name: "Free force, order 1", Unit: "N", Better: -1, FromZero: true, Least: force},
		{Key: "free_force_order_2", Name: "Free force, order 2", Unit: "N", Better: -1, FromZero: true, Least: force},
		{Key: "free_force_order_4", Name: "Free force, order 4", Unit: "N", Better: -1, FromZero: true, Least: force},
		{Key: "free_force_order_6", Name: "Free force, order 6", Unit: "N", Better: -1, FromZero: true, Least: force},
		{Key: "peak_free_force", Name: "Largest free force", Unit: "N", Better: -1, FromZero: true, Least: force},
		{Key: "free_moment_order_1", Name: "Free moment, order 1", Unit: "N m", Better: -1, FromZero: true, Least: moment},
		{Key: "free_moment_order_2", Name: "Free moment, order 2", Unit: "N m", Better: -1, FromZero: true, Least: moment},
		{Key: "free_moment_order_4", Name: "Free moment, order 4", Unit: "N m", Better: -1, FromZero: true, Least: moment},
		{Key: "peak_free_moment", Name: "Largest free moment", Unit: "N m", Better: -1, FromZero: true, Least: moment},
		{Key: "force_order_1_against_crank", Name: "Order 1 force no counterweight takes", Unit: "N", Better: -1, FromZero: true, Least: force},
		{Key: "moment_order_1_against_crank", Name: "Order 1 moment no counterweight takes", Unit: "N m", Better: -1, FromZero: true, Least: moment},
		{Key: "peak_inertia_torque", Name: "Largest inertia torque", Unit: "N m", Better: -1, FromZero: true, Least: moment},
		{Key: "peak_roll_moment", Name: "Largest roll moment", Unit: "N m", Better: -1, FromZero: true, Least: moment},
		{Key: "firing_evenness", Name: "Firing evenness", Unit: "1", Better: 1, Most: 1, Least: 0.1, Under: "too uneven"},
		{Key: "longest_firing_interval", Name: "Longest firing interval", Unit: "deg", Better: -1, Least: 30, Over: "too long"},
		{Key: "shortest_firing_interval", Name: "Shortest firing interval", Unit: "deg", None: true, Over: "too long", Under: "too short"},
		{Key: "neighbours_in_succession", Name: "Neighbours firing in succession", Unit: "1", None: true, Better: -1, Least: 1, Over: "too many"},
		{Key: "mean_torque", Name: "Mean indicated torque", Unit: "N m", Better: 1, Signed: true, Needs: Drive, Under: "too weak"},
		{Key: "brake_torque", Name: "Mean brake torque", Unit: "N m", Better: 1, Signed: true, Needs: Drive, Under: "too weak"},
		{Key: "brake_power", Name: "Brake power", Unit: "kW", Better: 1, Signed: true, Needs: Drive, Under: "too weak"},
		{Key: "peak_torque", Name: "Largest torque of gas and inertia", Unit: "N m", Better: -1, Needs: Drive, Over: "too much"},
		{Key: "torque_unevenness", Name: "Uneven torque, root mean square", Unit: "N m", Better: -1, Needs: Drive, FromZero: true, Least: moment, Over: "too uneven"},
		{Key: "inertia_share", Name: "Inertia over gas in the uneven torque", Unit: "1", Better: -1, Needs: Drive, FromZero: true, Least: 0.2},
		{Key: "impulses", Name: "Tractive impulses in two revolutions", Unit: "1", None: true, Better: 1, Needs: Drive, Least: 1, Under: "too few"},
		{Key: "friction_mep", Name: "Friction mean effective pressure", Unit: "bar", Better: -1, Needs: Drive, Over: "too much"},
		{Key: "speed_fluctuation", Name: "Coefficient of fluctuation of speed", Unit: "%", Better: -1, Needs: Drive, FromZero: true, Least: 0.5, Over: "too uneven"},
		{Key: "flywheel_inertia", Name: "Flywheel for the wanted fluctuation", Unit: "kg m²", Better: -1, Needs: Drive, FromZero: true, Least: 0.01, Over: "too heavy a flywheel"},
		{Key: "main_bearing_load", Name: "Largest load of a main bearing", Unit: "N", Better: -1, Needs: Lasting, Over: "too much"},
		{Key: "big_end_pressure", Name: "Largest specific load of a big end", Unit: "MPa", Better: -1, Needs: Lasting, Over: "too much"},
		{Key: "oil_film", Name: "Thinnest oil film", Unit: "µm", Better: 1, Needs: Lasting, Least: 0.3, Under: "too thin"},
		{Key: "torsion_frequency", Name: "Natural frequency of the crank's winding", Unit: "Hz", Better: 1, Needs: Lasting, Under: "too soft"},
		{Key: "torsion_stress", Name: "Largest torsional vibration stress", Unit: "MPa", Better: -1, Needs: Lasting, FromZero: true, Least: 5, Over: "too much"},
		{Key: "crank_acceptability", Name: "Smallest acceptability factor of the crank", Unit: "1", Better: 1, Needs: Lasting, Least: 0.2, Under: "too weak"},
		{Key: "mount_force_idle", Name: "Force into the structure at idle", Unit: "N", Better: -1, Needs: Mounted, FromZero: true, Least: 10, Over: "too much"},
		{Key: "mount_force_rated", Name: "Force into the structure at rated speed", Unit: "N", Better: -1, Needs: Mounted, FromZero: true, Least: 10, Over: "too much"},
		{Key: "idle_separation", Name: "Idle excitation over the fastest mode on the mounts", Unit: "1", Better: 1, Needs: Mounted, Least: 0.5, Under: "too near"},
		{Key: "roll_decoupling", Name: "Share of the torque that one mode takes", Unit: "%", Better: 1, Needs: Mounted, Most: 100, None: true, Least: 20, Under: "too little"},
		{Key: DailyExposure, Name: "Largest daily exposure over its action value", Unit: "%", Better: -1, Needs: Mounted, FromZero: true, Least: 10, Over: "too much"},
		{Key: "length", Name: "Length", Unit: "mm", Better: -1, Needs: Space, Over: "too long", Under: "too short"},
		{Key: "width", Name: "Width", Unit: "mm", Better: -1, Needs: Space, Over: "too wide", Under: "too narrow"},
		{Key: "height", Name: "Height", Unit: "mm", Better: -1, Needs: Space, Over: "too high", Under: "too low"},
		{Key: "dry_mass", Name: "Dry mass", Unit: "kg", Better: -1, Needs: Space, Over: "too heavy", Under: "too light"},
		{Key: "centre_height", Name: "Centre of gravity above crank axis", Unit: "mm", Better: -1, Signed: true, Needs: Space, Least: 20, Over: "too high", Under: "too low"},
		{Key: "bank_width", Name: "Width over the heads", Unit: "mm", Better: -1, Needs: Space, Over: "too wide", Under: "too narrow"},
		{Key: "part_count", Name: "Parts", Unit: "1", Better: -1, Needs: Parts, Over: "too many"},
		{Key: "heads", Name: "Cylinder heads", Unit: "1", None: true, Better: -1, Needs: Parts, Least: 1, Over: "too many"},
		{Key: "camshafts", Name: "Camshafts", Unit: "1", None: true, Better: -1, Needs: Parts, Least: 1, Over: "too many"},
		{Key: "camshaft_drives", Name: "Camshaft drives", Unit: "1", None: true, Better: -1, Needs: Parts, Least: 1, Over: "too many"},
		{Key: "camshaft_drive_length", Name: "Chain or belt of the camshaft drives", Unit: "mm", None: true, Better: -1, Needs: Parts, Over: "too long"},
		{Key: "main_bearings", Name: "Main bearings", Unit: "1", None: true, Better: -1, Needs: Parts, Least: 1, Over: "too many"},
		{Key: "machined_faces", Name: "Machined faces and honed bores", Unit: "1", None: true, Better: -1, Needs: Parts, Over: "too many"},
		{Key: "exhaust_length", Name: "Exhaust pipes to the collectors", Unit: "mm", None: true, Better: -1, Needs: Parts, Over: "too long"},
		{Key: CostIndex, Name: "Cost index, invented prices", Unit: "1", Better: -1, Needs: Parts, Over: "too dear"},
		{Key: "hottest_place", Name: "Score of the worst-cooled cylinder", Unit: "1", None: true, Better: -1, Needs: Parts, Over: "too hot a place"},
		{Key: "service_score", Name: "Score of routine service", Unit: "1", None: true, Better: -1, Needs: Parts, Over: "too hard to reach"},
	}
}

// CostIndex is the measure of what the parts cost by a price table.
const CostIndex = "cost_index"

// DailyExposure is the measure of what people feel: over all places and speeds.
const DailyExposure = "daily_exposure"

// Speed is the measure of the crank speed at which an engine was evaluated, which is no figure of a result.
const Speed = "speed"

// Impossible says why no engine is on the right side of a bound, or every engine is because nothing can be on the wrong one.
//
//   - bound: in the unit of the measure
//   - atMost: whether it is the most; else the least
//
// Result in words, empty for a bound that tells engines apart [-]. Definition.
func (m Measure) Impossible(bound float64, atMost bool) string {
	switch {
	case !m.Signed && bound < 0:
		return "it is never below 0"
	case !m.Signed && !m.FromZero && !m.None && bound == 0 && atMost:
		return "it is always above 0"
	case m.Most > 0 && bound > m.Most && !atMost:
		return fmt.Sprintf("it is never above %g", m.Most)
	}
	return ""
}

// MeasureOf returns the measure with a key; false where there is none.
//
// Result as in Measures [1]. Definition.
func MeasureOf(key string) (Measure, bool) {
	for _, m := range Measures() {
		if m.Key == key {
			return m, true
		}
	}
	return Measure{}, false
}
