package draw

import (
	"math"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// The measures that all figures share, in units of the drawing.
const (
	column = 480. // width of a figure
	margin = 16.

	sizeTitle = 16.
	sizeText  = 13.
	sizeSmall = 12. // the smallest: ten pixels on a screen of 390

	thin   = 1.
	normal = 1.6
	thick  = 2.6
)

// sheet is a figure in the making: a scene with a head, and notes to be set below it.
type sheet struct {
	scene
	id     string
	title  string
	desc   []string
	notes  []string
	bottom float64 // where the next thing may begin
}

// newSheet begins a figure with its title and, below, the engine and its speed.
func newSheet(id, title string, r *analysis.Result) *sheet {
	s := &sheet{id: id, title: title, bottom: 24}
	cut, full := fitted(title, column-2*margin, sizeTitle, true)
	s.text(label{at: point{margin, s.bottom}, text: cut, size: sizeTitle, bold: true, paint: ink, title: full})
	s.bottom += 8
	if r != nil && r.Train != nil {
		s.under(engineName(r.Train), " at "+revolutions(r.Speed))
		s.id += "-" + r.Train.Name
		s.say(title + " of " + engineName(r.Train) + " at " + revolutions(r.Speed) + ".")
	}
	return s
}

// under sets a second line below the title: a name that may be cut, and an end that may not.
func (s *sheet) under(name, rest string) {
	cut, full := fitted(name, column-2*margin-textWidth(rest, sizeSmall, false), sizeSmall, false)
	if full != "" {
		full += rest
	}
	s.text(label{at: point{margin, s.bottom + 10}, text: cut + rest, size: sizeSmall, paint: soft, title: full})
	s.bottom += 18
}

// engineName returns the name of the engine, never nothing.
func engineName(t *layout.Train) string {
	if name := strings.TrimSpace(t.Name); name != "" {
		return name
	}
	return "unnamed engine"
}

// say adds sentences to the description.
func (s *sheet) say(sentences ...string) {
	for _, t := range sentences {
		if t != "" {
			s.desc = append(s.desc, t)
		}
	}
}

// note adds a remark that stands below the figure and in its description.
func (s *sheet) note(text string) {
	s.notes = append(s.notes, text)
}

// figure sets the notes and ends the sheet.
func (s *sheet) figure() Figure {
	for _, n := range s.notes {
		for _, line := range wrapped(n, column-2*margin, sizeSmall) {
			s.bottom += 16
			s.text(label{at: point{margin, s.bottom}, text: line, size: sizeSmall, paint: soft})
		}
	}
	s.say(s.notes...)
	return Figure{
		ID: slug(s.id), Title: s.title, Desc: strings.Join(s.desc, " "),
		Width: column, Height: math.Ceil(s.bottom + 12), nodes: s.nodes,
	}
}

// empty ends a sheet that has nothing to show.
func (s *sheet) empty(why string) Figure {
	s.text(label{at: point{column / 2, s.bottom + 50}, text: why, size: sizeText, align: middle, paint: soft})
	s.say(why + ".")
	s.bottom += 84
	return s.figure()
}

// key is one entry of a legend: a sample of the line and what it is.
type key struct {
	look  look
	name  string
	shape func(s *scene, at point) // draws the sample instead of a line; may be nil
}

// legend sets entries in rows from the left, as many as fit.
func (s *sheet) legend(keys []key) {
	if len(keys) == 0 {
		return
	}
	const sample, gap, after = 26., 6., 18.
	x, y := margin, s.bottom+16
	for _, k := range keys {
		name, full := fitted(k.name, column-2*margin-sample-gap, sizeSmall, false)
		w := sample + gap + textWidth(name, sizeSmall, false)
		if x > margin && x+w > column-margin {
			x, y = margin, y+18
		}
		if k.shape != nil {
			k.shape(&s.scene, point{x + sample/2, y - 4})
		} else {
			s.line(point{x, y - 4}, point{x + sample, y - 4}, k.look)
		}
		s.text(label{at: point{x + sample + gap, y}, text: name, size: sizeSmall, paint: ink, title: full})
		x += w + after
	}
	s.bottom = y + 4
}

// plot is a pair of axes: crank angle to the right, a quantity upwards.
type plot struct {
	x, y, w, h float64
	period     num.Angle
	low, high  float64
}

// at returns the place of a value.
func (p plot) at(θ num.Angle, v float64) point {
	f := 0.5
	if p.high > p.low {
		f = (v - p.low) / (p.high - p.low)
	}
	return point{p.x + p.w*float64(θ/p.period), p.y + p.h*(1-f)}
}

// newPlot chooses round limits for values from low to high and draws grid, axes and their names.
func (s *sheet) newPlot(y, h float64, period num.Angle, low, high float64, name, unit string) plot {
	low, high = math.Min(0, low), math.Max(0, high)
	if !(high-low > nothing) {
		high = low + 1
	}
	step := niceStep(high-low, 4)
	p := plot{
		x: 58, y: y, w: column - 58 - margin, h: h, period: period,
		low: step * math.Floor(low/step+1e-9), high: step * math.Ceil(high/step-1e-9),
	}
	factor, prefix := prefixFor(math.Max(math.Abs(p.low), p.high))
	for i := range int(math.Round((p.high-p.low)/step)) + 1 {
		v := p.low + float64(i)*step
		at := p.at(0, v)
		s.line(at, point{p.x + p.w, at.y}, pen(rule, thin))
		s.text(label{at: point{p.x - 8, at.y + 4}, text: digits(roundTo(v, step) / factor), size: sizeSmall, align: end, paint: soft})
	}
	for i := range 5 {
		θ := period * num.Angle(i) / 4
		at := p.at(θ, p.low)
		s.line(point{at.x, p.y}, at, pen(rule, thin))
		s.line(at, point{at.x, at.y + 4}, pen(soft, thin))
		a := middle
		if i == 4 {
			a = end
			at.x += 8
		}
		s.text(label{at: point{at.x, at.y + 18}, text: degrees(θ), size: sizeSmall, align: a, paint: soft})
	}
	zero := p.at(0, 0)
	s.line(zero, point{p.x + p.w, zero.y}, pen(soft, 1.2))
	s.text(label{at: point{margin, y - 10}, text: name + " in " + prefix + unit, size: sizeSmall, paint: ink})
	s.text(label{at: point{p.x + p.w, y + h + 34}, text: "crank angle θ", size: sizeSmall, align: end, paint: soft})
	s.bottom = y + h + 38
	return p
}

func roundTo(v, step float64) float64 { return step * math.Round(v/step) }

// curve returns the samples of a quantity as a line, up to the end of the period.
func (p plot) curve(angles []num.Angle, values []float64) polygon {
	g := polygon{open: true}
	for j, θ := range angles {
		if j < len(values) && θ <= p.period+1e-9 && finite(values[j]) {
			g.points = append(g.points, p.at(θ, values[j]))
		}
	}
	if len(values) > 0 && finite(values[0]) && len(g.points) > 0 && g.points[len(g.points)-1].x < p.x+p.w-0.01 {
		g.points = append(g.points, p.at(p.period, values[0])) // it is periodic
	}
	return thinned(g)
}

// thinned drops points that change nothing that can be seen.
func thinned(g polygon) polygon {
	if len(g.points) < 3 {
		return g
	}
	out := g.points[:1:1]
	from := 0
	for i := 2; i < len(g.points); i++ {
		a, b := g.points[from], g.points[i]
		n := b.minus(a).unit().left()
		for _, p := range g.points[from+1 : i] {
			d := p.minus(a)
			along := d.y*n.x - d.x*n.y // n is to the left of the chord
			if math.Abs(d.x*n.x+d.y*n.y) > 0.06 || along < -0.06 || along > b.minus(a).length()+0.06 {
				from = i - 1
				out = append(out, g.points[from])
				break
			}
		}
	}
	return polygon{points: append(out, g.points[len(g.points)-1]), open: g.open}
}

// periodOf returns one turn where no half order occurs in an orbit or series of half orders, else two.
func periodOf(parts ...[]complex128) num.Angle {
	for _, p := range parts {
		for k := 1; k < len(p); k += 2 {
			if p[k] != 0 {
				return 2 * num.Turn
			}
		}
	}
	return num.Turn
}
