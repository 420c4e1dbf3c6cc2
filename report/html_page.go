package report

import (
	"fmt"
	"html/template"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"crankwright/analysis"
	"crankwright/draw"
	"crankwright/num"
)

// page is everything that the template shows. It holds finished words: the template computes nothing.
type page struct {
	Title   string
	Kind    string // what the page is
	One     bool   // the page of one engine
	Count   int
	Speed   string // the common speed, or the range
	Lead    string
	Caution string
	Style   template.CSS
	Table   pageTable
	Sheets  []pageTable // the table cut into pieces that fit a printed page; nil where it fits whole
	Bars    []pageFigure
	Front   []pageSection // before the table: brief, verdict, choice
	Live    *pageLive     // the line-up in motion; nil: there is none
	Reading []pageFact    // how the figures are meant
	Back    []pageSection // after the engines: estimates, evidence, inputs, versions
	Engines []pageEngine
}

// engineID is the name under which links reach an engine and its parts.
func engineID(i int) string { return "engine-" + strconv.Itoa(i+1) }

// engineOf names an engine by its number, as captions of tables do, which must differ.
func engineOf(id string) string { return strings.Replace(id, "-", " ", 1) }

func newPage(rs []*analysis.Result) page {
	p := page{One: len(rs) == 1, Count: len(rs), Caution: Caution, Reading: readingTexts(), Style: template.CSS(pageTheme() + pageStyle)} // our own style sheet
	p.Speed, p.Lead = speedLead(rs)
	if p.One {
		p.Title, p.Kind = rs[0].Train.Name, "Engine sheet"
	} else {
		p.Title, p.Kind = fmt.Sprintf("%d engines side by side", len(rs)), "Comparison"
	}
	p.Table = newTable(rs)
	p.Sheets = p.Table.cut(enginesPerSheet)
	if !p.One {
		p.Bars = barFigures(rs)
	}
	for i, r := range rs {
		p.Engines = append(p.Engines, newPageEngine(i, r))
	}
	return p
}

// speedLead says at which speed the results stand.
func speedLead(rs []*analysis.Result) (speed, lead string) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range rs {
		low, high = math.Min(low, r.Speed), math.Max(high, r.Speed)
	}
	speed = rpmOf(low) + " rpm"
	square := " They grow with the square of the speed."
	if rs[0].Drive != nil {
		square = " What comes from inertia grows with the square of the speed; the torque of the gas does not."
	}
	switch {
	case len(rs) == 1:
		return speed, "Every force, moment and torque on this sheet is for " + speed + "." + square
	case high-low < 1e-9*high:
		return speed, "Every force, moment and torque here is for " + speed + ", the same for all engines." + square
	}
	return rpmOf(low) + " to " + rpmOf(high) + " rpm",
		"Each engine stands at a speed of its own, from " + rpmOf(low) + " to " + rpmOf(high) + " rpm. Forces grow with the square of the speed: read a difference with that in mind."
}

func rpmOf(ω float64) string { return grouped(num.Digits(ω*30/math.Pi, 4)) }

// pageTheme returns the style sheet of the figures and the colours of the page, which are the figures'
// own, for light and dark.
func pageTheme() string {
	light, dark := draw.Light(), draw.Dark()
	names := slices.Sorted(maps.Keys(light))
	variables := func(of func(string) string) string {
		var b strings.Builder
		for _, n := range names {
			fmt.Fprintf(&b, "--cw-%s:%s;", n, of(n))
		}
		return b.String()
	}
	l := "color-scheme:light;" + variables(func(n string) string { return light[n] })
	d := "color-scheme:dark;" + variables(func(n string) string { return dark[n] })
	inherit := variables(func(string) string { return "inherit" })
	return draw.Stylesheet() +
		".page .cw-fig{" + inherit + "}\n" +
		":root{" + l + "}\n" +
		"@media screen and (prefers-color-scheme:dark){:root{" + d + "}}\n" +
		"@media screen{:root:has(#look-light:checked){" + l + "}:root:has(#look-dark:checked){" + d + "}}\n"
}

// plain writes a number for a table, with four digits, small ones with two: a real minus, thin spaces between
// thousands, 0 for what is rounding.
func plain(v float64) string {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return "–"
	case math.Abs(v) < 1e-9:
		return "0"
	case math.Abs(v) < 5e-4:
		return "<\u202f0.001"
	case math.Abs(v) < 0.1:
		return grouped(num.Digits(v, 2))
	}
	return grouped(num.Digits(v, 4))
}

// unbroken keeps numbers and their units on one line of a sentence.
func unbroken(lines []string) []string {
	units := strings.NewReplacer(" kN m", "\u00a0kN\u00a0m", " mN m", "\u00a0mN\u00a0m", " N m", "\u00a0N\u00a0m", " kN", "\u00a0kN", " mN", "\u00a0mN", " N ", "\u00a0N ", " N.", "\u00a0N.", " N,", "\u00a0N,", " kg mm", "\u00a0kg\u00a0mm", " mm", "\u00a0mm")
	out := make([]string, len(lines))
	for i, l := range lines {
		out[i] = units.Replace(l)
	}
	return out
}

// grouped sets thin spaces between the thousands of a number of five or more digits.
func grouped(s string) string {
	sign := ""
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		sign, s = "−", rest
	}
	whole, fraction, point := strings.Cut(s, ".")
	if len(whole) > 4 {
		for i := len(whole) - 3; i > 0; i -= 3 {
			whole = whole[:i] + "\u202f" + whole[i:]
		}
	}
	if point {
		whole += "." + fraction
	}
	return sign + whole
}
