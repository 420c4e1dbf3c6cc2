package envelope

import (
	"math"

	"crankwright/mechanics/layout"
)

// HeadFill is the share of a head's box that is metal: the rest are ports, jacket, chambers and valve gear room [1]; a two-stroke
// engine's head has no ports. Source: PRACTICE, from memory, 0.4 to 0.55.
const HeadFill = 0.5

// ValveFill is the share of a head's box that valves, springs and their followers take, as steel [1]. Source: PRACTICE,
// from memory.
const ValveFill = 0.04

// HeadPartShare is the share of the height of head and cover that is head [1]. Source: PRACTICE.
const HeadPartShare = 0.7

// side returns +1 where the side of a row towards axis + 90° looks up, −1 where the other does; of an upright row the right
// one counts as up, so that the intake stands there.
func (r *Row) side() float64 {
	up := -math.Sin(float64(r.Axis)) // z of the direction axis + 90°
	if up > 1e-6 {
		return 1
	}
	return -1
}

// joint is where a head ends and its cover begins; a head without valves has none.
func (f *frame) joint(r *Row) float64 {
	if f.t.Making.ValveDrive == layout.Ports {
		return r.Top
	}
	return r.Deck + HeadPartShare*(r.Top-r.Deck)
}

// headSection is the section of a head, coverSection that of its cover.
func (f *frame) headSection(r *Row) []complex128 {
	return r.rectangle(r.Deck, f.joint(r), -r.HeadHalf, r.HeadHalf)
}

func (f *frame) coverSection(r *Row) []complex128 {
	return r.rectangle(f.joint(r), r.Top, -0.9*r.HeadHalf, 0.9*r.HeadHalf)
}

// headsAndCams builds the heads with their covers and valve gear, and the overhead camshafts of each top.
func (f *frame) headsAndCams() []Solid {
	b := f.b
	valves := b.Camshafts > 0 || f.t.Making.ValveDrive == layout.Pushrods
	var out []Solid
	for k := range f.heads {
		h := &f.heads[k]
		if box := f.ownOf(h, f.headSection(&h.Row)); len(box) > 2 {
			s := prism(HeadPart, "head", h.From, h.To, box, b.HeadDense)
			s.Fill = HeadFill
			out = append(out, s)
			if valves {
				s = prism(ValvePart, "valve gear", h.From, h.To, box, SteelDensity)
				s.Fill = ValveFill
				out = append(out, s)
			}
		}
		if lid := f.ownOf(h, f.coverSection(&h.Row)); len(lid) > 2 && f.joint(&h.Row) < h.Top {
			out = append(out, shell(CoverPart, "cover", h.From, h.To, 0.035*f.bore, lid, b.HeadDense, true)...)
		}
	}
	n := int(math.Round(b.Camshafts))
	for k := range f.tops {
		r := &f.tops[k].Row
		for c := range n {
			across := 0.0
			if n > 1 {
				across = 0.45 * f.bore * (2*float64(c)/float64(n-1) - 1)
			}
			out = append(out, f.camshaft("camshaft", r.From, r.To, r.at(f.joint(r), across))...)
		}
	}
	return out
}

// camshaft builds a camshaft and its wheel in front of the block.
func (f *frame) camshaft(name string, from, to float64, at complex128) []Solid {
	out := []Solid{alongX(ValvePart, name, from, to, at, 0.15*f.bore, 0.05*f.bore, SteelDensity)}
	if d := f.driveDepth(); d > 0 {
		w := alongX(DrivePart, "camshaft wheel", f.front-0.8*d, f.front-0.5*d, at, 0.5*f.bore, 0.1*f.bore, SteelDensity)
		w.Fill = 0.4
		out = append(out, w)
	}
	return out
}

// driveDepth is how far the drives of camshafts and pumps reach in front of the block.
func (f *frame) driveDepth() float64 { return 0.45 * f.b.FrontRoom }

// frontCover builds the cover in front of the drives.
func (f *frame) frontCover() []Solid {
	d := f.driveDepth()
	if d <= 0 {
		return nil
	}
	wall := min(0.04*f.bore, d/3)
	outside := f.out
	if f.hasSump {
		outside = cut(outside, complex(0, -f.b.SkirtDepth), 1i)
	}
	var out []Solid
	if len(outside) > 2 {
		out = shell(FrontPart, "front cover", f.front-d, f.front, wall, outside, f.b.HeadDense, false)
	}
	if f.b.Camshafts > 0 {
		for k := range f.tops {
			r := &f.tops[k].Row
			if tower := f.ownOf(&f.tops[k], r.rectangle(r.Lower, r.Top, -0.8*r.Half, 0.8*r.Half)); len(tower) > 2 {
				out = append(out, shell(FrontPart, "front cover", f.front-d, f.front, wall, tower, f.b.HeadDense, false)...)
			}
		}
	}
	return out
}

// manifolds builds an intake on the side of each bank, or of the head over all, that looks up and an exhaust on the other, each a
// pipe along it with a branch to each cylinder.
func (f *frame) manifolds() []Solid {
	var out []Solid
	for k := range f.tops {
		r := &f.tops[k].Row
		up := r.side()
		for _, m := range []struct {
			part            Part
			side            float64
			out, away, pipe float64 // places and radius, as shares of the bore; out of the head's height
			branch, wall    float64
			density         float64
		}{
			{IntakePart, up, 0.4, 0.75, 0.35, 0.22, 0.05, 2700},
			{ExhaustPart, -up, 0.25, 0.45, 0.28, 0.20, 0.06, IronDensity},
		} {
			radius, wall := m.pipe*f.bore, m.wall*f.bore
			level := r.Deck + m.out*(r.Top-r.Deck)
			centre := f.within(&f.tops[k], r.at(level, m.side*(r.HeadHalf+m.away*f.bore)), radius)
			out = append(out, alongX(m.part, string(m.part), r.From+0.1*f.bore, r.To-0.1*f.bore, centre, radius, radius-wall, m.density))
			face := f.within(&f.tops[k], r.at(level, m.side*r.HeadHalf), 0)
			for _, i := range r.Cylinders {
				at := f.t.Cylinders[i].At
				b := Solid{Part: m.part, Name: "branch", Kind: Tube, Density: m.density, Fill: 1, A: point(at, face), B: point(at, centre), Outer: m.branch * f.bore, Inner: m.branch*f.bore - wall}
				if b.A != b.B {
					out = append(out, b)
				}
			}
		}
	}
	return out
}

// within moves a point back to its own side of the borders to other rows, by a margin.
func (f *frame) within(h *top, p complex128, margin float64) complex128 {
	if h.over {
		return p
	}
	for _, towards := range f.borders(h.row) {
		if side := real(p)*real(towards) + imag(p)*imag(towards); side < margin {
			p += towards * complex(margin-side, 0)
		}
	}
	return p
}
