package spec

import (
	"math"
	"slices"
	"strconv"

	"crankwright/estimate"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// number is a quantity of any kind.
type number interface {
	Given() bool
	known() float64
	kept(si float64) string
}

func (q *Quantity[D]) kept(si float64) string { return kept(si, *q) }

// outside is the pressure of the air outside [Pa], above which boost counts.
const outside = 1e5

// working returns the quantity of a file that package estimate knows by a key of Working.Fields.
func (e *Engine) working(key string) number {
	g, v, b := &e.Gas, &e.Gas.Valves, &e.Bearings
	switch key {
	case "gas.compression_ratio":
		return &g.CompressionRatio
	case "gas.imep":
		return &g.IMEP
	case "gas.air_ratio":
		return &g.AirRatio
	case "gas.intake_pressure":
		return &g.IntakePressure
	case "gas.intake_temperature":
		return &g.IntakeTemperature
	case "gas.exhaust_pressure":
		return &g.ExhaustPressure
	case "gas.half_burned":
		return &g.HalfBurned
	case "gas.burn_duration":
		return &g.BurnDuration
	case "gas.premixed_share":
		return &g.PremixedShare
	case "gas.valves.intake_opens":
		return &v.IntakeOpens
	case "gas.valves.intake_closes":
		return &v.IntakeCloses
	case "gas.valves.exhaust_opens":
		return &v.ExhaustOpens
	case "gas.valves.exhaust_closes":
		return &v.ExhaustCloses
	case "gas.valves.intake_area":
		return &v.IntakeArea
	case "gas.valves.exhaust_area":
		return &v.ExhaustArea
	case "gas.wall_temperature":
		return &g.WallTemperature
	case "gas.wall_heat":
		return &g.WallHeat
	case "gas.crankcase_pressure":
		return &g.CrankcasePressure
	case "friction.factor":
		return &e.Friction.Factor
	case "friction.valves_per_cylinder":
		return &e.Friction.ValvesPerCylinder
	case "friction.drives":
		return &e.Friction.Drives
	case "crank.inertia":
		return &e.Crank.Inertia
	case "flywheel.driven_inertia":
		return &e.Flywheel.DrivenInertia
	case "flywheel.fluctuation":
		return &e.Flywheel.Fluctuation
	case "flywheel.diameter":
		return &e.Flywheel.Diameter
	case "flywheel.density":
		return &e.Flywheel.Density
	case "crank.journal_fillet_radius":
		return &e.Crank.JournalFilletRadius
	case "crank.fillet_recess":
		return &e.Crank.FilletRecess
	case "crank.oil_bore.diameter":
		return &e.Crank.OilBore.Diameter
	case "crank.oil_bore.angle":
		return &e.Crank.OilBore.Angle
	case "crank.tensile_strength":
		return &e.Crank.TensileStrength
	case "block.deck_height":
		return &e.Block.DeckHeight
	case "block.head_height":
		return &e.Block.HeadHeight
	case "block.bore_length":
		return &e.Block.BoreLength
	case "block.skirt_depth":
		return &e.Block.SkirtDepth
	case "block.sump_depth":
		return &e.Block.SumpDepth
	case "block.wall":
		return &e.Block.Wall
	case "block.bore_wall":
		return &e.Block.BoreWall
	case "block.front_room":
		return &e.Block.FrontRoom
	case "block.rear_room":
		return &e.Block.RearRoom
	case "block.density":
		return &e.Block.Density
	case "block.head_density":
		return &e.Block.HeadDensity
	case "block.sump_density":
		return &e.Block.SumpDensity
	case "block.big_end_width":
		return &e.Block.BigEndWidth
	case "block.piston_skirt":
		return &e.Block.PistonSkirt
	case "block.counterweight_radius":
		return &e.Block.CounterweightRadius
	case "block.camshafts":
		return &e.Block.Camshafts
	case "block.accessories":
		return &e.Block.Accessories
	case "block.oil_mass":
		return &e.Block.Oil
	case "block.coolant_mass":
		return &e.Block.Coolant
	case "block.dry_mass":
		return &e.Block.DryMass
	case "crank.yield_strength":
		return &e.Crank.YieldStrength
	case "bearings.support_stiffness":
		return &b.SupportStiffness
	case "bearings.main.clearance":
		return &b.Main.Clearance
	case "bearings.big_end.clearance":
		return &b.BigEnd.Clearance
	case "bearings.oil_feed":
		return &b.OilFeed
	case "bearings.oil_rise":
		return &b.OilRise
	case "torsion.magnifier":
		return &e.Torsion.Magnifier
	case "making.cam_height":
		return &e.Making.CamHeight
	case "making.cam_spacing":
		return &e.Making.CamSpacing
	case "making.pitch":
		return &e.Making.Pitch
	}
	return nil
}

// gas puts the working gas, friction and what turns into the train, and assumes what the file leaves out. Strict reading
// too lists what was assumed: which results rest on it only the analysis knows, and that refuses them.
func (r *resolver) gas() {
	g := &r.e.Gas
	if g.CompressionRatio.Given() && (g.CompressionRatio.SI <= 1 || g.CompressionRatio.SI > 60) {
		r.fail(g.CompressionRatio.at, "a number above 1 and up to 60 is allowed", "compression_ratio: %s is no compression ratio", g.CompressionRatio.Text)
	}
	if g.IMEP.Given() && g.Trace.Given() {
		r.aside(g.Trace.at, "give one of the two", "trace: a measured pressure and imep exclude each other")
	}
	if !g.Trace.Given() && (g.TraceShift.Given() || g.TracePegging.Given()) {
		at := g.TraceShift.at
		if !g.TraceShift.Given() {
			at = g.TracePegging.at
		}
		r.aside(at, "name the file with the measured pressure in trace, or leave this out", "trace_shift and trace_pegging say how a measured trace is read, and there is none")
	}
	if g.TraceShift.Given() && math.Abs(g.TraceShift.SI) > layout.MaxTraceShift {
		r.aside(g.TraceShift.at, "a correction of up to 30 deg on either side is allowed", "trace_shift: %s is no error of a top dead centre", g.TraceShift.Text)
	}
	if f := &r.e.Flywheel.Fluctuation; f.Given() && f.SI == 0 {
		r.aside(f.at, "give more than 0 %, such as 2 %", "fluctuation: no flywheel holds the speed without any fluctuation")
	}
	if g.Boost.Given() && g.IntakePressure.Given() {
		r.aside(g.Boost.at, "give one of the two", "boost: it stands beside intake_pressure")
	}
	var w estimate.Working
	for _, f := range w.Fields() {
		*f.At = r.e.working(f.Key).known()
	}
	if g.Boost.Given() {
		w.Gas.IntakePressure = outside + g.Boost.SI
	}
	w.Gas.Ignition = layout.Ignition(g.Ignition.Value)
	w.Friction.By = layout.FrictionBy(r.e.Friction.By.Value)
	r.knownLasting(&w)
	r.knownBlock(&w)
	r.knownMaking(&w)
	duty, err := estimate.ParseDuty(r.e.Duty.Value)
	if err != nil {
		duty = estimate.General
	}
	fill := estimate.FillWorking
	if r.opt.quiet {
		fill = estimate.FillWorkingQuietly
	}
	w, r.t.Assumed = fill(r.t, duty, w)
	r.lasting(w)
	r.mounting()
	r.t.Making = w.Making
	w.Gas.Trace = g.Trace.Value
	w.Gas.TraceShift = num.Angle(g.TraceShift.SI)
	w.Gas.TracePegging = layout.Pegging(1 + slices.Index(peggingWords{}.words(), g.TracePegging.Value))
	w.Gas.Off = r.offCylinders()
	w.Gas.Filling = r.filling()
	r.t.Gas, r.t.Friction, r.t.Turning, r.t.Block = w.Gas, w.Friction, w.Turning, w.Block
	if g.Boost.Given() && w.Gas.IntakePressure < layout.MinGasPressure {
		r.fail(g.Boost.at, "give the pressure above the air outside, such as 0.6 bar", "boost: %s is less than no air at all", g.Boost.Text)
	}
}

func (r *resolver) offCylinders() []int {
	var off []int
	for _, name := range r.e.Gas.Off.List {
		if !name.Given() {
			continue
		}
		at := slices.IndexFunc(r.t.Cylinders, func(c layout.Cylinder) bool { return c.Name == name.Value })
		switch {
		case len(r.t.Cylinders) == 0:
		case at < 0:
			names := make([]string, len(r.t.Cylinders))
			for i, c := range r.t.Cylinders {
				names[i] = c.Name
			}
			r.fail(name.at, "the cylinders are "+oneOf(names), "off: there is no cylinder %q", name.Value)
		case slices.Contains(off, at):
			r.fail(name.at, "name each cylinder once", "off: cylinder %q is named twice", name.Value)
		default:
			off = append(off, at)
		}
	}
	return off
}

func (r *resolver) filling() []layout.Filling {
	var list []layout.Filling
	for _, f := range r.e.Gas.VolumetricEfficiency {
		if !f.Given() {
			continue
		}
		ok := r.need(f.Speed.Mark, f.at, "speed", "give the crank speed, such as 3000 rpm")
		if r.need(f.Value.Mark, f.at, "value", "give the volumetric efficiency there, such as 88 %") && ok {
			list = append(list, layout.Filling{Speed: f.Speed.SI, Volumetric: f.Value.SI})
		}
	}
	slices.SortStableFunc(list, func(a, b layout.Filling) int {
		switch {
		case a.Speed < b.Speed:
			return -1
		case a.Speed > b.Speed:
			return 1
		}
		return 0
	})
	return list
}

// workingKeys writes the keys of one section that Working.Fields has, as far as they are known.
func (w *writer) workingKeys(in, section string) {
	v := estimate.Working{
		Gas: w.t.Gas, Friction: w.t.Friction, Turning: w.t.Turning, Crank: w.t.Crank, Bearings: w.t.Bearings, Steel: w.t.Steel, Twisting: w.t.Twisting, Block: w.t.Block,
		Making: w.t.Making,
	}
	for _, f := range v.Fields() {
		key, ok := keyOf(f.Key, section)
		if !ok || *f.At == 0 && !w.src.working(f.Key).Given() && !w.assumed(f.Key) {
			continue
		}
		w.value(in, key, w.src.working(f.Key).kept(*f.At), f.Key)
	}
}

func keyOf(path, section string) (key string, ok bool) {
	if parentOf(path) != section {
		return "", false
	}
	return path[len(section)+1:], true
}

func (w *writer) assumed(key string) bool {
	return slices.ContainsFunc(w.t.Assumed, func(e layout.Estimate) bool { return e.Key == key })
}

// gas writes the sections gas and friction.
func (w *writer) gas() {
	g := &w.t.Gas
	if g.Ignition == "" && g.CompressionRatio == 0 && g.IMEP == 0 && g.Trace == "" {
		return
	}
	w.line("gas:")
	if g.Ignition != "" {
		w.value("  ", "ignition", string(g.Ignition), "gas.ignition")
	}
	w.workingKeys("  ", "gas")
	if g.Valves != (layout.ValveTimes{}) {
		w.line("  valves:")
		w.workingKeys("    ", "gas.valves")
	}
	if g.Trace != "" {
		w.value("  ", "trace", strconv.Quote(g.Trace))
		if g.TraceShift != 0 {
			w.value("  ", "trace_shift", kept(float64(g.TraceShift), w.src.Gas.TraceShift))
		}
		if g.TracePegging != layout.PegUsual {
			w.value("  ", "trace_pegging", g.TracePegging.String())
		}
	}
	if len(g.Off) > 0 {
		w.line("  off: [%s]", quotedCylinders(w.t, g.Off))
	}
	if len(g.Filling) > 0 {
		w.line("  volumetric_efficiency:")
	}
	for _, f := range g.Filling {
		var speeds []Quantity[Speed]
		var values []Quantity[Share]
		for _, was := range w.src.Gas.VolumetricEfficiency {
			speeds, values = append(speeds, was.Speed), append(values, was.Value)
		}
		w.line("    - {speed: %s, value: %s}", kept(f.Speed, speeds...), kept(f.Volumetric, values...))
	}
	if by := w.t.Friction.By; by != "" {
		w.line("friction:")
		w.value("  ", "by", string(by), "friction.by")
		w.workingKeys("  ", "friction")
	}
}
