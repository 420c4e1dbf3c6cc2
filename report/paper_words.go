package report

import "crankwright/analysis"

// Sentences of the report that stand on paper and in Markdown alike; page.gohtml has them for the screen.
const (
	marksHint    = "▲ best and ▽ worst stand where the engines of a row differ; less is better unless the row says more. No figure outweighs another by itself: that is for the job to say."
	ordersHint   = "With and against: the parts that turn with the crank and against it. Most, least and along: the half axes of the ellipse that both describe, and the direction of the longer one from y. "
	assumedHint  = "What engines of the kind commonly have, not what this one has. Give the ones that matter. No balance or firing result depends on them."
	noOrders     = "No order has any content."
	readingTitle = "How to read this report"
)

// estimatesHint says how many values a file leaves out.
func estimatesHint(n int) string {
	return "≈ " + counted(n, "value was", "values were") + " not in the file. Give the ones that matter, and the rest follow them."
}

// noEstimates says of an engine without estimates of its crank train whether anything beyond that was assumed.
func noEstimates(r *analysis.Result) string {
	switch {
	case len(assumedOfAll(r)) > 0:
		return "Nothing of the crank train was estimated. What is assumed beyond it, for gas, room and the rest, is listed with its rules too."
	case len(r.Train.Assumed) > 0:
		return "Nothing was estimated: the file gives every value on which these results rest."
	}
	return "Nothing was estimated: the file gives every value."
}

// comparisonTitle is the heading of the table of all figures.
func comparisonTitle(p *page) string {
	if p.One {
		return "All figures"
	}
	return "Comparison table"
}

// readingTexts say how the figures of a report are meant.
func readingTexts() []pageFact {
	return []pageFact{
		{"Place and sense", "Seen from the drive end: y to the right, z up, angles from the first throw’s upright position. The crank turns anticlockwise unless the sheet says otherwise."},
		{"With and against", "Each order of a shaking force is two arrows: one turns with the crank (blue, drawn through), one against it (orange, dashed). A counterweight can take the first part of order 1. Everything else needs a shaft, or a second cylinder that cancels it."},
		{"Order", "How often a force comes round in one turn of the crank. Order 2 comes twice."},
		{"≈ Estimates", "How many inputs of the crank train the engine file left out. Each was estimated by a rule that the sheet of the engine lists with its source."},
	}
}
