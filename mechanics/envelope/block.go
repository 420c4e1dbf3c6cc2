package envelope

import (
	"math"

	"crankwright/mechanics/layout"
)

// Ribs is the mass of a cast block over that of its shells and plates: ribs, bosses, flanges, bolts and oil galleries [1].
// Source: PRACTICE, from memory, 1.4 to 1.9: blocks of aluminium car fours of 2 litres weigh 20 to 28 kg.
const Ribs = 1.8

// void takes a solid away.
func void(s Solid) Solid {
	s.Void = true
	return s
}

// shell returns a prism closed at its front with the inside taken away.
func shell(part Part, name string, from, to, wall float64, section []complex128, density float64, closedRear bool) []Solid {
	outer := prism(part, name, from, to, section, density)
	inside, end := shrunk(section, wall), to
	if closedRear {
		end -= wall
	}
	if len(inside) < 3 || end <= from+wall {
		return []Solid{outer}
	}
	return []Solid{outer, void(prism(part, name, from+wall, end, inside, density))}
}

// block builds the cylinder block: crankcase walls, bulkheads with caps, and for each row of cylinders a box with bores.
func (f *frame) block() []Solid {
	b := f.b
	outside, inside := f.out, f.in
	if f.hasSump {
		joint := complex(0, -b.SkirtDepth)
		outside, inside = cut(outside, joint, 1i), cut(inside, joint, 1i)
	}
	var out []Solid
	if len(outside) > 2 && len(inside) > 2 {
		// walls all along; the openings into the rows are as wide as their bores
		out = append(out, prism(BlockPart, "crankcase", f.front, f.rear, outside, b.Density), void(prism(BlockPart, "crankcase", f.front, f.rear, inside, b.Density)))
		out = append(out, f.bulkheads(inside)...)
	}
	air := f.t.Making.Cooling == layout.Air
	for k := range f.rows {
		if !air {
			out = append(out, f.bank(k)...)
		}
	}
	for i := range out {
		if out[i].Part == BlockPart {
			out[i].Density *= Ribs
		}
	}
	for k := range f.rows {
		if air {
			out = append(out, f.barrels(k)...)
		}
	}
	return out
}

// FinFill is the share of the room round an air-cooled barrel that is metal: fins with the air between them [1]. Source: PRACTICE,
// from memory, 0.25 to 0.4.
const FinFill = 0.3

// barrels builds the cylinders of an air-cooled row, which stand apart on the crankcase: barrels, and fins round their upper
// three quarters.
func (f *frame) barrels(k int) []Solid {
	r, b := &f.rows[k], f.b
	foot := r.Lower + (r.Deck-r.Lower)/4
	section := f.own(k, r.rectangle(foot, r.Deck, -r.Half, r.Half))
	if r.Deck <= r.Lower || len(section) < 3 {
		return nil
	}
	fins := prism(BlockPart, "fins", r.From, r.To, section, b.Density)
	fins.Fill = FinFill
	out := []Solid{fins}
	for j, i := range r.Cylinders {
		outer := f.bore/2 + f.barrelWall(r, j)
		core := f.tube(r, i, "fins", foot, r.Deck, outer, 0)
		core.Fill = FinFill
		out = append(out, void(core), f.tube(r, i, "barrel", r.Lower, r.Deck, outer, f.bore/2))
	}
	return out
}

// tube returns a tube about a cylinder's axis.
func (f *frame) tube(r *Row, cylinder int, name string, from, to, outer, inner float64) Solid {
	at := f.t.Cylinders[cylinder].At
	return Solid{Part: BlockPart, Name: name, Kind: Tube, Density: f.b.Density, Fill: 1, A: point(at, r.at(from, 0)), B: point(at, r.at(to, 0)), Outer: outer, Inner: inner}
}

// barrelWall is the wall of the barrel of the j-th cylinder of a row: less than usual where the next one stands near.
func (f *frame) barrelWall(r *Row, j int) float64 {
	thick := BarrelShare * f.bore
	for _, n := range []int{j - 1, j + 1} {
		if n >= 0 && n < len(r.Cylinders) {
			apart := math.Abs(f.t.Cylinders[r.Cylinders[n]].At - f.t.Cylinders[r.Cylinders[j]].At)
			thick = min(thick, (apart-f.bore)/2)
		}
	}
	return max(0, thick)
}

// bulkheads builds a wall at each main, with caps below where a sump closes the crankcase.
func (f *frame) bulkheads(inside []complex128) []Solid {
	d, b := f.t.Crank.MainJournal.Diameter, f.b
	var out []Solid
	for i, m := range f.mains {
		half := 0.425 * m.Width
		lo, hi := m.At-half, m.At+half
		wall := inside
		if !f.split {
			wall = cut(inside, 0, 1i)
		}
		if len(wall) > 2 {
			out = append(out, prism(BlockPart, "bulkhead", lo, hi, wall, b.Density))
			if f.split {
				out = append(out, void(alongX(BlockPart, "bulkhead", lo, hi, 0, d/2, 0, b.Density)))
			} else {
				out = append(out, void(prism(BlockPart, "bulkhead", lo, hi, cut(round(0, d/2), 0, 1i), b.Density)))
			}
		}
		if !f.split {
			depth := 0.85 * d
			cap := prism(CapPart, "main bearing cap", lo, hi, []complex128{complex(-d, -depth), complex(d, -depth), complex(d, 0), complex(-d, 0)}, IronDensity)
			out = append(out, cap, void(prism(CapPart, "main bearing cap", lo, hi, cut(round(0, d/2), 0, -1i), IronDensity)))
		}
		// end walls of the crankcase where the end mains stand inside them
		if i == 0 && lo-f.front > b.Wall || i == len(f.mains)-1 && f.rear-hi > b.Wall {
			from := f.front
			if i > 0 {
				from = f.rear - b.Wall
			}
			out = append(out, prism(BlockPart, "end wall", from, from+b.Wall, inside, b.Density),
				void(alongX(BlockPart, "end wall", from, from+b.Wall, 0, d/2, 0, b.Density)))
		}
	}
	return out
}

// bank builds the box of one row: walls, deck and foot with the bores taken out, and their barrels.
func (f *frame) bank(k int) []Solid {
	r, b := &f.rows[k], f.b
	if r.Deck-r.Lower <= 0 {
		return nil
	}
	var out []Solid
	add := func(name string, from, to float64, section []complex128) bool {
		section = f.own(k, section)
		if len(section) < 3 || to <= from {
			return false
		}
		out = append(out, prism(BlockPart, name, from, to, section, b.Density))
		return true
	}
	add("bank wall", r.From, r.To, r.rectangle(r.Lower, r.Deck, -r.Half, -r.Half+b.Wall))
	add("bank wall", r.From, r.To, r.rectangle(r.Lower, r.Deck, r.Half-b.Wall, r.Half))
	add("bank end", r.From, r.From+b.Wall, r.rectangle(r.Lower, r.Deck, -r.Half+b.Wall, r.Half-b.Wall))
	add("bank end", r.To-b.Wall, r.To, r.rectangle(r.Lower, r.Deck, -r.Half+b.Wall, r.Half-b.Wall))
	height := r.Deck - r.Lower
	deck, foot := min(DeckShare*f.bore, height/3), min(FootShare*f.bore, height/3)
	inner := r.Half - b.Wall
	hasDeck := add("deck", r.From+b.Wall, r.To-b.Wall, r.rectangle(r.Deck-deck, r.Deck, -inner, inner))
	hasFoot := add("foot", r.From+b.Wall, r.To-b.Wall, r.rectangle(r.Lower, r.Lower+foot, -inner, inner))
	for j, i := range r.Cylinders {
		if hasDeck {
			out = append(out, void(f.tube(r, i, "bore", r.Deck-deck, r.Deck, f.bore/2, 0)))
		}
		if hasFoot {
			out = append(out, void(f.tube(r, i, "bore", r.Lower, r.Lower+foot, f.bore/2, 0)))
		}
		if thick := f.barrelWall(r, j); thick > 0 {
			out = append(out, f.tube(r, i, "barrel", r.Lower+foot, r.Deck-deck, f.bore/2+thick, f.bore/2))
		}
	}
	return out
}

// sump builds the pan under the crankcase.
func (f *frame) sump() []Solid {
	if !f.hasSump {
		return nil
	}
	b := f.b
	joint := complex(0, -b.SkirtDepth)
	pan := func(corners []complex128, depth float64) []complex128 {
		half := 0.0
		for _, c := range corners {
			if imag(c) <= -b.SkirtDepth+1e-6 {
				half = max(half, math.Abs(real(c)))
			}
		}
		points := append(cut(corners, joint, -1i), complex(-half, -b.SkirtDepth), complex(half, -b.SkirtDepth), complex(-0.85*half, -depth), complex(0.85*half, -depth))
		return cut(hull(points), complex(0, -depth), 1i)
	}
	wall := 0.75 * b.Wall
	if b.SumpDense > 7000 {
		wall = 0.3 * b.Wall
	}
	outside := pan(f.out, b.SumpDepth)
	inside := pan(panInside(outside, wall), b.SumpDepth-wall)
	if len(outside) < 3 {
		return nil
	}
	out := []Solid{prism(SumpPart, "sump", f.front, f.rear, outside, b.SumpDense)}
	if len(inside) > 2 && f.rear-f.front > 2*wall {
		out = append(out, void(prism(SumpPart, "sump", f.front+wall, f.rear-wall, inside, b.SumpDense)))
	}
	return out
}

// panInside moves the sides and the bottom of a pan inwards, and leaves its top open.
func panInside(corners []complex128, wall float64) []complex128 {
	inside := shrunk(corners, wall)
	top := math.Inf(-1)
	for _, c := range inside {
		top = max(top, imag(c))
	}
	var up []complex128
	for _, c := range inside { // the top goes back up to the joint
		up = append(up, c)
		if imag(c) > top-1e-9 {
			up = append(up, c+complex(0, wall))
		}
	}
	return hull(up)
}
