package draw

import (
	"math"
	"math/cmplx"

	"crankwright/analysis"
	"crankwright/mechanics/strength"
)

// Campbell shows natural frequencies over the crank speed with the rays of the orders; a dot where they meet is as large as
// the phase-vector sum of the firing order there.
//
//   - r: whose engine
//   - x: its torsional vibration
//
// Result [-]. Definition.
func Campbell(r *analysis.Result, x *analysis.Torsion) Figure {
	h := Head{Engine: engineName(r.Train)}
	s := newDriveSheet("campbell", "Critical speeds of torsion", h)
	const rpm, hz = 30 / math.Pi, 1 / (2 * math.Pi)
	if x.Winding < 0 {
		return s.empty("The shaft has no elastic mode")
	}
	last := 1.2 * x.Hi * rpm
	reach := 12 * last / 60
	top := x.Bare[x.Winding].Frequency * hz * 1.15
	for _, m := range x.Modes {
		if f := m.Frequency * hz; f > 0 && f < reach {
			top = math.Max(top, 1.1*f)
		}
	}
	y := s.bottom + 30
	c := s.newChart(y, 260, evenScale(0, last, 6), evenScale(0, top, 6), "crank speed in rpm", "frequency in Hz")
	lo, hi := c.at(x.Lo*rpm, c.up.low), c.at(x.Hi*rpm, c.up.high)
	s.add(rectangle(lo.x, hi.y, hi.x-lo.x, lo.y-hi.y), pen(soft, thin).in(dotted))
	for k := 1; k <= analysis.TorsionOrders; k++ {
		n := float64(k) / 2
		tip := point{c.across.high, n * c.across.high / 60}
		if tip.y > c.up.high {
			tip = point{c.up.high * 60 / n, c.up.high}
		}
		l := pen(soft, thin)
		if k%2 == 1 {
			l = pen(rule, thin).in(dotted)
		}
		a, b := c.at(0, 0), c.at(tip.x, tip.y)
		s.line(a, b, l)
		if k%2 == 0 && (k <= 12 || k%4 == 0) {
			s.text(label{at: point{b.x - 2, b.y + 11}, text: orderName(k), size: sizeSmall, align: end, paint: soft, halo: true})
		}
	}
	for i, m := range x.Modes {
		f := m.Frequency * hz
		if f <= 0 || f > c.up.high {
			continue
		}
		w := normal
		if i == nearestMode(x) {
			w = thick
		}
		c.level(s, f, pen(third, w), digits(roundTo(f, 0.1))+" Hz")
		s.say("A natural frequency lies at " + digits(roundTo(f, 0.1)) + " Hz.")
	}
	most := 1e-12
	for _, p := range x.Criticals {
		most = math.Max(most, cmplx.Abs(x.SumOf(p)))
	}
	for _, p := range x.Criticals {
		f := x.Modes[p.Mode].Frequency * hz
		if f > c.up.high || p.Speed*rpm > c.across.high {
			continue
		}
		sum := cmplx.Abs(x.SumOf(p))
		l := look{stroke: paper, width: 1, fill: against}
		if p.Speed > x.Hi {
			l = look{stroke: against, width: 1.2, fill: paper}
		}
		s.titled(circle{c.at(p.Speed*rpm, f), 1.8 + 5*math.Sqrt(sum/most)}, l, "order "+orderName(p.K)+" at "+digitsWhole(p.Speed*rpm)+" rpm")
	}
	c.names(s)
	s.note("A dot is as large as the phase-vector sum of the firing order there; within the dotted frame lie the speeds that are run.")
	s.note(conceptNote)
	return s.figure()
}

// nearestMode returns the mode of the model nearest to the one that winds the crank up.
func nearestMode(x *analysis.Torsion) int {
	best := -1
	for i, m := range x.Modes {
		if m.Frequency > 0 && (best < 0 || math.Abs(m.Frequency-x.Bare[x.Winding].Frequency) < math.Abs(x.Modes[best].Frequency-x.Bare[x.Winding].Frequency)) {
			best = i
		}
	}
	return best
}

// TorsionStress shows the vibratory stress of the worst span over the crank speed, all orders with their phases and the
// main ones alone.
//
//   - r: whose engine
//   - x: its torsional vibration
//
// Result [-]. Definition.
func TorsionStress(r *analysis.Result, x *analysis.Torsion) Figure {
	s := newDriveSheet("torsion-stress", "Torsional vibration stress", Head{Engine: engineName(r.Train), Load: x.Load})
	worst := -1
	for i, p := range x.Spans {
		if worst < 0 || p.Stress > x.Spans[worst].Stress {
			worst = i
		}
	}
	if worst < 0 || !(x.Spans[worst].Stress > 0) {
		return s.empty("There is no stress to show")
	}
	p := x.Spans[worst]
	const rpm = 30 / math.Pi
	n := len(x.Sweep.Points)
	speed, all := make([]float64, n), make([]float64, n)
	for i := range x.Sweep.Points {
		q := &x.Sweep.Points[i]
		speed[i] = q.Speed * rpm
		stress, _ := x.Model.Stress(p.Span, q.Spans[p.Span].Half)
		all[i] = stress / 1e6
	}
	_, high := rangeOf(all)
	y := s.bottom + 30
	c := s.newChart(y, 200, tightScale(speed[0], speed[n-1], 6), evenScale(0, high, 5), "crank speed in rpm", "stress from "+p.Name+" in MPa")
	c.along(s, speed, all, pen(ink, thick), "all orders")
	for j, k := range x.LargestOrders(p.Span, 3) {
		one := make([]float64, n)
		for i := range one {
			stress, _ := x.Model.Stress(p.Span, cmplx.Abs(x.Sweep.Points[i].Torque[p.Span].Order(k)))
			one[i] = stress / 1e6
		}
		c.along(s, speed, one, lineLook(j), "order "+orderName(k))
	}
	top := c.at(x.Hi*rpm, c.up.high)
	s.line(top, c.at(x.Hi*rpm, 0), pen(soft, normal).in(dotted))
	c.mark(s, p.Speed*rpm, p.Stress/1e6, against, digits(roundTo(p.Stress/1e6, 0.1))+" MPa at "+digitsWhole(p.Speed*rpm)+" rpm")
	c.names(s)
	s.note("Nominal, half the range of the cycle; the dotted line is the highest speed that is run. Damping is assumed: a magnifier of " + digits(x.Magnifier) + " without damper.")
	s.note(conceptNote)
	return s.figure()
}

// CrankUse shows how much of what the rule allows each web takes.
//
//   - r: whose engine
//   - st: its strength
//
// Result [-]. Definition.
func CrankUse(r *analysis.Result, st *analysis.Strength) Figure {
	s := newSheet("crank-strength", "Strength of the crank", r)
	y := s.bottom + 26
	const left, row, bar = margin + 120., 22., 13.
	room := column - margin - left - 96
	most := 1.0
	for i := range st.Webs {
		if a := st.Webs[i].Assessment; a != nil {
			most = math.Max(most, math.Min(a.Use(), 2))
		}
	}
	shown := 0
	for i := range st.Webs {
		w := &st.Webs[i]
		top := y + row*float64(shown)
		name, full := fitted(w.Name, left-margin-8, sizeSmall, false)
		s.text(label{at: point{margin, top + bar - 2}, text: name, size: sizeSmall, paint: ink, title: full})
		shown++
		if w.Assessment == nil {
			s.text(label{at: point{left, top + bar - 2}, text: "not assessed", size: sizeSmall, paint: soft})
			continue
		}
		p, use := w.Assessment.Worst(), w.Assessment.Use()
		l := pen(with, 1.2).filled(with)
		if use > 1 {
			l = pen(against, 1.2).filled(against)
		}
		width := room * math.Min(use, most) / most
		s.titled(rectangle(left, top, math.Max(0.5, width), bar), l, w.Name+": "+p.Name)
		text := digits(math.Round(100*use)) + " %, " + p.Name
		s.text(label{at: point{left + width + 6, top + bar - 2}, text: text, size: sizeSmall, paint: ink})
		s.say(w.Name + ": acceptability factor " + digits(roundTo(p.Q, 0.01)) + " at the " + p.Name + ".")
	}
	if shown == 0 {
		return s.empty("There is no web to show")
	}
	bottom := y + row*float64(shown)
	limit := left + room/most
	s.line(point{limit, y - 6}, point{limit, bottom}, pen(ink, normal).in(dashed))
	s.bottom = bottom + 4
	s.note("Required over smallest acceptability factor (" + digits(strength.Required) + " is demanded, the broken line), by the rule for crankshafts written from memory.")
	for i := range st.Webs {
		if w := st.Webs[i].Refused; w != "" {
			s.note(w + ".")
			break
		}
	}
	s.note(conceptNote)
	return s.figure()
}
