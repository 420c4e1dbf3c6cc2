package spec

import (
	"path/filepath"
	"reflect"
	"strings"

	"crankwright/brief"
)

// StudySuffix ends the names of studies.
const StudySuffix = ".study.yaml"

// EngineSuffix ends the names of engine files.
const EngineSuffix = ".engine.yaml"

// Keys of a study that are no keys of an engine file.
const (
	StrokeOverBore = "stroke_over_bore" // bore and stroke at the displacement of the base
	RodOverThrow   = "rod_over_throw"   // rod length over crank radius
)

// BestCounterweights is the word for counterweights that are designed for each engine.
const BestCounterweights = "best"

// The words for balance shafts that are designed for each engine.
const (
	NoShafts          = "none"
	ShaftsOrder1      = "order-1"
	ShaftsOrder2      = "order-2"
	ShaftsOrders1And2 = "orders-1-and-2"
)

// Study says which engines a search looks at, and what is wanted of them.
type Study struct {
	Name    string
	Base    string // engine file, from the folder of the study
	Brief   string // brief, from the folder of the study; may be empty
	Prices  string // price table, from the folder of the study; empty: that of the brief, else the invented one
	Vary    []Variation
	Require []brief.Limit
	Aims    []StudyAim // of minimise, then of maximise; empty: those of the brief
	Speed   float64    // crank speed of the results [rad/s]; 0: the rated speed of each engine

	BaseAt, BriefAt, PricesAt Position // where the files are named
}

// Variation is a key and the values that it takes.
type Variation struct {
	Key    string   // of an engine file, or StrokeOverBore, RodOverThrow
	At     Position // in the study
	All    bool     // all phasings (layout.pins) or firing orders (layout.firing_order), and no Values
	Step   float64  // of the phasings [rad]; 0: as the engine suggests
	Apart  bool     // symmetric twins of phasings stand apart, else once
	Values []string // each as it would stand in an engine file, or a word for what is designed
}

// StudyAim is a measure of package brief, and whether more of it is wanted.
type StudyAim struct {
	Measure string
	More    bool
	At      Position // in the study
}

// ReadStudy reads a study. file is the name that messages show; the error is Errors with everything that is wrong. The
// files that the study names are not read: whether its values fit the engine is judged by a Template.
func ReadStudy(file string, data []byte) (*Study, error) {
	c := &collector{file: file}
	var f StudyFile
	if decodeFile(c, data, &f) == nil {
		return nil, c.sorted()
	}
	s := &Study{Name: f.Name.Value, Vary: f.Vary.List, Speed: f.Speed.SI}
	if f.Name.missing() {
		c.fail(f.at, "write name: Vees for the pilot boat", "name is missing")
	}
	if f.Base.missing() {
		c.fail(f.at, "write base: vee-four"+EngineSuffix, "base is missing")
	}
	if f.Vary.missing() {
		c.fail(f.at, "write vary: {layout.bank_angle: {from: 60 deg, to: 90 deg, step: 1 deg}}", "vary is missing")
	}
	s.BaseAt, s.BriefAt, s.PricesAt = f.Base.at, f.Brief.at, f.Prices.at
	s.Base = c.beside("base", f.Base, EngineSuffix, "study")
	s.Brief = c.beside("brief", f.Brief, BriefSuffix, "study")
	s.Prices = c.beside("prices", f.Prices, PricesSuffix, "study")
	for _, l := range f.Require.List {
		s.Require = append(s.Require, brief.Limit{Measure: l.Measure, AtMost: l.AtMost, Bound: l.Bound})
	}
	c.aims(s, &f)
	if err := c.sorted(); err != nil {
		return nil, err
	}
	return s, nil
}

// aims gathers what is wanted.
func (c *collector) aims(s *Study, f *StudyFile) {
	seen := map[string]string{}
	for i, list := range [][]StudyAim{f.Minimise.List, f.Maximise.List} {
		word := []string{"minimise", "maximise"}[i]
		for _, a := range list {
			a.More = i == 1
			if where, twice := seen[a.Measure]; twice {
				c.fail(a.At, "leave one of the two", "%s: %s stands in %s already", word, a.Measure, where)
				continue
			}
			seen[a.Measure] = word
			s.Aims = append(s.Aims, a)
		}
	}
	if f.Minimise.missing() && f.Maximise.missing() && f.Brief.missing() {
		c.fail(f.at, "write minimise: [free_force_order_2, length], or maximise, or brief: pilot-boat"+BriefSuffix, "nothing is wanted of the engines")
	}
}

// beside checks the name of a file that another names, a study or a brief.
func (c *collector) beside(key string, name Text, suffix, of string) string {
	base := name.Value
	switch {
	case !name.Given():
	case !strings.HasSuffix(base, suffix) || filepath.Base(base) == suffix:
		c.fail(name.at, "name a file *"+suffix+" in the folder of the "+of, "%s: %q is not such a file", key, clip(base))
	case !filepath.IsLocal(base) || strings.ContainsAny(base, `\:`):
		c.fail(name.at, "put it into the folder of the "+of+", or below it", "%s: %q leaves the folder of the %s", key, clip(base), of)
	}
	return base
}

// ReadStudyFile reads a study from disk.
func ReadStudyFile(path string) (*Study, error) {
	data, err := ReadWhole(path)
	if err != nil {
		return nil, err
	}
	return ReadStudy(path, data)
}

// EditStudy makes changes in the text of a study, as Edit does in that of an engine file: base, require.length, minimise,
// and vary.layout.bank_angle for a key of vary; a new one goes behind the others.
func EditStudy(data []byte, changes []Change) ([]byte, error) {
	return edit(reflect.TypeFor[StudyFile](), data, changes)
}

// NewStudy returns a study to be edited.
func NewStudy() []byte {
	return []byte(`# Which engines a search looks at, and what is wanted of them. Change what you know better.
name: New study
base: my` + EngineSuffix + ` # the engine that is varied, in the folder of this file

vary: # keys of an engine file; every value goes with every value of the others
  layout.bank_angle: {from: 60 deg, to: 120 deg, step: 5 deg}
  layout.pins: all # all distinct crank phasings, symmetric twins once; {all: 30 deg} says the step
  layout.firing_order: all # every order that the crank can do
  # layout.pin_split: [0, 15, 30] deg
  # layout.cylinders: [4, 6]
  # crank.counterweights: [none, {balance_factor: 50 %}, best] # best is designed for each engine
  # balance_shafts: [none, order-1, order-2, orders-1-and-2] # designed for each engine
  # stroke_over_bore: {from: 0.8, to: 1.2, step: 0.1} # at the displacement of the base
  # rod_over_throw: [3.2, 3.6] # rod length over crank radius

require: # what does not keep them is left out; "<= 620 mm" and ">= 80 kW" say which side
  length: 700 mm

minimise: [free_force_order_1, free_force_order_2, length]
# maximise: [firing_evenness]
# brief:    its limits are required too, and its measures are wanted where there is neither minimise nor maximise
# speed:    crank speed of the results; left out, the rated speed
`)
}
