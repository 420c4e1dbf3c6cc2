package report

import (
	"fmt"
	"html/template"
	"slices"
	"strings"

	"crankwright/analysis"
	"crankwright/draw"
	"crankwright/num"
)

// shownAt is the crank angle of the views: a little past the first throw's upright position, so that
// rods and webs do not hide each other.
const shownAt = num.Turn / 12

// placed gives a figure an id of its own on the page.
func placed(f draw.Figure, id string) pageFigure {
	f = f.WithID(id)
	return pageFigure{Figure: f, Drawing: template.HTML(f.Inline())} // draw escapes all text
}

// figures draws an engine.
func (e *pageEngine) figures(r *analysis.Result) {
	place := func(to *[]pageFigure, part string, f draw.Figure) { *to = append(*to, placed(f, e.ID+"-"+part)) }

	place(&e.Shape, "end", draw.EndView(r, shownAt))
	place(&e.Shape, "side", draw.SideView(r, shownAt))

	for _, k := range []int{2, 4} {
		o := r.Order(k)
		place(&e.Stars, fmt.Sprintf("star-force-%d", k/2), draw.PhasorStar(r, k, draw.Force))
		if o.Moment.Ellipse.Major > 0 {
			place(&e.Stars, fmt.Sprintf("star-moment-%d", k/2), draw.PhasorStar(r, k, draw.Moment))
		}
	}

	place(&e.Cycle, "orders-drawn", draw.OrderBars(r))
	place(&e.Cycle, "torque", draw.TorqueCurve(r))
	if r.Peaks.Force > 0 {
		place(&e.Cycle, "force", draw.Resultant(r, draw.Force))
	}
	if r.Peaks.Moment > 0 {
		place(&e.Cycle, "moment", draw.Resultant(r, draw.Moment))
	}

	place(&e.Fires, "wheel", draw.FiringWheel(r))
	place(&e.Fires, "strip", draw.FiringStrip(r))
}

// barsPerDrawing is how many bars a drawing may have before it is too tall for a printed page.
const barsPerDrawing = 48

// barFigures draws the figures by which engines are compared, each on a scale of its own, a few to a
// drawing.
func barFigures(rs []*analysis.Result) []pageFigure {
	groups, names := draw.GroupsOf(rs)
	each := max(1, min((len(groups)+1)/2, barsPerDrawing/len(names)))
	var out []pageFigure
	for some := range slices.Chunk(groups, each) {
		f := draw.ComparisonBars(some, names)
		var labels []string
		for _, g := range some {
			labels = append(labels, g.Label)
		}
		f.Title = strings.Join(labels, "; ") + ": " + counted(len(names), "engine", "engines")
		out = append(out, placed(f, fmt.Sprintf("bars-%d", len(out)+1)))
	}
	return out
}
