package search

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"

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

// findAngles finds which of the last axes change nothing but angles, by trying every value of each, and by trying that the
// angles of some of them together add up.
func (b *block) findAngles() {
	// what is designed for an engine follows its angles
	designed := slices.ContainsFunc(b.axes, func(a *axis) bool { return a.kind == policy })
	first := len(b.axes)
	for first > 0 && slices.Contains(angleKeys(), b.axes[first-1].key) {
		first--
	}
	var free, bound []*axis
	for _, a := range b.axes[first:] {
		if (a.key == ordersKey || !designed) && b.turnsOnly(slices.Index(b.axes, a)) {
			free = append(free, a)
		} else {
			bound = append(bound, a)
		}
	}
	b.rearrange(first, bound, free)
	if !b.addUp() {
		orders := slices.DeleteFunc(slices.Clone(free), func(a *axis) bool { return a.key != ordersKey })
		for _, a := range free {
			if a.key != ordersKey {
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
	b.pins, b.orders = -1, -1
	for i, a := range b.axes[b.angles:] {
		switch {
		case a.kind == phasings:
			b.pins = b.angles + i
		case a.key == ordersKey:
			b.orders = b.angles + i
		}
	}
	b.classes = &classes{known: map[string]*class{}}
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
		return true
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

// class is what engines share that have the same throws for the same cylinders: how far each value of an axis of angles turns
// cylinders and throws, and which pin turns which throw.
type class struct {
	turns  [][]turning // by axis from block.angles on, by value; nil for pins and orders; no engine: without throws
	place  []int       // by throw
	places int
}

// classes are those met so far; several evaluators share them.
type classes struct {
	sync.Mutex
	known map[string]*class
}

// classOf returns the class of an engine that has the angles of the reference.
func (b *block) classOf(t *layout.Train, digits []int) *class {
	var pattern strings.Builder
	for i := range t.Throws {
		fmt.Fprint(&pattern, t.Throws[i].Pair, " ")
	}
	for i := range t.Cylinders {
		fmt.Fprint(&pattern, t.Cylinders[i].Throw, " ")
	}
	b.classes.Lock()
	defer b.classes.Unlock()
	if c := b.classes.known[pattern.String()]; c != nil {
		return c
	}
	c := &class{place: make([]int, len(t.Throws)), places: 1}
	if b.pins >= 0 {
		c.places = b.places
		place := -1
		for i := range t.Throws {
			if t.Throws[i].Pair == i {
				place++
			}
			c.place[i] = place
		}
	}
	for i := b.angles; i < len(b.axes); i++ {
		var list []turning
		if a := b.axes[i]; a.kind == plain && a.key != ordersKey {
			list = make([]turning, a.count)
			other := slices.Clone(b.ref)
			copy(other, digits[:b.angles])
			for v := range list {
				other[i] = v
				if u, err := b.build(other, b.straight()); err == nil && !differs(t, u) {
					list[v], _ = turningOf(t, u)
				}
			}
		}
		c.turns = append(c.turns, list)
	}
	b.classes.known[pattern.String()] = c
	return c
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
		c := b.classOf(ref, rest)
		want, ok := c.turning(b, digits)
		if !ok {
			return false
		}
		if b.pins >= 0 {
			for i, place := range c.place {
				want.throw[i] += turn * float64(steps[place]) / float64(len(b.units))
			}
		}
		if !slices.EqualFunc(got.axis, want.axis, sameAngle) || !slices.EqualFunc(got.throw, want.throw, sameAngle) {
			return false
		}
	}
	return true
}

// turning adds the turnings of a candidate's angles, phasings apart; false where there is no such engine.
func (c *class) turning(b *block, digits []int) (turning, bool) {
	by := turning{make([]float64, len(b.train.Cylinders)), make([]float64, len(c.place))}
	return by, c.add(&by, digits[b.angles:])
}

// add adds them in place; angles are the digits of the axes of angles.
func (c *class) add(by *turning, angles []int) bool {
	clear(by.axis)
	clear(by.throw)
	for i, list := range c.turns {
		if list == nil {
			continue
		}
		t := &list[angles[i]]
		if t.throw == nil {
			return false
		}
		for k, a := range t.axis {
			by.axis[k] += a
		}
		for k, a := range t.throw {
			by.throw[k] += a
		}
	}
	return true
}
