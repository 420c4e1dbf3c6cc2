package report

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"crankwright/analysis"
	"crankwright/explain"
	"crankwright/mechanics/firing"
	"crankwright/num"
)

// Text returns a result as text for a terminal: what the engine is, what shakes in which order, how
// it fires, why, and what was estimated.
func Text(r *analysis.Result, screen Screen) string {
	s := &sheet{Screen: screen}
	s.engine(r)
	s.conditions(r)
	s.shaking(r)
	s.firing(r)
	s.driving(r)
	s.lasting(r)
	s.mounts(r)
	s.space(r)
	s.guidance(r)
	s.words(r)
	s.guessed(r.Train, assumedOfAll(r))
	s.caution()
	return s.String()
}

// engine writes the headline.
func (s *sheet) engine(r *analysis.Result) {
	t := r.Train
	s.lead(t.Name)
	facts := []string{kindOf(r), t.Cycle.String(), boreStroke(r)}
	if r.Swept > 0 {
		facts = append(facts, num.Digits(1e6*r.Swept, 4)+" cm³")
	}
	if t.Rotation.String() == "clockwise" {
		facts = append(facts, "turns clockwise")
	}
	s.paragraph("", strings.Join(facts, ", "))
	s.paragraph("", crankShown(t))
}

// conditions says at which speed and about which point all values hold.
func (s *sheet) conditions(r *analysis.Result) {
	above := aboveLimit(r)
	if above != "" {
		above = ", " + above
	}
	s.paragraph("", fmt.Sprintf("All values at %s rpm%s (mean piston speed %s m/s); moments about x = %s mm, directions seen from the drive end.",
		num.Digits(rpm(r.Speed), 5), above, num.Digits(meanPistonSpeed(r), 3), num.Digits(millimetres(r.Balance.Reference), 5)))
}

func meanPistonSpeed(r *analysis.Result) float64 {
	most := 0.0
	for _, c := range r.Cylinders {
		most = math.Max(most, c.MeanPistonSpeed)
	}
	return most
}

// shaking writes the tables by order.
func (s *sheet) shaking(r *analysis.Result) {
	s.pairs("Free force on the block", "N", r, func(o analysis.Order) analysis.Pair { return o.Force }, forceLine)
	s.pairs("Free moment on the block, about y and z", "N m", r, func(o analysis.Order) analysis.Pair { return o.Moment }, momentLine)
	s.torques(r)

	p := r.Peaks
	s.heading("Largest over the cycle")
	noForce, noMoment := explain.Dust(r)
	peak := func(name string, v float64, unit string, at num.Angle, dust float64) entry {
		if v <= dust {
			return entry{name, "none"}
		}
		s := scaleOf(unit, v)
		return entry{name, fmt.Sprintf("%s %s at crank angle %s", s.show(v), s.unit, degreesShown(num.Angle(math.Round(at.Deg()*10)/10*math.Pi/180)))}
	}
	s.entries([]entry{
		peak("free force", p.Force, "N", p.ForceAt, noForce),
		peak("free moment", p.Moment, "N m", p.MomentAt, noMoment),
		peak("inertia torque", p.Torque, "N m", p.TorqueAt, 0),
		peak("roll moment", p.Roll, "N m", p.RollAt, 0),
	})
}

// shownShare is the share of the largest order below which an order gets no row of its own.
const shownShare = 5e-4

// pairs writes one table of counter-turning parts and their ellipse.
func (s *sheet) pairs(title, unit string, r *analysis.Result, of func(analysis.Order) analysis.Pair, line func(num.Ellipse) string) {
	most := 0.0
	for _, o := range r.Orders {
		most = math.Max(most, of(o).Ellipse.Major)
	}
	if force, moment := explain.Dust(r); most == 0 || unit == "N" && most < force || unit != "N" && most < moment {
		s.heading(title)
		s.paragraph("  ", "None in any order.")
		return
	}
	scale := scaleOf(unit, most)
	s.heading(title + " [" + scale.unit + "]")
	heads := []column{
		{head: []string{"order"}},
		{head: []string{"with", "the crank"}},
		{head: []string{"against", "the crank"}},
		{head: []string{"largest", "(major)"}},
		{head: []string{"smallest", "(minor)"}},
		{head: []string{"direction", "(of major)"}, left: true},
		{head: []string{"turns"}, left: true},
	}
	var rows [][]cell
	left := rest{unit: unit}
	for _, o := range r.Orders {
		p := of(o)
		if p.Ellipse.Major == 0 {
			continue
		}
		if p.Ellipse.Major < shownShare*most {
			left.add(o.K, p.Ellipse.Major)
			continue
		}
		rows = append(rows, []cell{
			{text: orderShown(o.K), style: bold},
			{text: scale.show(cmplx.Abs(p.With))},
			{text: scale.show(cmplx.Abs(p.Against))},
			{text: scale.show(p.Ellipse.Major)},
			{text: scale.show(p.Ellipse.Minor)},
			{text: line(p.Ellipse)},
			{text: turning(p.Ellipse.Sense)},
		})
	}
	s.table(heads, rows)
	left.write(s)
}

// torques writes the table of inertia torque and roll moment.
func (s *sheet) torques(r *analysis.Result) {
	torque, roll := 0.0, 0.0
	for _, o := range r.Orders {
		torque, roll = math.Max(torque, cmplx.Abs(o.Torque)), math.Max(roll, cmplx.Abs(o.Roll))
	}
	scale := scaleOf("N m", torque, roll)
	if torque == 0 && roll == 0 {
		s.heading("Inertia torque on the crank, roll moment on the block")
		s.paragraph("  ", "None in any order.")
		return
	}
	s.heading("Inertia torque on the crank, roll moment on the block [" + scale.unit + "]")
	heads := []column{
		{head: []string{"order"}},
		{head: []string{"inertia", "torque"}},
		{head: []string{"at its largest", "at crank angle"}},
		{head: []string{"roll", "moment"}},
		{head: []string{"at its largest", "at crank angle"}},
	}
	var rows [][]cell
	left := rest{unit: "N m"}
	for _, o := range r.Orders {
		a, b := cmplx.Abs(o.Torque), cmplx.Abs(o.Roll)
		if a == 0 && b == 0 {
			continue
		}
		if a < shownShare*torque && b < shownShare*roll {
			left.add(o.K, math.Max(a, b))
			continue
		}
		rows = append(rows, []cell{
			{text: orderShown(o.K), style: bold},
			{text: scale.show(a)},
			{text: crestOf(o.Torque, o.N())},
			{text: scale.show(b)},
			{text: crestOf(o.Roll, o.N())},
		})
	}
	s.table(heads, rows)
	left.write(s)
}

// crestOf returns the first crank angle at which Re q e^{inθ} is largest.
func crestOf(q complex128, n float64) string {
	if q == 0 {
		return ""
	}
	at := num.Angle(-cmplx.Phase(q) / n).Wrap(num.Turn / num.Angle(n))
	return num.Digits(math.Round(at.Deg()*10)/10, 6) + "°"
}

// rest gathers the orders that are too small for a row.
type rest struct {
	unit   string
	orders []string
	most   float64
}

func (l *rest) add(k int, v float64) {
	l.orders = append(l.orders, orderShown(k))
	l.most = math.Max(l.most, v)
}

func (l *rest) write(s *sheet) {
	if len(l.orders) > 0 {
		noun := "Orders "
		if len(l.orders) == 1 {
			noun = "Order "
		}
		s.block("  ", dim, fmt.Sprintf("%s%s: %s at most, not shown.", noun, strings.Join(l.orders, ", "), num.Shown(l.most, l.unit)))
	}
}

func orderShown(k int) string { return num.Digits(float64(k)/2, 4) }

// forceLine says how the ellipse of a force lies.
func forceLine(e num.Ellipse) string {
	return lineOf(e, "up and down", "from side to side")
}

// momentLine says how the ellipse of a moment lies: a moment about y pitches, one about z yaws.
func momentLine(e num.Ellipse) string {
	return lineOf(e, "about z (yaw)", "about y (pitch)")
}

func lineOf(e num.Ellipse, upright, across string) string {
	if e.Major-e.Minor < 1e-6*e.Major {
		return "circle"
	}
	up := math.Round((90-e.Axis.Deg())*10) / 10 // from upright towards +y, clockwise seen from the drive end
	switch {
	case up == 0:
		return upright
	case math.Abs(up) == 90:
		return across
	case up > 0:
		return num.Digits(up, 4) + "° right of up"
	default:
		return num.Digits(-up, 4) + "° left of up"
	}
}

// turning says which way a vector turns; one that swings along a line turns neither way.
func turning(sense int) string {
	switch {
	case sense < 0:
		return "against"
	case sense > 0:
		return "with"
	default:
		return "–"
	}
}

// firing writes how the engine fires.
func (s *sheet) firing(r *analysis.Result) {
	names := firing.Names(r.Train)
	m := r.Measures
	s.heading("Firing")
	order := r.Firing.Label(names)
	if r.OrderChosen {
		order += ", chosen as the most even order that the crank allows"
	}
	list := []entry{
		{"order", order},
		{"at", angleList(r.Firing.At)},
		{"intervals", angleList(r.Firing.Intervals)},
	}
	even := fmt.Sprintf("%s; longest interval %s, shortest %s, mean %s",
		num.Digits(m.Evenness, 4), degreesShown(m.Longest), degreesShown(m.Shortest), degreesShown(m.Mean))
	if m.Departure < firing.EvenTolerance {
		even = "1, every " + degreesShown(m.Mean)
	}
	list = append(list, entry{"evenness", even})
	if m.Quick > 0 {
		list = append(list, entry{"quick", fmt.Sprintf("%s shorter than half the mean", counted(m.Quick, "interval", "intervals"))})
	}
	if len(names) > 1 {
		pairs := "none"
		if len(m.Neighbours) > 0 {
			var each []string
			for _, p := range m.Neighbours {
				each = append(each, names[p[0]]+"-"+names[p[1]])
			}
			pairs = strings.Join(each, ", ")
		}
		list = append(list, entry{"neighbours in succession", pairs})
	}
	if len(m.Exhaust) == len(names) {
		if len(names) > 1 {
			list = append(list, entry{"exhaust groups", "one for each cylinder"})
		}
		s.entries(list)
		return
	}
	for _, g := range m.Exhaust {
		text := fmt.Sprintf("cylinders %s, pulses %s", strings.Join(namesOf(g.Cylinders, names), ", "), angleList(g.Intervals))
		if g.BackToBack > 0 {
			text += fmt.Sprintf("; %s another of the group directly", counted(g.BackToBack, "pulse follows", "pulses follow"))
		}
		list = append(list, entry{"exhaust group " + g.Name, text})
	}
	s.entries(list)
}

// angleList writes angles one behind the other; a run of equal ones is counted.
func angleList(as []num.Angle) string {
	if len(as) > 2 {
		same := true
		for _, a := range as {
			same = same && math.Abs(float64(a-as[0])) < 1e-6
		}
		if same {
			return fmt.Sprintf("%d × %s", len(as), degreesShown(as[0]))
		}
	}
	out := make([]string, len(as))
	for i, a := range as {
		out[i] = degreesShown(a)
	}
	return strings.Join(out, ", ")
}

// driving writes how the engine pushes, where that was asked for.
func (s *sheet) driving(r *analysis.Result) {
	switch {
	case r.Drive != nil:
		f := NewFrictionDoc(r.Drive)
		s.torqueKey(NewTorqueDoc(r.Drive, false), f)
		s.beyond(*f)
	case r.NoDrive != "":
		s.heading("Torque")
		s.paragraph("  ", "Not known: "+r.NoDrive+".")
	}
}

// guidance says which guidance the engine misses, where it was looked at.
func (s *sheet) guidance(r *analysis.Result) {
	if text := explain.GuidanceSentence(r.Train.Name, r.Guidance); text != "" {
		s.heading("Guidance that it misses")
		s.paragraph("  ", text)
	}
}

// words writes what the numbers mean.
func (s *sheet) words(r *analysis.Result) {
	s.heading("In words")
	for _, line := range explain.Engine(r) {
		s.paragraph("  ", line)
	}
	if r.Drive != nil {
		s.told(explain.Drive(r.Drive))
	}
	if !r.Even.Even {
		for _, line := range r.Even.Sentences {
			s.paragraph("  ", line)
		}
	}
	if !r.TwoMass.Used && r.TwoMass.TorqueError < 1e-4*r.Peaks.Torque {
		s.paragraph("  ", "Rods count as rigid bodies. The two-mass replacement would give practically the same inertia torque."+twoMassShares(r))
		return
	}
	s.paragraph("  ", twoMassOf(r)+twoMassShares(r))
}

// twoMassShares says how the two-mass view divides a rod, where all cylinders are alike.
func twoMassShares(r *analysis.Result) string {
	first := r.Cylinders[0]
	for _, c := range r.Cylinders {
		if math.Abs(c.Rotating-first.Rotating)+math.Abs(c.Reciprocating-first.Reciprocating) > 1e-9 {
			return ""
		}
	}
	return fmt.Sprintf(" In that view %s kg of each rod turn with the crankpin, and %s kg go up and down, piston included.",
		num.Digits(first.Rotating, 3), num.Digits(first.Reciprocating, 3))
}

// caution writes what the numbers are not good for.
func (s *sheet) caution() {
	s.blank()
	s.block("", dim, Caution)
}
