package report

import (
	"crankwright/analysis"
	"crankwright/draw"
	"crankwright/explain"
)

// pageParts is what an engine's sheet says of parts and cost.
type pageParts struct {
	Lines   []string
	Figures []pageFigure
	Rule    string
}

// newPageParts returns nil where parts were not asked for.
func newPageParts(id string, r *analysis.Result) *pageParts {
	if r.Parts == nil {
		return nil
	}
	p := &pageParts{Lines: explain.Parts(r.Parts), Rule: "Score of service: " + ServiceRule + "."}
	names := []string{"cost-bars", "friction-parts"}
	if r.Parts.Cost != nil {
		p.Lines = append(p.Lines, explain.Cost(r.Parts.Cost)...)
	}
	for _, name := range names {
		e, err := draw.Find(name)
		if err != nil {
			continue
		}
		p.Figures = append(p.Figures, placed(e.Draw(e.Defaults, r), id+"-parts-"+name))
	}
	return p
}
