package draw

import (
	"math"
	"math/cmplx"

	"crankwright/analysis"
	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// HeadOf returns the head of the figures of a drive: its speed in [rad/s]. Definition.
func HeadOf(d *analysis.Drive) Head {
	return Head{Engine: engineName(d.Driver.Train), Speed: d.Speed, Load: d.Load, Light: d.Light}
}

// CyclesOf returns the working cycles of a drive for Indicator [Pa], [m³]. Definition.
func CyclesOf(d *analysis.Drive) []Cycle {
	var out []Cycle
	for i := range d.Cycles {
		c := &d.Cycles[i]
		out = append(out, Cycle{Name: cycleName(d.Driver.Train, c), Volume: c.Volume, Pressure: c.Pressure, IMEP: c.IMEP, Pumping: c.Pumping})
	}
	return out
}

// cycleName says which cylinders work by a cycle.
func cycleName(t *layout.Train, c *analysis.GasCycle) string {
	names := firing.Names(t)
	var list []string
	for _, i := range c.Cylinders {
		list = append(list, names[i])
	}
	word := "cylinders "
	switch {
	case len(c.Cylinders) == len(names) && len(names) > 1:
		return "all cylinders"
	case len(list) == 1:
		word = "cylinder "
	}
	name := word + few(list, 4)
	if !c.Fires {
		name += ", off"
	}
	return name
}

// PressuresOf returns the working cycles of a drive for Pressure [Pa], [rad]. Where the pressure was measured, heat and
// openings are not known. Definition.
func PressuresOf(d *analysis.Drive) []PressureCycle {
	var out []PressureCycle
	for i, cycle := range CyclesOf(d) {
		c := &d.Cycles[i]
		p := PressureCycle{Cycle: cycle, Period: d.Driver.Train.Cycle.Period()}
		if !d.Driver.Measured {
			n := len(c.Pressure)
			for j := range n {
				θ := p.Period * num.Angle(j) / num.Angle(n)
				if θ >= p.Period/2 {
					θ -= p.Period
				}
				if c.Fires {
					p.Released = append(p.Released, c.Setting.Release.Burned(θ))
				}
			}
			if v := c.Setting.Valves; v != nil {
				p.IntakeOpens, p.IntakeCloses = v.Intake.Opens, v.Intake.Closes
				p.ExhaustOpens, p.ExhaustCloses = v.Exhaust.Opens, v.Exhaust.Closes
			}
		}
		out = append(out, p)
	}
	return out
}

// torqueOf draws TorqueCycle for a drive.
func torqueOf(d *analysis.Drive, byCylinder bool) Figure {
	var pushes []Push
	for _, p := range d.Impulses {
		pushes = append(pushes, Push{At: p.At, Peak: p.Peak, Gap: p.Gap})
	}
	var cylinders []TorqueParts
	if byCylinder {
		names := firing.Names(d.Driver.Train)
		for i, c := range d.Curves.Of {
			cylinders = append(cylinders, TorqueParts{Name: names[i], Gas: c.Gas, Inertia: c.Inertia, Total: c.Total})
		}
	}
	whole := TorqueParts{Gas: d.Curves.Gas, Inertia: d.Curves.Inertia, Total: d.Curves.Total}
	return TorqueCycle(HeadOf(d), whole, d.Curves.Mean, pushes, cylinders)
}

// crankSpeedOf draws CrankSpeed for a drive.
func crankSpeedOf(d *analysis.Drive) Figure {
	c := SpeedCycle{Rotor: d.Rotor, Unknown: d.Stalls}
	if s := d.Crank; s != nil {
		c.At, c.Mean, c.Least, c.Most = s.At, s.Mean, s.Least, s.Most
		c.LeastAt, c.MostAt, c.Fluctuation = s.LeastAt, s.MostAt, s.Fluctuation
	}
	return CrankSpeed(HeadOf(d), c)
}

// torqueOrdersOf draws TorqueOrders for a drive.
func torqueOrdersOf(d *analysis.Drive) Figure {
	var out []TorqueOrder
	for _, o := range d.Orders {
		out = append(out, TorqueOrder{K: o.K, Gas: cmplx.Abs(o.Gas), Inertia: cmplx.Abs(o.Inertia), Total: cmplx.Abs(o.Total)})
	}
	return TorqueOrders(HeadOf(d), out)
}

// inertiaShareOf draws InertiaShare for a sweep.
func inertiaShareOf(d *analysis.Drive, sweep []analysis.DrivePoint) Figure {
	var points []UnevenPoint
	for _, p := range sweep {
		points = append(points, UnevenPoint{Speed: p.Speed, Gas: p.Share.Gas, Inertia: p.Share.Inertia, Total: p.Share.Total})
	}
	equal, _ := analysis.EqualSpeed(sweep)
	return InertiaShare(HeadOf(d), points, equal)
}

// powerOf draws PowerCurve for a sweep.
func powerOf(d *analysis.Drive, sweep []analysis.DrivePoint) Figure {
	var points []PowerPoint
	for i := range sweep {
		p := &sweep[i]
		points = append(points, PowerPoint{
			Speed: p.Speed, Torque: p.Torque, Power: p.Power, Indicated: p.IMEP, Brake: p.BMEP, Friction: p.FMEP,
			FrictionLow: p.Friction.Low, FrictionHigh: p.Friction.High, Beyond: p.Friction.Beyond != "",
		})
	}
	return PowerCurve(HeadOf(d), points, FrictionWords(d.Friction.By))
}

// FrictionWords says where friction is taken from [-]. Definition.
func FrictionWords(by layout.FrictionBy) string {
	switch by {
	case layout.SparkMotored:
		return "correlation of motored spark ignition engines"
	case layout.CompressionMotored:
		return "correlation of motored compression ignition engines"
	case layout.PeakPressure:
		return "correlation by largest pressure and piston speed"
	case layout.ByParts:
		return "sum of the parts that rub"
	}
	return string(by)
}

// sweepPoints is how many speeds a curve over speed is computed at.
const sweepPoints = 16

// sweepOf computes a drive's engine from idle to its highest speed. The driver is made anew: that of a drive serves
// one caller at a time.
func sweepOf(d *analysis.Drive) ([]analysis.DrivePoint, error) {
	t := *d.Driver.Train
	fresh, err := analysis.NewDriver(&t)
	if err != nil {
		return nil, err
	}
	low, high := t.Speeds.Idle, math.Max(t.Speeds.Limit, t.Speeds.Rated)
	if !(high > 0) {
		high = d.Speed
	}
	if !(low > 0 && low < high) {
		low = high / 5
	}
	speeds := make([]float64, sweepPoints)
	for i := range speeds {
		speeds[i] = low + (high-low)*float64(i)/(sweepPoints-1)
	}
	return fresh.Sweep(speeds, analysis.DriveOptions{Load: d.Load, Light: d.Light})
}

// drivenEntries are the figures of gas and torque; their results must have a Drive.
func drivenEntries() []Entry {
	entry := func(name, shows string, takes []Option, f func(d *analysis.Drive, o Options) Figure) Entry {
		return Entry{
			Name: name, Shows: shows, Takes: takes, Defaults: Options{K: 2}, Drive: true,
			draw: func(rs []*analysis.Result, o Options) Figure {
				r := rs[0]
				if r.Drive == nil || r.Drive.Curves == nil {
					s := newSheet(name, "Gas and torque", r)
					if why := r.NoDrive; why != "" {
						s.note(why)
					}
					return s.empty("Gas and torque were not computed")
				}
				return f(r.Drive, o)
			},
		}
	}
	swept := func(name, shows string, f func(d *analysis.Drive, sweep []analysis.DrivePoint) Figure) Entry {
		return entry(name, shows, nil, func(d *analysis.Drive, _ Options) Figure {
			sweep, err := sweepOf(d)
			if err != nil {
				s := newDriveSheet(name, "Gas and torque over speed", HeadOf(d))
				s.note(err.Error())
				return s.empty("The curve over speed cannot be computed")
			}
			return f(d, sweep)
		})
	}
	return []Entry{
		entry("indicator", "the pressure in the cylinder over its volume", nil, func(d *analysis.Drive, _ Options) Figure { return Indicator(HeadOf(d), CyclesOf(d)) }),
		entry("pressure", "the pressure in the cylinder over the crank angle, with heat and valves", nil,
			func(d *analysis.Drive, _ Options) Figure { return Pressure(HeadOf(d), PressuresOf(d), false) }),
		entry("torque", "the torque of gas and inertia over two revolutions, and its impulses", []Option{TakesCylinders},
			func(d *analysis.Drive, o Options) Figure { return torqueOf(d, o.ByCylinder) }),
		entry("crank-speed", "how the crank speeds up and slows down within the cycle", nil, func(d *analysis.Drive, _ Options) Figure { return crankSpeedOf(d) }),
		swept("inertia-share", "gas and inertia in the uneven torque over speed", inertiaShareOf),
		swept("power", "torque, power and mean effective pressures over speed", powerOf),
		entry("torque-orders", "the torque of gas and inertia by order", nil, func(d *analysis.Drive, _ Options) Figure { return torqueOrdersOf(d) }),
	}
}
