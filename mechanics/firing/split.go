package firing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// SplitChange is a change of the pin split that makes an engine fire evenly.
type SplitChange struct {
	Banks []int // bank indices; the pins of the first stay
	// Change is by how much the pins of each bank are turned back on the crank, so that they trail
	// and its cylinders fire later [rad], in (−π, π]; Change[0] is 0.
	Change []num.Angle
	// Paired: there are two banks, and their cylinders sit in pairs on throws that they share, all with the
	// same pin split now. Then From and To are the pin split before and after [rad], positive
	// where the pins of the second bank trail.
	Paired   bool
	From, To num.Angle
}

// size is the sum of all changes [rad].
func (s SplitChange) size() num.Angle {
	sum := num.Angle(0)
	for _, c := range s.Change {
		sum += num.Angle(math.Abs(float64(c)))
	}
	return sum
}

// BankChange is a change of the bank angle that makes an engine fire evenly with its pins as they
// are.
type BankChange struct {
	From, To num.Angle // angle between the two banks before and after [rad], 0 to π
}

const (
	mostBanks  = 4  // banks up to which splits are looked for: beyond, every cylinder has a pin of its own
	mostSplits = 24 // splits that are listed
)

// splits finds the changes of pin split by which an engine fires evenly.
func splits(t *layout.Train, r *ring, g grid) []SplitChange {
	banks := banksOf(t)
	if len(banks) < 2 || len(banks) > mostBanks {
		return nil
	}
	for c := range t.Cylinders {
		if t.Cylinders[c].Rod.Linked { // it has no pin of its own
			return nil
		}
	}
	members := make([][]int, len(banks))
	for c := range t.Cylinders {
		i, _ := slices.BinarySearch(banks, t.Cylinders[c].Bank)
		members[i] = append(members[i], c)
	}
	p := placing{grid: g, anchor: r.tdc[members[0][0]], used: make([]int, g.slots), blocks: make([][]num.Angle, len(banks))}
	for i, m := range members {
		for _, c := range m {
			p.blocks[i] = append(p.blocks[i], r.tdc[c])
		}
	}
	var out []SplitChange
	change := make([]num.Angle, len(banks))
	var place func(i int)
	place = func(i int) {
		if i == len(banks) {
			out = append(out, SplitChange{Banks: banks, Change: slices.Clone(change)})
			return
		}
		for _, delta := range p.shifts(i) {
			if i == 0 && math.Abs(float64(delta)) > float64(EvenTolerance) {
				continue
			}
			if p.put(i, delta, 1) {
				change[i] = delta
				place(i + 1)
			}
			p.put(i, delta, -1)
		}
	}
	if p.fit() {
		place(0)
	}
	slices.SortStableFunc(out, func(a, b SplitChange) int {
		if d := a.size() - b.size(); math.Abs(float64(d)) > float64(Together) {
			return cmp.Compare(a.size(), b.size())
		}
		return -cmp.Compare(a.Change[len(a.Change)-1], b.Change[len(b.Change)-1])
	})
	out = out[:min(len(out), mostSplits)]
	if from, ok := splitNow(t, banks); ok {
		for i := range out {
			out[i].Paired, out[i].From, out[i].To = true, from, half(from+out[i].Change[1])
		}
	}
	return out
}

// banksOf lists the banks that have cylinders, by index.
func banksOf(t *layout.Train) []int {
	var banks []int
	for c := range t.Cylinders {
		if i, ok := slices.BinarySearch(banks, t.Cylinders[c].Bank); !ok {
			banks = slices.Insert(banks, i, t.Cylinders[c].Bank)
		}
	}
	return banks
}

// splitNow returns the pin split of two banks whose cylinders share throws in pairs, where it is
// the same everywhere.
func splitNow(t *layout.Train, banks []int) (num.Angle, bool) {
	if len(banks) != 2 {
		return 0, false
	}
	pins := map[int]*[2]struct {
		angle num.Angle
		n     int
	}{}
	for c := range t.Cylinders {
		cyl := &t.Cylinders[c]
		k := pairOf(t, cyl.Throw)
		if pins[k] == nil {
			pins[k] = &[2]struct {
				angle num.Angle
				n     int
			}{}
		}
		side := 0
		if cyl.Bank == banks[1] {
			side = 1
		}
		pins[k][side].angle = t.Throws[cyl.Throw].Angle
		pins[k][side].n++
	}
	first := pins[pairOf(t, t.Cylinders[0].Throw)]
	split := half(first[0].angle - first[1].angle)
	for _, p := range pins {
		if p[0].n != 1 || p[1].n != 1 || math.Abs(float64(half(p[0].angle-p[1].angle-split))) > float64(EvenTolerance) {
			return 0, false
		}
	}
	return split, true
}

// bankAngles turns the changes of pin split into changes of bank angle: a cylinder fires later by
// as much as its axis is turned forwards.
func bankAngles(t *layout.Train, splits []SplitChange) []BankChange {
	banks := banksOf(t)
	if len(banks) != 2 {
		return nil
	}
	var axis [2]num.Angle
	var known [2]bool
	for c := range t.Cylinders {
		side := 0
		if t.Cylinders[c].Bank == banks[1] {
			side = 1
		}
		if a := t.Cylinders[c].Axis; !known[side] {
			axis[side], known[side] = a, true
		} else if math.Abs(float64(half(a-axis[side]))) > float64(Together) {
			return nil
		}
	}
	now := half(axis[1] - axis[0])
	sign := num.Angle(1)
	if now < 0 {
		sign = -1
	}
	var out []BankChange
	for _, s := range splits {
		to := half(sign * (now + s.Change[1]))
		if sign*now > EvenTolerance && to > EvenTolerance {
			out = append(out, BankChange{From: sign * now, To: to})
		}
	}
	return out
}

// sentence says what the change does.
func (s SplitChange) sentence(t *layout.Train, interval num.Angle) string {
	name := func(b int) string {
		if b >= 0 && b < len(t.Banks) && t.Banks[b].Name != "" {
			return t.Banks[b].Name
		}
		return fmt.Sprint("bank ", b+1)
	}
	if s.Paired {
		return fmt.Sprintf("A pin split of %s° instead of %s° (pins of %s %s those of %s) makes it fire every %s°.",
			degrees(num.Angle(math.Abs(float64(s.To)))), degrees(num.Angle(math.Abs(float64(s.From)))),
			name(s.Banks[1]), trail(s.To), name(s.Banks[0]), degrees(interval))
	}
	var parts []string
	for i, c := range s.Change {
		if math.Abs(float64(c)) > float64(EvenTolerance) {
			way := "back"
			if c < 0 {
				way = "forwards"
			}
			parts = append(parts, fmt.Sprintf("the pins of %s %s° %s", name(s.Banks[i]), degrees(num.Angle(math.Abs(float64(c)))), way))
		}
	}
	return fmt.Sprintf("Turning %s makes it fire every %s°.", strings.Join(parts, " and "), degrees(interval))
}

func trail(a num.Angle) string {
	if a < 0 {
		return "leading"
	}
	return "trailing"
}

// placing puts rigid blocks of top dead centres into the slots of a grid.
type placing struct {
	grid   grid
	anchor num.Angle     // angle of slot 0 [rad]
	blocks [][]num.Angle // top dead centres of each block [rad]
	used   []int         // cylinders in each slot
}

// fit says whether each block by itself fits the spacing of the grid.
func (p *placing) fit() bool {
	for _, b := range p.blocks {
		for _, a := range b {
			if _, off := p.grid.slot(a - b[0]); math.Abs(float64(off)) > float64(EvenTolerance) {
				return false
			}
		}
	}
	return true
}

// shifts returns all angles by which a block can be moved into the grid, in (−π, π], least first.
func (p *placing) shifts(block int) []num.Angle {
	_, off := p.grid.slot(p.blocks[block][0] - p.anchor)
	out := make([]num.Angle, p.grid.slots)
	for j := range out {
		out[j] = half(-off + num.Angle(j)*p.grid.spacing())
		if math.Abs(float64(out[j])) < float64(EvenTolerance) {
			out[j] = 0
		}
	}
	slices.SortStableFunc(out, func(a, b num.Angle) int {
		return cmp.Compare(math.Abs(float64(a)), math.Abs(float64(b)))
	})
	return out
}

// put adds a block to the slots (by = 1) or takes it away (by = −1), and says whether no slot
// overflows.
func (p *placing) put(block int, shift num.Angle, by int) bool {
	ok := true
	for _, a := range p.blocks[block] {
		k, _ := p.grid.slot(a + shift - p.anchor)
		p.used[k] += by
		ok = ok && p.used[k] <= p.grid.capacity
	}
	return ok
}
