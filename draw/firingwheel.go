package draw

import (
	"math"
	"slices"

	"crankwright/analysis"
	"crankwright/mechanics/firing"
	"crankwright/num"
)

// bankMark draws the marker of a bank: disc, square, triangle, diamond, then the same hollow.
func bankMark(s *scene, bank int, c point, r float64) {
	p := bankPaint(bank)
	l := pen(p, 1.4).filled(p)
	if bank/4%2 == 1 {
		l.fill = paper
	}
	switch ((bank % 4) + 4) % 4 {
	case 0:
		s.add(circle{c, r}, l)
	case 1:
		s.add(rectangle(c.x-0.9*r, c.y-0.9*r, 1.8*r, 1.8*r), l)
	case 2:
		s.add(polygon{points: []point{{c.x, c.y - 1.25*r}, {c.x + 1.15*r, c.y + 0.85*r}, {c.x - 1.15*r, c.y + 0.85*r}}}, l)
	default:
		s.add(polygon{points: []point{{c.x, c.y - 1.35*r}, {c.x + 1.35*r, c.y}, {c.x, c.y + 1.35*r}, {c.x - 1.35*r, c.y}}}, l)
	}
}

// bankName names a bank of a result.
func bankName(r *analysis.Result, bank int) string {
	if bank >= 0 && bank < len(r.Train.Banks) && r.Train.Banks[bank].Name != "" {
		return "bank " + r.Train.Banks[bank].Name
	}
	return "bank " + count(bank+1)
}

// bankKeys are the legend of the banks, nil where there is one.
func bankKeys(r *analysis.Result) []key {
	if len(r.Train.Banks) < 2 {
		return nil
	}
	var keys []key
	for i := range r.Train.Banks {
		keys = append(keys, key{name: bankName(r, i), shape: func(s *scene, at point) { bankMark(s, i, at, 5) }})
	}
	return keys
}

// firingWords says what the firing is like.
func firingWords(r *analysis.Result) []string {
	f := r.Firing
	words := []string{"Firing order " + f.Label(firing.Names(r.Train)) + " over " + degrees(f.Cycle.Period()) + "."}
	if even(f) {
		return append(words, "It fires evenly, every "+degrees(f.Mean())+".")
	}
	var list []string
	for i, a := range f.Intervals {
		if i == 24 {
			list = append(list, "and so on")
			break
		}
		list = append(list, degrees(a))
	}
	return append(words, "Intervals: "+num.List(list, "and")+".")
}

func even(f firing.Schedule) bool {
	for _, a := range f.Intervals {
		if math.Abs(float64(a-f.Mean())) > float64(firing.EvenTolerance) {
			return false
		}
	}
	return true
}

// FiringWheel shows one working cycle as a circle, clockwise from the top, with every firing, the
// intervals between them, and a marker shape for each bank.
//
//   - r: a result
//
// Result [-]. Definition.
func FiringWheel(r *analysis.Result) Figure {
	s := newSheet("firing-wheel", "Firing over one cycle of "+degrees(r.Train.Cycle.Period()), r)
	f := r.Firing
	if len(f.Order) == 0 || len(f.At) != len(f.Order) {
		return s.empty("The firing is not known")
	}
	s.say(firingWords(r)...)
	const r0 = 122.
	c := point{column / 2, s.bottom + 62 + r0}
	period := f.Cycle.Period()
	place := func(θ num.Angle, r float64) point {
		sin, cos := math.Sincos(2 * math.Pi * float64(θ/period))
		return point{c.x + r*sin, c.y - r*cos}
	}
	s.add(circle{c, r0}, pen(ink, normal))
	for i := range 8 {
		θ := period * num.Angle(i) / 8
		length := 4.
		if i%2 == 0 {
			length = 7
		}
		s.line(place(θ, r0-length), place(θ, r0), pen(soft, thin))
	}
	s.turning(c, r0-56, math.Pi/2-0.35, -0.9, pen(soft, thin), 8)

	labels := placer{limit: box{2, s.bottom, column - 2, c.y + r0 + 62}}
	n := len(f.Order)
	names := firing.Names(r.Train)
	size := 6.
	if n > 24 {
		size = 4
	}
	s.group("firings", "Firings", "", func(g *scene) {
		var later []func()
		for k := 0; k < n; {
			together := []int{f.Order[k]}
			for k+len(together) < n && math.Abs(float64(f.Intervals[k+len(together)-1])) < float64(firing.Together) {
				together = append(together, f.Order[k+len(together)])
			}
			at := f.At[k]
			var named []string
			for j, cyl := range together {
				named = append(named, names[cyl])
				p := place(at, r0-2.2*size*float64(j))
				bankMark(g, r.Train.Cylinders[cyl].Bank, p, size)
				labels.keepFree(box{p.x - size, p.y - size, p.x + size, p.y + size})
			}
			u := place(at, 1).minus(c)
			l := label{text: few(named, 6), size: sizeTitle, bold: true, align: middle, paint: ink}
			if n > 14 {
				l.size = sizeText
			}
			later = append(later, func() { labels.try(g, l, outwards(place(at, r0+size+2), u, l)) })
			k += len(together)
		}
		for _, set := range later {
			set()
		}
		for i := range 4 {
			θ := period * num.Angle(i) / 4
			at := place(θ, r0+2)
			l := label{text: degrees(θ), size: sizeSmall, align: middle, paint: soft}
			labels.try(g, l, outwards(at, at.minus(c).unit(), l)[:1])
		}
		wheelIntervals(g, f, place, c, r0-20)
	})
	s.wheelCentre(f, c)
	s.bottom = c.y + r0 + 44
	s.legend(bankKeys(r))
	return s.figure()
}

// wheelIntervals draws the intervals inside the ring as dimension arcs, where there are few enough.
func wheelIntervals(g *scene, f firing.Schedule, place func(num.Angle, float64) point, c point, r float64) {
	if len(f.Order) < 2 || len(f.Order) > 18 {
		return
	}
	l := pen(soft, thin)
	for k, a := range f.Intervals {
		if a < firing.Together {
			continue
		}
		from, to := f.At[k], f.At[k]+a
		turn := func(θ num.Angle) float64 { return math.Pi/2 - 2*math.Pi*float64(θ/f.Cycle.Period()) }
		g.line(place(from, r-5), place(from, r+6), l)
		text := label{text: degrees(a), size: sizeSmall, align: middle, paint: ink}
		length := 2 * math.Pi * r * float64(a/f.Cycle.Period())
		room := textWidth(text.text, sizeSmall, false) + 6
		mid := place(from+a/2, r)
		if length < room+14 {
			continue
		}
		gap := room / 2 / r
		middleTurn := turn(from + a/2)
		g.turning(c, r, middleTurn+gap, turn(from)-middleTurn-gap, l, 6)
		g.turning(c, r, middleTurn-gap, turn(to)-middleTurn+gap, l, 6)
		text.at = point{mid.x, mid.y + 4}
		g.text(text)
	}
}

// wheelCentre says in the middle what the intervals are.
func (s *sheet) wheelCentre(f firing.Schedule, c point) {
	lines := []string{"even", "every " + degrees(f.Mean())}
	switch {
	case len(f.Order) == 1:
		lines = []string{"one firing", "every " + degrees(f.Mean())}
	case !even(f):
		shortest, longest := slices.Min(f.Intervals), slices.Max(f.Intervals)
		lines = []string{"uneven", degrees(shortest) + " to " + degrees(longest)}
	}
	for i, t := range lines {
		s.text(label{at: point{c.x, c.y - 2 + 18*float64(i)}, text: t, size: sizeText, bold: i == 0, align: middle, paint: ink})
	}
}
