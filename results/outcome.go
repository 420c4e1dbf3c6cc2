package results

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"

	"crankwright/study"
)

// outcomeDoc is the outcome of a range, or of the whole study, as JSON.
type outcomeDoc struct {
	Digest string       `json:"digest"`
	Shard  *shardDoc    `json:"range,omitempty"`
	Looked uint64       `json:"looked_at_1"`
	Left   []leftDoc    `json:"left_out"`
	Kept   uint64       `json:"kept_1"`
	Sum    uint64       `json:"left_out_and_kept_1"`
	Size   uint64       `json:"candidates_1"`
	Fields []string     `json:"columns"` // of the values below
	Front  []pointDoc   `json:"front"`
	Best   [][]pointDoc `json:"best"` // by aim

	Generations int `json:"generations_1,omitempty"` // of an evolutionary search that has ended
}

type shardDoc struct {
	Number int    `json:"number_1"`
	From   uint64 `json:"from_1"` // of a generation: its least number
	To     uint64 `json:"below_1"`
}

type leftDoc struct {
	Rule  string  `json:"rule"`
	N     uint64  `json:"candidates_1"`
	First *uint64 `json:"first_1,omitempty"`
}

type pointDoc struct {
	Index  uint64     `json:"candidate_1"`
	Alike  uint64     `json:"alike_1,omitempty"`
	Values []*float64 `json:"values"`
}

// docOf writes an outcome down; size is the number of candidates that it is about.
func docOf(r *record, o *study.Outcome, shard *study.Shard, size uint64) *outcomeDoc {
	d := &outcomeDoc{Digest: r.Digest, Looked: o.Looked, Kept: o.Kept, Sum: o.Kept, Size: size, Left: []leftDoc{}, Front: pointsDoc(o.Front), Best: [][]pointDoc{}}
	if shard != nil {
		d.Shard = &shardDoc{shard.Number, shard.From, shard.To}
	}
	for i, c := range o.Left {
		l := leftDoc{Rule: r.Rules[i], N: c.N}
		if c.N > 0 {
			l.First = &c.First
		}
		d.Left = append(d.Left, l)
		d.Sum += c.N
	}
	for _, list := range o.Best {
		d.Best = append(d.Best, pointsDoc(list))
	}
	for _, c := range r.Columns {
		d.Fields = append(d.Fields, c.Key)
	}
	return d
}

// pointsDoc writes a list of points down.
func pointsDoc(list []study.Point) []pointDoc {
	docs := []pointDoc{}
	for _, p := range list {
		d := pointDoc{Index: p.Index, Alike: p.Alike, Values: make([]*float64, len(p.Values))}
		for i := range p.Values {
			if !math.IsNaN(p.Values[i]) {
				d.Values[i] = &p.Values[i]
			}
		}
		docs = append(docs, d)
	}
	return docs
}

// outcome reads it again. The error says what does not agree.
func (d *outcomeDoc) outcome(r *record) (*study.Outcome, error) {
	if d.Digest != r.Digest {
		return nil, errors.New("it is of another study")
	}
	if len(d.Left) != len(r.Rules) || len(d.Best) != len(r.Aims) {
		return nil, errors.New("it has other rules or aims than the study")
	}
	o := &study.Outcome{Looked: d.Looked, Kept: d.Kept, Left: []study.Count{}}
	sum := d.Kept
	for _, l := range d.Left {
		c := study.Count{N: l.N}
		if l.First != nil {
			c.First = *l.First
		}
		o.Left = append(o.Left, c)
		sum += l.N
	}
	if sum != d.Looked || d.Looked != d.Size {
		return nil, fmt.Errorf("%d were looked at and %d left out or kept, of %d candidates", d.Looked, sum, d.Size)
	}
	var err error
	if o.Front, err = points(r, d.Front); err != nil {
		return nil, err
	}
	for _, list := range d.Best {
		best, err := points(r, list)
		if err != nil {
			return nil, err
		}
		o.Best = append(o.Best, best)
	}
	return o, nil
}

// points reads a list of points; the error says which is none of the study.
func points(r *record, docs []pointDoc) ([]study.Point, error) {
	var list []study.Point
	for _, d := range docs {
		p := study.Point{Index: d.Index, Alike: d.Alike, Values: make([]float64, len(d.Values))}
		if len(d.Values) != len(r.Columns) || d.Index >= r.Size {
			return nil, fmt.Errorf("candidate %d is none of this study", d.Index)
		}
		for i, x := range d.Values {
			p.Values[i] = math.NaN()
			if x != nil {
				p.Values[i] = *x
				if n := len(r.Columns[i].Texts); r.Columns[i].Texts != nil && !isIndex(*x, n) {
					return nil, fmt.Errorf("candidate %d has a value that %s does not take", d.Index, r.Columns[i].Key)
				}
			}
		}
		list = append(list, p)
	}
	return list, nil
}

// isIndex reports whether a value is an index into n texts.
func isIndex(x float64, n int) bool { return x >= 0 && x < float64(n) && x == math.Trunc(x) }

// bytes returns the JSON text, in lines or in one.
func (d *outcomeDoc) bytes(lines bool) ([]byte, error) {
	if !lines {
		return json.Marshal(d)
	}
	data, err := json.MarshalIndent(d, "", " ")
	return append(data, '\n'), err
}
