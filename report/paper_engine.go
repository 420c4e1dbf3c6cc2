package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/draw"
)

// engine sets one engine's sheet, which begins a page.
func (c *paper) engine(e *pageEngine) {
	outer := c.sect
	c.sect = outer.Add("Sect")
	defer func() { c.sect = outer }()
	c.titleBlock(e)
	place := func(title, part string) { c.heading(2, title, e.ID+"-"+part) }
	place("In short", "short")
	large := plainStyle()
	large.font.Size, large.leading = 9.8, 13.6
	c.list(large, e.Summary)
	place("Crank train", "shape")
	c.figures(e.Shape)
	place("What shakes: orders 1 and 2", "stars")
	c.figures(e.Stars)
	place("Over the cycle", "cycle")
	c.figures(e.Cycle)
	place("Firing", "firing")
	c.figures(e.Fires)
	c.list(plainStyle(), e.Firing)
	c.drive(e)
	for i, chapter := range e.Chapters {
		c.chapter(chapter, fmt.Sprintf("%s-chapter-%d", e.ID, i+1))
	}
	place("Why each order is what it is", "why")
	for _, w := range e.Whys {
		c.heading(3, w.Title+": "+w.Result, "")
		for _, s := range w.Sections {
			c.heading(4, s.Heading, "")
			c.list(plainStyle(), s.Lines)
		}
	}
	place("All orders", "orders")
	c.orders(e)
	place("Estimates", "estimates")
	if len(e.Estimates) == 0 {
		c.paragraph(softStyle(), e.NoEstimates)
		return
	}
	c.lead(estimatesHint(len(e.Estimates)))
	c.estimates("Estimates of engine "+plain(float64(e.Number))+", "+e.Name, e.Estimates)
}

// titleBlock sets number and name of an engine above what it is.
func (c *paper) titleBlock(e *pageEngine) {
	t := paperStyle{draw.Font{Size: 15, Bold: true}, 19, draw.InkPlain}
	number := draw.Font{Size: 17, Bold: true}
	part := c.sect.Add("H2")
	title := e.Name
	if strings.TrimSpace(title) == "" {
		title = "unnamed engine"
	}
	count := plain(float64(e.Number))
	box := math.Max(40, number.Width(count)+20)
	lines := c.lines(t, title, paperFull-box-24)
	if most := 6; len(lines) > most { // a name, not a story
		lines = append(lines[:most-1], t.font.Cut(strings.Join(lines[most-1:], " "), paperFull-box-24))
	}
	h := float64(len(lines))*t.leading + 14
	c.target(1, count+"  "+title, e.ID)
	c.add(block{height: h, keep: true, fresh: true, target: e.ID, section: count + "  " + title, draw: func(s spot) {
		s.page.As(nil)
		s.page.Fill(paperLeft, s.y, box, h, draw.InkPlain)
		s.page.Frame(paperLeft, s.y, paperFull, h, 1.5, draw.InkPlain)
		s.page.Text(paperLeft+(box-number.Width(count))/2, s.y+h/2+6, count, number, draw.InkPaper)
		s.as(part)
		for i, l := range lines {
			s.page.Text(paperLeft+box+12, t.baseline(s.y+7+float64(i)*t.leading), l, t.font, t.ink)
		}
	}})
	c.facts(e.Facts, true)
}

// drive sets what is known of gas and torque.
func (c *paper) drive(e *pageEngine) {
	d := e.Drive
	if d == nil {
		return
	}
	c.heading(2, "Torque", e.ID+"-torque")
	if d.Missing != "" {
		c.paragraph(softStyle(), d.Missing)
		return
	}
	c.lead(d.Lead)
	c.facts(d.Facts, false)
	c.list(plainStyle(), d.Notes)
	c.figures(d.Figures)
	if len(d.Assumed) > 0 {
		c.heading(3, "What torque, bearings and shaft assume", "")
		c.lead(assumedHint)
		c.estimates("", d.Assumed)
	}
	c.ownCaution(d.Caution)
}

// chapter sets a chapter that was asked for.
func (c *paper) chapter(p *pageChapter, target string) {
	c.heading(2, p.Title, target)
	c.lead(p.Lead)
	c.facts(p.Facts, false)
	if len(p.Figures) != 1 || len(p.Tables) > 0 || !c.beside(p.Lines, p.Figures[0]) {
		c.list(plainStyle(), p.Lines)
		for _, t := range p.Tables {
			c.plainTable(t)
		}
		c.figures(p.Figures)
	}
	c.paragraph(softStyle(), p.Rule)
	if len(p.Assumed) > 0 {
		c.heading(3, "Assumed of "+p.About, "")
		c.estimates("", p.Assumed)
	}
	c.ownCaution(p.Caution)
}

// ownCaution sets a caution that is more than what stands at the foot of every page.
func (c *paper) ownCaution(text string) {
	if text != Caution {
		c.caution(text)
	}
}

// estimates sets values that a file leaves out.
func (c *paper) estimates(caption string, list []pageEstimate) {
	t := tableStyle()
	bold, code := t, t
	bold.font.Bold = true
	code.font = draw.Font{Size: 6.8, Mono: true}
	table := paperTable{
		caption: caption, right: make([]bool, 4), widths: []float64{130, 88, 166, paperFull - 384},
		heads: [][]paperCell{{cellOf("Key", bold), cellOf("Value", bold), cellOf("Rule", bold), cellOf("Source", bold)}},
	}
	for _, e := range list {
		table.rows = append(table.rows, paperRow{cells: []paperCell{cellOf(e.Key, code), cellOf(e.Shown, t), cellOf(e.Rule, t), cellOf(e.Source, t)}})
	}
	c.table(table)
}

// orders sets the table of all orders.
func (c *paper) orders(e *pageEngine) {
	c.lead(ordersHint + e.TwoMass)
	if len(e.Orders) == 0 {
		c.paragraph(softStyle(), noOrders)
		return
	}
	t := tableStyle()
	t.font.Size = 6.9
	bold := t
	bold.font.Bold = true
	spanned := func(text string) paperCell {
		cell := cellOf(text, bold)
		cell.span, cell.left = 5, true
		return cell
	}
	const first, last = 30.0, 52.0
	each := (paperFull - first - 2*last) / 10
	table := paperTable{
		caption: "Orders of engine " + plain(float64(e.Number)) + ", " + e.Name,
		right:   append([]bool{false}, slices.Repeat([]bool{true}, 12)...),
		widths:  append(append([]float64{first}, slices.Repeat([]float64{each}, 10)...), last, last),
		heads:   [][]paperCell{{cellOf("", bold), spanned("Force on the block, N"), spanned("Moment on the block, N\u00a0m"), cellOf("Roll", bold), cellOf("Inertia", bold)}},
		lined:   []int{1, 6, 11},
	}
	names := []paperCell{cellOf("Order", bold)}
	for range 2 {
		for _, n := range []string{"with", "against", "most", "least", "along"} {
			names = append(names, cellOf(n, bold))
		}
	}
	table.heads = append(table.heads, append(names, cellOf("moment, N\u00a0m", bold), cellOf("torque, N\u00a0m", bold)))
	for _, o := range e.Orders {
		row := []paperCell{cellOf(o.Order, bold)}
		for _, p := range []pagePair{o.Force, o.Moment} {
			for _, text := range []string{p.With, p.Against, p.Major, p.Minor, p.Axis} {
				row = append(row, cellOf(text, t))
			}
		}
		table.rows = append(table.rows, paperRow{cells: append(row, cellOf(o.Roll, t), cellOf(o.Torque, t))})
	}
	c.table(table)
}
