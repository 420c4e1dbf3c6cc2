package search

import (
	"fmt"
	"slices"
	"strconv"

	"crankwright/spec"
	"crankwright/study"
)

// Inputs returns what a candidate sets in the base, in the words of an engine file and in the sequence of the study; what is
// designed for it stands in Candidate only.
func (p *Problem) Inputs(q study.Point) []spec.Setting {
	block, digits := p.space.At(nil, q.Index)
	if block < 0 {
		return nil
	}
	b := p.blocks[block]
	out := slices.Clone(b.shape)
	for _, v := range p.Study.Vary {
		i := slices.IndexFunc(b.axes, func(a *axis) bool { return a.key == v.Key })
		if i < 0 || b.dead != "" {
			continue
		}
		a := b.axes[i]
		var text string
		switch a.kind {
		case phasings:
			text = pinsText(a.phasings.Degrees(digits[i]))
		case allOrders:
			text = p.orderOf(b, q, a.column)
		default:
			text = a.texts[digits[i]]
		}
		out = append(out, spec.Setting{Key: a.key, Text: text})
	}
	return out
}

// orderOf writes the firing order of a kept candidate as the value of layout.firing_order.
func (p *Problem) orderOf(b *block, q study.Point, column int) string {
	if n := len(b.train.Cylinders); n <= mostSpelled && column < len(q.Values) {
		digits := strconv.FormatFloat(q.Values[column], 'f', 0, 64)
		order := make([]int, 0, n)
		for _, r := range digits {
			if c := int(r - '1'); c >= 0 && c < n {
				order = append(order, c)
			}
		}
		if len(order) == n {
			return orderText(b.train, order)
		}
	}
	c, err := p.Candidate(q.Index)
	if err != nil {
		return fmt.Sprintf("schedule of candidate %d", q.Index)
	}
	for _, s := range c.Settings {
		if s.Key == ordersKey {
			return s.Text
		}
	}
	return ""
}
