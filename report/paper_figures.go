package report

import (
	"math"
	"strings"

	"crankwright/draw"
)

// figures sets drawings two abreast, a wide one alone.
func (c *paper) figures(list []pageFigure) {
	for i := 0; i < len(list); {
		row := list[i : i+1]
		if i+1 < len(list) && !list[i].Wide && !list[i+1].Wide {
			row = list[i : i+2]
		}
		c.abreast(row)
		i += len(row)
	}
}

// figureBleed is how much of a drawing's own margin may stand outside its column, in units of the drawing.
const figureBleed = 14.0

func (c *paper) abreast(row []pageFigure) {
	var sets []setFigure
	high := 0.0
	for i, f := range row {
		s := c.setFigure(f, paperLeft+float64(i)*(paperHalf+paperGutter))
		sets = append(sets, s)
		high = math.Max(high, s.height)
	}
	c.add(block{height: high, before: 4, draw: func(at spot) {
		for _, s := range sets {
			s.draw(at)
		}
	}})
}

// setFigure is a drawing that has its place in a row.
type setFigure struct {
	figure          draw.Figure
	x, zoom, height float64
	caption         []string
	part            *draw.Part
}

// setFigure fits a drawing into a column that begins at x, or into the whole width.
func (c *paper) setFigure(f pageFigure, x float64) setFigure {
	const most = paperBottom - paperTop - 90 // a heading stays above it
	width, largest := paperHalf, 1.0
	if f.Wide {
		width, largest = paperFull, 0.8
	}
	zoom := math.Min(largest, width/math.Max(1, f.Figure.Width-2*figureBleed))
	if h := zoom * f.Figure.Height; h > most {
		zoom *= most / h
	}
	s := setFigure{figure: f.Figure, x: x, zoom: zoom, height: zoom * f.Figure.Height, part: c.sect.Add("Figure")}
	s.part.Alt = strings.TrimSpace(f.Figure.Title + ". " + f.Figure.Desc)
	if f.Caption != "" {
		s.caption = c.lines(smallStyle(), f.Caption, width)
		s.caption = s.caption[:min(len(s.caption), 8)]
		s.height += float64(len(s.caption)) * smallStyle().leading
	}
	return s
}

func (s setFigure) draw(at spot) {
	style := smallStyle()
	at.as(s.part)
	at.page.Place(s.figure, s.x-figureBleed*s.zoom, at.y, s.zoom)
	for i, l := range s.caption {
		at.page.Text(s.x, style.baseline(at.y+s.zoom*s.figure.Height+float64(i)*style.leading), l, style.font, style.ink)
	}
}

// beside sets sentences in the left column and a drawing in the right one, and tells whether they fit each other.
func (c *paper) beside(items []string, f pageFigure) bool {
	const most = 360.0
	t := plainStyle()
	if len(items) == 0 || f.Wide {
		return false
	}
	type item struct {
		lines []string
		part  *draw.Part
	}
	var set []item
	high := 0.0
	for _, text := range items {
		lines := c.lines(t, text, paperHalf-10)
		set = append(set, item{lines: lines})
		high += float64(len(lines))*t.leading + 2.2
	}
	if high > most || f.Figure.Height > f.Figure.Width*1.4 {
		return false
	}
	list := c.sect.Add("L")
	for i := range set {
		set[i].part = list.Add("LI").Add("LBody")
	}
	drawing := c.setFigure(f, paperLeft+paperHalf+paperGutter)
	c.add(block{height: math.Max(high, drawing.height), before: 6, draw: func(at spot) {
		y := at.y
		for _, i := range set {
			y += 2.2
			bullet(at, t, y)
			at.as(i.part)
			for _, l := range i.lines {
				at.page.Text(paperLeft+10, t.baseline(y), l, t.font, t.ink)
				y += t.leading
			}
		}
		drawing.draw(at)
	}})
	return true
}
