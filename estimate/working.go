package estimate

import (
	"math"
	"slices"

	"crankwright/mechanics/gas"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Working is what is known of the working gas, of friction and of what turns, of bearings, steel, shafts and block. NaN means
// unknown, in every field that Fields lists; an empty word means unknown too.
type Working struct {
	Gas      layout.Gas
	Friction layout.Friction
	Turning  layout.Turning
	Crank    layout.CrankGeometry // JournalFillet, Recess and the oil bore alone
	Bearings layout.Bearings
	Steel    layout.Steel
	Twisting layout.Twisting
	Block    layout.Block
	Making   layout.Making
}

// UnknownWorking returns a Working of which nothing is known: every number is NaN [-]. Definition.
func UnknownWorking() Working {
	var w Working
	for _, f := range w.Fields() {
		*f.At = math.NaN()
	}
	return w
}

// WorkingField ties a number of Working to its key in the engine file and its SI unit.
type WorkingField struct {
	At   *float64
	Key  string
	Unit string
}

// Fields lists all numbers of a Working in the order in which FillWorking reports them, each with its SI unit [-].
// Definition.
func (w *Working) Fields() []WorkingField {
	g, v, c, b := &w.Gas, &w.Gas.Valves, &w.Crank, &w.Bearings
	return []WorkingField{
		{&g.CompressionRatio, "gas.compression_ratio", "1"},
		{&g.IMEP, "gas.imep", "Pa"},
		{&g.AirRatio, "gas.air_ratio", "1"},
		{&g.IntakePressure, "gas.intake_pressure", "Pa"},
		{&g.IntakeTemperature, "gas.intake_temperature", "K"},
		{&g.ExhaustPressure, "gas.exhaust_pressure", "Pa"},
		{(*float64)(&g.HalfBurned), "gas.half_burned", "rad"},
		{(*float64)(&g.BurnDuration), "gas.burn_duration", "rad"},
		{&g.PremixedShare, "gas.premixed_share", "share"},
		{(*float64)(&v.IntakeOpens), "gas.valves.intake_opens", "rad"},
		{(*float64)(&v.IntakeCloses), "gas.valves.intake_closes", "rad"},
		{(*float64)(&v.ExhaustOpens), "gas.valves.exhaust_opens", "rad"},
		{(*float64)(&v.ExhaustCloses), "gas.valves.exhaust_closes", "rad"},
		{&v.IntakeArea, "gas.valves.intake_area", "m2"},
		{&v.ExhaustArea, "gas.valves.exhaust_area", "m2"},
		{&g.WallTemperature, "gas.wall_temperature", "K"},
		{&g.WallHeat, "gas.wall_heat", "1"},
		{&g.Crankcase, "gas.crankcase_pressure", "Pa"},
		{&w.Friction.Factor, "friction.factor", "1"},
		{&w.Friction.ValvesPerCylinder, "friction.valves_per_cylinder", "1"},
		{&w.Friction.Drives, "friction.drives", "1"},
		{&w.Turning.Crank, "crank.inertia", "kg m2"},
		{&w.Turning.Driven, "flywheel.driven_inertia", "kg m2"},
		{&w.Turning.Fluctuation, "flywheel.fluctuation", "share"},
		{&w.Turning.Diameter, "flywheel.diameter", "m"},
		{&w.Turning.Density, "flywheel.density", "kg/m3"},
		{&c.JournalFillet, "crank.journal_fillet_radius", "m"},
		{&c.Recess, "crank.fillet_recess", "m"},
		{&c.OilBore, "crank.oil_bore.diameter", "m"},
		{(*float64)(&c.OilBoreAngle), "crank.oil_bore.angle", "rad"},
		{&w.Steel.Tensile, "crank.tensile_strength", "Pa"},
		{&w.Steel.Yield, "crank.yield_strength", "Pa"},
		{&b.Support, "bearings.support_stiffness", "N/m"},
		{&b.Main.Clearance, "bearings.main.clearance", "m"},
		{&b.BigEnd.Clearance, "bearings.big_end.clearance", "m"},
		{&b.Feed, "bearings.oil_feed", "K"},
		{&b.Rise, "bearings.oil_rise", "K"},
		{&w.Twisting.Magnifier, "torsion.magnifier", "1"},
		{&w.Block.DeckHeight, "block.deck_height", "m"},
		{&w.Block.HeadHeight, "block.head_height", "m"},
		{&w.Block.BoreLength, "block.bore_length", "m"},
		{&w.Block.SkirtDepth, "block.skirt_depth", "m"},
		{&w.Block.SumpDepth, "block.sump_depth", "m"},
		{&w.Block.Wall, "block.wall", "m"},
		{&w.Block.BoreWall, "block.bore_wall", "m"},
		{&w.Block.FrontRoom, "block.front_room", "m"},
		{&w.Block.RearRoom, "block.rear_room", "m"},
		{&w.Block.Density, "block.density", "kg/m3"},
		{&w.Block.HeadDense, "block.head_density", "kg/m3"},
		{&w.Block.SumpDense, "block.sump_density", "kg/m3"},
		{&w.Block.BigEndWidth, "block.big_end_width", "m"},
		{&w.Block.PistonSkirt, "block.piston_skirt", "m"},
		{&w.Block.CounterweightRadius, "block.counterweight_radius", "m"},
		{&w.Block.Camshafts, "block.camshafts", "1"},
		{&w.Block.Accessories, "block.accessories", "kg"},
		{&w.Block.Oil, "block.oil_mass", "kg"},
		{&w.Block.Coolant, "block.coolant_mass", "kg"},
		{&w.Block.DryMass, "block.dry_mass", "kg"},
		{&w.Making.CamHeight, "making.cam_height", "m"},
		{&w.Making.CamSpacing, "making.cam_spacing", "m"},
		{&w.Making.Pitch, "making.pitch", "m"},
	}
}

// SparkRatio and DieselRatio are usual compression ratios [1]; a ratio of DieselFrom or more means compression
// ignition. Source: PRACTICE.
const (
	SparkRatio  = 10.5
	DieselRatio = 17.0
	DieselFrom  = 14.0
)

// FillWorking returns the engine's gas, friction, inertia, bearings and steel with every unknown value assumed, and one Estimate for
// each.
//
// Values that are known are never changed, and the others follow them: the ignition follows the compression ratio or
// else the duty, the rest the ignition and the boost. The mean effective pressure is never assumed: where it is
// unknown it is zero, and the model finds it from the other values. Where the bore is unknown nothing is assumed.
//
//   - t: a train with bore, throws, counterweights and crank
//   - duty: what the engine is for
//   - w: what is known, see UnknownWorking
//
// Values in SI [Pa, K, rad, kg m², m, 1]. Each is what engines of the kind commonly have, not what this one has.
// Source: PRACTICE.
func FillWorking(t *layout.Train, duty Duty, w Working) (Working, []layout.Estimate) {
	return (&filler{e: Engine{Duty: duty}}).working(t, w)
}

// FillWorkingQuietly is FillWorking with a list that has no texts (Shown of numbers, Rule of numbers), in less time.
//
//   - t, duty, w: as for FillWorking
//
// Values in SI as those of FillWorking [Pa, K, rad, kg m², m, 1]. Definition.
func FillWorkingQuietly(t *layout.Train, duty Duty, w Working) (Working, []layout.Estimate) {
	return (&filler{e: Engine{Duty: duty}, quiet: true}).working(t, w)
}

func (f *filler) working(t *layout.Train, w Working) (Working, []layout.Estimate) {
	f.fields, f.words = w.Fields(), []string{
		"gas.ignition", "friction.by", "crank.make", "bearings.sharing", "bearings.oil", "bearings.main.lining", "bearings.big_end.lining",
		"torsion.formula", "torsion.damper.kind", "block.metal", "block.head_metal", "block.sump_metal",
		"making.valve_drive", "making.cam_drive", "making.heads", "making.crankcase", "making.cooling",
	}
	f.found = make([]layout.Estimate, len(f.words)+len(f.fields))
	if t.Bore > 0 && len(t.Throws) > 0 {
		f.gas(t, &w.Gas)
		f.friction(t, &w)
		f.turning(t, &w.Turning)
		f.lasting(t, &w)
		f.block(t, &w)
	}
	for _, q := range f.fields {
		if math.IsNaN(*q.At) {
			*q.At = 0
		}
	}
	return w, f.list()
}

// word gives an unknown word its value.
func (f *filler) word(key, value, rule string) {
	if k := slices.Index(f.words, key); k >= 0 {
		f.found[k] = layout.Estimate{Key: key, Shown: value, Rule: rule, Source: "PRACTICE"}
	}
}

func (f *filler) gas(t *layout.Train, g *layout.Gas) {
	if g.Ignition == "" {
		switch {
		case g.CompressionRatio >= DieselFrom:
			g.Ignition = layout.Compression
			f.word("gas.ignition", "compression", "a compression ratio of 14 or more")
		case f.e.Duty == Heavy && math.IsNaN(g.CompressionRatio):
			g.Ignition = layout.Compression
			f.word("gas.ignition", "compression", "usual for heavy duty")
		default:
			g.Ignition = layout.Spark
			f.word("gas.ignition", "spark", "usual below a compression ratio of 14")
		}
	}
	diesel, two := g.Ignition == layout.Compression, t.Cycle == layout.TwoStroke
	pick := func(spark, compression float64) float64 {
		if diesel {
			return compression
		}
		return spark
	}
	kind := string(g.Ignition) + " ignition"
	f.set(&g.CompressionRatio, "gas.compression_ratio", pick(SparkRatio, DieselRatio), "PRACTICE", "usual for %s", kind)
	f.set(&g.AirRatio, "gas.air_ratio", pick(1, 1.6), "PRACTICE", "usual at full load for %s", kind)
	natural := 1e5
	if two {
		natural = 1.25e5
		f.set(&g.IntakePressure, "gas.intake_pressure", natural, "PRACTICE", "usual pressure of a scavenging pump")
	}
	f.set(&g.IntakePressure, "gas.intake_pressure", natural, "PRACTICE", "the air outside, no boost")
	charged := g.IntakePressure > 1.1*natural
	switch {
	case charged && two:
		f.set(&g.IntakeTemperature, "gas.intake_temperature", 325, "PRACTICE", "boosted and cooled")
		f.set(&g.ExhaustPressure, "gas.exhaust_pressure", math.Max(1.05e5, g.IntakePressure/1.2), "PRACTICE", "the intake's by 1.2, so that the charge scavenges the cylinder")
	case charged:
		f.set(&g.IntakeTemperature, "gas.intake_temperature", 325, "PRACTICE", "boosted and cooled")
		f.set(&g.ExhaustPressure, "gas.exhaust_pressure", math.Max(1.05e5, g.IntakePressure), "PRACTICE", "as the intake, which a turbine has to drive")
	default:
		f.set(&g.IntakeTemperature, "gas.intake_temperature", 310, "PRACTICE", "the air outside, warmed in the manifold")
		f.set(&g.ExhaustPressure, "gas.exhaust_pressure", 1.05e5, "PRACTICE", "a silencer without turbine")
	}
	f.set((*float64)(&g.HalfBurned), "gas.half_burned", float64(num.Degrees(pick(8, 12))), "PRACTICE", "usual for %s at full load", kind)
	f.set((*float64)(&g.BurnDuration), "gas.burn_duration", float64(num.Degrees(pick(50, 70))), "PRACTICE", "usual for %s", kind)
	f.set(&g.PremixedShare, "gas.premixed_share", pick(0, 0.15), "PRACTICE", "usual for %s at full load", kind)
	v, usual := &g.Valves, gas.TypicalValves(t.Bore, t.Cycle)
	for _, o := range []struct {
		at    *float64
		key   string
		value float64
	}{
		{(*float64)(&v.IntakeOpens), "intake_opens", float64(usual.Intake.Opens)},
		{(*float64)(&v.IntakeCloses), "intake_closes", float64(usual.Intake.Closes)},
		{(*float64)(&v.ExhaustOpens), "exhaust_opens", float64(usual.Exhaust.Opens)},
		{(*float64)(&v.ExhaustCloses), "exhaust_closes", float64(usual.Exhaust.Closes)},
		{&v.IntakeArea, "intake_area", usual.Intake.Area},
		{&v.ExhaustArea, "exhaust_area", usual.Exhaust.Area},
	} {
		f.set(o.at, "gas.valves."+o.key, o.value, "PRACTICE", "usual for a %s engine of this bore", t.Cycle)
	}
	f.set(&g.WallTemperature, "gas.wall_temperature", 450, "PRACTICE", "mean of liner, head and piston")
	f.set(&g.WallHeat, "gas.wall_heat", 1, "WOSCHNI", "the correlation as it is")
	f.set(&g.Crankcase, "gas.crankcase_pressure", 1e5, "PRACTICE", "the air outside")
}

func (f *filler) friction(t *layout.Train, w *Working) {
	if w.Friction.By == "" {
		w.Friction.By = layout.SparkMotored
		if w.Gas.Ignition == layout.Compression {
			w.Friction.By = layout.CompressionMotored
		}
		f.word("friction.by", string(w.Friction.By), "the motored correlation for "+string(w.Gas.Ignition)+" ignition")
	}
	f.set(&w.Friction.Factor, "friction.factor", 1, "PRACTICE", "the correlation as it is")
	f.set(&w.Friction.ValvesPerCylinder, "friction.valves_per_cylinder", 4, "PRACTICE", "usual today")
	f.making(t, w)
}

func (f *filler) turning(t *layout.Train, w *layout.Turning) {
	f.set(&w.Crank, "crank.inertia", CrankInertia(t, f.e.Duty), "PRACTICE",
		"steel journals, pins, rectangular webs, also between two pins; counterweights at 1.2 × crank radius")
	f.set(&w.Driven, "flywheel.driven_inertia", 0, "PRACTICE", "nothing rigidly coupled to the crank")
	f.set(&w.Fluctuation, "flywheel.fluctuation", 0.02, "PRACTICE", "common for gear and belt drives; engines scatter from 0.3 to 20 %%")
	f.set(&w.Diameter, "flywheel.diameter", 3.2*t.Bore, "PRACTICE", "3.2 × bore, as a clutch needs it")
	f.set(&w.Density, "flywheel.density", 7200, "PRACTICE", "cast iron")
}
