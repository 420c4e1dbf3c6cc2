package brief

import (
	"crankwright/choice"
	"crankwright/mechanics/parts"
)

// Brief is what an application wants.
type Brief struct {
	Name        string
	Application string // what the engine is for, in a sentence or two
	Limits      []Limit
	Priorities  []Priority
	Worths      map[string]choice.Worth // value functions by measure, where the brief gives its own
	PricesFile  string                  // price table that it names, from its folder; may be empty
	Prices      *parts.Prices           // by which parts are priced; nil: the invented ones
}

// Limit rules engines out.
type Limit struct {
	Measure string
	AtMost  bool
	Bound   float64 // in the unit of the measure
	Why     string  // reason; may be empty
}

// Priority is what the application wants more or less of.
type Priority struct {
	Key    string       // an aim, or a measure
	Weight choice.Range // as the brief gives it [points]
	Why    string       // reason; may be empty
	Parts  []Part       // what it is made of, where the brief says so; nil: as usual
}

// Part is a measure's share of an aim, relative to the other shares.
type Part struct {
	Measure string
	Share   float64
}

// NameOf returns what a measure is called in this brief: the cost index with the table by which it is found.
//
//   - key: of a measure
//
// Result in words [-]; empty where there is no such measure. Definition.
func (b *Brief) NameOf(key string) string {
	m, _ := MeasureOf(key)
	if key == CostIndex && b.Prices != nil {
		return "Cost index, " + b.Prices.Label()
	}
	return m.Name
}

// rounding is how far a priority that is given as one number may be off: it was rounded to a point.
const rounding = 0.5

// Drawn returns the range within which a weight is drawn: the range of the brief, or half a point to
// either side of a single number, which somebody rounded; less near 0 and 10, which mean what they say.
//
//   - given: as the brief has it [points]
//
// Result [points]. Definition.
func Drawn(given choice.Range) choice.Range {
	if given.Low != given.High {
		return given
	}
	by := min(rounding, given.Low, choice.Most-given.High)
	return choice.Range{Low: given.Low - by, High: given.High + by}
}
