package spec

import (
	"math"
	"strings"
)

// nouns name the maps and list entries whose keys say too little alone.
var nouns = map[string]string{
	"rod": "rod", "piston": "piston", "main_journal": "main journal", "crankpin": "crankpin", "web": "web", "flywheel": "flywheel",
	"throws": "throw", "cylinders": "cylinder", "counterweights": "counterweight", "balance_shafts": "shaft", "masses": "mass",
	"volumetric_efficiency": "filling", "main": "main bearing", "big_end": "big end", "damper": "damper", "free_end": "on the free end", "driven": "driven part",
	"oil_bore": "oil bore", "engine": "engine weighed", "gearbox": "gearbox", "isolators": "isolator", "points": "point", "stiffness": "stiffness", "inertia": "inertia",
}

// labels are the keys that are not words by themselves.
var labels = map[string]string{
	"cycle": "working cycle", "rotation": "sense of rotation", "pins": "throw angles", "each_rod_own_pin": "a pin for each rod",
	"cg_from_big_end": "centre of gravity from big end", "at": "place along the crank", "y": "place across", "z": "place up",
	"axis": "axis angle", "fires_at": "firing top dead centre", "master": "master cylinder", "reference": "moments about",
	"idle": "idle speed", "rated": "rated speed", "limit": "highest speed", "imep": "indicated mean effective pressure",
	"trace": "measured cylinder pressure", "trace_shift": "correction of top dead centre", "trace_pegging": "zero of the pressure", "rods": "rods", "fillet_radius": "crankpin fillet radius",
	"air_ratio": "air ratio", "half_burned": "half of the heat released at", "off": "cylinders that do not fire", "by": "friction taken from",
	"factor": "factor on friction", "drives": "drives of camshafts and pumps", "fluctuation": "wanted coefficient of fluctuation",
	"driven_inertia": "inertia of the driven machine", "wall_heat": "factor on wall heat", "volumetric_efficiency": "volumetric efficiency",
	"journal_fillet_radius": "main journal fillet radius", "make": "make of the crank", "sharing": "how the mains share", "support_stiffness": "stiffness of a main with its housing",
	"oil": "oil grade", "oil_feed": "oil temperature on arrival", "oil_rise": "rise of the oil", "formula": "stiffness of a throw by", "magnifier": "dynamic magnifier without damper",
	"grooved": "oil groove all round", "hub_inertia": "inertia of the hub", "x": "along the crank", "xx": "about the crank", "yy": "about the crosswise axis", "zz": "about the upright axis",
	"xy": "product xy", "xz": "product xz", "yz": "product yz", "felt_by": "felt by", "on": "what is touched", "exposure": "time of exposure a day",
}

// label puts a key into words.
func label(noun, key string) string {
	text, ok := labels[key]
	if !ok {
		text = strings.ReplaceAll(key, "_", " ")
	}
	text = strings.TrimSpace(noun + " " + text)
	return strings.ToUpper(text[:1]) + text[1:]
}

func (d *dimension) kind() string {
	return strings.TrimPrefix(strings.TrimPrefix(d.name, "a "), "an ")
}

func (q Quantity[D]) input(f *Field) {
	var d D
	f.Kind, f.Dimension, f.Units = kindQuantity, d.dimension().kind(), d.dimension().units
	if q.Given() {
		f.Value = &q.SI
	}
}

func (w Word[V]) input(f *Field) {
	var v V
	f.Kind, f.Words = kindWord, v.words()
}

func (Text) input(f *Field) { f.Kind = kindText }

func (Flag) input(f *Field) { f.Kind, f.Words = kindFlag, []string{"true", "false"} }

func (Lengths) input(f *Field) {
	f.Kind, f.Dimension, f.Units = kindList, lengthDimension.kind(), lengthDimension.units
}

func (Angles) input(f *Field) {
	f.Kind, f.Dimension, f.Units = kindList, angleDimension.kind(), angleDimension.units
}

func (Pins) input(f *Field) {
	Angles{}.input(f)
	f.Words = pinWordNames()
}

func (Names) input(f *Field) { f.Kind = kindList }

func (Groups) input(f *Field) { f.Kind, f.Words = kindList, groupWords }

func (Labels) input(f *Field) { f.Kind, f.Words = kindList, labelWords }

func (c Cylinders) input(f *Field) {
	f.Kind = kindCount
	if c.List != nil {
		f.Kind = kindList
		return
	}
	if c.Given() {
		value := float64(c.Count)
		f.Value = &value
	}
}

func (Counterweights) input(f *Field) { f.Kind, f.Words = kindList, []string{"none"} }

// bounds sets the ends of a slider and its step: round values about what the field has, in the unit that
// people read. A value that may be negative gets a range on both sides of zero.
func (f *Field) bounds(limit string, bore float64) {
	least, most, step := 0.0, 0.0, 0.0
	const degree = math.Pi / 180
	value := 0.0
	if f.Value != nil {
		value = *f.Value
	}
	switch f.Dimension {
	case angleDimension.kind():
		step = degree
		switch {
		case limit == "positive":
			least, most = degree, 180*degree
		case strings.HasSuffix(f.Path, "half_burned"):
			least, most = -20*degree, 40*degree
		case strings.HasSuffix(f.Path, "trace_shift"):
			least, most, step = -5*degree, 5*degree, 0.1*degree
		case strings.HasSuffix(f.Path, "pin_split"):
			least, most = -120*degree, 120*degree
		case value < 0 || strings.HasSuffix(f.Path, ".axis"):
			least, most = -180*degree, 180*degree
		case value > 360*degree || strings.HasSuffix(f.Path, "fires_at"):
			most = 720 * degree
		default:
			most = 360 * degree
		}
		least, most = math.Min(least, value), math.Max(most, value)
	case shareDimension.kind():
		most, step = math.Max(1, value), 0.01
	case ratioDimension.kind():
		if strings.HasSuffix(f.Path, "speed_ratio") {
			least, most, step = math.Min(-4, value), math.Max(4, value), 0.5
			break
		}
		if strings.HasSuffix(f.Path, "compression_ratio") {
			least, most, step = 5, math.Max(25, value), 0.1
			break
		}
		if value <= 0 {
			return
		}
		least, most = roundDown(value/2), roundUp(2*value)
		step = roundDown((most - least) / 100)
	default:
		unit := f.unitFactor()
		shown := value / unit
		switch {
		case limit != "":
			if shown <= 0 {
				return
			}
			least, most = roundDown(shown/2), roundUp(2*shown)
		case strings.HasSuffix(f.Path, "cg_from_big_end"):
			most = roundUp(math.Max(2*shown, bore/unit/2))
			least = math.Min(0, shown)
		case f.Dimension == lengthDimension.kind():
			most = roundUp(math.Max(2*math.Abs(shown), bore/unit/2))
			least = -most
		case shown == 0:
			return
		default:
			least, most = roundDown(shown/2), roundUp(2*math.Abs(shown))
			if shown < 0 {
				least, most = -most, roundUp(-shown/2)
			}
		}
		step = roundDown((most - least) / 300)
		least, most, step = least*unit, most*unit, step*unit
	}
	f.Least, f.Most, f.Step = &least, &most, &step
}

// unitFactor is that of the unit in which people read the value.
func (f *Field) unitFactor() float64 {
	for _, d := range []*dimension{
		lengthDimension, massDimension, momentDimension, inertiaDimension, speedDimension, pressureDimension, areaDimension,
		strengthDimension, stiffnessDimension, twistStiffnessDimension,
	} {
		if d.kind() == f.Dimension {
			return d.shown.factor
		}
	}
	return 1
}

// roundDown and roundUp return the next 1, 2 or 5 times a power of ten.
func roundDown(x float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(x)+1e-12))
	for _, m := range []float64{5, 2} {
		if m*p <= x*(1+1e-12) {
			return m * p
		}
	}
	return p
}

func roundUp(x float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(x)+1e-12))
	for _, m := range []float64{1, 2, 5} {
		if m*p >= x*(1-1e-12) {
			return m * p
		}
	}
	return 10 * p
}
