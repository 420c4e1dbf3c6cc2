package spec

import (
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
)

// partColumns are the columns of a list of parts; the last may be left out.
func partColumns() []string { return []string{"part", "mass", "count", "kind", "cylinder"} }

// ReadParts reads a list of weighed parts from comma-separated values: part, mass with its unit, count in
// each cylinder, kind (rotating or reciprocating) and, where a part belongs to one cylinder alone, its
// name. Lines that begin with # are remarks. file is the name that messages show; the error is Errors
// with everything that is wrong.
func ReadParts(file string, data []byte, t *layout.Train) ([]balance.Part, error) {
	r := &partsReader{collector: &collector{file: file}, train: t}
	var ok bool
	if r.table, ok = r.openTable(data); !ok {
		return nil, r.sorted()
	}
	parts := r.read()
	if err := r.sorted(); err != nil {
		return nil, err
	}
	return parts, nil
}

type partsReader struct {
	*collector
	*table
	train *layout.Train
	index map[string]int // of the columns
}

func (r *partsReader) read() []balance.Part {
	var parts []balance.Part
	for len(r.list) <= maxErrors {
		row, err := r.csv.Read()
		var wrong *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			if r.index == nil {
				r.fail(Position{1, 1}, "begin with the line "+strings.Join(partColumns(), ","), "the list of parts is empty")
			} else if len(parts) == 0 && len(r.list) == 0 {
				r.fail(Position{1, 1}, "give one part a line", "the list of parts has a head and nothing else")
			}
			return parts
		case errors.As(err, &wrong):
			r.broken(r.collector, wrong)
			return nil
		case err != nil:
			r.fail(Position{}, "", "%v", err)
			return nil
		case r.index == nil:
			if !r.head(row) {
				return nil
			}
		default:
			if p, ok := r.part(row); ok {
				parts = append(parts, p)
			}
		}
	}
	return parts
}

func (r *partsReader) head(row []string) bool {
	r.index = map[string]int{}
	allowed := "the columns are " + strings.Join(partColumns(), ", ") + "; cylinder may be left out"
	for i, name := range row {
		name = strings.TrimSpace(name)
		if !slices.Contains(partColumns(), name) {
			r.fail(r.at(i), meant(name, partColumns())+allowed, "unknown column %q", name)
			continue
		}
		if _, twice := r.index[name]; twice {
			r.fail(r.at(i), "leave one of the two", "the column %q stands twice", name)
		}
		r.index[name] = i
	}
	for _, name := range partColumns()[:4] {
		if _, ok := r.index[name]; !ok && len(r.list) == 0 {
			r.fail(r.at(0), allowed, "the column %q is missing", name)
		}
	}
	return len(r.list) == 0
}

func (r *partsReader) part(row []string) (p balance.Part, ok bool) {
	before := len(r.list)
	cell := func(name string) (string, Position) {
		i, there := r.index[name]
		if !there {
			return "", Position{}
		}
		if i >= len(row) {
			return "", r.at(len(row) - 1)
		}
		return strings.Join(strings.Fields(row[i]), " "), r.at(i)
	}
	if len(row) > len(r.index) {
		r.fail(r.at(len(r.index)), "quote a text that has a comma in it", "this line has %d fields, the head has %d", len(row), len(r.index))
		return p, false
	}
	name, at := cell("part")
	if name == "" || utf8.RuneCountInString(name) > maxText {
		r.fail(at, "give every part a name of at most 200 characters", "part: the name is missing or too long")
	}
	p.Name = name
	text, at := cell("mass")
	mass, err := ParseQuantity[Mass](text)
	switch {
	case err != nil:
		r.fail(at, "", "mass: %v", err)
	case !(mass.SI > 0 && mass.SI <= balance.MaxPartMass):
		r.fail(at, "it must be greater than zero and at most 10000 kg", "mass: %s is not possible", text)
	}
	p.Mass = mass.SI
	text, at = cell("count")
	p.Count, err = strconv.Atoi(text)
	if err != nil || p.Count < 1 || p.Count > balance.MaxPartCount {
		r.fail(at, "a whole number of pieces in each cylinder is needed, 1 to 100", "count: %q is not possible", text)
	}
	text, at = cell("kind")
	switch text {
	case balance.Rotating.String():
	case balance.Reciprocating.String():
		p.Kind = balance.Reciprocating
	default:
		words := []string{balance.Rotating.String(), balance.Reciprocating.String()}
		r.fail(at, meant(text, words)+oneOf(words)+" is needed", "kind: %q is not known", text)
	}
	if text, at = cell("cylinder"); text != "" && text != "all" {
		p.Cylinder = 1 + slices.IndexFunc(r.train.Cylinders, func(c layout.Cylinder) bool { return c.Name == text })
		if p.Cylinder == 0 {
			names := make([]string, len(r.train.Cylinders))
			for i, c := range r.train.Cylinders {
				names[i] = c.Name
			}
			r.fail(at, "leave it empty for all, or give one of "+oneOf(names), "cylinder: there is no cylinder %q", text)
		}
	}
	return p, len(r.list) == before
}
