package spec

// This file holds the types of a brief. Their doc comments are the descriptions in the JSON Schema, so they speak to the
// person who writes the file.

// BriefFile is what an application wants of an engine, a file *.brief.yaml.
type BriefFile struct {
	Mark `yaml:"-"`
	// What the brief is called in results.
	Name Text `yaml:"name"`
	// What the engine is for, in a sentence or two.
	Application LongText `yaml:"application"`
	// A price table, a file *.prices.yaml in the folder of the brief, by which the cost index is found; left out: the invented prices.
	Prices Text `yaml:"prices"`
	// Hard limits: an engine that does not keep one is ruled out. A plain value is the most where less is better, and the least
	// where more is better; "<= 620 mm" and ">= 80 kW" say it; a list gives both.
	Limits BriefLimits `yaml:"limits"`
	// How much each thing matters, from 0 to 10, or a range such as [3, 8] where people disagree.
	Priorities BriefPriorities `yaml:"priorities"`
	// The reason of each limit and priority, by its key.
	Why BriefReasons `yaml:"why"`
	// What a priority is made of, where the usual measures do not fit: shares by measure, relative to each other.
	MadeOf BriefParts `yaml:"made_of"`
	// What a value of a measure is worth, where the usual straight line does not fit: the worst and the best value, or a list
	// of points.
	Worth BriefWorths `yaml:"worth"`
}

// worthEnds are the values of a measure that are worth nothing and everything.
type worthEnds struct {
	Mark  `yaml:"-"`
	Worst laterValue `yaml:"worst"`
	Best  laterValue `yaml:"best"`
}

// worthPoint is a point of a value function.
type worthPoint struct {
	Mark  `yaml:"-"`
	At    laterValue          `yaml:"at"`
	Worth Quantity[PureRatio] `yaml:"worth"`
}
