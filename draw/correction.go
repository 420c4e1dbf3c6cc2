package draw

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"crankwright/mechanics/balance"
)

// UnbalanceCorrection shows how a measured unbalance is taken away: for each plane a disc seen from the
// drive end, with what was measured, the holes to scale of their depth, what is left and what may be left.
//
//   - name: of the job [-]
//   - planes, sites: as given to balance.Correct
//   - c: its result
//
// Result [-]. A site stands on the disc of the nearer plane. Arrows and circles of unbalance have a scale
// of their own, the same for both planes. Definition.
func UnbalanceCorrection(name string, planes [2]balance.Plane, sites []balance.Site, c *balance.Correction) Figure {
	s := newSheet("unbalance-correction", "Unbalance and its correction", nil)
	if name == "" {
		name = "unnamed rotor"
	}
	s.under(name, ", seen from the drive end")
	s.id += "-" + name
	s.say("Unbalance of " + name + " in two planes and its correction.")
	v := correctionView{r0: 84, planes: planes, sites: sites, c: c, used: map[int]balance.Use{}, numbers: map[int]int{}}
	for i, u := range c.Uses {
		v.used[u.Site], v.numbers[u.Site] = u, i+1
	}
	v.scales()
	top := s.bottom + 24
	for i, p := range planes {
		centre := point{column/4 + float64(i)*column/2, top + 34 + v.r0}
		v.disc(s, i, centre)
		heading, full := fitted("Plane "+p.Name, column/2-2*margin, sizeText, true)
		s.text(label{at: point{centre.x, top}, text: heading, size: sizeText, bold: true, align: middle, paint: ink, title: full})
		v.words(s, i, point{centre.x, centre.y + v.r0 + 46})
	}
	s.bottom = top + 34 + 2*v.r0 + 46 + 52
	v.list(s)
	s.legend([]key{
		{name: "measured, heavy side", look: pen(against, thick).in(dashed)},
		{name: "left", look: pen(with, thick)},
		{name: "permissible", look: pen(third, normal).in(dotted)},
		{name: "hole, used", shape: func(s *scene, at point) { s.rect(at.x-11, at.y-4, 22, 8, pen(ink, thin).filled(steel)) }},
		{name: "not used", shape: func(s *scene, at point) { s.rect(at.x-11, at.y-4, 22, 8, pen(soft, thin).in(dotted)) }},
	})
	s.note("Holes are to scale in radius, diameter and depth of a radial hole; arrows of unbalance have a scale of their own.")
	return s.figure()
}

// correctionView is what both discs share.
type correctionView struct {
	r0      float64
	planes  [2]balance.Plane
	sites   []balance.Site
	c       *balance.Correction
	used    map[int]balance.Use
	numbers map[int]int // of the used sites, from 1
	metre   float64     // paper units per metre
	amount  float64     // paper units per kg m
}

func (v *correctionView) scales() {
	reach, most := 1e-3, 0.0
	for _, s := range v.sites {
		r := s.Radius
		if s.Kind != balance.RadialHole {
			r += s.Diameter/2 + 0.1*s.Radius
		}
		reach = math.Max(reach, r)
	}
	for i, p := range v.planes {
		most = math.Max(most, math.Max(p.Amount, cmplx.Abs(v.c.Left[i])))
	}
	v.metre = v.r0 / reach
	if most > 0 {
		v.amount = 0.8 * v.r0 / most
	}
}

// plane returns on which disc a site stands.
func (v *correctionView) plane(s balance.Site) int {
	if math.Abs(s.At-v.planes[1].At) < math.Abs(s.At-v.planes[0].At) {
		return 1
	}
	return 0
}

func (v *correctionView) disc(s *sheet, i int, c point) {
	p := v.planes[i]
	s.group("plane", "Plane "+p.Name, "", func(g *scene) {
		g.add(circle{c, v.r0}, pen(soft, normal).filled(band))
		g.line(point{c.x - v.r0, c.y}, point{c.x + v.r0, c.y}, pen(rule, thin).in(chain))
		g.line(point{c.x, c.y - v.r0}, point{c.x, c.y + v.r0}, pen(rule, thin).in(chain))
		labels := placer{limit: box{c.x - column/4 + 2, c.y - v.r0 - 30, c.x + column/4 - 2, c.y + v.r0 + 30}}
		for j, site := range v.sites {
			if v.plane(site) == i {
				v.hole(g, c, j)
			}
		}
		if r := p.Permissible * v.amount; r > 0.5 && r < v.r0 {
			g.add(circle{c, r}, pen(third, normal).in(dotted))
		}
		arrow := func(w complex128, l look) {
			tip := c.plus(onPaper(1i * w).times(v.amount))
			labels.keepLineFree(c, tip, 4)
			g.arrow(c, tip, l)
		}
		arrow(complex(p.Amount, 0)*p.Angle.Unit(), pen(against, thick).in(dashed))
		arrow(v.c.Left[i], pen(with, thick))
		g.add(circle{c, 2.5}, solid(ink))
		for j, site := range v.sites {
			if _, ok := v.used[j]; ok && v.plane(site) == i {
				v.number(g, &labels, c, j)
			}
		}
	})
}

// hole draws a site: its limit dotted, what is used of it filled.
func (v *correctionView) hole(g *scene, c point, j int) {
	s := v.sites[j]
	u, used := v.used[j]
	d := onPaper(1i * s.Angle.Unit())
	title := s.Name + ": not used"
	if used {
		title = s.Name + ": " + sizeWords(s, u)
	}
	limit, done := pen(soft, thin).in(dotted), pen(ink, thin).filled(steel)
	if s.Adds {
		done = pen(ink, thin).filled(ink)
	}
	half := math.Max(2, s.Diameter/2*v.metre)
	slot := func(depth float64) polygon {
		a, b := c.plus(d.times(s.Radius*v.metre)), c.plus(d.times((s.Radius-depth)*v.metre))
		n := d.left().times(half)
		return polygon{points: []point{a.plus(n), a.minus(n), b.minus(n), b.plus(n)}}
	}
	at := c.plus(d.times(s.Radius * v.metre))
	switch s.Kind {
	case balance.RadialHole:
		g.titled(slot(s.Deepest), limit, title)
		if used {
			g.titled(slot(u.Size), done, title)
		}
	case balance.AxialHole:
		g.titled(circle{at, half}, limit, title)
		if used {
			g.titled(circle{at, half}, done, title)
		}
	case balance.PlainMass:
		square := rectangle(at.x-4, at.y-4, 8, 8)
		g.titled(square, limit, title)
		if used {
			g.titled(square, done, title)
		}
	}
}

// number sets the number of a site beside its hole.
func (v *correctionView) number(g *scene, labels *placer, c point, j int) {
	s := v.sites[j]
	d := onPaper(1i * s.Angle.Unit())
	rim := c.plus(d.times((s.Radius + s.Diameter/4) * v.metre))
	labels.try(g, label{text: count(v.numbers[j]), size: sizeSmall, bold: true, align: middle, paint: ink, halo: true},
		outwards(rim, d, label{text: "00", size: sizeSmall, bold: true}))
}

// list says what is done at the sites that are used, a line each.
func (v *correctionView) list(s *sheet) {
	for j, site := range v.sites {
		u, ok := v.used[j]
		if !ok {
			continue
		}
		name := strings.TrimSpace(site.Name)
		if name == "" {
			name = site.Way()
		}
		text := fmt.Sprintf(" %s: %s, at %s", name, sizeWords(site, u), degrees(site.Angle))
		cut, full := fitted(text, column-2*margin-20, sizeSmall, false)
		s.bottom += 16
		s.text(label{at: point{margin + 14, s.bottom}, text: count(v.numbers[j]), size: sizeSmall, bold: true, align: end, paint: ink})
		s.text(label{at: point{margin + 16, s.bottom}, text: cut, size: sizeSmall, paint: ink, title: full})
		s.say(strings.TrimSpace(text) + ".")
	}
	s.bottom += 6
}

// sizeWords says what is done at a site.
func sizeWords(s balance.Site, u balance.Use) string {
	switch {
	case s.Kind == balance.PlainMass && s.Adds:
		return "add " + digits(1e3*u.Size) + " g"
	case s.Kind == balance.PlainMass:
		return "take off " + digits(1e3*u.Size) + " g"
	case s.Adds:
		return "slug of " + millimetres(s.Diameter) + ", " + millimetres(u.Size) + " long"
	default:
		return "hole of " + millimetres(s.Diameter) + ", " + millimetres(u.Size) + " deep"
	}
}

func (v *correctionView) words(s *sheet, i int, at point) {
	p := v.planes[i]
	gmm := func(u float64) string { return digits(1e6*u) + " g mm" }
	left := cmplx.Abs(v.c.Left[i])
	verdict := "within the permissible " + gmm(p.Permissible)
	if !v.c.Within[i] {
		verdict = "above the permissible " + gmm(p.Permissible)
	}
	lines := []string{"measured " + gmm(p.Amount) + " at " + degrees(p.Angle), "left " + gmm(left), verdict}
	for k, text := range lines {
		s.text(label{at: point{at.x, at.y + 17*float64(k)}, text: text, size: sizeSmall, bold: k == 1, align: middle, paint: ink})
	}
	s.say(fmt.Sprintf("Plane %s: %s, %s, %s.", p.Name, lines[0], lines[1], lines[2]))
}
