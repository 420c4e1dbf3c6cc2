package study

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// table is a problem whose candidates stand in a table; a candidate without a row is left out, by the first rule where its
// number is even, else by the second.
type table struct {
	size uint64
	rows *Batch
	aims []Aim
}

func (p table) Space() Space         { return Space{[]Block{{Axes: []Axis{{Key: "i", Count: int(p.size)}}}}} }
func (p table) Columns() []Column    { return make([]Column, len(p.rows.Values)) }
func (p table) Aims() []Aim          { return p.aims }
func (p table) Rules() []string      { return []string{"even", "odd"} }
func (p table) Digest() string       { return "table" }
func (p table) Pace() int            { return 1000 }
func (p table) Evaluator() Evaluator { return p }
func (p table) Evaluate(r Shard, kept *Batch, left []Count, stop func() bool) error {
	for i := r.From; i < r.To; i++ {
		if stop != nil && stop() {
			return ErrStopped
		}
		if at, ok := slices.BinarySearch(p.rows.Index, i); ok {
			kept.Append(i, p.rows.Row(at))
		} else {
			left[i%2].Add(i)
		}
	}
	return nil
}

func (p table) Pick(list []uint64, kept *Batch, left []Count, stop func() bool) error {
	for _, i := range list {
		if err := p.Evaluate(Shard{From: i, To: i + 1}, kept, left, stop); err != nil {
			return err
		}
	}
	return nil
}

func anyTable(t *rapid.T) table {
	columns := rapid.IntRange(1, 5).Draw(t, "columns")
	b := anyBatch(t, 300, columns)
	size := uint64(1)
	if b.Len() > 0 {
		size = b.Index[b.Len()-1] + 1
	}
	return table{size, b, anyAims(t, columns)}
}

// of returns the outcome of one shard.
func of(t *rapid.T, p table, r Shard) *Outcome {
	o := NewOutcome(p)
	add(t, p, r, o)
	return o
}

func add(t *rapid.T, p table, r Shard, o *Outcome) {
	kept, left := NewBatch(len(p.rows.Values)), make([]Count, 2)
	if err := p.Evaluate(r, kept, left, nil); err != nil {
		t.Fatal(err)
	}
	o.Add(p, r, kept, left)
	for k := range kept.Values { // the batch may be used again
		for i := range kept.Values[k] {
			kept.Values[k][i] = -1e9
		}
	}
}

// bruteOutcome sorts and counts the whole table.
func bruteOutcome(p table) *Outcome {
	o := &Outcome{Looked: p.size, Left: make([]Count, 2), Kept: uint64(p.rows.Len()), Front: bruteFront(p.rows, p.aims)}
	for i := range p.size {
		if !slices.Contains(p.rows.Index, i) {
			c := &o.Left[i%2]
			if c.N++; c.N == 1 {
				c.First = i
			}
		}
	}
	for _, a := range p.aims {
		var list []Point
		for i := range p.rows.Index {
			if row := p.rows.Row(i); !math.IsNaN(row[a.Column]) {
				list = append(list, Point{Index: p.rows.Index[i], Values: row})
			}
		}
		slices.SortStableFunc(list, func(p, q Point) int {
			v, w := p.Values[a.Column], q.Values[a.Column]
			switch {
			case v == w:
				return 0
			case v < w != a.More:
				return -1
			}
			return 1
		})
		o.Best = append(o.Best, list[:min(len(list), 20)])
	}
	return o
}

// TestOutcomeOfAnySplit cuts a range anyhow, adds or merges its parts in any sequence and in any tree, some of them written
// and read again or copied, and wants what sorting and counting the whole range gives.
func TestOutcomeOfAnySplit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyTable(t)
		want := bruteOutcome(p)
		shards := Shards(p.size, rapid.Uint64Range(1, p.size).Draw(t, "per"))
		one := NewOutcome(p)
		for _, i := range shuffled(t, len(shards)) {
			add(t, p, shards[i], one)
		}
		if !one.Equal(want) {
			t.Fatalf("added: %+v, want %+v", one, want)
		}
		var parts []*Outcome
		for _, r := range shards {
			parts = append(parts, of(t, p, r))
		}
		for len(parts) > 1 {
			i := rapid.IntRange(0, len(parts)-1).Draw(t, "part")
			o := parts[i]
			parts = slices.Delete(parts, i, i+1)
			into := parts[rapid.IntRange(0, len(parts)-1).Draw(t, "into")]
			switch rapid.IntRange(0, 4).Draw(t, "way") {
			case 0:
				o = again(t, o)
			case 1:
				o, *into = again(t, o), *again(t, into)
			case 2:
				before := into.Clone()
				if again := into.Clone(); true {
					again.Merge(p, o)
				}
				if !into.Equal(before) {
					t.Fatal("merging into a copy changed the original")
				}
			}
			before := o.Clone()
			into.Merge(p, o)
			if !o.Equal(before) {
				t.Fatal("merging changed the other outcome")
			}
		}
		if !parts[0].Equal(want) {
			t.Fatalf("merged: %+v, want %+v", parts[0], want)
		}
		parts[0].Merge(p, NewOutcome(p))
		if !parts[0].Equal(want) {
			t.Fatal("merging nothing changed something")
		}
	})
}

// again writes an outcome and reads it, where its values can be written.
func again(t *rapid.T, o *Outcome) *Outcome {
	data, err := json.Marshal(o)
	if err != nil {
		return o.Clone()
	}
	var read Outcome
	if err := json.Unmarshal(data, &read); err != nil {
		t.Fatal(err)
	}
	return &read
}

func TestOutcomesDiffer(t *testing.T) {
	rows := NewBatch(1)
	rows.Append(0, []float64{1})
	rows.Append(2, []float64{1})
	p := table{4, rows, []Aim{{}}}
	base := func() *Outcome { return bruteOutcome(p) }
	if !base().Equal(base()) {
		t.Fatal("an outcome is not equal to itself")
	}
	for name, change := range map[string]func(o *Outcome){
		"looked": func(o *Outcome) { o.Looked++ },
		"kept":   func(o *Outcome) { o.Kept++ },
		"left":   func(o *Outcome) { o.Left[1].First++ },
		"alike":  func(o *Outcome) { o.Front[0].Alike++ },
		"value":  func(o *Outcome) { o.Best[0][1].Values[0]++ },
		"best":   func(o *Outcome) { o.Best[0] = o.Best[0][:1] },
	} {
		if o := base(); true {
			if change(o); o.Equal(base()) {
				t.Errorf("%s is not compared", name)
			}
		}
	}
}

// BenchmarkOutcome adds shards of 65536 candidates, of which three in four are kept, with twelve columns and three aims.
func BenchmarkOutcome(b *testing.B) {
	const per = 65536
	all := uniform(per*3/4, 12)
	p := table{1 << 40, all, []Aim{{Column: 9}, {Column: 10, More: true}, {Column: 11}}}
	o := NewOutcome(p)
	left := []Count{{N: per / 4, First: 3}, {}}
	b.ReportAllocs()
	from := uint64(0)
	for b.Loop() {
		o.Add(p, Shard{From: from, To: from + per}, all, left)
		from += per
		for i := range all.Index {
			all.Index[i] += per
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/per, "ns/candidate")
}

// BenchmarkOutcomeMerge merges the outcome of a hundred shards into one, as at the end of a run.
func BenchmarkOutcomeMerge(b *testing.B) {
	p := table{1 << 40, uniform(0, 5), []Aim{{Column: 0}, {Column: 1}, {Column: 2}, {Column: 3}, {Column: 4}}}
	all := uniform(6_553_600, 5)
	var parts []*Outcome
	for i := range 100 {
		const per = 65536
		part := &Batch{Index: all.Index[i*per : (i+1)*per]}
		for _, c := range all.Values {
			part.Values = append(part.Values, c[i*per:(i+1)*per])
		}
		o := NewOutcome(p)
		o.Add(p, Shard{Number: i, From: uint64(i * per), To: uint64((i + 1) * per)}, part, nil)
		parts = append(parts, o)
	}
	points := 0
	b.ReportAllocs()
	for b.Loop() {
		o := NewOutcome(p)
		for _, part := range parts {
			o.Merge(p, part)
		}
		points = len(o.Front)
	}
	b.ReportMetric(float64(points), "points")
}
