package search

import (
	"math"
	"math/rand/v2"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/spec"
)

// findReference finds a candidate that can be built; of phasings it has all pins in one direction.
func (b *block) findReference() {
	digits := make([]int, len(b.axes))
	rng := rand.New(rand.NewPCG(1, 1))
	var said error
	for range 100 {
		t, err := b.build(digits, nil)
		if err == nil && slices.ContainsFunc(b.axes, func(a *axis) bool { return a.kind == phasings }) {
			for i, th := range t.Throws {
				if th.Pair == i {
					b.places++
				}
			}
			t, err = b.build(digits, make([]int, b.places))
		}
		if err == nil {
			b.train, b.ref = t, slices.Clone(digits)
			return
		}
		if said == nil {
			said = err
		}
		for i, a := range b.axes {
			if a.count > 0 {
				digits[i] = rng.IntN(a.count)
			}
		}
		b.places = 0
	}
	b.dead = said.Error()
}

// stepsOf returns how many steps of its phasings a turn has: as the study says, or one for each pin, but no fewer than four
// for more than one pin.
func (b *block) stepsOf(v spec.Variation) int {
	if v.Step > 0 {
		return int(math.Round(turn / v.Step))
	}
	if b.places == 2 {
		return 4
	}
	return b.places
}

// findPins finds which pin turns which throw, by turning one pin after the other.
func (b *block) findPins() {
	if b.places == 0 {
		return
	}
	place := make([]int, len(b.train.Throws))
	for i := range place {
		place[i] = -1
	}
	for k := range b.places {
		steps := make([]int, b.places)
		steps[k] = 1
		t, err := b.build(b.ref, steps)
		if err != nil || differs(b.train, t) {
			return
		}
		by, ok := turningOf(b.train, t)
		if !ok {
			return
		}
		for i, a := range by.throw {
			switch {
			case sameAngle(a, 0) && len(b.units) > 1:
			case sameAngle(a, turn/float64(len(b.units))) && place[i] < 0:
				place[i] = k
			default:
				return
			}
		}
	}
	if !slices.Contains(place, -1) {
		b.place = place
	}
}

// findAngles finds which of the last axes change nothing but angles, by trying every value of each, and by trying that the
// angles of some of them together add up.
func (b *block) findAngles() {
	b.findPins()
	if slices.ContainsFunc(b.axes, func(a *axis) bool { return a.kind == policy }) {
		return // what is designed for an engine follows its angles
	}
	first := len(b.axes)
	for first > 0 && slices.Contains(angleKeys(), b.axes[first-1].key) {
		first--
	}
	var free, bound []*axis
	for _, a := range b.axes[first:] {
		if b.turnsOnly(slices.Index(b.axes, a)) {
			free = append(free, a)
		} else {
			bound = append(bound, a)
		}
	}
	b.rearrange(first, bound, free)
	if !b.addUp() {
		b.turns = nil
		var orders []*axis
		for _, a := range free {
			if a.key == ordersKey {
				orders = append(orders, a)
			} else {
				bound = append(bound, a)
			}
		}
		b.rearrange(first, bound, orders)
	}
}

// rearrange puts the axes that change more than angles before those that do not.
func (b *block) rearrange(first int, bound, free []*axis) {
	was := slices.Clone(b.axes)
	b.axes = slices.Concat(b.axes[:first:first], bound, free)
	b.angles = first + len(bound)
	ref := make([]int, len(b.axes))
	for i, a := range b.axes {
		ref[i] = b.ref[slices.Index(was, a)]
	}
	b.ref = ref
	b.pins, b.orders, b.turns = -1, -1, nil
	for i, a := range b.axes {
		var list []turning
		switch {
		case i < b.angles:
			continue
		case a.kind == phasings:
			b.pins = i
		case a.key == ordersKey:
			b.orders = i
		default:
			list = b.turningsOf(i)
		}
		b.turns = append(b.turns, list)
	}
}

// with returns the engine of the reference with one other value.
func (b *block) with(axis, value int) (*layout.Train, error) {
	digits := slices.Clone(b.ref)
	digits[axis] = value
	return b.build(digits, b.straight())
}

// straight returns the steps of pins that all point the same way; nil where the pins are not set by phasings.
func (b *block) straight() []int {
	if b.places == 0 {
		return nil
	}
	return make([]int, b.places)
}

// turnsOnly tells whether an axis changes angles only.
func (b *block) turnsOnly(i int) bool {
	a := b.axes[i]
	switch {
	case a.kind == allOrders:
		return true
	case a.key == ordersKey:
		a.orderList = nil
		for v := range a.count {
			t, err := b.with(i, v)
			if err != nil {
				return false
			}
			a.orderList = append(a.orderList, t.FiringOrder)
		}
		return true
	case a.kind == phasings:
		return b.place != nil
	case a.count > 2000:
		return false
	}
	for v := range a.count {
		t, err := b.with(i, v)
		if err != nil || differs(b.train, t) {
			return false
		}
		if _, ok := turningOf(b.train, t); !ok {
			return false
		}
	}
	return true
}

func (b *block) turningsOf(i int) []turning {
	list := make([]turning, b.axes[i].count)
	for v := range list {
		t, err := b.with(i, v)
		if err != nil { // turnsOnly has built it
			panic(err)
		}
		list[v], _ = turningOf(b.train, t)
	}
	return list
}

// addUp tries at random whether the turnings of several axes add up, with other values of the axes that change more.
func (b *block) addUp() bool {
	rng := rand.New(rand.NewPCG(2, 2))
	for range 24 {
		digits := make([]int, len(b.axes))
		for i, a := range b.axes {
			if digits[i] = b.ref[i]; a.key != ordersKey && a.count > 0 {
				digits[i] = rng.IntN(a.count)
			}
		}
		steps := b.straight()
		for k := range steps {
			steps[k] = rng.IntN(len(b.units))
		}
		t, err := b.build(digits, steps)
		if err != nil {
			continue
		}
		rest := slices.Clone(b.ref)
		copy(rest, digits[:b.angles])
		ref, err := b.build(rest, b.straight())
		if err != nil || differs(ref, t) {
			return false
		}
		got, ok := turningOf(ref, t)
		if !ok {
			return false
		}
		want := b.turning(digits)
		if b.pins >= 0 {
			for i, place := range b.place {
				want.throw[i] += turn * float64(steps[place]) / float64(len(b.units))
			}
		}
		if !slices.EqualFunc(got.axis, want.axis, sameAngle) || !slices.EqualFunc(got.throw, want.throw, sameAngle) {
			return false
		}
	}
	return true
}

// turning adds the turnings of a candidate's angles, phasings apart.
func (b *block) turning(digits []int) turning {
	by := turning{make([]float64, len(b.train.Cylinders)), make([]float64, len(b.train.Throws))}
	b.addTurning(&by, digits)
	return by
}

func (b *block) addTurning(by *turning, digits []int) {
	clear(by.axis)
	clear(by.throw)
	for i, list := range b.turns {
		if list == nil {
			continue
		}
		t := &list[digits[b.angles+i]]
		for c, a := range t.axis {
			by.axis[c] += a
		}
		for c, a := range t.throw {
			by.throw[c] += a
		}
	}
}
