package spec

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"
)

// powers are the exponents of a unit in metre, kilogram, second, turn angle and kelvin.
type powers struct{ m, kg, s, rad, kelvin int }

func (p powers) times(q powers, n int) powers {
	return powers{p.m + n*q.m, p.kg + n*q.kg, p.s + n*q.s, p.rad + n*q.rad, p.kelvin + n*q.kelvin}
}

// unit is a factor to SI with its powers.
type unit struct {
	factor float64
	powers powers
}

// The customary units are exact by definition: inch 25.4 mm, pound 0.453 592 37 kg, standard
// gravity 9.806 65 m/s².
const (
	inch    = 0.0254
	pound   = 0.45359237
	gravity = 9.80665
)

// atoms are the units that compounds are made of. Their names are exact; a name that differs in
// case only is suggested, not taken, because MPa and mPa differ.
var atoms = map[string]unit{
	"m": {1, powers{m: 1}}, "mm": {1e-3, powers{m: 1}}, "cm": {1e-2, powers{m: 1}}, "dm": {0.1, powers{m: 1}},
	"um": {1e-6, powers{m: 1}}, "µm": {1e-6, powers{m: 1}}, "μm": {1e-6, powers{m: 1}},
	"in": {inch, powers{m: 1}}, "inch": {inch, powers{m: 1}}, "inches": {inch, powers{m: 1}},
	"ft": {12 * inch, powers{m: 1}},

	"kg": {1, powers{kg: 1}}, "g": {1e-3, powers{kg: 1}}, "mg": {1e-6, powers{kg: 1}}, "t": {1e3, powers{kg: 1}},
	"lb": {pound, powers{kg: 1}}, "lbs": {pound, powers{kg: 1}}, "lbm": {pound, powers{kg: 1}},
	"oz": {pound / 16, powers{kg: 1}},

	"s": {1, powers{s: 1}}, "ms": {1e-3, powers{s: 1}}, "min": {60, powers{s: 1}}, "h": {3600, powers{s: 1}},
	"Hz": {1, powers{s: -1}},

	"rad": {1, powers{rad: 1}},
	"deg": {math.Pi / 180, powers{rad: 1}}, "°": {math.Pi / 180, powers{rad: 1}},
	"degree": {math.Pi / 180, powers{rad: 1}}, "degrees": {math.Pi / 180, powers{rad: 1}},
	"rev": {2 * math.Pi, powers{rad: 1}},
	"rpm": {2 * math.Pi / 60, powers{rad: 1, s: -1}}, "RPM": {2 * math.Pi / 60, powers{rad: 1, s: -1}},

	"N": {1, powers{m: 1, kg: 1, s: -2}}, "kN": {1e3, powers{m: 1, kg: 1, s: -2}},
	"MN": {1e6, powers{m: 1, kg: 1, s: -2}}, "GN": {1e9, powers{m: 1, kg: 1, s: -2}},
	"lbf": {pound * gravity, powers{m: 1, kg: 1, s: -2}},
	"Pa":  {1, powers{m: -1, kg: 1, s: -2}}, "kPa": {1e3, powers{m: -1, kg: 1, s: -2}},
	"MPa": {1e6, powers{m: -1, kg: 1, s: -2}}, "bar": {1e5, powers{m: -1, kg: 1, s: -2}},
	"psi": {pound * gravity / (inch * inch), powers{m: -1, kg: 1, s: -2}},

	"W": {1, powers{m: 2, kg: 1, s: -3}}, "kW": {1e3, powers{m: 2, kg: 1, s: -3}},
	"l": {1e-3, powers{m: 3}}, "L": {1e-3, powers{m: 3}},

	"K": {1, powers{kelvin: 1}},

	"%": {0.01, powers{}}, "1": {1, powers{}},
}

// superscripts maps raised digits to plain ones.
var superscripts = map[rune]rune{'¹': '1', '²': '2', '³': '3', '⁴': '4', '⁻': '-'}

// parseUnit reads a compound such as "kg m2", "kg·mm", "lb in^2" or "1/min": factors side by side
// or joined by * or ·, each with an exponent where needed; what follows a stroke divides. Where
// it fails it returns the part that it does not know.
func parseUnit(text string) (u unit, unknown string) {
	u.factor = 1
	rest := strings.TrimSpace(text)
	sign, count := 1, 0
	for rest != "" {
		r, size := utf8.DecodeRuneInString(rest)
		switch {
		case isBlank(r):
			rest = rest[size:]
			continue
		case r == '*' || r == '·' || r == '⋅' || r == '×':
			rest = rest[size:]
			if count == 0 || strings.TrimSpace(rest) == "" {
				return u, text
			}
			continue
		case r == '/':
			rest = rest[size:]
			if count == 0 || sign < 0 || strings.TrimSpace(rest) == "" {
				return u, text
			}
			sign = -1
			continue
		}
		name, after := unitName(rest)
		atom, ok := atoms[name]
		if !ok {
			return u, strings.TrimSpace(rest[:max(len(name), size)])
		}
		exponent, after, ok := unitExponent(after)
		if !ok || name == "1" && count > 0 {
			return u, text
		}
		n := sign * exponent
		u.factor *= math.Pow(atom.factor, float64(n))
		u.powers = u.powers.times(atom.powers, n)
		count++
		if count > 8 {
			return u, text
		}
		rest = after
	}
	return u, ""
}

func isBlank(r rune) bool { return unicode.IsSpace(r) || r == '\u202f' || r == '\u2009' }

// unitName splits a leading run of letters (or one of ° % 1) from the text.
func unitName(text string) (name, rest string) {
	for i, r := range text {
		if unicode.IsLetter(r) {
			continue
		}
		if i == 0 && (r == '°' || r == '%' || r == '1') {
			i = utf8.RuneLen(r)
		}
		return text[:i], text[i:]
	}
	return text, ""
}

// unitExponent reads an exponent such as 2, ^2, ², ^-1; none is 1.
func unitExponent(text string) (n int, rest string, ok bool) {
	rest, caret := strings.CutPrefix(text, "^")
	digits := ""
	for rest != "" {
		r, size := utf8.DecodeRuneInString(rest)
		if plain, raised := superscripts[r]; raised {
			r = plain
		}
		if (r < '0' || r > '9') && (r != '-' || digits != "") {
			break
		}
		digits += string(r)
		rest = rest[size:]
	}
	switch digits {
	case "":
		return 1, rest, !caret
	case "1", "2", "3", "4":
		return int(digits[0] - '0'), rest, true
	case "-1", "-2", "-3":
		return -int(digits[1] - '0'), rest, true
	}
	return 0, rest, false
}
