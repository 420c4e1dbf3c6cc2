package study

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// EvolutionOptions say how an evolutionary search goes on.
type EvolutionOptions struct {
	Size int    // candidates of a generation, 4 to MostGeneration; 0: 100
	Seed uint64 // of the random numbers; the same seed proposes the same candidates
}

// MostGeneration is the largest number of candidates of a generation [1], every one of which is held against every other.
// Definition.
const MostGeneration = 10000

// Evolution proposes the candidates of a space that are worth a look where there are too many to look at all: NSGA-II, by
// ask and tell. Ask names a generation; whoever evaluates it tells what came out, in as many parts and in whatever
// sequence; when all is told, the next Ask breeds the next generation of the best so far. No candidate is asked twice.
// What is asked depends on the seed and on what the candidates are, not on who evaluated which part.
//
// It differs from the source in three things: candidates that are equal by every aim do not stand beside each other, the
// ones of higher number are ranked as if they were dominated; nothing is said about how badly a candidate breaks a rule, so
// those that are left out are equal among themselves, behind all others; and crossover and mutation are of digits.
//
// Source: NSGA2.
type Evolution struct {
	space  Space
	starts []uint64 // number of the first candidate of each block, and the size of the space
	aims   []Aim
	size   int
	random *rand.Rand

	known   map[uint64]struct{} // every number that was asked
	asked   []*member           // the generation that is being evaluated, by number
	waiting int                 // how many of it are not told yet
	parents []*member           // the best so far, at most size
	front   *Front
	told    uint64 // candidates of which was told what came of them
	came    uint64 // points that had entered the front before this generation
	still   int    // generations in a row, before this one, in which none has
}

// member is a candidate of a generation.
type member struct {
	index  uint64
	block  int
	digits []int
	told   bool
	cost   []float64 // less is better; nil where it was left out
	rank   int       // 0: dominated by no other
	crowd  float64   // how far its neighbours of the same rank are
}

// NewEvolution returns a search that has looked at nothing yet.
//
//   - space: what may be asked
//   - aims: what is wanted, by column of the batches that will be told
//   - opt: size of a generation [1] and seed
//
// Errors: a space that is empty or cannot be numbered, no aims, a size of a generation that is not possible. Source: NSGA2.
func NewEvolution(space Space, aims []Aim, opt EvolutionOptions) (*Evolution, error) {
	size, err := space.Size()
	if err != nil {
		return nil, err
	}
	if opt.Size == 0 {
		opt.Size = 100
	}
	switch {
	case size == 0:
		return nil, fmt.Errorf("the space has no candidates: a block of at least one is needed")
	case len(aims) == 0:
		return nil, fmt.Errorf("there is nothing to minimise or maximise: an evolutionary search needs at least one aim")
	case opt.Size < 4 || opt.Size > MostGeneration:
		return nil, fmt.Errorf("a generation of %d candidates is not possible: 4 to %d", opt.Size, MostGeneration)
	}
	for _, a := range aims {
		if a.Column < 0 {
			return nil, fmt.Errorf("an aim has column %d: columns count from 0", a.Column)
		}
	}
	e := &Evolution{
		space: space, aims: slices.Clone(aims), size: opt.Size,
		random: rand.New(rand.NewPCG(opt.Seed, 0)),
		known:  map[uint64]struct{}{}, front: NewFront(aims),
	}
	at := uint64(0)
	for _, b := range space.Blocks {
		e.starts = append(e.starts, at)
		n, _ := b.Size()
		at += n
	}
	e.starts = append(e.starts, at)
	return e, nil
}

// Ask returns the numbers of the candidates to be evaluated next, by number: what is not told yet of this generation, else
// the next generation; none where every candidate of the space was told.
//
// Result [1]. Source: NSGA2.
func (e *Evolution) Ask() []uint64 {
	if e.waiting == 0 {
		e.settle()
		e.asked = e.breed()
		slices.SortFunc(e.asked, byNumber)
		e.waiting = len(e.asked)
	}
	list := make([]uint64, 0, e.waiting)
	for _, m := range e.asked {
		if !m.told {
			list = append(list, m.index)
		}
	}
	return list
}

// settle makes the best of parents and children the next parents, once a generation is told.
func (e *Evolution) settle() {
	if len(e.asked) == 0 {
		return
	}
	e.still, e.came = e.Still(), e.front.came
	e.parents = survive(append(e.parents, e.asked...), e.size)
	e.asked = nil
}

// Tell says what came of candidates that were asked, all of them or a part.
//
//   - kept: those that no rule left out, with their values; nil: none
//   - left: the numbers [1] of those that a rule left out
//
// Nothing is taken over where there is an error: a number that was not asked or is told twice, a batch without the column
// of an aim. Source: NSGA2.
func (e *Evolution) Tell(kept *Batch, left []uint64) error {
	if kept == nil {
		kept = NewBatch(0)
	}
	if kept.Len() > 0 {
		for _, a := range e.aims {
			if a.Column >= len(kept.Values) {
				return fmt.Errorf("the candidates have %d columns: an aim is column %d, counted from 0", len(kept.Values), a.Column)
			}
		}
	}
	if err := e.expected(slices.Concat(kept.Index, left)); err != nil {
		return err
	}
	for i, index := range kept.Index {
		m := e.member(index)
		m.told = true
		m.cost = make([]float64, len(e.aims))
		for k, a := range e.aims {
			v := kept.Values[a.Column][i]
			if a.More {
				v = -v
			}
			m.cost[k] = v
		}
		if slices.ContainsFunc(m.cost, math.IsNaN) {
			m.cost = nil // it cannot be compared
		}
	}
	for _, index := range left {
		e.member(index).told = true
	}
	e.front.AddBatch(kept)
	e.waiting -= kept.Len() + len(left)
	e.told += uint64(kept.Len() + len(left))
	return nil
}

// expected returns an error where a number is not waited for, or stands there twice.
func (e *Evolution) expected(list []uint64) error {
	slices.Sort(list)
	for i, index := range list {
		switch m := e.member(index); {
		case m == nil:
			return fmt.Errorf("candidate %d was not asked", index)
		case m.told || i > 0 && list[i-1] == index:
			return fmt.Errorf("candidate %d is told twice", index)
		}
	}
	return nil
}

// member returns the candidate of this generation with a number, nil where there is none.
func (e *Evolution) member(index uint64) *member {
	at, ok := slices.BinarySearchFunc(e.asked, index, func(m *member, i uint64) int { return cmp.Compare(m.index, i) })
	if !ok {
		return nil
	}
	return e.asked[at]
}

// Front returns the candidates that no other dominates, of all that were told, by number [1]. Definition.
func (e *Evolution) Front() []Point { return e.front.Points() }

// Told returns how many candidates were told so far [1]. Definition.
func (e *Evolution) Told() uint64 { return e.told }

// Still returns for how many generations in a row the front has stayed as it is [1]; the one that is being evaluated does
// not count. Definition.
func (e *Evolution) Still() int {
	switch {
	case e.waiting > 0 || len(e.asked) == 0:
		return e.still
	case e.front.came != e.came:
		return 0
	}
	return e.still + 1
}
