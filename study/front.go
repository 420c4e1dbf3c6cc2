package study

import (
	"cmp"
	"math"
	"slices"
)

// Point is a candidate with all its values.
type Point struct {
	Index  uint64
	Values []float64 // by column
	Alike  uint64    // how many more candidates, with higher numbers, have the same values of every aim
}

// Equal says whether two points are the same in everything, no value [1] being the same as no value. Definition.
func (p Point) Equal(q Point) bool {
	return p.Index == q.Index && p.Alike == q.Alike && slices.EqualFunc(p.Values, q.Values, func(a, b float64) bool {
		return a == b || math.IsNaN(a) && math.IsNaN(b)
	})
}

// Front is the exact set of candidates that no other dominates, of all that were added. One dominates another where it is
// worse by no aim and better by one. Candidates that are equal by every aim are one point: that of the lowest number.
//
// The set does not depend on the sequence in which candidates come. Only candidates that are in it take room; one that is
// dominated costs a few comparisons and allocates nothing: it is first held against the few points that have dominated
// others lately (filter), then against a tree of boxes (tree.go).
type Front struct {
	aims   []Aim
	cost   []float64 // by slot, then by aim: less is better
	points []Point   // by slot; Values are never written to
	free   []int32   // slots that are not in use
	root   *box
	filter []int32     // slots that have dominated others lately, the last first
	row    []float64   // costs of the candidate that is looked at
	from   [][]float64 // columns of the aims, of a batch
	stale  bool        // something has changed since Points was asked
	came   uint64      // points that have entered, even if they went again
}

// filtered is how many points a candidate is held against before the tree is asked.
const filtered = 32

// NewFront returns the front of no candidates.
//
//   - aims: what is wanted
//
// Result [1]. Definition.
func NewFront(aims []Aim) *Front {
	return &Front{aims: slices.Clone(aims), row: make([]float64, len(aims)), from: make([][]float64, len(aims))}
}

// Len returns the number of points of the front [1]. Definition.
func (f *Front) Len() int { return len(f.points) - len(f.free) }

// Add adds a candidate, or a point of another front with those that are alike; it keeps p.Values, which must not be
// written to afterwards. A candidate without a value (NaN) for an aim cannot be compared and is not in the front.
//
// Nothing is returned [1]. Definition.
func (f *Front) Add(p Point) {
	for k, a := range f.aims {
		if a.Column < 0 || a.Column >= len(p.Values) {
			return
		}
		f.row[k] = p.Values[a.Column]
	}
	if !f.orient() {
		return
	}
	switch v, slot := f.find(); v {
	case equalled:
		q := &f.points[slot]
		alike := q.Alike + p.Alike + 1
		if p.Index < q.Index {
			*q = p
		}
		q.Alike = alike
		f.stale = true
	case free:
		f.enter(p)
	}
}

// AddBatch adds candidates; only those that enter the front are copied.
//
// Nothing is returned [1]. Definition.
func (f *Front) AddBatch(b *Batch) {
	for k, a := range f.aims {
		if a.Column < 0 || a.Column >= len(b.Values) {
			return
		}
		f.from[k] = b.Values[a.Column]
	}
	for i, index := range b.Index {
		for k, column := range f.from {
			f.row[k] = column[i]
		}
		if !f.orient() {
			continue
		}
		switch v, slot := f.find(); v {
		case equalled:
			q := &f.points[slot]
			q.Alike++
			if index < q.Index {
				q.Index, q.Values = index, b.Row(i)
			}
			f.stale = true
		case free:
			f.enter(Point{Index: index, Values: b.Row(i)})
		}
	}
}

// Points returns the front, by number [1]. The values of a point are shared and must not be written to. Definition.
func (f *Front) Points() []Point {
	list := make([]Point, 0, f.Len())
	f.root.each(func(slot int32) { list = append(list, f.points[slot]) })
	slices.SortFunc(list, func(a, b Point) int { return cmp.Compare(a.Index, b.Index) })
	f.stale = false
	return list
}

// orient makes costs of the values of the aims; it returns false where one is no number.
func (f *Front) orient() bool {
	ok := true
	for k, a := range f.aims {
		v := f.row[k]
		if a.More {
			f.row[k] = -v
		}
		ok = ok && v == v
	}
	return ok
}

// at returns the costs of a point.
func (f *Front) at(slot int32) []float64 {
	k := len(f.aims)
	return f.cost[int(slot)*k : int(slot)*k+k]
}

// find holds the candidate of f.row against the front, and drops the points that it dominates.
func (f *Front) find() (verdict, int32) {
	for i, slot := range f.filter {
		if noWorse(f.at(slot), f.row) {
			copy(f.filter[1:i+1], f.filter[:i])
			f.filter[0] = slot
			return compare(f.at(slot), f.row), slot
		}
	}
	if f.root == nil {
		return free, 0
	}
	v, slot := f.visit(f.root)
	switch {
	case v == free:
		if f.root.empty() {
			f.root = nil
		}
	case len(f.filter) < filtered:
		f.filter = append(f.filter, slot)
	default:
		f.filter[filtered-1] = slot
	}
	return v, slot
}

// enter puts a candidate whose costs are in f.row into the front.
func (f *Front) enter(p Point) {
	var slot int32
	if n := len(f.free); n > 0 {
		slot = f.free[n-1]
		f.free = f.free[:n-1]
		f.points[slot] = p
		copy(f.at(slot), f.row)
	} else {
		slot = int32(len(f.points))
		f.points = append(f.points, p)
		f.cost = append(f.cost, f.row...)
	}
	if f.root == nil {
		f.root = newBox(f.row)
	}
	f.insert(f.root, slot)
	f.stale = true
	f.came++
}

// drop takes a point out; the tree forgets it by itself.
func (f *Front) drop(slot int32) {
	f.points[slot] = Point{}
	f.free = append(f.free, slot)
	if i := slices.Index(f.filter, slot); i >= 0 {
		f.filter = slices.Delete(f.filter, i, i+1)
	}
	f.stale = true
}
