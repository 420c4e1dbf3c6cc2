package spec

import (
	"cmp"
	"errors"
	"fmt"
	"math/big"
	"strconv"
	"strings"
)

// MostValues is the largest number of values of one key of a study.
const MostValues = 100_000

// Quantities returns the values of a range in steps, as texts with exact decimals, such as 40 deg, 40.1 deg, 40.2 deg. All
// three have the same unit; a 0 needs none. Both ends are among the values where the step meets them; a negative step counts
// down. The error says what is wrong in words.
func Quantities(from, to, step string) ([]string, error) {
	var number [3]decimal
	unit, known := "", false
	for i, text := range []string{from, to, step} {
		d, own, err := parseDecimal(text)
		switch {
		case err != nil:
			return nil, fmt.Errorf("%s: %s; %s", [...]string{"from", "to", "step"}[i], err.what, cmp.Or(err.allowed, "write a number with its unit, such as 0.5 mm"))
		case own == "" && d.digits.Sign() == 0: // takes the unit of the others
		case known && own != unit:
			return nil, fmt.Errorf("from, to and step must have one unit, not %q and %q; write all three in one", unit, own)
		default:
			unit, known = own, true
		}
		number[i] = d
	}
	places := max(number[0].places, number[1].places, number[2].places)
	a, b, s := number[0].with(places), number[1].with(places), number[2].with(places)
	way := new(big.Int).Sub(b, a)
	switch {
	case s.Sign() == 0:
		return nil, errors.New("a step of 0 leads nowhere; give one that is not 0")
	case way.Sign()*s.Sign() < 0:
		return nil, fmt.Errorf("a step of %s leads away from %s; turn its sign, or change from and to", step, to)
	}
	count := new(big.Int).Quo(way, s)
	if !count.IsInt64() || count.Int64() >= MostValues {
		return nil, fmt.Errorf("there are %s values; %d are the most", new(big.Int).Add(count, big.NewInt(1)), MostValues)
	}
	list := make([]string, 0, count.Int64()+1)
	for range count.Int64() + 1 {
		list = append(list, strings.TrimSpace(decimal{a, places}.String()+" "+unit))
		a = new(big.Int).Add(a, s)
	}
	return list, nil
}

// decimal is digits with a number of places behind the point.
type decimal struct {
	digits *big.Int
	places int
}

// mostDigits bounds the digits of a number of a range, and its exponent.
const mostDigits = 30

// parseDecimal reads a number with its unit, exactly.
func parseDecimal(text string) (decimal, string, *valueError) {
	_, unit, err := splitNumber(text)
	if err != nil {
		return decimal{}, "", err
	}
	body := strings.Replace(strings.TrimFunc(text, isBlank), "−", "-", 1)
	body = strings.TrimRightFunc(strings.TrimSuffix(body, unit), isBlank)
	mantissa, power := body, 0
	if i := strings.IndexAny(body, "eE"); i >= 0 {
		p, perr := strconv.Atoi(body[i+1:])
		if perr != nil || p < -mostDigits || p > mostDigits {
			return decimal{}, "", &valueError{fmt.Sprintf("%q is out of all measure", text), fmt.Sprintf("powers of ten from -%d to %d are read", mostDigits, mostDigits)}
		}
		mantissa, power = body[:i], p
	}
	whole, part, _ := strings.Cut(mantissa, ".")
	part = strings.TrimRight(part, "0")
	digits, ok := new(big.Int).SetString(strings.TrimPrefix(whole, "+")+part, 10)
	if whole+part == "" || whole+part == "-" || whole+part == "+" {
		digits, ok = new(big.Int), true // .0
	}
	if !ok || len(whole)+len(part) > mostDigits {
		return decimal{}, "", &valueError{fmt.Sprintf("%q has too many digits", text), fmt.Sprintf("%d are the most", mostDigits)}
	}
	d := decimal{digits, len(part) - power}
	if d.places < 0 {
		d = decimal{d.with(0), 0}
	}
	return d, unit, nil
}

// with returns the digits for another number of places, at least as many.
func (d decimal) with(places int) *big.Int {
	return new(big.Int).Mul(d.digits, new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(places-d.places)), nil))
}

// String writes the number without zeros at its end.
func (d decimal) String() string {
	text, sign := d.digits.String(), ""
	if d.digits.Sign() < 0 {
		text, sign = text[1:], "-"
	}
	if d.places == 0 {
		return sign + text
	}
	text = strings.Repeat("0", max(0, d.places+1-len(text))) + text
	point := len(text) - d.places
	return sign + strings.TrimSuffix(strings.TrimRight(text[:point]+"."+text[point:], "0"), ".")
}
