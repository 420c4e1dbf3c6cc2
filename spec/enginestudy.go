package spec

// This file holds the types of a study. Their doc comments are the descriptions in the JSON Schema, so they speak to the
// person who writes the file.

// StudyFile says which engines a search looks at, and what is wanted of them, a file *.study.yaml.
type StudyFile struct {
	Mark `yaml:"-"`
	// What the study is called in results.
	Name Text `yaml:"name"`
	// The engine that is varied, a file *.engine.yaml in the folder of the study.
	Base Text `yaml:"base"`
	// What varies: keys of an engine file, each with a list of values, or {from: 40 deg, to: 180 deg, step: 1 deg}, or the word
	// all for layout.pins and layout.firing_order. Every value goes with every value of the other keys; the first key varies slowest.
	Vary StudyVary `yaml:"vary"`
	// Hard limits, as in a brief: an engine that does not keep one is left out.
	Require BriefLimits `yaml:"require"`
	// Measures of which less is wanted.
	Minimise StudyMeasures `yaml:"minimise"`
	// Measures of which more is wanted.
	Maximise StudyMeasures `yaml:"maximise"`
	// A brief, a file *.brief.yaml in the folder of the study: its limits are required too, and its measures are wanted where
	// there is neither minimise nor maximise.
	Brief Text `yaml:"brief"`
	// A price table, a file *.prices.yaml in the folder of the study, by which the cost index is found; left out: that of the
	// brief, else the invented prices.
	Prices Text `yaml:"prices"`
	// Crank speed of the results; left out: the rated speed of each engine.
	Speed Quantity[Speed] `yaml:"speed" limit:"positive"`
}

// studyRange is a range of values in steps.
type studyRange struct {
	Mark `yaml:"-"`
	From laterValue `yaml:"from"`
	To   laterValue `yaml:"to"`
	Step laterValue `yaml:"step"`
}

// studyAll asks for all distinct phasings.
type studyAll struct {
	Mark  `yaml:"-"`
	All   Quantity[Angle] `yaml:"all" limit:"positive"`
	Twins Word[twinWords] `yaml:"twins"`
}

type twinWords struct{}

func (twinWords) words() []string { return []string{"once", "apart"} }
