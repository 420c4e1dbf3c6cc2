package search

import (
	"fmt"
	"strings"

	"crankwright/mechanics/layout"
	"crankwright/num"
	"crankwright/spec"
)

// Candidate is an engine of a study.
type Candidate struct {
	Index    uint64
	Name     string
	Settings []spec.Setting // what it sets in the base, with what was designed for it
	Text     []byte         // its engine file
}

// Candidate returns an engine of the study as a file. Errors: a number beyond the space; an engine that cannot be built.
func (p *Problem) Candidate(index uint64) (*Candidate, error) {
	if err := p.has(index); err != nil {
		return nil, err
	}
	e := p.newEvaluator()
	e.next(index, index+1)
	b := p.blocks[e.block]
	if b.dead != "" {
		return nil, fmt.Errorf("candidate %d cannot be built: %s", index, b.dead)
	}
	set, designs, err := b.settings(e.digits, e.steps)
	if err != nil {
		return nil, err
	}
	set, t, err := b.resolve(set, designs)
	if err != nil {
		return nil, fmt.Errorf("candidate %d cannot be built: %w", index, err)
	}
	c := &Candidate{Index: index, Name: b.nameOf(index)}
	for _, s := range set {
		c.Settings = append(c.Settings, s.Setting)
	}
	if b.orders >= 0 && b.axes[b.orders].kind == allOrders {
		c.Settings = append(c.Settings, spec.Setting{Key: ordersKey, Text: orderText(t, e.firings.order(nil, e.mask))})
	}
	c.Text, err = b.template.Text(append([]spec.Setting{{Key: "name", Text: c.Name}}, c.Settings...))
	c.Settings = append(append([]spec.Setting(nil), b.shape...), c.Settings...)
	return c, err
}

// has returns an error for a number beyond the space.
func (p *Problem) has(index uint64) error {
	if most := p.starts[len(p.starts)-1]; index >= most {
		return fmt.Errorf("there is no candidate %d; their numbers go from 0 to %d", index, most-1)
	}
	return nil
}

// nameOf names a candidate.
func (b *block) nameOf(index uint64) string {
	return fmt.Sprintf("%s no. %d", b.template.Engine().Name.Value, index)
}

// orderText writes a firing order as the value of layout.firing_order.
func orderText(t *layout.Train, order []int) string {
	var list []string
	for _, c := range order {
		list = append(list, t.Cylinders[c].Name)
	}
	return "[" + strings.Join(list, ", ") + "]"
}

// Size is how many candidates there are, and why.
type Size struct {
	Total  uint64
	Blocks []BlockSize
	Fast   bool // every figure comes from the fast path
}

// BlockSize is a part of the space.
type BlockSize struct {
	Name  string
	Total uint64
	Dead  string // why no engine of it can be built; empty: some can
	Axes  []AxisSize
}

// AxisSize is one thing that varies.
type AxisSize struct {
	Key      string
	Count    int
	Values   []string // in words; nil where they are phasings or all orders
	Angle    bool     // it changes angles only, so that the fast path need not read the engine anew
	Phasings *PhasingSize
}

// PhasingSize says how the distinct phasings of a crank were counted.
type PhasingSize struct {
	Throws   int
	StepDeg  float64
	All      string // phasings with the first throw at 0
	Distinct int    // listed
	Burnside string // counted by Burnside's lemma
	Twins    Twins
}

// Size returns how many candidates there are, before anything is evaluated.
func (p *Problem) Size() Size {
	s := Size{Total: p.starts[len(p.starts)-1], Fast: p.Fast()}
	for i, b := range p.blocks {
		bs := BlockSize{Name: b.name, Total: p.starts[i+1] - p.starts[i], Dead: b.dead}
		for k, a := range b.axes {
			as := AxisSize{Key: a.key, Count: a.count, Values: a.texts, Angle: b.dead == "" && k >= b.angles}
			if a.phasings != nil {
				as.Phasings = &PhasingSize{
					Throws: a.phasings.Throws, StepDeg: 360 / float64(a.phasings.Steps), Distinct: a.count, Twins: a.phasings.Twins,
					All:      num.Digits(pow(a.phasings.Steps, a.phasings.Throws-1), 15),
					Burnside: CountPhasings(a.phasings.Throws, a.phasings.Steps, a.phasings.Twins).String(),
				}
			}
			bs.Axes = append(bs.Axes, as)
		}
		s.Blocks = append(s.Blocks, bs)
	}
	return s
}

func pow(base, n int) float64 {
	out := 1.0
	for range n {
		out *= float64(base)
	}
	return out
}
