package spec

import "crankwright/mechanics/layout"

// Field is one input of an engine file.
type Field struct {
	Path      string   // key in the file, such as rod.length or layout.throws[0].angle
	Label     string   // in words
	Chapter   string   // engine, layout, rod-piston, crank, balance, firing, speeds or gas
	Kind      string   // quantity, count, word, text, flag or list
	Dimension string   // of a quantity or a list of them: length, mass, angle, …
	Units     []string // that it takes, the usual one first
	Words     []string // that it takes
	Text      string   // as it stands in the file, or the estimate as people read it
	Value     *float64 // SI value of a quantity or count
	Given     bool     // it stands in the file
	Rule      string   // how it was estimated
	Source    string   // where the rule comes from
	Help      string   // what it is
	Least     *float64 // lower end of a slider, SI
	Most      *float64 // upper end of a slider, SI
	Step      *float64 // step of a slider, SI
}

// Fields lists every input.
func Fields(e *Engine, t *layout.Train) []Field { return nil }

// PathAt returns the path of the value, or key, that stands at a place in the file.
func (e *Engine) PathAt(at Position) string { return "" }
