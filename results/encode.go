package results

import (
	"bytes"
	"errors"
	"fmt"
	"math"

	"github.com/parquet-go/parquet-go"
	"github.com/parquet-go/parquet-go/compress/zstd"

	"crankwright/study"
)

// Settings of the writer that decide the bytes of a file: none depends on the machine or the time.
const (
	rowsPerGroup = 1 << 15 // what a query reads and skips at once
	pageBytes    = 1 << 20 // above that of a group, so that every column of a group is one page
	statsKey     = "crankwright.outcome"
	application  = "crankwright version 1 (build 0)"
)

// Encoder writes the files of one study. It keeps nothing of a study, so any process may have one. It is not for
// concurrent use.
type Encoder struct {
	rec    *record
	prob   *recorded
	fields []field
	values []parquet.Value
}

// NewEncoder returns an encoder for a problem: what a worker on another machine needs to send what it found.
func NewEncoder(p study.Problem) (*Encoder, error) {
	r, err := recordOf(p, study.Bundle{}, nil)
	if err != nil {
		return nil, err
	}
	return newEncoder(r), nil
}

func newEncoder(r *record) *Encoder {
	p := r.problem()
	return &Encoder{rec: r, prob: p, fields: fieldsOf(p.columns), values: make([]parquet.Value, 1024)}
}

// Encode returns the file of a range: the candidates that were kept, with counts, front and best. The same range
// yields the same bytes on every machine. Folder.PutEncoded takes them. The errors say what is wrong with the batch.
func (e *Encoder) Encode(r study.Shard, kept *study.Batch, left []study.Count) ([]byte, error) {
	return e.encode(r, r.To-r.From, kept, left)
}

// encode is Encode; of the candidates between the ends of the range so many were looked at.
func (e *Encoder) encode(r study.Shard, looked uint64, kept *study.Batch, left []study.Count) ([]byte, error) {
	if err := e.check(r, looked, kept, left); err != nil {
		return nil, fmt.Errorf("candidates %d to %d: %w", r.From, max(r.From+1, r.To)-1, err)
	}
	o := study.NewOutcome(e.prob)
	o.Add(e.prob, study.Shard{To: looked}, kept, left)
	text, err := docOf(e.rec, o, &r, looked).bytes(false)
	if err != nil {
		return nil, err
	}
	return e.file(kept, nil, string(text))
}

// check refuses what no honest evaluator returns, before it is on disk.
func (e *Encoder) check(r study.Shard, looked uint64, kept *study.Batch, left []study.Count) error {
	if len(kept.Values) != len(e.fields) {
		return fmt.Errorf("they have %d columns, and the study has %d", len(kept.Values), len(e.fields))
	}
	if len(left) != len(e.rec.Rules) {
		return fmt.Errorf("they were left out by %d rules, and the study has %d", len(left), len(e.rec.Rules))
	}
	sum := uint64(kept.Len())
	for _, c := range left {
		sum += c.N
	}
	if sum != looked {
		return fmt.Errorf("%d were kept or left out", sum)
	}
	last := r.From
	for i, n := range kept.Index {
		if n < last || n >= r.To || i > 0 && n == last {
			return fmt.Errorf("candidate %d is out of sequence", n)
		}
		last = n
	}
	for i, f := range e.fields {
		column := kept.Values[i]
		if len(column) != kept.Len() {
			return fmt.Errorf("%s has %d values for %d candidates", f.Key, len(column), kept.Len())
		}
		for k, x := range column {
			switch {
			case math.IsNaN(x):
			case math.IsInf(x, 0):
				return fmt.Errorf("candidate %d: %s is infinite", kept.Index[k], f.Key)
			case f.Texts != nil && !isIndex(x, len(f.Texts)):
				return fmt.Errorf("candidate %d: %s has %d values, and this is number %g", kept.Index[k], f.Key, len(f.Texts), x)
			}
		}
	}
	return nil
}

// codec is shared: it keeps what an encoder needs and no state of a file.
var codec = &zstd.Codec{Level: zstd.SpeedFastest}

// file writes rows as a Parquet file; alike is nil or a further column.
func (e *Encoder) file(rows *study.Batch, alike []uint64, outcome string) ([]byte, error) {
	var out bytes.Buffer
	w := parquet.NewGenericWriter[any](&out, schema(e.fields, alike != nil),
		parquet.Compression(codec), &parquet.WriterConfig{CreatedBy: application}, parquet.DataPageVersion(2), parquet.DataPageStatistics(true),
		parquet.PageBufferSize(pageBytes), parquet.KeyValueMetadata(statsKey, outcome))
	columns := w.ColumnWriters()
	for from := 0; from < rows.Len(); from += rowsPerGroup {
		to := min(from+rowsPerGroup, rows.Len())
		index := rows.Index[from:to]
		if err := e.column(columns[0], 0, len(index), func(i int) parquet.Value { return parquet.Int64Value(int64(index[i])) }); err != nil {
			return nil, err
		}
		for c, f := range e.fields {
			if err := e.column(columns[c+1], c+1, to-from, valueOf(f, rows.Values[c][from:to])); err != nil {
				return nil, err
			}
		}
		if alike != nil {
			more, c := alike[from:to], len(e.fields)+1
			if err := e.column(columns[c], c, len(more), func(i int) parquet.Value { return parquet.Int64Value(int64(more[i])) }); err != nil {
				return nil, err
			}
		}
		if err := w.Flush(); err != nil {
			return nil, err
		}
	}
	err := w.Close()
	return out.Bytes(), err
}

// valueOf returns the values of a column as Parquet has them.
func valueOf(f field, column []float64) func(int) parquet.Value {
	if f.text() {
		texts := make([]parquet.Value, len(f.Texts))
		for i, t := range f.Texts {
			texts[i] = parquet.ByteArrayValue([]byte(t))
		}
		return func(i int) parquet.Value {
			if math.IsNaN(column[i]) {
				return parquet.NullValue()
			}
			return texts[int(column[i])]
		}
	}
	return func(i int) parquet.Value {
		x := f.kept(column[i])
		switch {
		case math.IsNaN(x):
			return parquet.NullValue()
		case x == 0:
			return parquet.DoubleValue(0) // not −0
		}
		return parquet.DoubleValue(x)
	}
}

// column writes n values of one column of a group.
func (e *Encoder) column(w *parquet.ColumnWriter, number, n int, value func(int) parquet.Value) error {
	for done := 0; done < n; {
		part := e.values[:min(len(e.values), n-done)]
		for i := range part {
			v := value(done + i)
			level := 0
			if !v.IsNull() && number > 0 && number <= len(e.fields) {
				level = 1
			}
			part[i] = v.Level(0, level, number)
		}
		wrote, err := w.WriteRowValues(part)
		if err != nil {
			return err
		}
		if wrote != len(part) {
			return errors.New("a column was not written whole")
		}
		done += wrote
	}
	return nil
}
