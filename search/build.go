package search

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
	"crankwright/num"
	"crankwright/spec"
)

// build returns the engine of a candidate. steps sets the pins where they are an axis of phasings; nil leaves them out there.
// Where the axis of firing orders is one of all, the order is left open.
func (b *block) build(digits, steps []int) (*layout.Train, error) {
	set, designs, err := b.settings(digits, steps)
	if err != nil {
		return nil, err
	}
	_, t, err := b.resolve(set, designs)
	return t, err
}

// design is a policy to be carried out.
type design struct{ key, word string }

// settings returns what a candidate sets, and the policies by which more is designed.
func (b *block) settings(digits, steps []int) (set []spec.Prepared, designs []design, err error) {
	pure := map[axisKind]float64{}
	for i, a := range b.axes {
		d := digits[i]
		switch a.kind {
		case plain:
			set = append(set, a.prepared[d])
		case policy:
			if word := a.texts[d]; isDesign(a.key, word) {
				designs = append(designs, design{a.key, word})
			} else {
				s, err := b.template.Prepare(spec.Setting{Key: a.key, Text: valueOf(a.key, word)})
				if err != nil {
					return nil, nil, err
				}
				set = append(set, s)
			}
		case phasings:
			if steps == nil {
				continue
			}
			s, err := b.pinned(steps, a.count)
			if err != nil {
				return nil, nil, err
			}
			set = append(set, s)
		case squareness, slimness:
			pure[a.kind] = a.pure[d]
		}
	}
	if len(pure) > 0 {
		set, err = b.ratios(set, pure[squareness], pure[slimness])
	}
	return set, designs, err
}

// mostPinned is how many phasings a block remembers [1].
const mostPinned = 5000

// pinned prepares the pins of one of some number of phasings, and remembers it where there are not too many.
func (b *block) pinned(steps []int, of int) (spec.Prepared, error) {
	degrees := make([]float64, len(steps))
	for k, s := range steps {
		degrees[k] = 360 * float64(s) / float64(len(b.units))
	}
	text := pinsText(degrees)
	if known, ok := b.pinnings.Load(text); ok {
		return known.(spec.Prepared), nil
	}
	s, err := b.template.Prepare(spec.Setting{Key: pinsKey, Text: text})
	if err == nil && of <= mostPinned {
		b.pinnings.Store(text, s)
	}
	return s, err
}

// ratios sets bore and stroke by their ratio, so that the displacement of the whole engine stays, and the rod by its ratio to
// the throw.
//
//	S = q B,  π/4 B² S = V
func (b *block) ratios(set []spec.Prepared, square, slim float64) ([]spec.Prepared, error) {
	t, err := b.template.QuickTrain(set)
	if err != nil {
		return nil, err
	}
	throw := t.Throws[0].Radius
	put := func(key string, metres float64) error {
		s, err := b.template.Prepare(spec.Setting{Key: key, Text: num.Digits(1e3*metres, 7) + " mm"})
		set = append(slices.Clip(set), s)
		return err
	}
	if square > 0 {
		volume := b.displacement / float64(len(t.Cylinders))
		bore := math.Cbrt(4 * volume / (math.Pi * square))
		throw = square * bore / 2
		if err := put("bore", bore); err != nil {
			return nil, err
		}
		if err := put("stroke", 2*throw); err != nil {
			return nil, err
		}
	}
	if slim > 0 {
		if err := put("rod.length", slim*throw); err != nil {
			return nil, err
		}
	}
	return set, nil
}

// resolve builds an engine and designs what policies ask for, in the form that a file has, so that a file with the same
// text is the same engine.
func (b *block) resolve(set []spec.Prepared, designs []design) ([]spec.Prepared, *layout.Train, error) {
	t, err := b.template.QuickTrain(set)
	if err != nil {
		return nil, nil, err
	}
	slices.SortStableFunc(designs, func(a, b design) int { return strings.Compare(b.key, a.key) }) // counterweights before shafts
	for _, d := range designs {
		text, err := designed(t, d)
		if err != nil {
			return nil, nil, err
		}
		s, err := b.template.Prepare(spec.Setting{Key: d.key, Text: text})
		if err != nil {
			return nil, nil, err
		}
		set = append(slices.Clip(set), s)
		if t, err = b.template.QuickTrain(set); err != nil {
			return nil, nil, err
		}
	}
	return set, t, nil
}

// isPolicy tells whether a variation has values that are words for a design.
func isPolicy(v spec.Variation) bool {
	return (v.Key == weightsKey || v.Key == shaftsKey) && slices.ContainsFunc(v.Values, func(text string) bool { return isDesign(v.Key, text) || valueOf(v.Key, text) != text })
}

// isDesign tells whether a value is a word for something that is designed for each engine.
func isDesign(key, word string) bool {
	switch key {
	case weightsKey:
		return word == spec.BestCounterweights
	case shaftsKey:
		return word == spec.ShaftsOrder1 || word == spec.ShaftsOrder2 || word == spec.ShaftsOrders1And2
	}
	return false
}

// valueOf returns a value as an engine file has it: no shafts are an empty list there.
func valueOf(key, text string) string {
	if key == shaftsKey && text == spec.NoShafts {
		return "[]"
	}
	return text
}

// designed carries out a policy.
//
//   - crank.counterweights: best takes the counterweights that leave least of force and moment of order 1, see
//     balance.Optimum;
//   - balance_shafts: the smallest set that takes forces and moments of the named orders, see balance.FindShafts; where
//     none does, the best that there is.
func designed(t *layout.Train, d design) (string, error) {
	if d.key == weightsKey {
		p, err := balance.Counterweights(t, balance.Request{Policy: balance.ByOptimum})
		if err != nil {
			return "", err
		}
		return spec.CounterweightsText(t, p.Counterweights), nil
	}
	task := balance.ShaftTask{}
	for _, k := range map[string][]int{spec.ShaftsOrder1: {2}, spec.ShaftsOrder2: {4}, spec.ShaftsOrders1And2: {2, 4}}[d.word] {
		task.Targets = append(task.Targets, balance.ShaftTarget{K: k, Aim: balance.AimForce}, balance.ShaftTarget{K: k, Aim: balance.AimMoment})
		task.Ratios = append(task.Ratios, -float64(k)/2, float64(k)/2)
	}
	a, err := balance.FindShafts(t, task)
	if err != nil {
		return "", fmt.Errorf("balance shafts: %w", err)
	}
	best := len(a.Sets) - 1
	if a.Smallest >= 0 {
		best = a.Smallest
	}
	if best < 0 {
		return "[]", nil
	}
	return spec.ShaftsText(append(slices.Clone(a.Kept), a.Sets[best].Shafts...)), nil
}
