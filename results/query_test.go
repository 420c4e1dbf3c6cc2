package results

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Filters are held against the same conditions written in Go over all candidates in one batch.
func TestFilterAgainstGo(t *testing.T) {
	f := ran(t, usual)
	kept, _ := whole(t, usual)
	v := func(c, i int) float64 { return kept.Values[c][i] }
	for filter, want := range map[string]func(i int) bool{
		"":                                               func(int) bool { return true },
		"free_force_order_2 < 1.2 kN":                    func(i int) bool { return v(3, i) < 1200 },
		"layout.bank_angle = 12 deg":                     func(i int) bool { return v(0, i) == 12 },
		"bank_angle = 0.20943951023931953 rad":           func(i int) bool { return v(0, i) == 12 },
		"bank_angle = none":                              func(i int) bool { return math.IsNaN(v(0, i)) },
		"bank_angle != none":                             func(i int) bool { return !math.IsNaN(v(0, i)) },
		"bank_angle != 12 deg":                           func(i int) bool { return v(0, i) < 12 || v(0, i) > 12 },
		"not bank_angle = 12 deg":                        func(i int) bool { return v(0, i) != 12 },
		"counterweights = none":                          func(i int) bool { return v(1, i) == 0 },
		"counterweights = {balance_factor: 50 %}":        func(i int) bool { return v(1, i) == 2 },
		"crank.counterweights != '{balance_factor:50%}'": func(i int) bool { return v(1, i) != 2 },
		"FREE_MOMENT_ORDER_1 ≤ 90 N m and (bank_angle>=10 deg or counterweights = full)": func(i int) bool { return v(4, i) <= 90 && (v(0, i) >= 10 || v(1, i) == 1) },
		"free_force_order_2_N > 1.5 kN or firing_evenness >= 0.99 and not stroke < 6 cm": func(i int) bool { return v(3, i) > 1500 || v(5, i) >= 0.99 && v(2, i) >= 60 },
		"candidate >= 100 and candidate < 200":                                           func(i int) bool { return kept.Index[i] >= 100 && kept.Index[i] < 200 },
		"not (not (firing_evenness > 60 %))":                                             func(i int) bool { return v(5, i) > 0.6 },
		"free_moment_order_1 < 0":                                                        func(int) bool { return false },
	} {
		rows, err := f.Query(t.Context(), Query{Filter: filter, Limit: 5000, Columns: []string{"stroke", "bank_angle"}})
		if err != nil {
			t.Errorf("%s: %v", filter, err)
			continue
		}
		var numbers []uint64
		for i, n := range kept.Index {
			if want(i) {
				numbers = append(numbers, n)
			}
		}
		got := []uint64{}
		for _, r := range rows.Rows {
			got = append(got, r[0].(uint64))
		}
		if !slices.Equal(numbers, got) || rows.Matched != uint64(len(got)) || rows.More || !rows.Whole {
			t.Errorf("%s: want %d rows, have %d of %d, more %v, whole %v", filter, len(numbers), len(got), rows.Matched, rows.More, rows.Whole)
		}
		if len(numbers) == kept.Len() && filter != "" || len(numbers) == 0 && !strings.HasSuffix(filter, "< 0") {
			t.Errorf("%s decides nothing", filter)
		}
	}
}

func TestSortAndLimit(t *testing.T) {
	f := ran(t, usual)
	kept, o := whole(t, usual)
	order := make([]int, kept.Len())
	for i := range order {
		order[i] = i
	}
	for _, most := range []bool{false, true} {
		slices.SortStableFunc(order, func(a, b int) int {
			x, y := kept.Values[0][a], kept.Values[0][b]
			switch {
			case math.IsNaN(x) || math.IsNaN(y):
				return map[bool]int{true: 1}[math.IsNaN(x)] - map[bool]int{true: 1}[math.IsNaN(y)]
			case most:
				return int(y - x)
			}
			return int(x - y)
		})
		rows, err := f.Query(t.Context(), Query{Sort: "bank_angle", Most: most, Limit: 2500})
		if err != nil || len(rows.Rows) != 2500 || !rows.More || rows.Matched != uint64(kept.Len()) {
			t.Fatal(len(rows.Rows), rows.More, rows.Matched, err)
		}
		for i, r := range rows.Rows {
			k := order[i]
			want := []any{kept.Index[k], kept.Values[0][k], inventedWords[int(kept.Values[1][k])], kept.Values[2][k], kept.Values[3][k], kept.Values[4][k], kept.Values[5][k]}
			if math.IsNaN(kept.Values[0][k]) {
				want[1] = nil
			}
			if !slices.Equal(want, r) {
				t.Fatalf("row %d: want %v, have %v", i, want, r)
			}
		}
		slices.Sort(order)
	}
	front, err := f.Query(t.Context(), Query{Front: true, Limit: 1000})
	if err != nil || len(front.Rows) != len(o.Front) || front.Rows[0][0] != o.Front[0].Index {
		t.Error(front, err)
	}
	rows, err := f.Query(t.Context(), Query{})
	if err != nil || len(rows.Rows) != DefaultLimit {
		t.Error(len(rows.Rows), err)
	}
	row, ok, err := f.Row(t.Context(), o.Front[1].Index)
	if err != nil || !ok || row.Rows[0][4] != o.Front[1].Values[3] {
		t.Error(row, ok, err)
	}
	if _, ok, err = f.Row(t.Context(), 7); ok || err != nil { // the stroke that a rule leaves out
		t.Error(ok, err)
	}
}

func TestFilterErrorsAreInWords(t *testing.T) {
	f := ran(t, usual)
	for filter, words := range map[string]string{
		"bank_angel = 12 deg":     "is bank_angle meant?",
		"torque > 3":              "it has bank_angle, counterweights",
		"bank_angle = 12":         "write it, such as '12 deg'",
		"bank_angle = 12 kN":      "kN is not a unit of what is measured in deg",
		"bank_angle = wide":       "not a number",
		"counterweights = ful":    "is 'full' meant?",
		"counterweights = heavy":  "it has 'none', 'full'",
		"counterweights < full":   "= or != only",
		"bank_angle":              "one of = != < <= > >=",
		"bank_angle =":            "a value is missing",
		"bank_angle = 12 deg and": "a condition is missing at the end, such as 'bank_angle < 2 deg'",
		"(bank_angle = 12 deg":    "not closed",
		"bank_angle = 12 deg )":   "not expected here",
		"= 12 deg":                "a key is needed",
		"counterweights = 'full":  "quotation mark",
		strings.Repeat("(", 300):  "parentheses",
		"firing_evenness > 3 rad": "without a unit",
	} {
		_, err := f.Query(t.Context(), Query{Filter: filter})
		if err == nil || !strings.Contains(err.Error(), words) {
			t.Errorf("%s: want %q, have %v", filter, words, err)
		}
	}
	for _, q := range []Query{{Sort: "strok"}, {Columns: []string{"strok"}}, {Limit: -1}, {SQL: "SELECT 1", Filter: "stroke > 1 mm"}} {
		if _, err := f.Query(t.Context(), q); err == nil {
			t.Errorf("%+v is taken", q)
		}
	}
}

// SQL and the filter are two ways to the same rows.
func TestSQLAgainstFilter(t *testing.T) {
	f := ran(t, usual)
	for filter, where := range map[string]string{
		"stroke < 6 cm and free_force_order_2 > 1 kN":      "stroke < 60 AND free_force_order_2 > 1000",
		"counterweights = full or bank_angle = none":       `"crank.counterweights" = 'full' OR layout_bank_angle_deg IS NULL`,
		"candidate = 1234":                                 "candidate = 1234",
		"bank_angle >= 29 deg and firing_evenness <= 0.75": "bank_angle >= 29 AND firing_evenness <= 0.75",
	} {
		want, err := f.Query(t.Context(), Query{Filter: filter, Limit: 3000})
		if err != nil {
			t.Fatal(err)
		}
		got, err := f.Query(t.Context(), Query{SQL: "SELECT * FROM candidates WHERE " + where, Limit: 3000})
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range got.Rows {
			r[0] = uint64(r[0].(int64))
		}
		if len(want.Rows) == 0 || fmt.Sprint(want.Rows) != fmt.Sprint(got.Rows) {
			t.Errorf("%s: %d rows and %d", filter, len(want.Rows), len(got.Rows))
		}
	}
	kept, o := whole(t, usual)
	least := math.Inf(1)
	for i, a := range kept.Values[0] {
		if a == 9 {
			least = min(least, kept.Values[3][i])
		}
	}
	rows, err := f.Query(t.Context(), Query{SQL: "SELECT bank_angle, min(free_force_order_2) FROM candidates GROUP BY 1 HAVING bank_angle = 9"})
	if err != nil || len(rows.Rows) != 1 || rows.Rows[0][1] != least || rows.Columns[0].Unit != "deg" {
		t.Error(rows, err)
	}
	rows, err = f.Query(t.Context(), Query{SQL: "SELECT count(*) FROM front JOIN candidates USING (candidate)"})
	if err != nil || rows.Rows[0][0] != int64(len(o.Front)) {
		t.Error(rows, err)
	}
	rows, err = f.Query(t.Context(), Query{SQL: "SELECT stroke FROM candidates"})
	if err != nil || len(rows.Rows) != DefaultLimit || !rows.More {
		t.Error(rows, err)
	}
}

func TestSQLMayOnlyRead(t *testing.T) {
	f := ran(t, usual)
	outside := filepath.Join(t.TempDir(), "outside.db")
	for _, text := range []string{
		"DELETE FROM candidates", "UPDATE candidates SET stroke = 1", "INSERT INTO front DEFAULT VALUES", "DROP TABLE candidates",
		"CREATE TABLE x(a)", "CREATE TEMP TABLE x(a)", "ATTACH '" + outside + "' AS o", "VACUUM INTO '" + outside + "'", "PRAGMA query_only = OFF",
		"PRAGMA temp_store_directory = '/'", "SELECT load_extension('x')", "CREATE VIRTUAL TABLE z USING crankwright_results(1, front)",
		"SELECT 1; DELETE FROM candidates", "BEGIN", "ALTER TABLE candidates RENAME TO y", "REINDEX",
		"SELECT * FROM pragma_database_list", "SELECT * FROM pragma_query_only(0)", "PRAGMA writable_schema = ON", "PRAGMA journal_mode = WAL",
		"ATTACH ':memory:' AS o", "ATTACH 'file:" + outside + "?mode=rwc' AS o", "DETACH main", "VACUUM", "ANALYZE", "SAVEPOINT a", "COMMIT", //nolint:misspell // SQL
		"CREATE TABLE x AS SELECT * FROM candidates", "CREATE TEMP VIEW v AS SELECT 1", "CREATE TEMP TRIGGER r INSTEAD OF INSERT ON front BEGIN SELECT 1; END",
		"CREATE INDEX i ON candidates(stroke)", "REPLACE INTO candidates(stroke) VALUES (1)", "INSERT INTO candidates(candidates) VALUES ('rebuild')",
		"UPDATE sqlite_schema SET sql = ''", "DELETE FROM sqlite_schema", "WITH a AS (SELECT 1) INSERT INTO front SELECT * FROM a",
		"SELECT writefile('" + outside + "', 'x')", "SELECT readfile('/etc/passwd')", "SELECT edit('x')", "SELECT fts3_tokenizer('x', x'00')",
		"SELECT * FROM crankwright_results", "SELECT * FROM crankwright_results(1, front)", "SELECT * FROM fsdir('/')", "SELECT * FROM csv('/etc/passwd')",
		"SELECT 1; ATTACH '" + outside + "' AS o", "SELECT 1;;; PRAGMA query_only = OFF; SELECT 2", "/* */ EXPLAIN DELETE FROM candidates", ".shell id", ".output " + outside,
	} {
		if rows, err := f.Query(t.Context(), Query{SQL: text}); err == nil {
			t.Errorf("%s is taken: %v", text, rows)
		}
		if _, err := os.Stat(outside); err == nil {
			t.Fatalf("%s has written a file", text)
		}
	}
	for text, words := range map[string]string{
		"DELETE FROM candidates":                "may only read",
		"SELECT strok FROM candidates":          "is stroke meant?",
		"SELECT * FROM candidate":               "is candidates meant?",
		"SELEC":                                 "syntax error",
		"SELECT zeroblob(100000000)":            "too big",
		"SELECT printf('%.*c', 100000000, 'x')": "too big",
		"SELECT group_concat(printf('%.*c', 900000, 'x')) FROM candidates": "too big",
		"SELECT replace(printf('%.*c', 900000, 'x'), 'x', 'xxxxxxxxxx')":   "too big",
		"SELECT " + strings.Repeat("1+", 60000) + "1":                      "is the most",
	} {
		if _, err := f.Query(t.Context(), Query{SQL: text}); err == nil || !strings.Contains(err.Error(), words) {
			t.Errorf("%.40s: want %q, have %v", text, words, err)
		}
	}
}

// TestSQLEndsBeforeMemory asks for answers that are large in rows, in columns and in values.
func TestSQLEndsBeforeMemory(t *testing.T) {
	f := ran(t, usual)
	const rows, value = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 10000) SELECT ", "hex(zeroblob(90000))"
	for text, words := range map[string]string{
		rows + value + " FROM n":                         "the answer has more than 32 MB; ask for fewer rows or columns",
		rows + strings.Repeat("i,", 999) + "i FROM n":    "the answer has more than 32 MB",
		"SELECT " + strings.Repeat(value+",", 300) + "1": "the answer has more than 32 MB",
		rows + "hex(zeroblob(490000)) FROM n":            "too big",
	} {
		_, err := f.Query(t.Context(), Query{SQL: text, Limit: 10_000, Bytes: 32_000_000})
		if err == nil || !strings.Contains(err.Error(), words) {
			t.Errorf("%.60s: want %q, have %v", text, words, err)
		}
	}
	for _, text := range []string{"SELECT " + strings.Repeat(value+",", 150) + "1", rows + strings.Repeat("i,", 99) + "i FROM n"} {
		if _, err := f.Query(t.Context(), Query{SQL: text, Limit: 10_000, Bytes: 32_000_000}); err != nil {
			t.Errorf("%.60s: %v", text, err)
		}
	}
	if got, err := f.Query(t.Context(), Query{SQL: rows + strings.Repeat("i,", 999) + "i FROM n", Limit: 10_000}); err != nil || len(got.Rows) != 10_000 {
		t.Errorf("where nothing is said: %v", err)
	}
}

func TestQueryEndsWithContext(t *testing.T) {
	f := ran(t, usual)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	for _, q := range []Query{{Filter: "stroke > 0"}, {SQL: "SELECT count(*) FROM candidates a, candidates b, candidates c"}} {
		if _, err := f.Query(ctx, q); !errors.Is(err, context.Canceled) {
			t.Error(err)
		}
	}
	ctx, cancel = context.WithCancel(t.Context())
	go func() { cancel() }()
	_, err := f.Query(ctx, Query{SQL: "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT max(i) FROM n"})
	if !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

// A file that was damaged after it was done is an error in words, whatever asks.
func TestQueryOfDamagedFile(t *testing.T) {
	f := ran(t, usual)
	name := f.shardName(4)
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	for i := 4; i < 400; i++ {
		data[i] ^= 0x55
	}
	if err := os.WriteFile(name, data, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, q := range []Query{{}, {SQL: "SELECT sum(stroke), sum(candidate), sum(bank_angle) FROM candidates"}} {
		q.Limit = 10_000
		if _, err := f.Query(t.Context(), q); err == nil || !strings.Contains(err.Error(), "000004.parquet: damaged") {
			t.Error(err)
		}
	}
}

// FuzzFilter: no text makes the reader of filters fail otherwise than in words.
func FuzzFilter(f *testing.F) {
	for _, s := range []string{"stroke < 6 cm and free_force_order_2 > 1 kN", "not (a=b or c≥3 deg)", "counterweights = {a: [1, 2} and", "x = 'y", "candidate=1e99"} {
		f.Add(s)
	}
	dir := f.TempDir()
	made, err := Create(dir, usual, bundle)
	if err != nil {
		f.Fatal(err)
	}
	defer func() { _ = made.Close() }()
	b := made.newBlock()
	b.n = 2
	b.load = func(int, []float64) ([]float64, error) { return []float64{1, math.NaN()}, nil }
	f.Fuzz(func(t *testing.T, text string) {
		c, err := made.filter(text)
		if err != nil || c == nil {
			return
		}
		if err := c.eval(&b, make([]bool, 2)); err != nil {
			t.Error(err)
		}
		c.may(func(int) (float64, float64, bool) { return 1, 1, true })
	})
}

// FuzzShard: no bytes make the reader of files panic, or return rows that are none.
func FuzzShard(f *testing.F) {
	small := invented{steps: 3, pace: 20, digest: "a"}
	dir := f.TempDir()
	made, err := Create(dir, small, bundle)
	if err != nil {
		f.Fatal(err)
	}
	defer func() { _ = made.Close() }()
	if err := Run(f.Context(), small, made, Options{}); err != nil {
		f.Fatal(err)
	}
	good, err := os.ReadFile(made.shardName(0))
	if err != nil {
		f.Fatal(err)
	}
	for i := range 40 {
		f.Add(i*len(good)/40, byte(i+1), 0)
		f.Add(len(good)-1-i, byte(255-i), i%3)
	}
	f.Fuzz(func(t *testing.T, at int, by byte, cut int) {
		data := slices.Clone(good)
		if len(data) > 0 && at >= 0 {
			data[at%len(data)] ^= by
		}
		if cut > 0 {
			data = data[:len(data)-min(len(data), cut)]
		}
		if _, _, err := made.rec.read(data, made.fields); err != nil {
			return
		}
		name := filepath.Join(t.TempDir(), "000000.parquet")
		if err := os.WriteFile(name, data, 0o644); err != nil {
			t.Fatal(err)
		}
		s := &scanner{f: made, block: made.newBlock()}
		file, err := openFile(name, made.fields)
		if err != nil {
			t.Fatal(err)
		}
		s.file, s.groups = file, file.RowGroups()
		defer s.close()
		for {
			b, err := s.next()
			if b == nil || err != nil {
				return
			}
			for c := candidateColumn; c < len(made.fields); c++ {
				list, err := b.column(c)
				if err != nil {
					continue
				}
				for _, x := range list {
					if c >= 0 && made.fields[c].text() && x == x {
						_ = made.fields[c].Texts[int(x)]
					}
				}
			}
		}
	})
}
