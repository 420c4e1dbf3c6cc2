package estimate

import (
	"math"
	"strings"
)

// Spread says how far the values of real engines lie from an estimate: nearly all of them within.
type Spread struct {
	Less, More float64  // below and above the estimate: parts of it, or in its SI unit where Absolute
	Absolute   bool     // Less and More are no parts of the value, because it may be zero
	Most       float64  // largest possible value; 0: there is none
	Rule       string   // in words
	Source     string   // key of docs/sources.toml
	Holds      []string // keys that keep their estimate while this one moves, though they would follow a given value
}

// Ends returns the two ends between which nearly all real values lie.
//
//	v (1 − less) … v (1 + more), or v − less … v + more
//
// with
//   - value: the estimate v [SI]
//
// Result [SI], low ≤ v ≤ high for a possible value that is not negative or whose spread is absolute. A relative spread
// about zero is none: what an engine does not have does not scatter. Definition.
func (s Spread) Ends(value float64) (low, high float64) {
	low, high = value*(1-s.Less), value*(1+s.More)
	if s.Absolute {
		low, high = value-s.Less, value+s.More
	}
	if s.Most > 0 {
		high = math.Max(value, math.Min(high, s.Most))
	}
	return low, high
}

// CommonKey returns the key by which the rule and the scatter of an estimate go: in the custom form each throw and
// cylinder has keys of its own for what the short form says once [-], such as rod.mass for layout.cylinders[2].rod.mass.
// Definition.
func CommonKey(key string) string {
	if rest, ok := strings.CutPrefix(key, "layout.cylinders["); ok {
		if _, rest, ok = strings.Cut(rest, "]."); ok {
			return rest
		}
	}
	if strings.HasPrefix(key, "layout.throws[") && strings.HasSuffix(key, "].unbalance") {
		return "crank.throw_unbalance"
	}
	return key
}

// Scatter returns how far real engines lie from the estimate of a key.
//
//   - key: of a number that Fill, FillWorking, package spec or package analysis estimate, in short or custom form
//
// Result in parts of the estimate [1] or in its SI unit [rad, K, Pa]; false for what is chosen and not estimated, see
// Chosen. Each is what nearly all engines of the kind keep to, not a law of chance, and from memory where the source is
// PRACTICE. Source: PRACTICE, MANUALS, ICEF2002, RODRATIO, PISTONSPEED.
func Scatter(key string) (Spread, bool) {
	key = CommonKey(key)
	for _, rows := range [][]scatter{trainScatter(), workingScatter(), blockScatter()} {
		for _, r := range rows {
			if r.key == key {
				return r.Spread, true
			}
		}
	}
	return Spread{}, false
}

// Chosen returns why the value of a key that may be assumed has no scatter [-]: it is a choice, a wish, or follows from
// other estimates that have one. Definition.
func Chosen(key string) (why string, ok bool) {
	key = CommonKey(key)
	for _, c := range choices() {
		if c.key == key {
			return c.why, true
		}
	}
	return "", false
}

type scatter struct {
	key string
	Spread
}

// parted is a spread in parts of the estimate.
func parted(key string, less, more float64, source, rule string, holds ...string) scatter {
	return scatter{key, Spread{Less: less, More: more, Rule: rule, Source: source, Holds: holds}}
}

// spanned is a spread in the SI unit of the estimate.
func spanned(key string, less, more float64, rule string) scatter {
	return scatter{key, Spread{Less: less, More: more, Absolute: true, Rule: rule, Source: "PRACTICE"}}
}

// upTo bounds a spread from above.
func (s scatter) upTo(most float64) scatter {
	s.Most = most
	return s
}

// trainScatter lists what Fill estimates.
func trainScatter() []scatter {
	return []scatter{
		parted("bore", 0.20, 0.20, "PRACTICE", "stroke over bore from 0.8 to 1.25"),
		parted("stroke", 0.20, 0.25, "PRACTICE", "stroke over bore from 0.8 to 1.25"),
		parted("piston.mass", 0.25, 0.25, "MANUALS", "a quarter either way, by design and load of the piston"),
		parted("piston.compression_height", 0.20, 0.20, "PRACTICE", "a fifth either way"),
		parted("rod.length", 0.06, 0.12, "RODRATIO", "1.52 to 1.79 × stroke in common engines"),
		parted("rod.mass", 0.30, 0.30, "MANUALS", "three tenths either way"),
		parted("rod.cg_from_big_end", 0.11, 0.18, "PRACTICE", "0.25 to 0.33 × rod length"),
		parted("rod.inertia", 0.10, 0.13, "ICEF2002", "19 measured rods of the same mass lay from 10 % below to 13 % above", "rod.mass"),
		parted("crank.main_journal.diameter", 0.08, 0.09, "MANUALS", "0.65 to 0.76 × bore in eleven petrol engines", "crank.crankpin.diameter"),
		parted("crank.main_journal.width", 0.20, 0.20, "MANUALS", "a fifth either way"),
		parted("crank.crankpin.diameter", 0.07, 0.12, "MANUALS", "0.54 to 0.65 × bore in nine petrol engines"),
		parted("crank.crankpin.width", 0.20, 0.20, "MANUALS", "a fifth either way"),
		parted("crank.web.thickness", 0.18, 0.23, "PRACTICE", "0.18 to 0.27 × bore"),
		parted("crank.web.width", 0.15, 0.15, "PRACTICE", "15 % either way"),
		parted("crank.fillet_radius", 0.30, 0.20, "PRACTICE", "0.035 to 0.06 × crankpin diameter"),
		parted("crank.throw_unbalance", 0.30, 0.05, "PRACTICE", "real pins are drilled and real webs bevelled"),
		parted("layout.cylinder_spacing", 0.06, 0.13, "PRACTICE", "1.08 to 1.3 × bore"),
		parted("layout.bank_stagger", 0.10, 0.15, "PRACTICE", "beside the width of the pins, which it follows: the gap between two rods, or the web",
			"crank.crankpin.width", "crank.main_journal.width", "crank.web.thickness"),
		parted("layout.knuckle_radius", 0.15, 0.15, "PRACTICE", "15 % either way"),
		parted("speeds.idle", 0.25, 0.25, "PRACTICE", "mean piston speed of 1.8 to 3 m/s", "speeds.rated"),
		parted("speeds.rated", 0.15, 0.15, "PISTONSPEED", "mean piston speeds of one kind of engine, 15 % either way"),
		parted("speeds.limit", 0.06, 0.07, "PRACTICE", "1.05 to 1.2 × rated speed", "speeds.rated"),
		parted("flywheel.inertia", 0.50, 1.00, "PRACTICE", "a factor of two either way: the application decides"),
	}
}

// workingScatter lists what FillWorking assumes of gas, friction, what turns and what lasts, and what package analysis
// assumes of mounts.
func workingScatter() []scatter {
	degree := math.Pi / 180
	return []scatter{
		parted("gas.compression_ratio", 0.15, 0.15, "PRACTICE", "9 to 12 with spark ignition, 14.5 to 19.5 with compression ignition"),
		parted("gas.air_ratio", 0.15, 0.15, "PRACTICE", "15 % either way at full load"),
		parted("gas.intake_pressure", 0.07, 0.05, "PRACTICE", "losses of filter and throttle, and the weather"),
		spanned("gas.intake_temperature", 15, 20, "15 K colder to 20 K warmer"),
		parted("gas.exhaust_pressure", 0.04, 0.15, "PRACTICE", "from an open pipe to a close silencer"),
		spanned("gas.half_burned", 4*degree, 5*degree, "4° earlier to 5° later at full load"),
		parted("gas.burn_duration", 0.25, 0.30, "PRACTICE", "by shape and swirl of the chamber"),
		parted("gas.premixed_share", 0.70, 0.70, "PRACTICE", "0.05 to 0.25 at full load with compression ignition").upTo(1),
		spanned("gas.valves.intake_opens", 15*degree, 15*degree, "15° either way, by the camshaft"),
		spanned("gas.valves.intake_closes", 20*degree, 20*degree, "20° either way, by the camshaft"),
		spanned("gas.valves.exhaust_opens", 15*degree, 15*degree, "15° either way, by the camshaft"),
		spanned("gas.valves.exhaust_closes", 15*degree, 15*degree, "15° either way, by the camshaft"),
		parted("gas.valves.intake_area", 0.25, 0.25, "PRACTICE", "two or four valves, a quarter either way"),
		parted("gas.valves.exhaust_area", 0.25, 0.25, "PRACTICE", "two or four valves, a quarter either way"),
		spanned("gas.wall_temperature", 50, 50, "50 K either way, by load and cooling"),
		parted("gas.wall_heat", 0.30, 0.30, "PRACTICE", "engines scatter by three tenths about the correlation"),
		parted("gas.crankcase_pressure", 0.05, 0.05, "PRACTICE", "5 % either way, by ventilation and weather"),
		parted("friction.factor", 0.20, 0.20, "PRACTICE", "engines scatter by a fifth about the correlation"),
		parted("crank.inertia", 0.30, 0.30, "PRACTICE", "real webs are bevelled and pins drilled; counterweights differ"),
		parted("flywheel.diameter", 0.20, 0.20, "PRACTICE", "a fifth either way, by clutch and housing"),
		parted("flywheel.density", 0.02, 0.10, "PRACTICE", "cast iron, or steel"),
		parted("crank.journal_fillet_radius", 0.30, 0.20, "PRACTICE", "0.035 to 0.06 × crankpin diameter, as at the crankpin"),
		parted("crank.oil_bore.diameter", 0.30, 0.30, "PRACTICE", "0.07 to 0.13 × crankpin"),
		spanned("crank.oil_bore.angle", 30*degree, 30*degree, "30° either way"),
		parted("crank.tensile_strength", 0.12, 0.12, "PRACTICE", "steels of the kind, 12 % either way"),
		parted("crank.yield_strength", 0.07, 0.13, "PRACTICE", "0.7 to 0.85 × tensile strength"),
		parted("bearings.support_stiffness", 2./3, 2, "PRACTICE", "a factor of three either way"),
		parted("bearings.main.clearance", 0.30, 0.40, "PRACTICE", "0.7 to 1.4 thousandths of the journal"),
		parted("bearings.big_end.clearance", 0.30, 0.40, "PRACTICE", "0.7 to 1.4 thousandths of the journal"),
		spanned("bearings.oil_feed", 15, 20, "75 to 110 °C"),
		spanned("bearings.oil_rise", 5, 10, "10 to 25 K"),
		parted("torsion.magnifier", 1./3, 2./3, "PRACTICE", "engines without damper have 20 to 50"),
		parted("making.cam_height", 0.20, 0.20, "PRACTICE", "a fifth either way", "block.head_height"),
		parted("making.cam_spacing", 0.20, 0.20, "PRACTICE", "a fifth either way"),
		parted("mounts.isolators.stiffness.z", 0.50, 1.00, "PRACTICE", "a factor of two either way: 1.5 to 6 mm of settling"),
		parted("mounts.isolators.loss_factor", 0.50, 1.00, "PRACTICE", "0.05 to 0.2 for rubber").upTo(1),
	}
}

// blockScatter lists what FillWorking assumes of block, heads, sump and what hangs on them.
func blockScatter() []scatter {
	return []scatter{
		parted("block.deck_height", 0.003, 0.03, "PRACTICE", "the crowns clear the head by little; some blocks stand taller"),
		parted("block.head_height", 0.20, 0.20, "PRACTICE", "a fifth either way, by valve gear and cover"),
		parted("block.bore_length", 0.10, 0.10, "PRACTICE", "a tenth either way"),
		parted("block.skirt_depth", 0.60, 0.40, "PRACTICE", "from just below the crank axis to below the caps"),
		parted("block.sump_depth", 0.25, 0.30, "PRACTICE", "shallow wide sumps to deep narrow ones"),
		parted("block.wall", 0.25, 0.40, "PRACTICE", "by way of casting and stiffness wanted"),
		parted("block.bore_wall", 0.20, 0.90, "PRACTICE", "0.06 × bore cast together, 0.15 and more with wet liners"),
		parted("block.front_room", 0.30, 0.30, "PRACTICE", "three tenths either way, by drives and damper"),
		parted("block.rear_room", 0.30, 0.30, "PRACTICE", "three tenths either way, by flywheel and housing"),
		parted("block.density", 0.03, 0.03, "PRACTICE", "alloys of the kind"),
		parted("block.head_density", 0.03, 0.03, "PRACTICE", "alloys of the kind"),
		parted("block.sump_density", 0.03, 0.03, "PRACTICE", "alloys of the kind"),
		parted("block.big_end_width", 0.08, 0.15, "PRACTICE", "straight split rods that pass through the bore to obliquely split ones"),
		parted("block.piston_skirt", 0.25, 0.25, "PRACTICE", "a quarter either way"),
		parted("block.counterweight_radius", 0.10, 0.05, "PRACTICE", "less for light cranks, hardly more for want of room"),
		parted("block.accessories", 0.40, 0.40, "PRACTICE", "two fifths either way, by what the engine drives"),
		parted("block.oil_mass", 0.30, 0.40, "PRACTICE", "by size of the sump"),
		parted("block.coolant_mass", 0.30, 0.30, "PRACTICE", "three tenths either way"),
	}
}

type choice struct{ key, why string }

// choices lists the keys that may be assumed and have no scatter.
func choices() []choice {
	const word, count, wish = "a choice among words", "a number of pieces", "a wish, not a property of the engine"
	return []choice{
		{"layout.pins", "the crank is chosen"},
		{"layout.pin_split", "the crank is chosen"},
		{"layout.each_rod_own_pin", "the crank is chosen"},
		{"layout.cylinder_offset", "the banks are placed by the designer"},
		{"gas.ignition", word},
		{"gas.imep", "it is never assumed: the model finds it"},
		{"friction.by", word},
		{"friction.valves_per_cylinder", count},
		{"friction.drives", count},
		{"crank.make", word},
		{"crank.fillet_recess", "fillets are cut into the web or they are not"},
		{"flywheel.driven_inertia", "what is coupled to the crank is known where the engine is used"},
		{"flywheel.fluctuation", wish},
		{"bearings.sharing", word},
		{"bearings.oil", word},
		{"bearings.main.lining", word},
		{"bearings.big_end.lining", word},
		{"torsion.formula", word},
		{"torsion.damper.kind", word},
		{"block.metal", word},
		{"block.head_metal", word},
		{"block.sump_metal", word},
		{"block.camshafts", count},
		{"block.dry_mass", "it is never assumed: it follows from the parts"},
		{"making.valve_drive", word},
		{"making.cam_drive", word},
		{"making.heads", word},
		{"making.crankcase", word},
		{"making.cooling", word},
		{"making.pitch", "chains and belts have standard pitches"},
		{"mounts.engine.mass", "it follows from the parts, whose estimates scatter"},
		{"mounts.isolators", count},
	}
}
