package results

import (
	"cmp"
	"container/heap"
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
)

// DefaultLimit is how many rows a query returns where it does not say.
const DefaultLimit = 20

// MostLimit is how many rows a query may return.
const MostLimit = 1_000_000

// MostBytes is how much the values of an answer in SQL may have together where a query does not say [bytes].
const MostBytes = 1_000_000_000

// Query asks for candidates that were kept.
type Query struct {
	// Filter is in trade words, such as "free_force_order_2 < 2 kN and bank_angle = 90 deg"; empty: every candidate.
	Filter string
	// SQL is a question in SQL instead, over the tables candidates and front. Filter, Columns, Sort, Most and Front are
	// then not used.
	SQL     string
	Front   bool     // only candidates of the front
	Columns []string // keys of the columns to return; none: all
	Sort    string   // key of the column by which the rows are sorted; empty: by the number of the candidate
	Most    bool     // the largest first
	Limit   int      // rows at most; 0: DefaultLimit
	Bytes   int      // that the values of an answer in SQL may have together; 0: MostBytes
}

// Rows is what a query yields.
type Rows struct {
	Columns []RowColumn
	// Rows has a value of every column: a float64, a string, or nil where there is none. The number of a candidate, which
	// a filter yields first, is a uint64. SQL also yields int64.
	Rows    [][]any
	Matched uint64 // rows that satisfy the filter, also those beyond the limit; of SQL: rows returned
	More    bool   // there are more than the limit
	Whole   bool   // the study is finished: these are all that there will be
}

// RowColumn says what a column of Rows is.
type RowColumn struct {
	Key, Name, Unit string // of SQL that computes: the name that it gives, and no unit
	Text            bool   // values are texts
}

// Query answers a question. It stops when ctx ends. Errors of the question are in words.
func (f *Folder) Query(ctx context.Context, q Query) (*Rows, error) {
	limit := q.Limit
	switch {
	case limit == 0:
		limit = DefaultLimit
	case limit < 0 || limit > MostLimit:
		return nil, fmt.Errorf("the limit of rows is %d; it is 1 to %d", limit, MostLimit)
	}
	if strings.TrimSpace(q.SQL) != "" {
		if strings.TrimSpace(q.Filter) != "" {
			return nil, errors.New("a question is a filter or SQL, not both")
		}
		return f.sql(ctx, q.SQL, limit, cmp.Or(q.Bytes, MostBytes))
	}
	wanted, err := f.findAll(q.Columns)
	if err != nil {
		return nil, err
	}
	filter, err := f.filter(q.Filter)
	if err != nil {
		return nil, err
	}
	top := &ranking{limit: limit, sort: candidateColumn, most: q.Most, grow: f.rec.Evolution == nil}
	if q.Sort != "" {
		if top.sort, err = f.find(q.Sort); err != nil {
			return nil, err
		}
	}
	whole, err := f.choose(ctx, q.Front, filter, wanted, top)
	if err != nil {
		return nil, err
	}
	rows := &Rows{Columns: []RowColumn{f.rowColumn(candidateColumn)}, Matched: top.seen, More: top.seen > uint64(limit), Whole: whole}
	for _, c := range wanted {
		if c != candidateColumn {
			rows.Columns = append(rows.Columns, f.rowColumn(c))
		}
	}
	for _, r := range top.sorted() {
		row := []any{uint64(r.number)}
		for i, c := range wanted {
			if c != candidateColumn {
				row = append(row, f.value(c, r.values[i]))
			}
		}
		rows.Rows = append(rows.Rows, row)
	}
	return rows, nil
}

// rowColumn says what a column of the folder, or the number of a candidate, is.
func (f *Folder) rowColumn(c int) RowColumn {
	if c == candidateColumn {
		return RowColumn{Key: candidateField, Name: "Candidate", Unit: "1"}
	}
	d := f.fields[c]
	return RowColumn{Key: d.Key, Name: d.Name, Unit: d.Unit, Text: d.text()}
}

// value returns a value of a column as people see it.
func (f *Folder) value(c int, x float64) any {
	switch {
	case math.IsNaN(x):
		return nil
	case f.fields[c].text():
		return f.fields[c].Texts[int(x)]
	}
	return x
}

// choose offers every row that satisfies the filter to the ranking.
func (f *Folder) choose(ctx context.Context, front bool, filter condition, wanted []int, top *ranking) (whole bool, err error) {
	var may func(bounds) bool
	if filter != nil {
		may = filter.may
	}
	src, err := f.from(front, may)
	if err != nil {
		return false, err
	}
	defer src.close()
	pass := []bool{}
	for {
		if err := ctx.Err(); err != nil {
			return false, err
		}
		b, err := src.next()
		if err != nil {
			return false, err
		}
		if b == nil {
			break
		}
		pass = append(pass[:0], make([]bool, b.n)...)
		if filter == nil {
			for i := range pass {
				pass[i] = true
			}
		} else if err := filter.eval(b, pass); err != nil {
			return false, err
		}
		if err := top.block(b, pass, wanted); err != nil {
			return false, err
		}
	}
	_, whole, err = f.Outcome()
	return whole, err
}

// ranked is a row that may be returned.
type ranked struct {
	number, by float64
	values     []float64
}

// ranking keeps the first rows by a column; those without the value come last, equal ones by number.
type ranking struct {
	limit int
	sort  int
	most  bool
	grow  bool     // the numbers of the candidates grow from row to row
	rows  []ranked // a heap, the last of them on top
	seen  uint64
}

func (t *ranking) before(a, b ranked) bool {
	switch {
	case math.IsNaN(a.by) || math.IsNaN(b.by):
		if math.IsNaN(a.by) != math.IsNaN(b.by) {
			return math.IsNaN(b.by)
		}
	case a.by != b.by:
		return (a.by < b.by) != t.most
	}
	return a.number < b.number
}

// Len, Less, Swap, Push and Pop are those of a heap.
func (t *ranking) Len() int           { return len(t.rows) }
func (t *ranking) Less(i, j int) bool { return t.before(t.rows[j], t.rows[i]) }
func (t *ranking) Swap(i, j int)      { t.rows[i], t.rows[j] = t.rows[j], t.rows[i] }

// Push adds a row.
func (t *ranking) Push(x any) { t.rows = append(t.rows, x.(ranked)) }

// Pop takes one off.
func (t *ranking) Pop() any {
	last := t.rows[len(t.rows)-1]
	t.rows = t.rows[:len(t.rows)-1]
	return last
}

// block takes the rows of a block that pass.
func (t *ranking) block(b *block, pass []bool, wanted []int) error {
	var number, by []float64
	columns := make([][]float64, len(wanted))
	for i, ok := range pass {
		if !ok {
			continue
		}
		t.seen++
		if t.grow && t.sort == candidateColumn && !t.most && len(t.rows) == t.limit {
			continue
		}
		var err error
		if number == nil {
			if number, err = b.column(candidateColumn); err != nil {
				return err
			}
			if by, err = b.column(t.sort); err != nil {
				return err
			}
		}
		r := ranked{number: number[i], by: by[i]}
		if len(t.rows) == t.limit && !t.before(r, t.rows[0]) {
			continue
		}
		for k, c := range wanted {
			if columns[k] == nil {
				if columns[k], err = b.column(c); err != nil {
					return err
				}
			}
			r.values = append(r.values, columns[k][i])
		}
		if len(t.rows) == t.limit {
			t.rows[0] = r
			heap.Fix(t, 0)
		} else {
			heap.Push(t, r)
		}
	}
	return nil
}

// sorted returns the rows, the first first.
func (t *ranking) sorted() []ranked {
	list := make([]ranked, len(t.rows))
	for i := len(list) - 1; i >= 0; i-- {
		list[i] = heap.Pop(t).(ranked)
	}
	return list
}

// Row returns all values of one candidate, as Query does; ok is false where it was not kept, or not looked at yet.
func (f *Folder) Row(ctx context.Context, number uint64) (row *Rows, ok bool, err error) {
	row, err = f.Query(ctx, Query{Filter: fmt.Sprintf("%s = %d", candidateField, number), Limit: 1})
	if err != nil {
		return nil, false, err
	}
	return row, len(row.Rows) > 0, nil
}
