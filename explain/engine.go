package explain

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/firing"
	"crankwright/num"
)

// Engine sums up what shakes in an engine and what could take it, in a few sentences.
//
//   - r: a result of analysis.Run
//
// Result: sentences with forces [N] and moments [N m] at the result's speed. Definition.
func Engine(r *analysis.Result) []string {
	var forces, moments, shafts []string
	weights := false
	single := singleForce(r)
	least := [2]float64{1e-3 * single, 1e-3 * single * arm(r)} // what is worth naming
	var largest [2]struct {
		size float64
		k    int
	}
	for _, o := range r.Orders {
		for i, size := range [2]float64{o.Force.Ellipse.Major, o.Moment.Ellipse.Major} {
			if size > largest[i].size {
				largest[i].size, largest[i].k = size, o.K
			}
		}
		if o.Force.Ellipse.Major > least[0] {
			forces = append(forces, fmt.Sprintf("%s in the %s", num.Shown(o.Force.Ellipse.Major, "N"), orderName(o.K)))
		}
		if o.Moment.Ellipse.Major > least[1] {
			moments = append(moments, fmt.Sprintf("%s in the %s", num.Shown(o.Moment.Ellipse.Major, "N m"), orderName(o.K)))
		}
		with, against := needs(o, single, single*arm(r))
		if o.K == 2 && with {
			weights = true
			with = false
		}
		switch {
		case with && against:
			shafts = append(shafts, "turning both ways at "+speedName(o.K))
		case with:
			shafts = append(shafts, "turning with it at "+speedName(o.K))
		case against:
			shafts = append(shafts, "turning against it at "+speedName(o.K))
		}
	}
	var out []string
	noForce, noMoment := Dust(r)
	out = append(out, sentence("force", "N", forces, largest[0].size, largest[0].k, noForce))
	out = append(out, sentence("moment", "N m", moments, largest[1].size, largest[1].k, noMoment))
	if weights {
		out = append(out, "The part of the 1st order that turns with the crank can be taken by counterweights.")
	}
	if len(shafts) > 0 {
		out = append(out, "The rest passes the crank, so no counterweight takes it; it would need shafts "+num.List(shafts, "and")+".")
	}
	if most := largestTorque(r); most != nil {
		out = append(out, fmt.Sprintf("The inertia torque reaches %s at this speed, %s in the %s (%s).",
			num.Shown(r.Peaks.Torque, "N m"), largestPart(cmplx.Abs(most.Torque), r.Peaks.Torque), orderName(most.K), num.Shown(cmplx.Abs(most.Torque), "N m")))
	}
	return append(out, Firing(r)[:1]...)
}

// sentence lists the orders worth naming; where there is none it names the largest, or says that there is
// nothing at all.
func sentence(name, unit string, items []string, largest float64, k int, dust float64) string {
	switch {
	case len(items) > 0:
		return "Free " + name + ": " + num.List(items, "and") + "."
	case largest > dust:
		return fmt.Sprintf("Hardly any free %s: the largest is %s in the %s.", name, num.Shown(largest, unit), orderName(k))
	default:
		return "No free " + name + " of any order."
	}
}

// Dust returns the force and the moment that count as nothing: a millionth of the first order of one cylinder, such as what the
// digits of a file leave of masses that cancel.
//
//   - r: a result of analysis.Run
//
// Result [N], [N m] at the result's speed. Definition.
func Dust(r *analysis.Result) (force, moment float64) {
	force = 1e-6 * singleForce(r)
	return force, force * arm(r)
}

// singleForce is the first-order force of the heaviest cylinder, the measure of what is small.
func singleForce(r *analysis.Result) float64 {
	most := 0.0
	for i, c := range r.Cylinders {
		most = math.Max(most, c.Reciprocating*r.Train.Throws[r.Train.Cylinders[i].Throw].Radius*r.Speed*r.Speed)
	}
	return most
}

// arm is the length along the crank that turns a force into a moment worth naming.
func arm(r *analysis.Result) float64 {
	first, last := math.Inf(1), math.Inf(-1)
	for _, c := range r.Train.Cylinders {
		first, last = math.Min(first, c.At), math.Max(last, c.At)
	}
	return math.Max(last-first, 1e-3)
}

// needs says which counter-turning parts of an order are worth a counterweight or a shaft: those above
// three per cent of a single cylinder's first order.
func needs(o analysis.Order, force, moment float64) (with, against bool) {
	const worth = 0.03
	with = cmplx.Abs(o.Force.With) > worth*force || cmplx.Abs(o.Moment.With) > worth*moment
	against = cmplx.Abs(o.Force.Against) > worth*force || cmplx.Abs(o.Moment.Against) > worth*moment
	return with, against
}

func largestTorque(r *analysis.Result) *analysis.Order {
	var most *analysis.Order
	for i := range r.Orders {
		o := &r.Orders[i]
		if o.Torque != 0 && (most == nil || cmplx.Abs(o.Torque) > cmplx.Abs(most.Torque)) {
			most = o
		}
	}
	return most
}

// largestPart says what the largest of several parts is of the whole.
func largestPart(part, whole float64) string {
	if part > whole/2 {
		return "most of it"
	}
	return "the largest part"
}

// Firing explains how an engine fires: the order and how it came about, the intervals, what follows
// each other too closely, and what would have to change for even firing.
//
//   - r: a result of analysis.Run
//
// Result: sentences with angles [deg]. Definition.
func Firing(r *analysis.Result) []string {
	t, m := r.Train, r.Measures
	cylinders := firing.Names(t)
	order := r.Firing.Label(cylinders)
	var lines []string
	switch {
	case len(t.Cylinders) == 1:
		lines = append(lines, fmt.Sprintf("It fires every %s.", degrees(float64(m.Mean))))
	case m.Departure < firing.EvenTolerance:
		lines = append(lines, fmt.Sprintf("It fires evenly, every %s, in the order %s.", degrees(float64(m.Mean)), order))
	default:
		lines = append(lines, fmt.Sprintf("It fires in the order %s at intervals of %s: evenness %s, longest interval %s against a mean of %s.",
			order, intervals(r), num.Digits(m.Evenness, 3), degrees(float64(m.Longest)), degrees(float64(m.Mean))))
	}
	if r.OrderChosen {
		lines = append(lines, "The file gives no firing order: this is the most even one that the crank allows.")
	}
	if m.Quick > 0 {
		lines = append(lines, fmt.Sprintf("%s in quick succession, less than half the mean interval after the one before; the shortest interval is %s.",
			num.Counted(m.Quick, "impulse comes", "impulses come"), degrees(float64(m.Shortest))))
	}
	if len(m.Neighbours) > 0 {
		var pairs []string
		for _, p := range m.Neighbours {
			pairs = append(pairs, cylinders[p[0]]+"-"+cylinders[p[1]])
		}
		lines = append(lines, "Neighbours fire in succession: "+num.List(pairs, "and")+".")
	}
	for _, g := range m.Exhaust {
		if len(m.Exhaust) > 1 || len(t.Banks) > 1 {
			var gaps []string
			for _, a := range g.Intervals {
				gaps = append(gaps, degrees(float64(a)))
			}
			lines = append(lines, fmt.Sprintf("Exhaust group %s gets its pulses at intervals of %s.", g.Name, strings.Join(gaps, "-")))
		}
	}
	if m.Departure >= firing.EvenTolerance {
		lines = append(lines, r.Even.Sentences...)
	}
	return lines
}

func intervals(r *analysis.Result) string {
	var out []string
	for _, a := range r.Firing.Intervals {
		out = append(out, degrees(float64(a)))
	}
	return strings.Join(out, "-")
}
