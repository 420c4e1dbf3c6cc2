package report

import (
	"crankwright/analysis"
	"crankwright/draw"
	"crankwright/explain"
)

// pageSpace is what an engine's sheet says of room and mass.
type pageSpace struct {
	Facts   []pageFact
	Lines   []string
	Figures []pageFigure
	Assumed []pageEstimate
	Caution string
}

// newPageSpace returns nil where room and mass were not asked for.
func newPageSpace(id string, r *analysis.Result) *pageSpace {
	if r.Space == nil && r.NoSpace == "" {
		return nil
	}
	p := &pageSpace{Caution: Caution}
	if r.Space == nil {
		p.Lines = []string{"Not known: " + r.NoSpace + "."}
		return p
	}
	for _, e := range spaceEntries(NewSpaceDoc(r.Train, r.Space, false)) {
		p.Facts = append(p.Facts, pageFact{capital(e.name), e.text})
	}
	p.Lines = unbroken(explain.Space(r.Train, r.Space))
	for _, name := range []string{"three-views", "length-over-bore"} {
		if e, err := draw.Find(name); err == nil {
			p.Figures = append(p.Figures, placed(e.Draw(e.Defaults, r), id+"-space-"+name))
		}
	}
	for _, a := range assumedOf(r.Train, "block") {
		p.Assumed = append(p.Assumed, pageEstimate{Key: a.Key, Shown: a.Shown, Rule: a.Rule, Source: cited(a.Source)})
	}
	return p
}

// space writes the outer sizes and the mass of an engine, where they were asked for.
func (s *sheet) space(r *analysis.Result) {
	if r.Space == nil && r.NoSpace == "" {
		return
	}
	s.heading("Room and mass")
	if r.Space == nil {
		s.entries([]entry{{"room and mass", "not known: " + r.NoSpace}})
		return
	}
	s.entries(spaceEntries(NewSpaceDoc(r.Train, r.Space, false))[:5])
}
