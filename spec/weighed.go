package spec

import (
	"encoding/csv"
	"errors"
	"io"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"crankwright/mechanics/balance"
)

// The columns of a list of weighed parts.
const (
	columnKind     = "kind"
	columnID       = "id"
	columnMass     = "mass"
	columnBigEnd   = "big end"
	columnSmallEnd = "small end"
)

// endsAgree is the share of a rod's mass by which its two ends may miss the whole: what the scales and the
// friction of the hanger leave, common practice.
const endsAgree = 0.01

// ReadWeighed reads a list of weighed pistons and rods: comma-separated values with a head line. The
// columns are kind (piston or rod), id, mass, big end and small end, in any order; every weight has its
// unit, such as 0.4123 kg or 412.3 g. A piston needs its mass; a rod needs two of mass, big end and
// small end, and where all three are given the ends must make up the mass to 1 %. A line that starts
// with # is a remark. The error is an Errors with every mistake in its place.
func ReadWeighed(file string, data []byte) ([]balance.WeighedPiston, []balance.WeighedRod, error) {
	c := &collector{file: file}
	w := &weighedReader{collector: c, seen: map[string]int{}}
	var ok bool
	if w.table, ok = c.openTable(data); !ok {
		return nil, nil, c.list
	}
	w.read()
	if len(c.list) > 0 {
		return nil, nil, c.list
	}
	return w.pistons, w.rods, nil
}

type weighedReader struct {
	*collector
	*table
	columns map[string]int
	row     []string
	line    int
	seen    map[string]int // line of each kind and id
	pistons []balance.WeighedPiston
	rods    []balance.WeighedRod
}

func (w *weighedReader) read() {
	for {
		row, err := w.csv.Read()
		var wrong *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			if w.columns == nil {
				w.fail(Position{1, 1}, "the first line names the columns, such as: kind, id, mass, big end, small end", "the list is empty")
			} else if len(w.pistons)+len(w.rods) == 0 && len(w.list) == 0 {
				w.fail(Position{1, 1}, "write one line for each piston or rod", "the list has no part")
			}
			return
		case errors.As(err, &wrong):
			w.broken(w.collector, wrong)
			return
		case err != nil:
			w.fail(Position{}, "", "%v", err)
			return
		}
		w.row = row
		w.line, _ = w.csv.FieldPos(0)
		if w.columns == nil {
			if !w.head() {
				return
			}
			continue
		}
		w.part()
	}
}

// head reads the names of the columns.
func (w *weighedReader) head() bool {
	names := []string{columnKind, columnID, columnMass, columnBigEnd, columnSmallEnd}
	w.columns = map[string]int{}
	ok := true
	fail := func(i int, allowed, what string, args ...any) {
		w.fail(w.field(i), allowed, what, args...)
		ok = false
	}
	for i, text := range w.row {
		name := strings.ToLower(strings.NewReplacer("_", " ", "-", " ").Replace(strings.TrimSpace(text)))
		switch _, twice := w.columns[name]; {
		case !slices.Contains(names, name):
			fail(i, "the columns are "+strings.Join(names, ", "), "there is no column %q", text)
		case twice:
			fail(i, "name every column once", "there are two columns %q", text)
		default:
			w.columns[name] = i
		}
	}
	for _, name := range []string{columnKind, columnID} {
		if _, there := w.columns[name]; !there && ok {
			fail(0, "the first line names the columns, such as: kind, id, mass, big end, small end", "the column %q is missing", name)
		}
	}
	return ok
}

// field is where a field of the row stands; a field that the row lacks would stand at its end.
func (w *weighedReader) field(i int) Position {
	if i >= len(w.row) {
		return Position{w.line, 1 + utf8.RuneCountInString(w.lineAt(w.line))}
	}
	return w.at(i)
}

// cell returns a field of the row and its place in it, empty where the row has none.
func (w *weighedReader) cell(name string) (string, int) {
	i, there := w.columns[name]
	if !there || i >= len(w.row) {
		return "", len(w.row)
	}
	return strings.Join(strings.Fields(w.row[i]), " "), i
}

// weight reads a weight; ok is false where it is wrong, which was said.
func (w *weighedReader) weight(name string) (kg float64, given, ok bool) {
	text, i := w.cell(name)
	if text == "" {
		return 0, false, true
	}
	q, err := ParseQuantity[Mass](text)
	if err != nil {
		w.fail(w.field(i), "", "%s: %v", name, err)
		return 0, true, false
	}
	if !(q.SI > 0) || q.SI > 1e6 {
		w.fail(w.field(i), "a weight lies above 0 and up to 1000000 kg", "%s: the value is %s", name, text)
		return 0, true, false
	}
	return q.SI, true, true
}

// part reads one line.
func (w *weighedReader) part() {
	if len(w.row) > len(w.columns) {
		w.fail(w.field(len(w.columns)), "put a text with commas between quotes", "the line has %d fields, but there are %d columns", len(w.row), len(w.columns))
		return
	}
	kind, kindAt := w.cell(columnKind)
	kind = strings.ToLower(kind)
	id, idAt := w.cell(columnID)
	if kind != "piston" && kind != "rod" {
		w.fail(w.field(kindAt), "the kinds are piston and rod", "there is no kind %q", kind)
		return
	}
	if id == "" {
		w.fail(w.field(idAt), "give what is stamped on it, such as P1", "the %s has no id", kind)
		return
	}
	if line, twice := w.seen[kind+" "+id]; twice {
		w.fail(w.field(idAt), "give every part its own", "the id %q was given to another %s in line %d", id, kind, line)
		return
	}
	w.seen[kind+" "+id] = w.line
	mass, hasMass, ok1 := w.weight(columnMass)
	big, hasBig, ok2 := w.weight(columnBigEnd)
	small, hasSmall, ok3 := w.weight(columnSmallEnd)
	if !ok1 || !ok2 || !ok3 {
		return
	}
	_, massAt := w.cell(columnMass)
	if kind == "piston" {
		switch {
		case hasBig || hasSmall:
			w.fail(w.field(idAt), "leave big end and small end of a piston empty", "the piston %s has the weight of a rod's end", id)
		case !hasMass:
			w.fail(w.field(massAt), "give its mass with rings and pin, such as 412.3 g", "the piston %s has no mass", id)
		default:
			w.pistons = append(w.pistons, balance.WeighedPiston{ID: id, Mass: mass})
		}
		return
	}
	switch {
	case hasMass && hasBig && !hasSmall:
		small = mass - big
	case hasMass && hasSmall && !hasBig:
		big = mass - small
	case !hasBig || !hasSmall:
		w.fail(w.field(idAt), "give two of mass, big end and small end", "the weights of the rod %s are not complete", id)
		return
	case hasMass && math.Abs(big+small-mass) > endsAgree*mass:
		w.fail(w.field(massAt), "weigh again: they must agree to 1 %", "the ends of the rod %s weigh %.6g g together, the whole rod %.6g g", id, 1e3*(big+small), 1e3*mass)
		return
	}
	if !(big > 0) || !(small > 0) {
		w.fail(w.field(massAt), "give the mass of the whole rod", "one end of the rod %s weighs more than the whole", id)
		return
	}
	w.rods = append(w.rods, balance.WeighedRod{ID: id, BigEnd: big, SmallEnd: small})
}
