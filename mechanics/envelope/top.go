package envelope

import (
	"cmp"
	"math"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// top is what stands on one bank, on one cylinder, or on all banks together.
type top struct {
	Row       // its place; HeadHalf is its half width, Deck and Top are where it begins and ends
	row  int  // the first of its rows
	over bool // it reaches over all rows, and no plane between them cuts it
}

// ownOf returns the part of a section that belongs to a top.
func (f *frame) ownOf(h *top, section []complex128) []complex128 {
	if h.over {
		return section
	}
	return f.own(h.row, section)
}

// findTops finds what stands on the rows, and the heads, as the making wants them.
func (f *frame) findTops() {
	if f.t.Making.Heads == layout.HeadShared {
		all := make([]int, len(f.rows))
		for k := range all {
			all[k] = k
		}
		f.tops = []top{f.topOf(all)}
	} else {
		done := make([]bool, len(f.rows))
		for k := range f.rows {
			var bank []int
			for j := range f.rows {
				if !done[j] && f.bankOf(j) == f.bankOf(k) && sameAngle(f.rows[j].Axis, f.rows[k].Axis) {
					bank, done[j] = append(bank, j), true
				}
			}
			if len(bank) > 0 {
				f.tops = append(f.tops, f.topOf(bank))
			}
		}
	}
	f.heads = f.tops
	if f.t.Making.Heads == layout.HeadEach {
		f.heads = f.each()
	}
}

func (f *frame) bankOf(row int) int { return f.t.Cylinders[f.rows[row].Cylinders[0]].Bank }

// topOf returns what stands on some rows: on one of them as wide as its head, on several from the outer side of one to that of
// another, level, and as high as the highest deck.
func (f *frame) topOf(rows []int) top {
	out := top{Row: f.rows[rows[0]], row: rows[0]}
	if len(rows) == 1 {
		return out
	}
	middle := complex(0, 0)
	for _, k := range rows {
		middle += f.rows[k].Axis.Unit()
		out.over = out.over || !sameAngle(f.rows[k].Axis, out.Axis)
	}
	if out.over {
		out.Axis = num.Angle(math.Atan2(imag(middle), real(middle)))
	}
	out.Cylinders, out.Deck = nil, 0
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, k := range rows {
		r := &f.rows[k]
		place := r.at(r.Deck, 0) / (1i * out.Axis.Unit())
		out.Deck = max(out.Deck, real(place))
		lo, hi = min(lo, imag(place)-r.Half), max(hi, imag(place)+r.Half)
		out.From, out.To = min(out.From, r.From), max(out.To, r.To)
		out.Cylinders = append(out.Cylinders, r.Cylinders...)
	}
	slices.SortStableFunc(out.Cylinders, func(a, b int) int { return cmp.Compare(f.t.Cylinders[a].At, f.t.Cylinders[b].At) })
	out.Top = out.Deck + f.b.HeadHeight
	out.Offset, out.Half = (lo+hi)/2, (hi-lo)/2
	out.HeadHalf = out.Half
	if f.b.Camshafts > 1 {
		out.HeadHalf = max(out.Half, TwinCamHalf*f.bore)
	}
	return out
}

// each divides the tops into a head for each cylinder: as wide along the crank as the walls round its bore, but not beyond
// half the way to the next.
func (f *frame) each() []top {
	end := f.bore/2 + f.b.BoreWall + f.b.Wall
	var out []top
	for _, t := range f.tops {
		for j, i := range t.Cylinders {
			at := f.t.Cylinders[i].At
			h := t
			h.Cylinders, h.From, h.To = []int{i}, at-end, at+end
			if j > 0 {
				h.From = max(h.From, (at+f.t.Cylinders[t.Cylinders[j-1]].At)/2)
			}
			if j+1 < len(t.Cylinders) {
				h.To = min(h.To, (at+f.t.Cylinders[t.Cylinders[j+1]].At)/2)
			}
			out = append(out, h)
		}
	}
	return out
}
