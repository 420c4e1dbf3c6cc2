package report

import (
	"crankwright/analysis"
	"crankwright/draw"
	"crankwright/explain"
	"crankwright/mechanics/parts"
	"crankwright/num"
)

// pageChapter is what an engine's sheet says of a chapter that is there only where it was asked for.
type pageChapter struct {
	Title, Lead string
	Facts       []pageFact
	Lines       []string
	Tables      []plainTable
	Figures     []pageFigure
	Rule        string
	About       string // what Assumed are values of
	Assumed     []pageEstimate
	Caution     string
}

// pageChapters are the chapters of an engine that were asked for.
func pageChapters(id string, r *analysis.Result) []*pageChapter {
	var out []*pageChapter
	for _, chapter := range []func(string, *analysis.Result) *pageChapter{lastingChapter, mountsChapter, spaceChapter, partsChapter} {
		if c := chapter(id, r); c != nil {
			out = append(out, c)
		}
	}
	return out
}

// newChapter begins a chapter; where it is not known, it says why.
func newChapter(title, why string, facts []entry) *pageChapter {
	c := &pageChapter{Title: title, Caution: Caution}
	if why != "" {
		c.Lines = []string{"Not known: " + why + "."}
	}
	for _, e := range facts {
		c.Facts = append(c.Facts, pageFact{num.Capital(e.name), e.text})
	}
	return c
}

// draw adds figures that package draw knows.
func (c *pageChapter) draw(id string, r *analysis.Result, names ...string) {
	for _, name := range names {
		if e, err := draw.Find(name); err == nil {
			c.Figures = append(c.Figures, placed(e.Draw(e.Defaults, r), id+"-"+name))
		}
	}
}

// assume lists what the file leaves out.
func (c *pageChapter) assume(about string, list []EstimateDoc) {
	c.About = about
	for _, a := range list {
		c.Assumed = append(c.Assumed, estimateOnPage(a))
	}
}

func lastingChapter(id string, r *analysis.Result) *pageChapter {
	l := r.Lasting
	if l == nil {
		return nil
	}
	c := newChapter("Crank and bearings", "", lastingEntries(l))
	if r.Drive != nil {
		c.Lead = "Loads and films at " + rpmOf(r.Drive.Speed) + " rpm and " + loadShown(r.Drive) + ", vibration over the speeds that are run."
	}
	names := []string{"room"}
	if l.Bearings != nil {
		c.Lines = append(c.Lines, explain.Bearings(l.Bearings)...)
		names = append(names, "polar-main", "film-orbit")
	}
	if l.Strength != nil {
		c.Lines = append(c.Lines, explain.Strength(l.Strength)...)
		names = append(names, "crank-strength")
	}
	if l.Torsion != nil {
		c.Lines = append(c.Lines, explain.Torsion(l.Torsion)...)
		names = append(names, "campbell", "torsion-stress")
	}
	c.draw(id+"-lasting", r, names...)
	return c
}

func mountsChapter(id string, r *analysis.Result) *pageChapter {
	const title = "Mounts and people"
	m := r.Mounts
	switch {
	case m == nil && r.NoMounts == "":
		return nil
	case m == nil:
		return newChapter(title, r.NoMounts, nil)
	}
	c := newChapter(title, "", mountEntries(m))
	c.Lines = unbroken(explain.Mounts(m))
	if len(r.Train.Mounting.Receivers) > 0 {
		c.Caution = personCaution + " " + Caution
	}
	c.draw(id+"-mounts", r, "mount-forces")
	c.assume("mass and mounts", EstimateDocs(m.Assumed))
	return c
}

func spaceChapter(id string, r *analysis.Result) *pageChapter {
	const title = "Room and mass"
	switch {
	case r.Space == nil && r.NoSpace == "":
		return nil
	case r.Space == nil:
		return newChapter(title, r.NoSpace, nil)
	}
	c := newChapter(title, "", spaceEntries(NewSpaceDoc(r.Train, r.Space, false)))
	c.Lines = unbroken(explain.Space(r.Train, r.Space))
	c.draw(id+"-space", r, "three-views", "length-over-bore")
	c.assume("block and masses", assumedIn(r, "block"))
	return c
}

func partsChapter(id string, r *analysis.Result) *pageChapter {
	if r.Parts == nil {
		return nil
	}
	c := newChapter("Parts and cost", "", nil)
	c.Lines, c.Rule = explain.Parts(r.Parts), "Score of service: "+ServiceRule+"."
	if r.Parts.Cost != nil {
		c.Lines = append(append(c.Lines, explain.Cost(r.Parts.Cost)...), parts.Invented)
	}
	c.Tables = partsTables(id, NewPartsDoc(r, r.Parts), r.Parts.Cost)
	c.draw(id+"-parts", r, "cost-bars", "friction-parts")
	c.assume("the making", assumedIn(r, "making"))
	return c
}

// partsTables lists what an engine is made of, and what it costs where that is known.
func partsTables(id string, d *PartsDoc, cost *parts.Cost) []plainTable {
	t := plainTable{ID: id + "-parts-listed", Caption: "Parts of " + engineOf(id), Head: []plainHead{{Text: "Part"}, {Text: "Group"}, {Text: "Number", Number: true}, {Text: "Counted from", Wide: true}}}
	for _, p := range d.Parts {
		t.Rows = append(t.Rows, []string{p.Part, p.Group, amount(p.Count, p.Unit), p.From})
	}
	if cost == nil {
		return []plainTable{t}
	}
	c := NewCostDoc(d.Name, cost)
	priced := plainTable{ID: id + "-prices", Caption: "Cost of " + engineOf(id) + " in points by the table \"" + c.Prices + "\"", Head: []plainHead{
		{Text: "Part"}, {Text: "Number", Number: true}, {Text: "Points each", Number: true}, {Text: "Points per kg", Number: true}, {Text: "Points", Number: true}, {Text: "Share", Number: true},
	}}
	for _, r := range c.Rows {
		if r.Points == 0 {
			continue
		}
		priced.Rows = append(priced.Rows, []string{r.Part, amount(r.Count, r.Unit), num.Digits(r.Each, 4), num.Digits(r.PerKg, 4), num.Digits(r.Points, 4), num.Digits(r.SharePct, 3) + " %"})
	}
	return []plainTable{t, priced}
}
