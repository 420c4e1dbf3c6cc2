package explain

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/inertia"
	"crankwright/num"
)

// Section is one thing explained: a heading and sentences.
type Section struct {
	Heading string
	Lines   []string
}

// Order explains one order of one engine: why it cancels or adds, and what can take the rest.
//
//   - r: a result of analysis.Run, at whose speed the forces are given
//   - k: twice the order [1], at least 1
//
// Result: sections on the force [N], the moment [N m] and the torque [N m] of that order, in words
// that follow from the vectors of each part alone. Definition.
func Order(r *analysis.Result, k int) []Section {
	e := explainer{r: r, k: k, n: float64(k) / 2, parts: r.Contributions(k)}
	if len(e.parts) == 0 {
		return []Section{{Heading: capital(orderName(k)), Lines: []string{"No part of this engine shakes in the " + orderName(k) + "."}}}
	}
	o := r.Order(k)
	force := Section{Heading: capital(orderName(k)) + ": force"}
	force.Lines = append(force.Lines, e.angles()...)
	force.Lines = append(force.Lines, e.pair()...)
	force.Lines = append(force.Lines, e.stars(quantity{
		name: "force", unit: "N", pair: o.Force,
		with:    func(c inertia.Contribution) complex128 { return c.With },
		against: func(c inertia.Contribution) complex128 { return c.Against },
	})...)

	x := r.Train.Reference
	moment := Section{Heading: capital(orderName(k)) + ": moment"}
	moment.Lines = e.stars(quantity{
		name: "moment", unit: "N m", pair: o.Moment,
		with:    func(c inertia.Contribution) complex128 { return c.MomentWith(x) },
		against: func(c inertia.Contribution) complex128 { return c.MomentAgainst(x) },
	})
	if o.Force.Ellipse.Major > 0 && len(r.Train.Cylinders) > 1 {
		moment.Lines = append(moment.Lines, fmt.Sprintf("A free force is left, so the moment depends on the point about which it is taken: here x = %s mm.", num.Digits(1e3*x, 5)))
	}
	sections := []Section{force, moment}
	if torque := e.torque(o); len(torque.Lines) > 0 {
		sections = append(sections, torque)
	}
	return sections
}

type explainer struct {
	r     *analysis.Result
	k     int
	n     float64 // order
	parts []inertia.Contribution
}

// quantity is a plane vector to be explained.
type quantity struct {
	name, unit    string
	pair          analysis.Pair
	with, against func(inertia.Contribution) complex128
}

func (e *explainer) arrows(of func(inertia.Contribution) complex128) []arrow {
	out := make([]arrow, len(e.parts))
	for i, c := range e.parts {
		out[i] = arrow{name: PartName(e.r.Train, c), vector: of(c)}
	}
	return out
}

// stars explains a plane vector: its path, the two stars that make it, and what can take it.
func (e *explainer) stars(q quantity) []string {
	with, against := e.arrows(q.with), e.arrows(q.against)
	if lengthOf(with)+lengthOf(against) == 0 {
		if q.name == "moment" {
			return []string{"Every part that shakes in this order stands in the plane of the reference, so there is no moment."}
		}
		return nil
	}
	var lines []string
	if q.pair.Ellipse.Major == 0 {
		lines = append(lines, fmt.Sprintf("There is no free %s of the %s.", q.name, orderName(e.k)))
	} else {
		lines = append(lines, fmt.Sprintf("The %s %s.", q.name, shape(q.pair.Ellipse, q.unit, e.k)))
	}
	lines = append(lines, describe("With the crank", with, q.pair.With, q.unit)...)
	lines = append(lines, describe("Against the crank", against, q.pair.Against, q.unit)...)
	return append(lines, e.remedy(q)...)
}

func lengthOf(arrows []arrow) float64 {
	sum := 0.0
	for _, a := range arrows {
		sum += cmplx.Abs(a.vector)
	}
	return sum
}

// describe says in words how a star of vectors adds up.
func describe(which string, arrows []arrow, sum complex128, unit string) []string {
	star := rays(arrows)
	if len(star) == 0 {
		return nil
	}
	if len(star) == 1 {
		if len(star[0].parts) == 1 {
			return []string{fmt.Sprintf("%s: %s gives %s, at %s from upright when the crank angle is 0.",
				which, star[0].parts[0], num.Shown(star[0].length, unit), fromUp(cmplx.Rect(1, star[0].direction)))}
		}
		return []string{fmt.Sprintf("%s: the vectors of %s all point the same way, to %s, and add up to %s.",
			which, names(star[0].parts), fromUp(cmplx.Rect(1, star[0].direction)), num.Shown(cmplx.Abs(sum), unit))}
	}
	closed, rest := cancel(star)
	var said []string
	for _, p := range closed {
		var corners []string
		for _, c := range p.corners {
			corners = append(corners, fmt.Sprintf("%s (%s)", names(c.parts), fromUp(cmplx.Rect(1, c.direction))))
		}
		said = append(said, fmt.Sprintf("%s stand %s, and cancel %s each", list(corners), polygonName(len(p.corners)), num.Shown(p.length, unit)))
	}
	line := which + ": "
	if len(said) > 0 {
		line += strings.Join(said, "; ")
	}
	if sum == 0 {
		if len(rest) > 0 {
			var left []string
			for _, r := range rest {
				left = append(left, fmt.Sprintf("%s (%s at %s)", names(r.parts), num.Shown(r.length, unit), fromUp(cmplx.Rect(1, r.direction))))
			}
			if len(said) > 0 {
				line += "; "
			}
			line += list(left) + " close head to tail"
		}
		return []string{line + ". Nothing is left."}
	}
	left := leftovers(rest, unit)
	switch {
	case len(said) > 0 && len(rest) > 0:
		line += fmt.Sprintf("; what is left, %s, adds up to %s", left, num.Shown(cmplx.Abs(sum), unit))
	case len(rest) > 0:
		line += fmt.Sprintf("%s add up to %s", left, num.Shown(cmplx.Abs(sum), unit))
	default:
		line += fmt.Sprintf("; small differences leave %s", num.Shown(cmplx.Abs(sum), unit))
	}
	return []string{line + fmt.Sprintf(", at %s.", fromUp(sum))}
}

// leftovers lists the vectors that remain, or counts them where they are many.
func leftovers(rest []ray, unit string) string {
	if len(rest) > 4 {
		least, most := math.Inf(1), 0.0
		for _, r := range rest {
			least, most = math.Min(least, r.length), math.Max(most, r.length)
		}
		if most-least < 1e-6*most {
			return fmt.Sprintf("%d vectors of %s in different directions", len(rest), num.Shown(most, unit))
		}
		return fmt.Sprintf("%d vectors in different directions, from %s to %s,", len(rest), num.Shown(least, unit), num.Shown(most, unit))
	}
	var left []string
	for _, r := range rest {
		left = append(left, fmt.Sprintf("%s from %s at %s", num.Shown(r.length, unit), names(r.parts), fromUp(cmplx.Rect(1, r.direction))))
	}
	return list(left)
}

// remedy says what can take the two parts of what is left.
func (e *explainer) remedy(q quantity) []string {
	with, against := cmplx.Abs(q.pair.With), cmplx.Abs(q.pair.Against)
	var lines []string
	ω := e.r.Speed
	if with > 0 {
		if e.k == 2 {
			lines = append(lines, e.counterweight(q, with))
		} else {
			lines = append(lines, fmt.Sprintf("The part that turns with the crank, %s, does so at %s, so it moves past the crank and no mass on the crank can take it: it needs a shaft that turns with the crank at %s, with %s.",
				num.Shown(with, q.unit), speedName(e.k), speedName(e.k), unbalanceWords(q, with/(e.n*e.n*ω*ω))))
		}
	}
	if against > 0 {
		lines = append(lines, fmt.Sprintf("The part that turns against the crank, %s, passes every point of the crank, so no counterweight can take it: it needs a shaft that turns against the crank at %s, with %s.",
			num.Shown(against, q.unit), speedName(e.k), unbalanceWords(q, against/(e.n*e.n*ω*ω))))
	}
	if q.name == "force" && e.k > 2 && with > 0 && math.Abs(with-against) < 1e-6*with {
		lines = append(lines, fmt.Sprintf("Both parts are equally long, so the force swings along a line: two equal shafts that turn opposite ways at %s take it, and one alone leaves %s turning the other way.", speedName(e.k), num.Shown(with, q.unit)))
	}
	return lines
}

func (e *explainer) counterweight(q quantity, size float64) string {
	ω := e.r.Speed
	if q.name == "force" {
		return fmt.Sprintf("The part that turns with the crank, %s, stands still on the crank, so a counterweight takes it: %s kg mm at %s.",
			num.Shown(size, q.unit), num.Digits(1e3*size/(ω*ω), 4), fromUp(-q.pair.With))
	}
	return fmt.Sprintf("The part that turns with the crank, %s, stands still on the crank, so two opposite counterweights in different planes take it: %s.",
		num.Shown(size, q.unit), e.couple(size/(ω*ω)))
}

// couple gives the unbalance of two opposite masses at the outermost throws for a couple.
func (e *explainer) couple(amount float64) string {
	first, last := math.Inf(1), math.Inf(-1)
	for _, t := range e.r.Train.Throws {
		first, last = math.Min(first, t.At), math.Max(last, t.At)
	}
	if last-first < 1e-6 {
		return fmt.Sprintf("unbalance times distance %s kg mm²", num.Digits(1e6*amount, 4))
	}
	return fmt.Sprintf("%s kg mm each at the outermost throws, %s mm apart", num.Digits(1e3*amount/(last-first), 4), num.Digits(1e3*(last-first), 4))
}

func unbalanceWords(q quantity, amount float64) string {
	if q.name == "force" {
		return fmt.Sprintf("an unbalance of %s kg mm", num.Digits(1e3*amount, 4))
	}
	return fmt.Sprintf("two opposite masses whose unbalance times distance is %s kg mm²", num.Digits(1e6*amount, 4))
}
