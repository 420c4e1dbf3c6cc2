package main

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// written says on every page where it comes from.
const written = "Written by `make reference` from the program itself; a test holds it against the program of today.\n"

// page is a page of Markdown that grows.
type page struct{ strings.Builder }

func (p *page) line(format string, args ...any) {
	_, _ = fmt.Fprintf(p, format+"\n", args...)
}

// table writes a table; a row that has only empty cells behind the first is kept.
func (p *page) table(head []string, rows [][]string) {
	p.line("| %s |", strings.Join(head, " | "))
	p.line("|%s", strings.Repeat(" --- |", len(head)))
	for _, row := range rows {
		cells := make([]string, len(row))
		for i, c := range row {
			cells[i] = cell(c)
		}
		p.line("| %s |", strings.Join(cells, " | "))
	}
	p.line("")
}

// cell makes a text fit into a table.
func cell(text string) string {
	return strings.NewReplacer("|", `\|`, "\n", " ", "<", "&lt;").Replace(text)
}

// code sets a word as it is typed.
func code(text string) string { return "`" + text + "`" }

// sentence ends a text as a sentence.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	text = strings.ToUpper(text[:1]) + text[1:]
	if strings.ContainsAny(text[len(text)-1:], ".!?") {
		return text
	}
	return text + "."
}

var quantity = regexp.MustCompile(`an? ([a-z ]+) takes `)

var numbers = strings.NewReplacer("a ratio is a number without a unit", "a number", "a price is a number of points without a unit", "a number of points")

// takes says what a key takes, as a table shows it.
func takes(text string) string {
	return quantity.ReplaceAllString(numbers.Replace(text), "$1: ")
}

// number writes a number without needless digits.
func number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
