package report

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"crankwright/brief"
	"crankwright/search"
	"crankwright/spec"
	"crankwright/study"
)

// StudySizeDoc says how many candidates a study has, and why, before anything runs.
type StudySizeDoc struct {
	Total    uint64             `json:"candidates_1" jsonschema_description:"of the whole space"`
	Blocks   []StudyBlockDoc    `json:"blocks" jsonschema_description:"parts in which the shape of the engine is the same; every value of an axis goes with every value of the others"`
	Phasings []StudyPhasingsDoc `json:"phasings" jsonschema_description:"how the distinct phasings of cranks were counted"`
	Fast     bool               `json:"fast" jsonschema_description:"every figure comes from the fast path, which the whole analysis checks"`
	Path     string             `json:"path" jsonschema_description:"which chapters candidates need"`
	Rate     float64            `json:"rate_per_s,omitempty" jsonschema_description:"candidates a second on one processor of this machine, roughly; left out: not known"`
	Time     float64            `json:"rough_time_s,omitempty" jsonschema_description:"that the whole takes on this machine, with all processors; left out: not known"`
	Shared   int                `json:"processors_1,omitempty" jsonschema_description:"of this machine"`
}

// StudyBlockDoc is a part of a study.
type StudyBlockDoc struct {
	Name  string         `json:"name" jsonschema_description:"empty where there is one only"`
	Total uint64         `json:"candidates_1" jsonschema_description:"of this part"`
	Dead  string         `json:"dead,omitempty" jsonschema_description:"why no engine of it can be built"`
	Axes  []StudyAxisDoc `json:"axes" jsonschema_description:"the first varies slowest"`
}

// StudyAxisDoc is one thing that varies.
type StudyAxisDoc struct {
	Key    string   `json:"key" jsonschema_description:"such as layout.bank_angle"`
	Name   string   `json:"name" jsonschema_description:"in words"`
	Count  int      `json:"values_1" jsonschema_description:"how many values it takes"`
	Values []string `json:"values" jsonschema_description:"in words; none: all phasings, or all firing orders"`
	Angle  bool     `json:"angle" jsonschema_description:"it changes angles only, so the fast path need not read the engine anew"`
}

// StudyPhasingsDoc says how the distinct phasings of a crank were counted.
type StudyPhasingsDoc struct {
	Blocks   []string `json:"blocks" jsonschema_description:"names of the parts"`
	Throws   int      `json:"throws_1" jsonschema_description:"of the crank"`
	StepDeg  float64  `json:"step_deg" jsonschema_description:"between two directions of a throw"`
	All      string   `json:"all_1" jsonschema_description:"with the first throw at 0"`
	Distinct int      `json:"distinct_1" jsonschema_description:"listed: twins once"`
	Burnside string   `json:"burnside_1" jsonschema_description:"counted by Burnside's lemma, without listing any"`
	Mirror   bool     `json:"mirror_is_twin" jsonschema_description:"the mirror image counts as the same crank"`
	Reversal bool     `json:"reversal_is_twin" jsonschema_description:"the crank end for end counts as the same"`
	Both     bool     `json:"mirror_and_reversal_is_twin" jsonschema_description:"both at once count as the same"`
	Words    []string `json:"words" jsonschema_description:"how they were counted, in sentences"`
}

// StudySizesDoc is what the verb study size prints with --json.
type StudySizesDoc struct {
	Study   StudyTaskDoc `json:"study" jsonschema_description:"what is varied and wanted"`
	Size    StudySizeDoc `json:"size" jsonschema_description:"how many candidates there are"`
	Caution string       `json:"caution" jsonschema_description:"what the numbers are not good for"`
}

// NewStudySizesDoc describes a study before it runs.
//
//   - rate: candidates a second on one processor; 0: not known
//   - processors: of this machine
func NewStudySizesDoc(p *search.Problem, rate float64, processors int) *StudySizesDoc {
	return &StudySizesDoc{Study: newStudyTaskDoc(p), Size: NewStudySizeDoc(p, rate, processors), Caution: Caution}
}

// NewStudySizeDoc describes the size of a study.
//
//   - rate: candidates a second on one processor; 0: not known
//   - processors: of this machine
func NewStudySizeDoc(p *search.Problem, rate float64, processors int) StudySizeDoc {
	s := p.Size()
	d := StudySizeDoc{Total: s.Total, Blocks: []StudyBlockDoc{}, Phasings: []StudyPhasingsDoc{}, Fast: s.Fast, Path: studyPath(p)}
	if rate > 0 && processors > 0 {
		d.Rate, d.Shared = rate, processors
		d.Time = float64(d.Total) / rate / float64(processors)
	}
	names := map[string]string{}
	for _, c := range p.Columns() {
		names[c.Key] = c.Name
	}
	for _, b := range s.Blocks {
		block := StudyBlockDoc{Name: b.Name, Total: b.Total, Dead: b.Dead, Axes: []StudyAxisDoc{}}
		for _, a := range b.Axes {
			block.Axes = append(block.Axes, StudyAxisDoc{a.Key, axisName(names, a), a.Count, append([]string{}, a.Values...), a.Angle})
			if a.Phasings != nil {
				d.phasings(p, b.Name, a)
			}
		}
		d.Blocks = append(d.Blocks, block)
	}
	return d
}

// axisName puts what varies into words.
//
//   - names: of the columns, by key
func axisName(names map[string]string, a search.AxisSize) string {
	switch {
	case a.Phasings != nil:
		return "phasings of the crank pins"
	case names[a.Key] != "":
		return names[a.Key]
	case a.Key == "layout.firing_order":
		return "firing orders"
	case a.Key == "layout.pins":
		return "cranks"
	}
	return a.Key
}

// phasings adds those of a block, to those of another where they are the same.
func (d *StudySizeDoc) phasings(p *search.Problem, block string, a search.AxisSize) {
	from := a.Phasings
	row := StudyPhasingsDoc{
		Blocks: []string{block}, Throws: from.Throws, StepDeg: from.StepDeg, All: from.All, Distinct: from.Distinct, Burnside: from.Burnside,
		Mirror: from.Twins.Mirror, Reversal: from.Twins.Reversal, Both: from.Twins.Both || from.Twins.Mirror && from.Twins.Reversal,
	}
	row.Words = row.words(p, a.Angle)
	for i := range d.Phasings {
		if q := &d.Phasings[i]; q.Throws == row.Throws && q.StepDeg == row.StepDeg && q.Mirror == row.Mirror && q.Reversal == row.Reversal && q.Both == row.Both && slices.Equal(q.Words, row.Words) {
			q.Blocks = append(q.Blocks, block)
			return
		}
	}
	d.Phasings = append(d.Phasings, row)
}

// words say which twins count once, and why not the others.
func (d *StudyPhasingsDoc) words(p *search.Problem, angle bool) []string {
	out := []string{"A crank that is turned as a whole is the same crank, so the first throw stands at 0."}
	i := slices.IndexFunc(p.Study.Vary, func(v spec.Variation) bool { return v.Key == "layout.pins" })
	switch {
	case i >= 0 && p.Study.Vary[i].Apart:
		return append(out, "The study sets symmetric twins apart.")
	case !angle:
		return append(out, "With what varies beside them the pins change more than angles, so symmetric twins are not taken together: none is lost, and some stand there twice.")
	}
	needs := needsOf(p)
	const tried = "tried on this engine with random phasings, forces, moments or firing come out different"
	say := func(name string, is bool, needsMost brief.Chapter, because string) {
		switch {
		case is:
			out = append(out, name+" count once: tried on this engine with random phasings, forces, moments and firing come out the same.")
		case needs >= needsMost:
			out = append(out, name+" stand apart: "+because+".")
		default:
			out = append(out, name+" stand apart: "+tried+".")
		}
	}
	say("Mirror images", d.Mirror, brief.Drive, "a mirror image runs backwards through the firing cycle, and what gas does is wanted")
	say("Cranks reversed end for end", d.Reversal, brief.Lasting, "the flywheel is at the other end then, and what winds up is wanted")
	if !(d.Mirror && d.Reversal) {
		say("Mirror images of reversed cranks", d.Both, brief.Drive, "a mirror image runs backwards through the firing cycle, and what gas does is wanted")
	}
	return out
}

// needsOf returns the dearest chapter that a figure needs.
func needsOf(p *search.Problem) brief.Chapter {
	most := brief.Always
	for _, c := range p.Columns() {
		if m, ok := brief.MeasureOf(c.Key); ok && c.Kind == study.Figure {
			most = max(most, m.Needs)
		}
	}
	return most
}

// studyPath says which chapters candidates need, and what is not alike in them.
func studyPath(p *search.Problem) string {
	if p.PinsDiffer() {
		return studyChapters(p) + " The engine gives crank.throw_unbalance, and each pin has that much: a throw with a pin for each rod carries it twice. " +
			"Left out of the engine it is estimated for each crank."
	}
	return studyChapters(p)
}

func studyChapters(p *search.Problem) string {
	if p.Fast() {
		return "Every figure follows from orders and firing alone: the fast path, which is held against the whole analysis in every range."
	}
	chapters := map[brief.Chapter]string{
		brief.Space: "room and mass", brief.Parts: "parts and cost", brief.Drive: "gas and torque",
		brief.Lasting: "bearings, torsion and strength", brief.Mounted: "mounts",
	}
	by := map[brief.Chapter][]string{}
	for _, c := range p.Columns() {
		if m, ok := brief.MeasureOf(c.Key); ok && c.Kind == study.Figure && m.Needs > brief.Always {
			by[m.Needs] = append(by[m.Needs], c.Key)
		}
	}
	var parts []string
	for _, n := range []brief.Chapter{brief.Space, brief.Parts, brief.Drive, brief.Lasting, brief.Mounted} {
		if len(by[n]) > 0 {
			parts = append(parts, fmt.Sprintf("%s for %s", chapters[n], strings.Join(by[n], ", ")))
		}
	}
	if len(parts) == 0 {
		return "The analysis of forces and firing, for what the fast path does not give."
	}
	return "What orders and firing decide comes first, from the fast path; what keeps its limits is analysed chapter by chapter: " + strings.Join(parts, "; ") + "."
}

// exactly writes a count with all its digits, thin spaces between thousands.
func exactly(n uint64) string { return grouped(strconv.FormatUint(n, 10)) }

// candidates writes how many candidates there are.
func candidates(n uint64) string { return counted(n, "candidate", "candidates") }
