package study

import (
	"cmp"
	"math"
	"slices"
)

// MostBest is how many candidates are listed for each aim [1]. Definition.
const MostBest = 20

// Outcome is what a range of candidates yielded. It does not depend on how the range was cut, nor on the sequence in which
// its parts were added or merged. It is not for concurrent use; whoever reads it elsewhere takes a Clone.
type Outcome struct {
	Looked uint64    // candidates that were looked at
	Left   []Count   // by rule
	Kept   uint64    // candidates that no rule left out
	Front  []Point   // not dominated by any other that was kept, by number
	Best   [][]Point // by aim, the best first, at most MostBest; equal ones by number, each for itself (Alike 0)

	front *Front // that Front lists; nil where the outcome was read from somewhere
}

// NewOutcome returns the outcome of no candidates.
//
//   - p: the problem, which says how many rules and aims there are
//
// Result [1]. Definition.
func NewOutcome(p Problem) *Outcome {
	o := &Outcome{}
	o.prepare(p)
	return o
}

// prepare makes room for the rules and aims of a problem, and the front anew where only its points are known.
func (o *Outcome) prepare(p Problem) {
	for len(o.Left) < len(p.Rules()) {
		o.Left = append(o.Left, Count{})
	}
	for len(o.Best) < len(p.Aims()) {
		o.Best = append(o.Best, []Point{})
	}
	if o.front == nil {
		o.front = NewFront(p.Aims())
		for _, q := range o.Front {
			o.front.Add(q)
		}
		o.list()
	}
}

// list brings Front to what front is.
func (o *Outcome) list() {
	if o.front.stale || o.Front == nil {
		o.Front = o.front.Points()
	}
}

// Add adds what one evaluation of a range yielded. The batch may be used again afterwards.
//
//   - p: the problem
//   - r: the range that was looked at
//   - kept: the candidates of it that no rule left out
//   - left: how many each rule left out
//
// Nothing is returned [1]. Definition.
func (o *Outcome) Add(p Problem, r Shard, kept *Batch, left []Count) {
	o.prepare(p)
	o.Looked += r.To - r.From
	o.Kept += uint64(kept.Len())
	for i, c := range left[:min(len(left), len(o.Left))] {
		o.Left[i].Merge(c)
	}
	o.front.AddBatch(kept)
	o.list()
	for k, a := range p.Aims() {
		if a.Column < 0 || a.Column >= len(kept.Values) {
			continue
		}
		sign := 1.0
		if a.More {
			sign = -1
		}
		bar := o.bar(k, a, sign)
		for i, v := range kept.Values[a.Column] {
			if sign*v > bar {
				continue // nearly all go here
			}
			if index := kept.Index[i]; o.enters(k, a, v, index) {
				o.best(k, a, Point{Index: index, Values: kept.Row(i)})
				bar = o.bar(k, a, sign)
			}
		}
	}
}

// Merge adds another outcome of the same problem, of candidates that this one has not seen. The other one stays as it is,
// and may have been read from somewhere.
//
// Nothing is returned [1]. Definition.
func (o *Outcome) Merge(p Problem, other *Outcome) {
	o.prepare(p)
	o.Looked += other.Looked
	o.Kept += other.Kept
	for i, c := range other.Left[:min(len(other.Left), len(o.Left))] {
		o.Left[i].Merge(c)
	}
	for _, q := range other.Front {
		o.front.Add(q)
	}
	o.list()
	for k, a := range p.Aims() {
		if k >= len(other.Best) {
			break
		}
		for _, q := range other.Best[k] {
			if o.enters(k, a, value(q, a), q.Index) {
				o.best(k, a, q)
			}
		}
	}
}

// Clone returns a copy that goes on by itself [1]. Definition.
func (o *Outcome) Clone() *Outcome {
	c := *o
	c.front = nil
	c.Left = slices.Clone(o.Left)
	c.Front = slices.Clone(o.Front)
	c.Best = slices.Clone(o.Best)
	for i := range c.Best {
		c.Best[i] = slices.Clone(c.Best[i])
	}
	return &c
}

// Equal says whether two outcomes are the same in every figure [1], however they came about. Definition.
func (o *Outcome) Equal(other *Outcome) bool {
	return o.Looked == other.Looked && o.Kept == other.Kept && slices.Equal(o.Left, other.Left) &&
		slices.EqualFunc(o.Front, other.Front, Point.Equal) &&
		slices.EqualFunc(o.Best, other.Best, func(a, b []Point) bool { return slices.EqualFunc(a, b, Point.Equal) })
}

// value returns the value of an aim, NaN where the point has none.
func value(q Point, a Aim) float64 {
	if a.Column < 0 || a.Column >= len(q.Values) {
		return math.NaN()
	}
	return q.Values[a.Column]
}

// ahead orders two values of an aim, then two numbers: below 0 where the first is better.
func ahead(a Aim, v, w float64, i, j uint64) int {
	if a.More {
		v, w = w, v
	}
	return cmp.Or(cmp.Compare(v, w), cmp.Compare(i, j))
}

// bar returns the value of the last of a full list of the best by an aim, its sign such that less is better; else infinite.
func (o *Outcome) bar(k int, a Aim, sign float64) float64 {
	list := o.Best[k]
	if len(list) < MostBest {
		return math.Inf(1)
	}
	return sign * value(list[len(list)-1], a)
}

// enters says whether a candidate is among the best by an aim.
func (o *Outcome) enters(k int, a Aim, v float64, index uint64) bool {
	if v != v {
		return false
	}
	list := o.Best[k]
	if len(list) < MostBest {
		return true
	}
	last := list[len(list)-1]
	return ahead(a, v, value(last, a), index, last.Index) < 0
}

// best puts a candidate into the list of an aim.
func (o *Outcome) best(k int, a Aim, q Point) {
	list := o.Best[k]
	at, _ := slices.BinarySearchFunc(list, q, func(in, q Point) int {
		return ahead(a, value(in, a), value(q, a), in.Index, q.Index)
	})
	list = slices.Insert(list, at, q)
	o.Best[k] = list[:min(len(list), MostBest)]
}
