package draw

import (
	"math"

	"crankwright/analysis"
	"crankwright/mechanics/firing"
	"crankwright/num"
)

// FiringStrip shows one working cycle from left to right: a row for each cylinder with its pulse,
// gathered by exhaust groups, and below them the pulses of the whole engine with their intervals.
//
//   - r: a result
//
// Result [-]. The shape of a pulse is a sign, not a pressure. Definition.
func FiringStrip(r *analysis.Result) Figure {
	s := newSheet("firing-strip", "Firing over "+degrees(r.Train.Cycle.Period())+" by exhaust group", r)
	f := r.Firing
	if len(f.Order) == 0 || len(f.At) != len(f.Order) {
		return s.empty("The firing is not known")
	}
	s.say(firingWords(r)...)
	groups := r.Measures.Exhaust
	if len(groups) == 0 {
		groups = []firing.Group{{Name: "all", Cylinders: f.Order}}
	}
	rows := 0
	for _, g := range groups {
		rows += len(g.Cylinders)
	}
	row := 24.
	if rows > 16 {
		row = 17
	}
	const left, bracket = 136., 92.
	x := func(θ num.Angle) float64 { return left + (column-margin-left)*float64(θ/f.Cycle.Period()) }
	top := s.bottom + 14
	bottom := top + row*float64(rows) + 10*float64(len(groups)-1)
	end1 := bottom + 44
	s.stripGrid(f, x, top, end1)
	names := firing.Names(r.Train)
	y := top
	for _, g := range groups {
		s.group("exhaust", "Exhaust group "+g.Name, "", func(in *scene) {
			height := row * float64(len(g.Cylinders))
			cut, full := fitted(g.Name, bracket-margin-8, sizeSmall, false)
			in.text(label{at: point{bracket - 8, y + height/2 + 4}, text: cut, size: sizeSmall, align: end, paint: ink, title: full})
			in.add(polygon{open: true, points: []point{{bracket + 4, y + 2}, {bracket - 2, y + 2}, {bracket - 2, y + height - 2}, {bracket + 4, y + height - 2}}}, pen(ink, thin))
			for _, cyl := range g.Cylinders {
				at, _ := f.FiringAngle(cyl)
				base := y + row - 3
				in.line(point{left, base}, point{column - margin, base}, pen(rule, thin))
				cut, full := fitted(names[cyl], left-bracket-22, sizeSmall, true)
				in.text(label{at: point{left - 22, base - 2}, text: cut, size: sizeSmall, bold: true, align: end, paint: ink, title: full})
				bank := r.Train.Cylinders[cyl].Bank
				if len(r.Train.Banks) > 1 {
					bankMark(in, bank, point{left - 12, base - 6}, 4)
				}
				pulse(in, x, at, f.Cycle.Period(), base, row-7, bankPaint(bank))
				y += row
			}
		})
		y += 10
		if len(groups) > 1 {
			s.say(exhaustWords(g, names))
		}
	}
	s.wholeStrip(f, x, left, bottom+12, end1)
	s.bottom = end1 + 22
	s.legend(bankKeys(r))
	s.note("The shape of the pulses is a sign, not a pressure.")
	return s.figure()
}

func exhaustWords(g firing.Group, names []string) string {
	var who, gaps []string
	for i, c := range g.Cylinders {
		who = append(who, names[c])
		if i < len(g.Intervals) {
			gaps = append(gaps, degrees(g.Intervals[i]))
		}
	}
	return "Exhaust group " + g.Name + ": cylinders " + num.List(who, "and") + ", intervals " + num.List(gaps, "and") + "."
}

// stripGrid draws the crank angles.
func (s *sheet) stripGrid(f firing.Schedule, x func(num.Angle) float64, top, bottom float64) {
	parts := 8
	for i := range parts + 1 {
		θ := f.Cycle.Period() * num.Angle(i) / num.Angle(parts)
		s.line(point{x(θ), top - 4}, point{x(θ), bottom}, pen(rule, thin))
		if i%2 == 0 {
			a, at := middle, x(θ)
			if i == parts {
				a, at = end, at+4
			}
			s.text(label{at: point{at, bottom + 16}, text: degrees(θ), size: sizeSmall, align: a, paint: soft})
		}
	}
}

// pulse draws a quick rise and a slow fall that begins at a crank angle, wrapped at the end of the cycle.
func pulse(s *scene, x func(num.Angle) float64, at, period num.Angle, base, height float64, p paint) {
	rise, fall := period/60, period/8
	for _, start := range []num.Angle{at, at - period} {
		g := polygon{}
		for i := range 29 {
			t := num.Angle(i) / 28
			θ := start + t*fall
			h := math.Pow(1-float64(t), 1.6)
			if t*fall < rise {
				h *= float64(t * fall / rise)
			}
			if θ < 0 || θ > period {
				continue
			}
			if len(g.points) == 0 {
				g.points = append(g.points, point{x(θ), base})
			}
			g.points = append(g.points, point{x(θ), base - height*h})
		}
		if n := len(g.points); n > 2 {
			g.points = append(g.points, point{g.points[n-1].x, base})
			s.add(g, pen(p, 1.2).filled(p))
		}
	}
}

// wholeStrip marks all firings on one line, with the intervals between them where there is room.
func (s *sheet) wholeStrip(f firing.Schedule, x func(num.Angle) float64, left, top, bottom float64) {
	s.group("engine", "All cylinders", "", func(g *scene) {
		g.text(label{at: point{left - 22, bottom - 4}, text: "engine", size: sizeSmall, align: end, paint: ink})
		g.line(point{left, bottom}, point{column - margin, bottom}, pen(ink, thin))
		period := f.Cycle.Period()
		for k, at := range f.At {
			g.line(point{x(at), top + 14}, point{x(at), bottom}, pen(ink, 2.2))
			from, to := longerPiece(at, f.Intervals[k], period)
			text := degrees(f.Intervals[k])
			if x(to)-x(from) >= textWidth(text, sizeSmall, false)+6 {
				g.text(label{at: point{(x(from) + x(to)) / 2, bottom - 6}, text: text, size: sizeSmall, align: middle, paint: soft, halo: true})
			}
		}
	})
}

// longerPiece returns the piece of a stretch of a cycle that takes its text: all of it, or the longer of two pieces where
// the stretch goes on at the beginning.
func longerPiece(at, length, period num.Angle) (from, to num.Angle) {
	from, to = at, at+length
	if to > period {
		if from, to = at, period; to-from < at+length-period {
			from, to = 0, at+length-period
		}
	}
	return from, to
}
