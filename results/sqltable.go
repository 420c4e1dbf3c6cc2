package results

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"modernc.org/sqlite/vtab"

	"crankwright/study"
)

// module is how the database calls the kind of our tables.
const module = "crankwright_results"

// question is a query in SQL while it runs.
type question struct {
	f     *Folder
	ctx   context.Context
	front []study.Point
	err   error // the first of reading
}

// asked are the questions that run, by the number with which the database names them to us.
var asked = &questions{list: map[int64]*question{}}

type questions struct {
	mu   sync.Mutex
	last int64
	list map[int64]*question
}

func (q *questions) add(ask *question) int64 {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.last++
	q.list[q.last] = ask
	return q.last
}

func (q *questions) remove(id int64) {
	q.mu.Lock()
	defer q.mu.Unlock()
	delete(q.list, id)
}

// tables makes the tables of a question.
type tables struct{}

// Create makes one.
func (tables) Create(ctx vtab.Context, args []string) (vtab.Table, error) {
	if len(args) != 5 {
		return nil, errors.New("a question and a table are needed")
	}
	id, err := strconv.ParseInt(strings.TrimSpace(args[3]), 10, 64)
	if err != nil {
		return nil, err
	}
	asked.mu.Lock()
	ask := asked.list[id]
	asked.mu.Unlock()
	if ask == nil {
		return nil, errors.New("there is no such question")
	}
	t := &table{ask: ask, front: strings.TrimSpace(args[4]) == "front"}
	return t, ctx.Declare(t.declaration())
}

// Connect makes one.
func (m tables) Connect(ctx vtab.Context, args []string) (vtab.Table, error) {
	return m.Create(ctx, args)
}

// table is candidates or front.
type table struct {
	ask     *question
	front   bool
	columns []int // of the folder, by column of the table
}

// declaration lists the columns: the number and the short keys; hidden, so that * does not yield them again, the whole
// keys and the names in Parquet files.
func (t *table) declaration() string {
	f := t.ask.f
	taken := map[string]bool{}
	list := []string{}
	add := func(name, kind string, c int) {
		if low := strings.ToLower(name); !taken[low] {
			taken[low] = true
			list = append(list, `"`+strings.ReplaceAll(name, `"`, `""`)+`" `+kind)
			t.columns = append(t.columns, c)
		}
	}
	kind := func(c int) string {
		if f.fields[c].text() {
			return "TEXT"
		}
		return "REAL"
	}
	add(candidateField, "INTEGER", candidateColumn)
	for i := range f.fields {
		add(f.short(i), kind(i), i)
	}
	for i, c := range f.fields {
		add(c.Key, kind(i)+" HIDDEN", i)
		add(c.Field, kind(i)+" HIDDEN", i)
	}
	return "CREATE TABLE x(" + strings.Join(list, ", ") + ")"
}

// sqlOps are comparisons that can rule out whole groups of rows.
var sqlOps = map[vtab.ConstraintOp]string{vtab.OpEQ: "=", vtab.OpLT: "<", vtab.OpLE: "<=", vtab.OpGT: ">", vtab.OpGE: ">="}

// BestIndex takes the comparisons that we can use, and leaves it to the database to make them for each row.
func (t *table) BestIndex(info *vtab.IndexInfo) error {
	n := 0
	var plan strings.Builder
	for i := range info.Constraints {
		k := &info.Constraints[i]
		op, ok := sqlOps[k.Op]
		c := candidateColumn
		if k.Column >= 0 && k.Column < len(t.columns) {
			c = t.columns[k.Column]
		}
		if !ok || !k.Usable || c >= 0 && t.ask.f.fields[c].text() {
			continue
		}
		k.ArgIndex = n
		n++
		fmt.Fprintf(&plan, "%d %s;", c, op)
	}
	info.IdxStr = plan.String()
	rows := float64(t.ask.f.rec.Size)
	if t.front {
		rows = float64(len(t.ask.front))
	}
	info.EstimatedCost = 1 + rows/float64(1+n)
	info.EstimatedRows = int64(info.EstimatedCost)
	return nil
}

// Open starts to read.
func (t *table) Open() (vtab.Cursor, error) { return &cursor{t: t}, nil }

// Disconnect has nothing to do.
func (*table) Disconnect() error { return nil }

// Destroy has nothing to do.
func (*table) Destroy() error { return nil }

// cursor reads a table row by row, from one block after another.
type cursor struct {
	t     *table
	src   source
	block *block
	row   int
}

// Filter starts anew, with what each comparison compares with.
func (c *cursor) Filter(_ int, plan string, values []vtab.Value) error {
	_ = c.Close()
	var all join
	for i, part := range strings.Split(strings.TrimSuffix(plan, ";"), ";") {
		number, op, ok := strings.Cut(part, " ")
		column, err := strconv.Atoi(number)
		if !ok || err != nil || i >= len(values) {
			continue
		}
		var x float64
		switch v := values[i].(type) {
		case float64:
			x = v
		case int64:
			x = float64(v)
		default:
			continue // compared by the rules of the database
		}
		all.list = append(all.list, &compared{column, op, x, true})
	}
	ask := c.t.ask
	if c.t.front {
		c.src = &listed{f: ask.f, list: ask.front}
	} else {
		s, err := ask.f.scan(all.may)
		if err != nil {
			return c.failed(err)
		}
		c.src = s
	}
	return c.advance()
}

func (c *cursor) failed(err error) error {
	if c.t.ask.err == nil {
		c.t.ask.err = err
	}
	return err
}

// advance goes to the next block.
func (c *cursor) advance() error {
	if err := c.t.ask.ctx.Err(); err != nil {
		return err
	}
	b, err := c.src.next()
	if err != nil {
		return c.failed(err)
	}
	c.block, c.row = b, 0
	return nil
}

// Next goes to the next row.
func (c *cursor) Next() error {
	if c.row++; c.row < c.block.n {
		return nil
	}
	return c.advance()
}

// Eof reports whether there is no row.
func (c *cursor) Eof() bool { return c.block == nil } //nolint:revive // the interface spells it so

// Column returns a value of the row.
func (c *cursor) Column(n int) (vtab.Value, error) {
	column := c.t.columns[n]
	list, err := c.block.column(column)
	if err != nil {
		return nil, c.failed(err)
	}
	x := list[c.row]
	if column == candidateColumn {
		return int64(x), nil
	}
	if math.IsNaN(x) {
		return nil, nil
	}
	if fd := &c.t.ask.f.fields[column]; fd.text() {
		return fd.Texts[int(x)], nil
	}
	return x, nil
}

// Rowid returns the number of the candidate.
func (c *cursor) Rowid() (int64, error) {
	list, err := c.block.column(candidateColumn)
	if err != nil {
		return 0, c.failed(err)
	}
	return int64(list[c.row]), nil
}

// Close ends reading.
func (c *cursor) Close() error {
	if c.src != nil {
		c.src.close()
	}
	c.src, c.block = nil, nil
	return nil
}
