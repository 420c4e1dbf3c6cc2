package report

import (
	"crankwright/analysis"
	"crankwright/draw"
	"crankwright/explain"
)

// pageLasting is what an engine's sheet says of crank and bearings.
type pageLasting struct {
	Lead    string
	Facts   []pageFact
	Lines   []string
	Figures []pageFigure
	Caution string
}

// newPageLasting returns nil where crank and bearings were not asked for.
func newPageLasting(id string, r *analysis.Result) *pageLasting {
	l := r.Lasting
	if l == nil {
		return nil
	}
	p := &pageLasting{Caution: Caution}
	if r.Drive != nil {
		p.Lead = "Loads and films at " + rpmOf(r.Drive.Speed) + " rpm and " + loadShown(r.Drive) + ", vibration over the speeds that are run."
	}
	for _, e := range lastingEntries(l) {
		p.Facts = append(p.Facts, pageFact{capital(e.name), e.text})
	}
	names := []string{"room"}
	if l.Bearings != nil {
		p.Lines = append(p.Lines, explain.Bearings(l.Bearings)...)
		names = append(names, "polar-main", "film-orbit")
	}
	if l.Strength != nil {
		p.Lines = append(p.Lines, explain.Strength(l.Strength)...)
		names = append(names, "crank-strength")
	}
	if l.Torsion != nil {
		p.Lines = append(p.Lines, explain.Torsion(l.Torsion)...)
		names = append(names, "campbell", "torsion-stress")
	}
	for _, name := range names {
		e, err := draw.Find(name)
		if err != nil {
			continue
		}
		p.Figures = append(p.Figures, placed(e.Draw(e.Defaults, r), id+"-lasting-"+name))
	}
	return p
}
