package explain

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Remedy is what would take one counter-turning part of one order: masses fixed to the crank, or
// masses on one balance shaft, as they would stand in the engine file.
type Remedy struct {
	Moment     bool    // it takes the moment; otherwise the force
	Against    bool    // it takes the part that turns against the crank
	SpeedRatio float64 // of the shaft; 0: counterweights on the crank
	Masses     []layout.Unbalance
}

// Remedies returns what would take each part that is left of one order.
//
//   - r: a result of analysis.Run
//   - k: twice the order [1], at least 1
//
// Result: for the force one mass at the reference, so that the moment about it stays; for the moment
// two equal opposite masses at the outermost throws (a metre apart where there is one throw only).
// Places [m], angles [rad] and unbalances [kg m] are those of the engine file: put there, the part is
// gone at every speed. A shaft may stand anywhere across the crank, where the roll moment does not
// count. Source: DEFINITION, the phasors of one mass are those of Solve in package inertia.
func Remedies(r *analysis.Result, k int) []Remedy {
	e := explainer{r: r, k: k, n: float64(k) / 2}
	o := r.Order(k)
	force, moment := e.asWritten(o.Force, false), e.asWritten(o.Moment, true)
	var out []Remedy
	for _, against := range []bool{false, true} {
		if m := e.forceRemedy(force, against); m != nil {
			out = append(out, *m)
		}
		if m := e.momentRemedy(moment, against); m != nil {
			out = append(out, *m)
		}
	}
	return out
}

// ratio is the speed ratio of the part's remedy: 0 where a counterweight does.
func (e *explainer) ratio(against bool) float64 {
	switch {
	case against:
		return -e.n
	case e.k == 2:
		return 0
	default:
		return e.n
	}
}

func part(p analysis.Pair, against bool) complex128 {
	if against {
		return p.Against
	}
	return p.With
}

// forceRemedy is one mass whose force is the part's, reversed: n² U ω² i e^{iα} = −W.
func (e *explainer) forceRemedy(p analysis.Pair, against bool) *Remedy {
	w := part(p, against)
	if w == 0 {
		return nil
	}
	return &Remedy{Against: against, SpeedRatio: e.ratio(against), Masses: []layout.Unbalance{e.mass(e.r.Train.Reference, -w)}}
}

// momentRemedy is two opposite masses at x1 and x2 with i (x1 − x2) f = −M.
func (e *explainer) momentRemedy(p analysis.Pair, against bool) *Remedy {
	m := part(p, against)
	if m == 0 {
		return nil
	}
	first, last := e.ends()
	f := m / complex(0, last-first)
	return &Remedy{Moment: true, Against: against, SpeedRatio: e.ratio(against), Masses: []layout.Unbalance{e.mass(first, f), e.mass(last, -f)}}
}

// mass is the mass at x whose force at crank angle 0 is f.
func (e *explainer) mass(x float64, f complex128) layout.Unbalance {
	ω := e.r.Speed * e.n
	return layout.Unbalance{At: x, Amount: cmplx.Abs(f) / (ω * ω), Angle: num.Angle(turnBetween(math.Pi/2, cmplx.Phase(f)))}
}

// ends are the places of the outermost throws.
func (e *explainer) ends() (first, last float64) {
	first, last = math.Inf(1), math.Inf(-1)
	for _, t := range e.r.Train.Throws {
		first, last = math.Min(first, t.At), math.Max(last, t.At)
	}
	if last-first < 1e-6 {
		return first - 0.5, first + 0.5
	}
	return first, last
}

// asWritten returns a pair in the file's sense: for a clockwise engine, as before it was mirrored.
func (e *explainer) asWritten(p analysis.Pair, axial bool) analysis.Pair {
	if e.r.Train.Rotation != layout.Clockwise {
		return p
	}
	p.With, p.Against = e.unmirror(p.With, axial), e.unmirror(p.Against, axial)
	p.Ellipse = num.EllipseOf(p.With, p.Against)
	return p
}

func (e *explainer) unmirror(v complex128, axial bool) complex128 {
	if e.r.Train.Rotation != layout.Clockwise {
		return v
	}
	if axial {
		return cmplx.Conj(v)
	}
	return -cmplx.Conj(v)
}

// remedies says in words what can take the parts of what is left.
func (e *explainer) remedies(q quantity) []string {
	var lines []string
	for _, against := range []bool{false, true} {
		remedy := e.forceRemedy(q.pair, against)
		if q.axial {
			remedy = e.momentRemedy(q.pair, against)
		}
		if remedy == nil {
			continue
		}
		size := num.Shown(cmplx.Abs(part(q.pair, against)), q.unit)
		with := masses(remedy.Masses)
		switch {
		case remedy.SpeedRatio == 0 && q.axial:
			lines = append(lines, fmt.Sprintf("The part that turns with the crank, %s, stands still on the crank, so two opposite counterweights in different planes take it: %s.", size, with))
		case remedy.SpeedRatio == 0:
			lines = append(lines, fmt.Sprintf("The part that turns with the crank, %s, stands still on the crank, so a counterweight takes it: %s.", size, with))
		case against:
			lines = append(lines, fmt.Sprintf("The part that turns against the crank, %s, passes every point of the crank, so no counterweight can take it: it needs a shaft that turns against the crank at %s, with %s.", size, speedName(e.k), with))
		default:
			lines = append(lines, fmt.Sprintf("The part that turns with the crank, %s, does so at %s, so it moves past the crank and no mass on the crank can take it: it needs a shaft that turns with the crank at %s, with %s.", size, speedName(e.k), speedName(e.k), with))
		}
	}
	with, against := cmplx.Abs(q.pair.With), cmplx.Abs(q.pair.Against)
	if !q.axial && e.k > 2 && with > 0 && math.Abs(with-against) < 1e-6*with {
		lines = append(lines, fmt.Sprintf("Both parts are equally long, so the force swings along a line: the two equal shafts that turn opposite ways at %s take it together, and one alone leaves %s turning the other way.", speedName(e.k), num.Shown(with, q.unit)))
	}
	return lines
}

// masses writes masses as the file wants them.
func masses(list []layout.Unbalance) string {
	var out []string
	for _, m := range list {
		out = append(out, fmt.Sprintf("%s kg mm at %s, x = %s mm", num.Digits(1e3*m.Amount, 4), degrees(float64(m.Angle)), signed(1e3*m.At)))
	}
	return strings.Join(out, " and ")
}
