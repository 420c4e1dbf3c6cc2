package results

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"strings"
	"sync"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"crankwright/spec"
)

// Limits of a question in SQL, so that it cannot take memory without end: some thousands of values at once.
const (
	sqlLength  = 100_000 // bytes of the question
	sqlValue   = 200_000 // bytes of one value or row
	sqlColumns = 2000    // of a table or an answer
)

// engine is the database of this package: a driver of its own, so that no other user of the library sees our tables. It
// opens databases in memory only, which hold nothing but the two tables.
var engine = sync.OnceValues(func() (driver.Connector, error) {
	d := &sqlite.Driver{}
	if err := d.RegisterModule(module, tables{}); err != nil {
		return nil, err
	}
	return memory{d}, nil
})

// memory connects to an empty database in memory.
type memory struct{ d *sqlite.Driver }

// Connect opens one.
func (m memory) Connect(context.Context) (driver.Conn, error) { return m.d.Open(":memory:") }

// Driver returns the driver.
func (m memory) Driver() driver.Driver { return m.d }

// sql answers a question in SQL.
func (f *Folder) sql(ctx context.Context, text string, limit, bytes int) (*Rows, error) {
	if len(text) > sqlLength {
		return nil, fmt.Errorf("the SQL has %d bytes, and %d is the most", len(text), sqlLength)
	}
	if 3*len(f.fields) >= sqlColumns {
		return nil, fmt.Errorf("the study has %d columns, too many for SQL; use a filter", len(f.fields))
	}
	connector, err := engine()
	if err != nil {
		return nil, err
	}
	db := sql.OpenDB(connector)
	defer func() { _ = db.Close() }()
	conn, err := db.Conn(ctx)
	if err != nil {
		return nil, err
	}
	defer func() { _ = conn.Close() }()
	o, whole, err := f.Outcome()
	if err != nil {
		return nil, err
	}
	ask := &question{f: f, ctx: ctx, front: o.Front}
	id := asked.add(ask)
	defer asked.remove(id)
	if err := prepare(ctx, conn, id); err != nil {
		return nil, err
	}
	rows, err := f.fetch(ctx, conn, text, limit, bytes)
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case ask.err != nil:
		return nil, ask.err
	case errors.Is(err, errTooMuch):
		return nil, fmt.Errorf("the answer has more than %d MB; ask for fewer rows or columns", bytes/1e6)
	case err != nil:
		return nil, f.sqlError(err)
	}
	rows.Whole = whole
	return rows, nil
}

// prepare makes the tables, and then takes every right from the connection but to read them.
func prepare(ctx context.Context, conn *sql.Conn, id int64) error {
	for _, s := range []string{
		"PRAGMA temp_store = FILE", // what a large sort needs goes to a temporary file, not to memory
		fmt.Sprintf("CREATE VIRTUAL TABLE candidates USING %s(%d, candidates)", module, id),
		fmt.Sprintf("CREATE VIRTUAL TABLE front USING %s(%d, front)", module, id),
		"PRAGMA query_only = ON",
	} {
		if _, err := conn.ExecContext(ctx, s); err != nil {
			return err
		}
	}
	for what, most := range map[int]int{sqlite3.SQLITE_LIMIT_LENGTH: sqlValue, sqlite3.SQLITE_LIMIT_SQL_LENGTH: sqlLength, sqlite3.SQLITE_LIMIT_ATTACHED: 0} {
		if _, err := sqlite.Limit(conn, what, most); err != nil {
			return err
		}
	}
	return conn.Raw(func(c any) error {
		r, ok := c.(sqlite.AuthorizerRegisterer)
		if !ok {
			return errors.New("the database cannot be made safe")
		}
		return r.RegisterAuthorizer(mayRead)
	})
}

// mayRead allows to select, to read columns and to call functions; nothing else.
func mayRead(action sqlite.AuthorizerActionCode, _, function, _, _ string) sqlite.AuthorizerReturnCode {
	switch action {
	case sqlite.AuthSelect, sqlite.AuthRead, sqlite.AuthRecursive:
		return sqlite.AuthorizerOK
	case sqlite.AuthFunction:
		if !strings.EqualFold(function, "load_extension") {
			return sqlite.AuthorizerOK
		}
	}
	return sqlite.AuthorizerDeny
}

// errTooMuch is the error of an answer that has more bytes than it may have.
var errTooMuch = errors.New("too much")

// fetch asks, and takes in as many rows as the limit allows. Their values may have so many bytes: texts as many as they are long,
// anything else eight.
func (f *Folder) fetch(ctx context.Context, conn *sql.Conn, text string, limit, bytes int) (*Rows, error) {
	answer, err := conn.QueryContext(ctx, text)
	if err != nil {
		return nil, err
	}
	defer func() { _ = answer.Close() }()
	names, err := answer.Columns()
	if err != nil {
		return nil, err
	}
	if len(names) == 0 {
		return nil, errors.New("not authorized") // such as REINDEX, which finds nothing to do
	}
	rows := &Rows{}
	for _, n := range names {
		rows.Columns = append(rows.Columns, f.sqlColumn(n))
	}
	for answer.Next() {
		if len(rows.Rows) == limit {
			rows.More = true
			break
		}
		row := make([]any, len(names))
		into := make([]any, len(names))
		for i := range row {
			into[i] = &row[i]
		}
		if err := answer.Scan(into...); err != nil {
			return nil, err
		}
		for i, x := range row {
			if raw, ok := x.([]byte); ok {
				row[i] = string(raw)
			}
			if text, ok := row[i].(string); ok {
				rows.Columns[i].Text = true
				bytes -= len(text)
			}
		}
		if bytes -= 8 * len(row); bytes < 0 {
			return nil, errTooMuch
		}
		rows.Rows = append(rows.Rows, row)
	}
	rows.Matched = uint64(len(rows.Rows))
	return rows, answer.Err()
}

// sqlColumn says what a column of an answer is: one of ours where it bears the name of one.
func (f *Folder) sqlColumn(name string) RowColumn {
	c, err := f.find(name)
	if err != nil {
		return RowColumn{Key: name, Name: name}
	}
	column := f.rowColumn(c)
	column.Text = false // until a text comes: the name may be that of something computed
	return column
}

// sqlError puts an error of the database into words.
func (f *Folder) sqlError(err error) error {
	text := err.Error()
	if strings.Contains(text, "not authorized") || strings.Contains(text, "prohibited") || strings.Contains(text, "readonly") {
		return errors.New("SQL: a question may only read: SELECT … FROM candidates, or FROM front")
	}
	if _, name, ok := strings.Cut(text, "no such column: "); ok {
		name, _, _ = strings.Cut(name, " ")
		if _, err := f.find(name); err != nil {
			return fmt.Errorf("SQL: %w", err)
		}
	}
	if _, name, ok := strings.Cut(text, "no such table: "); ok {
		name, _, _ = strings.Cut(name, " ")
		if near := spec.Nearest(name, []string{"candidates", "front"}); near != "" {
			return fmt.Errorf("SQL: there is no table %s; is %s meant?", name, near)
		}
		return fmt.Errorf("SQL: there is no table %s; there are candidates and front", name)
	}
	return fmt.Errorf("SQL: %w", err)
}
