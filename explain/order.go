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
// Angles are counted as in the engine file: from upright, in the sense of rotation, at crank angle 0.
//
// Result: sections on the force [N], the moment [N m] and the torque [N m] of that order, in words
// that follow from the vectors of each part alone. Definition.
func Order(r *analysis.Result, k int) []Section {
	e := explainer{r: r, k: k, n: float64(k) / 2, parts: r.Contributions(k)}
	if len(e.parts) == 0 {
		return []Section{{Heading: num.Capital(orderName(k)), Lines: []string{"No part of this engine shakes in the " + orderName(k) + "."}}}
	}
	o := e.swept(r.Order(k))
	force := Section{Heading: num.Capital(orderName(k)) + ": force"}
	force.Lines = e.stars(quantity{
		name: "force", unit: "N", pair: e.asWritten(o.Force, false),
		with:    func(c inertia.Contribution) complex128 { return e.unmirror(c.With, false) },
		against: func(c inertia.Contribution) complex128 { return e.unmirror(c.Against, false) },
	})
	x := r.Train.Reference
	moment := Section{Heading: num.Capital(orderName(k)) + ": moment"}
	if e.shakes() {
		force.Lines = append(append(e.angles(), e.pair()...), force.Lines...)
		moment.Lines = e.stars(quantity{
			name: "moment", unit: "N m", axial: true, pair: e.asWritten(o.Moment, true),
			with:    func(c inertia.Contribution) complex128 { return e.unmirror(c.MomentWith(x), true) },
			against: func(c inertia.Contribution) complex128 { return e.unmirror(c.MomentAgainst(x), true) },
		})
		if o.Force.Ellipse.Major > 0 && e.levers() {
			moment.Lines = append(moment.Lines, fmt.Sprintf("A free force is left, so the moment depends on the point about which it is taken: here x = %s mm.", signed(1e3*x)))
		}
	}
	var sections []Section
	for _, s := range []Section{force, moment, e.torque(o)} {
		if len(s.Lines) > 0 {
			sections = append(sections, s)
		}
	}
	return sections
}

// swept returns an order without what counts as nothing.
func (e *explainer) swept(o analysis.Order) analysis.Order {
	sweep := func(p *analysis.Pair, dust float64) {
		for _, v := range []*complex128{&p.With, &p.Against} {
			if cmplx.Abs(*v) < dust {
				*v = 0
			}
		}
		p.Ellipse = num.EllipseOf(p.With, p.Against)
	}
	force, moment := Dust(e.r)
	sweep(&o.Force, force)
	sweep(&o.Moment, moment)
	return o
}

// levers says whether any part stands away from the reference.
func (e *explainer) levers() bool {
	for _, c := range e.parts {
		if math.Abs(c.At-e.r.Train.Reference) > 1e-9 {
			return true
		}
	}
	return false
}

// shakes says whether any part has a force of this order.
func (e *explainer) shakes() bool {
	for _, c := range e.parts {
		if c.With != 0 || c.Against != 0 {
			return true
		}
	}
	return false
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
	axial         bool // a moment
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
		if q.axial {
			return []string{"Every part that shakes in this order stands in the plane of the reference, so there is no moment."}
		}
		return []string{"No part of this engine has a force of the " + orderName(e.k) + "."}
	}
	var lines []string
	if q.pair.Ellipse.Major == 0 {
		lines = append(lines, fmt.Sprintf("There is no free %s of the %s.", q.name, orderName(e.k)))
	} else {
		lines = append(lines, fmt.Sprintf("The %s %s.", q.name, shape(q.pair.Ellipse, q.unit, e.k)))
	}
	lines = append(lines, describe("With the crank", with, q.pair.With, q.unit)...)
	lines = append(lines, describe("Against the crank", against, q.pair.Against, q.unit)...)
	return append(lines, e.remedies(q)...)
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
		said = append(said, fmt.Sprintf("%s stand %s, and cancel %s each", num.List(corners, "and"), polygonName(len(p.corners)), num.Shown(p.length, unit)))
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
			line += num.List(left, "and") + " close head to tail"
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
		return fmt.Sprintf("%d vectors in different directions (%s to %s)", len(rest), num.Shown(least, unit), num.Shown(most, unit))
	}
	var left []string
	for _, r := range rest {
		left = append(left, fmt.Sprintf("%s from %s at %s", num.Shown(r.length, unit), names(r.parts), fromUp(cmplx.Rect(1, r.direction))))
	}
	return num.List(left, "and")
}
