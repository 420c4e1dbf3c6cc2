package brief

import (
	"slices"
	"strings"

	"crankwright/analysis"
)

// Missing says which measure of a brief an engine does not have, and why; empty where it has them all.
//
//   - r: with the chapters that Brief.Options asks for
//
// Result in words [1]. Definition.
func (b *Brief) Missing(r *analysis.Result) string {
	v := ValuesOf(r)
	for _, key := range b.Keys() {
		if _, ok := v[key]; ok {
			continue
		}
		said := b.NameOf(key) + " is not known of it"
		if why := WhyMissing(key, r); why != "" {
			said += ": " + why
		}
		return said
	}
	return ""
}

// WhyMissing says why a result does not have a figure.
//
//   - key: of a measure; of any other the answer is empty
//   - r: the result
//
// Result: in words, such as one that starts with the part that has no oil film [-]; empty where nothing is known of it, or the
// chapter was not asked for. Definition.
func WhyMissing(key string, r *analysis.Result) string {
	m, ok := MeasureOf(key)
	if !ok {
		return ""
	}
	return m.whyNot(r)
}

// whyNot says why a result does not have a measure; empty where nothing is known of it.
func (m Measure) whyNot(r *analysis.Result) string {
	switch {
	case m.Needs >= Drive && r.Drive == nil:
		return r.NoDrive
	case m.Needs == Space && r.Space == nil:
		return r.NoSpace
	case m.Key == DailyExposure && r.Mounts != nil:
		return "its file names no place where people feel it, see people.points"
	case m.Needs == Mounted:
		return r.NoMounts
	case m.Needs == Lasting && r.Lasting != nil:
		return m.notLasting(r.Lasting)
	case m.Key == "flywheel_inertia":
		return r.Drive.NoWheel
	case m.Needs == Parts && r.Parts == nil:
		return r.NoParts
	case m.Key == "cost_index" && r.Parts != nil:
		return r.Parts.NoCost
	case m.Key == "bank_width" && r.Space != nil:
		return "all cylinders stand in one plane with the crank"
	}
	return ""
}

// notLasting says why results about bearings, strength and torsion do not have the measure; empty where nothing is known of it.
func (m Measure) notLasting(l *analysis.Lasting) string {
	switch {
	case m.Key == "crank_acceptability":
		return l.NoStrength
	case strings.HasPrefix(m.Key, "torsion_"):
		return l.NoTorsion
	case l.Bearings == nil:
		return l.NoBearings
	}
	for _, c := range slices.Concat(l.Bearings.Mains, l.Bearings.BigEnds) {
		if c.NoFilm != "" {
			return c.Name + ": " + c.NoFilm
		}
	}
	return ""
}
