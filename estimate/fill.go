package estimate

import (
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/parts"
)

// Fill returns the engine with every unknown value estimated, and one Estimate for each.
//
// Values that are known are never changed, and the estimates follow them: a known rod mass drives
// the rod's inertia, a known cylinder spacing is what journals, pins and webs must share, a known
// bank stagger limits the pins. In a narrow vee the banks are offset and staggered until they clear
// each other. Where known values contradict each other the estimates stay
// positive and layout.Validate says what is wrong. A throw for one rod, or for rods in one plane,
// has no bank stagger: it is set to zero and not listed; the knuckle radius is listed only where
// three or more rods share a pin. If neither bore nor stroke is known nothing can be estimated
// and the engine comes back unchanged; if one is known the engine is taken as square.
//
// Values in SI [m, kg, kg m², kg m, rad/s]; ranges, scatter and sources are those of the rules.
// Definition.
func Fill(e Engine) (Engine, []layout.Estimate) {
	return (&filler{e: e}).engine()
}

// FillQuietly is Fill with a list that has no texts (Shown, Rule), in less time.
//
// Values in SI as those of Fill [m, kg, kg m², kg m, rad/s]. Definition.
func FillQuietly(e Engine) (Engine, []layout.Estimate) {
	return (&filler{e: e, quiet: true}).engine()
}

func (f *filler) engine() (Engine, []layout.Estimate) {
	if math.IsNaN(f.e.Bore) && math.IsNaN(f.e.Stroke) {
		return f.e, nil
	}
	f.sizes()
	f.narrowVee()
	f.diameters()
	f.alongCrank()
	f.cheeks()
	f.speeds()
	f.flywheel()
	return f.e, f.list()
}

// sizes finds bore and stroke, piston and rod.
func (f *filler) sizes() {
	f.fields = f.e.fields()
	f.found = make([]layout.Estimate, len(f.fields))
	f.set(&f.e.Bore, "bore", f.e.Stroke, "PRACTICE", "1 × stroke (square engine)")
	f.set(&f.e.Stroke, "stroke", f.e.Bore, "PRACTICE", "1 × bore (square engine)")
	f.piston()
	f.rod()
}

// filler carries an engine while its unknown values are found.
type filler struct {
	e      Engine
	fields []WorkingField    // the quantities that can be unknown
	found  []layout.Estimate // the words, then the quantities, in the order of fields; without a key where nothing was found
	words  []string          // the words that can be unknown
	quiet  bool              // no texts
	stand  parts.Stand       // how the cylinders stand, once making has found it
	next   int               // index into fields at which the next quantity is likely to stand
}

// list returns what was found, in the order of the words and fields.
func (f *filler) list() []layout.Estimate {
	list := slices.DeleteFunc(f.found, func(e layout.Estimate) bool { return e.Key == "" })
	if len(list) == 0 {
		return nil
	}
	return list
}

// set gives an unknown quantity its value and records how it was found; a known one it leaves.
func (f *filler) set(at *float64, key string, value float64, source, rule string, args ...any) {
	if !math.IsNaN(*at) {
		return
	}
	*at = value
	n := len(f.fields)
	for i := range n {
		k := f.next + i
		if k >= n {
			k -= n
		}
		if f.fields[k].At != at {
			continue
		}
		est := &f.found[len(f.words)+k]
		*est = layout.Estimate{Key: key, Value: value, Unit: f.fields[k].Unit, Source: source}
		if !f.quiet {
			est.Shown, est.Rule = Shown(value, est.Unit), fmt.Sprintf(rule, args...)
		}
		f.next = k + 1
		return
	}
}

// general returns the source of a rule whose numbers were read for general duty only; those for
// light and heavy duty are common practice.
func (f *filler) general(source string) string {
	if f.e.Duty == General {
		return source
	}
	return "PRACTICE"
}

func (f *filler) piston() {
	e := &f.e
	density := ApparentDensity(e.Duty)
	f.set(&e.PistonMass, "piston.mass", PistonMass(e.Bore, e.Duty), f.general("MANUALS"),
		"%.3g g/cm³ × bore³ (%s duty, with rings and pin)", density/1000, e.Duty)
	h := CompressionHeight(e.Bore, e.Duty)
	f.set(&e.CompressionHeight, "piston.compression_height", h, "PRACTICE",
		"%.3g × bore (%s duty)", h/e.Bore, e.Duty)
}

func (f *filler) rod() {
	e := &f.e
	length := RodLength(e.Bore, e.Stroke, e.Duty)
	if length > RodStroke(e.Duty)*e.Stroke {
		f.set(&e.RodLength, "rod.length", length, "PRACTICE",
			"0.55 × stroke + 0.85 × bore, so that the piston clears the crank (rod ratio l/r %.3g)", 2*length/e.Stroke)
	} else {
		f.set(&e.RodLength, "rod.length", length, f.general("RODRATIO"),
			"%.3g × stroke (%s duty, rod ratio l/r %.3g)", length/e.Stroke, e.Duty, 2*length/e.Stroke)
	}
	f.set(&e.RodCG, "rod.cg_from_big_end", RodCG(e.RodLength), "PRACTICE",
		"%.3g × rod length", RodCG(1))
	if !math.IsNaN(e.RodInertia) && e.RodLength > e.Stroke/2 { // a shorter rod cannot turn; leave it to Validate
		f.set(&e.RodMass, "rod.mass", RodMassOfInertia(e.RodInertia, e.RodLength, e.RodCG), "ICEF2002",
			"%.5g × rod inertia / (a (l − a)), a the centre of gravity from the big end", TwoMassExcess)
	}
	f.set(&e.RodMass, "rod.mass", RodMass(e.Bore, e.RodLength, e.Duty), f.general("MANUALS"),
		"%.3g g/cm³ × bore² × rod length (%s duty)", RodDensity(e.Duty)/1000, e.Duty)
	f.set(&e.RodInertia, "rod.inertia", RodInertia(e.RodMass, e.RodLength, e.RodCG), "ICEF2002",
		"rod mass × a (l − a) / %.5g, a the centre of gravity from the big end", TwoMassExcess)
}

func (f *filler) diameters() {
	e := &f.e
	pin, main := PinDiameter(e.Bore, e.Duty), MainDiameter(e.Bore, e.Duty)
	if e.MainDiameter < pin {
		f.set(&e.PinDiameter, "crank.crankpin.diameter", e.MainDiameter, "PRACTICE",
			"as the main journal, which is smaller than %.3g × bore", pin/e.Bore)
	}
	f.set(&e.PinDiameter, "crank.crankpin.diameter", pin, f.general("MANUALS"),
		"%.3g × bore (%s duty)", pin/e.Bore, e.Duty)
	if e.PinDiameter > main {
		f.set(&e.MainDiameter, "crank.main_journal.diameter", e.PinDiameter, "PRACTICE",
			"as the crankpin, which is larger than %.3g × bore", main/e.Bore)
	}
	f.set(&e.MainDiameter, "crank.main_journal.diameter", main, f.general("MANUALS"),
		"%.3g × bore (%s duty)", main/e.Bore, e.Duty)
	knuckle := KnuckleRadius(e.PinDiameter, e.Bore)
	if e.RodsPerPin > 2 {
		f.set(&e.KnuckleRadius, "layout.knuckle_radius", knuckle, "PRACTICE",
			"0.5 × crankpin diameter + 0.2 × bore")
	} else if math.IsNaN(e.KnuckleRadius) {
		e.KnuckleRadius = knuckle
	}
}

// cheeks sets what depends on the axial widths: web width, fillet, unbalance.
func (f *filler) cheeks() {
	e := &f.e
	journal := math.Max(e.MainDiameter, e.PinDiameter)
	w := WebWidth(e.Bore, journal, e.Duty)
	if w == 1.1*journal {
		f.set(&e.WebWidth, "crank.web.width", w, "PRACTICE", "1.1 × the larger journal diameter")
	} else {
		f.set(&e.WebWidth, "crank.web.width", w, "PRACTICE", "%.3g × bore (%s duty)", w/e.Bore, e.Duty)
	}
	r := Fillet(e.PinDiameter, e.PinWidth)
	if r < 0.05*e.PinDiameter {
		f.set(&e.Fillet, "crank.fillet_radius", r, "PRACTICE",
			"0.15 × crankpin width, for the bearing needs the rest")
	} else {
		f.set(&e.Fillet, "crank.fillet_radius", r, "PRACTICE", "0.05 × crankpin diameter")
	}
	webs, words := 2*e.WebThickness, "two webs"
	if f.pins() == 2 {
		middle := math.Max(0, e.BankStagger-e.PinWidth)
		webs, words = e.WebThickness+middle/2, "one web and half of what joins the two pins"
	}
	u := ThrowUnbalance(e.Stroke/2, e.PinDiameter, e.PinWidth, webs, e.WebWidth)
	f.set(&e.ThrowUnbalance, "crank.throw_unbalance", u, "DEFINITION",
		"steel of 7.85 g/cm³: solid crankpin and %s, each the hull of a circle of the web's width round the main journal and one of 1.25 pin diameters round the pin", words)
}

func (f *filler) speeds() {
	e := &f.e
	v := MeanPistonSpeed(e.Bore, e.Duty)
	rated, ratio := Speed(v, e.Stroke), LimitRatio(e.Duty)
	switch {
	case e.Limit/ratio < rated:
		f.set(&e.Rated, "speeds.rated", e.Limit/ratio, "PRACTICE", "limit speed / %.3g (%s duty)", ratio, e.Duty)
	case e.Idle > rated:
		f.set(&e.Rated, "speeds.rated", e.Idle, "PRACTICE", "as the idle speed, which is above a mean piston speed of %.3g m/s", v)
	default:
		f.set(&e.Rated, "speeds.rated", rated, "PISTONSPEED", "mean piston speed %.3g m/s (%s duty)", v, e.Duty)
	}
	idle := Speed(IdlePistonSpeed, e.Stroke)
	if idle > e.Rated/3 {
		f.set(&e.Idle, "speeds.idle", e.Rated/3, "PRACTICE", "a third of the rated speed")
	}
	f.set(&e.Idle, "speeds.idle", idle, "MANUALS", "mean piston speed %.3g m/s", IdlePistonSpeed)
	f.set(&e.Limit, "speeds.limit", ratio*e.Rated, "PRACTICE", "%.3g × rated speed (%s duty)", ratio, e.Duty)
}

func (f *filler) flywheel() {
	e := &f.e
	// Below a tenth of the usual idle speed no flywheel keeps an engine turning: a starter does.
	idle := math.Max(e.Idle, 0.1*Speed(IdlePistonSpeed, e.Stroke))
	j := FlywheelInertia(e.Cycle, e.Cylinders, e.Bore, e.Stroke, idle)
	if j > FlywheelDisc(e.Bore) {
		f.set(&e.FlywheelInertia, "flywheel.inertia", j, "KGTABLE",
			"rough: speed fluctuation of 1/15 at idle with 2.5 bar, coefficient of fluctuation of energy 1.93 N^-2.4")
	} else {
		f.set(&e.FlywheelInertia, "flywheel.inertia", j, "PRACTICE",
			"rough: a steel disc of 3.2 bores diameter and 0.24 bore thickness, as a clutch wants it")
	}
}
