package report

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Estimated is part of every answer that is computed from a crank train.
type Estimated struct {
	Estimates []EstimateDoc `json:"estimates,omitempty" jsonschema_description:"what the file left out of the crank train and how it was filled; left out: nothing, or it stands at the top of the answer"`
}

func estimatedOf(t *layout.Train) Estimated { return Estimated{EstimateDocs(t.Estimates)} }

// EstimateDocs writes estimates as a document lists them.
func EstimateDocs(list []layout.Estimate) []EstimateDoc {
	var out []EstimateDoc
	for _, e := range list {
		out = append(out, EstimateDoc(e))
	}
	return out
}

// assumedFor are what the file left out beyond the crank train, and results of some chapters rest on.
func assumedFor(t *layout.Train, of ...analysis.Chapter) []EstimateDoc {
	return append([]EstimateDoc{}, EstimateDocs(analysis.Assumed(t, of...))...)
}

// assumedIn are those of some sections of the file on which a result rests.
func assumedIn(r *analysis.Result, sections ...string) []EstimateDoc {
	var out []EstimateDoc
	for _, e := range assumedOfAll(r) {
		if section, _, _ := strings.Cut(e.Key, "."); slices.Contains(sections, section) {
			out = append(out, e)
		}
	}
	return out
}

// assumedOfDrive are those of gas, torque, bearings and shaft; room and mass, and parts list the others.
func assumedOfDrive(r *analysis.Result) []EstimateDoc {
	return assumedIn(r, "gas", "friction", "crank", "flywheel", "bearings", "torsion")
}

// assumedOfAll are those on which the chapters rest that a result has.
func assumedOfAll(r *analysis.Result) []EstimateDoc {
	var of []analysis.Chapter
	if d := r.Drive; d != nil {
		of = append(of, analysis.OfTorque)
		if d.Flywheel != nil {
			of = append(of, analysis.OfFlywheel)
		}
	}
	if l := r.Lasting; l != nil {
		if l.Bearings != nil {
			of = append(of, analysis.OfBearings)
		}
		if l.Torsion != nil {
			of = append(of, analysis.OfTorsion)
		}
		if l.Strength != nil {
			of = append(of, analysis.OfStrength)
		}
	}
	if r.Mounts != nil {
		of = append(of, analysis.OfMounts)
	}
	if r.Space != nil {
		of = append(of, analysis.OfSpace)
	}
	if r.Parts != nil {
		of = append(of, analysis.OfParts)
		if r.Parts.Cost != nil {
			of = append(of, analysis.OfCost)
		}
	}
	return assumedFor(r.Train, of...)
}

const rulesStand = "'crankwright show FILE --resolved' lists each with rule and source."

// rests writes on what a result rests that the file does not give: the estimates of the crank train, and what was assumed for
// the sections of the file that a verb is about, with their rules; of the others it gives the number.
func (s *sheet) rests(estimates, assumed []EstimateDoc, sections ...string) {
	s.estimated(estimates, sections...)
	s.assumed(assumed, sections...)
}

// estimated names the estimates of the crank train. Those of the sections that a verb is about have their rules, but for the
// many of the crank.
func (s *sheet) estimated(list []EstimateDoc, sections ...string) {
	if len(list) == 0 {
		return
	}
	s.heading(counted(len(list), "value is estimated", "values are estimated") + ", not given by the file")
	s.paragraph("  ", strings.Join(keysOf(list), ", ")+". "+rulesStand)
	var rows []entry
	for _, e := range list {
		if section, _, _ := strings.Cut(e.Key, "."); section != "crank" && slices.Contains(sections, section) {
			rows = append(rows, estimateEntry(e))
		}
	}
	s.entries(rows)
}

// ofList finds the number of a throw or cylinder in a key.
var ofList = regexp.MustCompile(`\[\d+\]`)

// keysOf lists the keys of estimates, those of all throws and all cylinders once.
func keysOf(list []EstimateDoc) []string {
	var out []string
	for _, e := range list {
		if key := ofList.ReplaceAllString(e.Key, "[]"); !slices.Contains(out, key) {
			out = append(out, key)
		}
	}
	return out
}

// assumed lists what the file left out of the sections that a verb is about; of the others it gives the number.
func (s *sheet) assumed(list []EstimateDoc, sections ...string) {
	var rows []entry
	for _, e := range list {
		if section, _, _ := strings.Cut(e.Key, "."); slices.Contains(sections, section) {
			rows = append(rows, estimateEntry(e))
		}
	}
	if len(list) == 0 {
		return
	}
	s.heading(counted(len(list), "value is assumed", "values are assumed") + " for " + num.List(sectionsOf(list), "and"))
	s.entries(rows)
	switch others := len(list) - len(rows); {
	case len(rows) == 0:
		s.paragraph("  ", rulesStand)
	case others > 0:
		s.paragraph("  ", fmt.Sprintf("%d more of them: 'crankwright show FILE --resolved' lists all, with rule and source.", others))
	}
}

// assumedKeys names what was assumed, where all of it would drown the result.
func (s *sheet) assumedKeys(list []EstimateDoc) {
	if len(list) == 0 {
		return
	}
	s.heading(counted(len(list), "value is assumed", "values are assumed") + " beyond the crank train")
	var rows []entry
	for _, section := range sectionsOf(list) {
		var keys []string
		for _, e := range list {
			if key, ok := strings.CutPrefix(e.Key, section+"."); ok {
				keys = append(keys, key)
			}
		}
		rows = append(rows, entry{section, strings.Join(keys, ", ")})
	}
	s.entries(rows)
	s.paragraph("  ", "No balance or firing result depends on them. "+rulesStand)
}

// sectionsOf lists the sections of the file to which keys belong.
func sectionsOf(list []EstimateDoc) []string {
	var out []string
	for _, e := range list {
		if section, _, _ := strings.Cut(e.Key, "."); !slices.Contains(out, section) {
			out = append(out, section)
		}
	}
	return out
}

// guessed lists what the file left out of the crank train, with its rules, and names what was assumed beyond it.
func (s *sheet) guessed(t *layout.Train, assumed []EstimateDoc) {
	estimates := EstimateDocs(t.Estimates)
	switch {
	case len(estimates) > 0:
		s.heading(counted(len(estimates), "value is estimated", "values are estimated") + ", not given by the file")
		var rows []entry
		for _, e := range estimates {
			rows = append(rows, estimateEntry(e))
		}
		s.entries(rows)
	case len(assumed) == 0:
		said := "None: the file gives every value."
		if len(t.Assumed) > 0 {
			said = "None: the file gives every value on which these results rest."
		}
		s.heading("Estimates")
		s.paragraph("  ", said)
	}
	s.assumedKeys(assumed)
}

func estimateEntry(e EstimateDoc) entry {
	return entry{e.Key, fmt.Sprintf("%s: %s (%s)", e.Shown, e.Rule, e.Source)}
}
