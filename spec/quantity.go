package spec

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Quantity is a number with a unit, as an engine file gives it.
type Quantity[D Dimension] struct {
	Mark
	SI   float64 // in the SI unit of D; 0 where the file does not give it
	Text string  // as the file writes it, with the unit; empty where the file does not give it
}

// ParseQuantity reads a text such as "84 mm". The error says what is wrong and which units are
// allowed.
func ParseQuantity[D Dimension](text string) (Quantity[D], error) {
	var d D
	v, err := d.dimension().parse(text, "")
	if err != nil {
		return Quantity[D]{}, err
	}
	return Quantity[D]{Mark: Mark{state: given}, SI: v, Text: strings.TrimSpace(text)}, nil
}

// String returns the quantity as the file wrote it, or in its usual unit.
func (q Quantity[D]) String() string {
	if q.Text != "" {
		return q.Text
	}
	return formatSI[D](q.SI)
}

// or returns the value, or the other one where the file gives none.
func (q Quantity[D]) or(other float64) float64 {
	if q.Given() {
		return q.SI
	}
	return other
}

// known returns the value, or NaN where the file gives none: what package estimate expects.
func (q Quantity[D]) known() float64 { return q.or(math.NaN()) }

// formatSI writes an SI value in the usual unit of its kind.
func formatSI[D Dimension](si float64) string {
	var d D
	dim := d.dimension()
	number := formatNumber(si / dim.shown.factor)
	if len(dim.units) == 0 {
		return number
	}
	return number + " " + dim.units[0]
}

// formatNumber writes 15 significant digits at most, which a reader gets back to a few parts in
// 1e15, without the dust that a change of units leaves.
func formatNumber(x float64) string {
	if x == 0 {
		return "0"
	}
	text := strconv.FormatFloat(x, 'g', 15, 64)
	if y, err := strconv.ParseFloat(text, 64); err == nil {
		x = y
	}
	if a := math.Abs(x); a >= 1e-5 && a < 1e15 {
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}

// splitNumber reads the number at the start of a text and returns what follows it. YAML's own
// readings are avoided: 010 is ten, not an octal eight; 12:30 and 1_000 are refused, not converted.
func splitNumber(text string) (number float64, rest string, err *valueError) {
	text = strings.TrimFunc(text, isBlank)
	body := strings.Replace(text, "−", "-", 1)
	if text == "" {
		return 0, "", &valueError{what: "the value is empty"}
	}
	i := 0
	if body[0] == '-' || body[0] == '+' {
		i++
	}
	digits := func() int {
		start := i
		for i < len(body) && body[i] >= '0' && body[i] <= '9' {
			i++
		}
		return i - start
	}
	count := digits()
	if i < len(body) && body[i] == '.' {
		i++
		count += digits()
	}
	if count == 0 {
		return 0, "", &valueError{what: fmt.Sprintf("%q is not a number", text)}
	}
	if i < len(body) && (body[i] == 'e' || body[i] == 'E') {
		mantissa := i
		i++
		if i < len(body) && (body[i] == '-' || body[i] == '+') {
			i++
		}
		if digits() == 0 {
			i = mantissa // no exponent: a unit follows
		}
	}
	number, perr := strconv.ParseFloat(body[:i], 64)
	if perr != nil || math.IsInf(number, 0) {
		return 0, "", &valueError{what: fmt.Sprintf("%q is out of all measure", text)}
	}
	rest = body[i:]
	r, _ := utf8.DecodeRuneInString(rest)
	switch {
	case r == ',':
		return 0, "", &valueError{fmt.Sprintf("%q is not a number", text), "write a decimal point, not a comma"}
	case r == '_' || r == '\'':
		return 0, "", &valueError{fmt.Sprintf("%q is not a number", text), "write the digits of a number without separators"}
	case r == ':' || r == '.' || r == '-' || r == '+' || r >= '0' && r <= '9':
		return 0, "", &valueError{what: fmt.Sprintf("%q is not a number", text)}
	case r == 'x' || r == 'o' || r == 'b' && !strings.HasPrefix(rest, "bar"):
		if strings.TrimLeft(body[:i], "+-") == "0" && len(rest) > 1 {
			return 0, "", &valueError{fmt.Sprintf("%q is not a number", text), "write a decimal number"}
		}
	}
	rest = strings.TrimFunc(rest, isBlank)
	if rest != "" && rest[0] >= '0' && rest[0] <= '9' && !strings.HasPrefix(rest, "1/") && !strings.HasPrefix(rest, "1 /") {
		return 0, "", &valueError{fmt.Sprintf("%q is not a number", text), "write the digits of a number without separators"}
	}
	return number, rest, nil
}
