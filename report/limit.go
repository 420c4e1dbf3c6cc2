package report

import (
	"slices"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
)

// aboveLimit says that the speed of a result is above the highest of its engine; empty: it is not.
func aboveLimit(r *analysis.Result) string {
	limit := r.Train.Speeds.Above(r.Speed)
	if limit == 0 {
		return ""
	}
	return "above the " + limitOf(r.Train) + " of " + rpmOf(limit) + " rpm"
}

// limitOf says whether the highest speed of an engine is given or estimated.
func limitOf(t *layout.Train) string {
	if slices.ContainsFunc(t.Estimates, func(e layout.Estimate) bool { return e.Key == "speeds.limit" }) {
		return "estimated limit"
	}
	return "limit"
}
