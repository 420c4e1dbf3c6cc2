package checks

import (
	"math"
	"strconv"
	"strings"
)

// Kind says where an expected value comes from.
type Kind string

// The kinds of checks.
const (
	Published          Kind = "published"           // printed in a text
	ClosedForm         Kind = "closed form"         // follows from an identity, evaluated without our chapters
	IndependentLibrary Kind = "independent library" // computed by another program
	CommonPractice     Kind = "common practice"     // what the trade knows
)

// Seen says how far the source of a value was seen.
type Seen string

// The ways in which a value was seen.
const (
	Read       Seen = "read"       // the text was read
	Memory     Seen = "memory"     // known from memory, not looked up
	Recomputed Seen = "recomputed" // computed by hand or by a program that shares nothing with ours
)

// Check is one number that we can be held to.
type Check struct {
	ID      string // group/case/quantity
	Chapter string // package of mechanics that is tested
	Kind    Kind
	Source  string // key in docs/sources.toml
	Place   string // page, table, section
	Seen    Seen
	What    string // what the number is, in one line
	Unit    string // of Want; 1 where it has none

	Printed   string  // as the source prints it
	Want      float64 // [Unit]
	Tol       float64 // largest accepted gap [Unit]
	TolWhy    string  // why Tol is wider than half a unit of the last printed digit
	Note      string
	Disagrees string // what is wrong with the printed value; empty: nothing

	Ours func() (float64, error) // computes our value [Unit]
}

// Outcome is a check that has been run.
type Outcome struct {
	Check
	Value float64 // ours [Unit]
	Gap   float64 // ours less the expected value [Unit]
	OK    bool
	Err   error
}

// Run computes our value of a check and compares.
//
// Result [unit of the check]: OK where our value is within Tol of Want. An error of Ours and a
// value that is no number are never OK. Definition.
func Run(c Check) Outcome {
	o := Outcome{Check: c}
	o.Value, o.Err = c.Ours()
	o.Gap = o.Value - c.Want
	o.OK = o.Err == nil && math.Abs(o.Gap) <= c.Tol*(1+1e-9) // a half that was rounded up is in
	return o
}

// All returns every check.
//
// Result [-]: always the same list in the same order, grouped by the first part of the ID.
// Definition.
func All() []Check {
	var l list
	l.series()
	l.offset()
	l.inertiaTorque()
	l.workedMotion()
	l.workedForces()
	l.workedRods()
	l.layoutTable()
	l.layoutRules()
	l.balanceShafts()
	l.shaftSearch()
	l.workedBalance()
	l.vTwins()
	l.firingOrders()
	l.phaseVectors()
	l.furtherBalance()
	l.furtherMotion()
	l.furtherFiring()
	l.tolerances()
	l.trade()
	l.counterweights()
	l.balancingShop()
	l.gases()
	l.torques()
	l.sounds()
	l.bearings()
	l.oilFilms()
	l.strengths()
	l.torsions()
	l.mounts()
	l.people()
	l.spaces()
	l.counted()
	l.choices()
	return l.checks
}

// list collects checks.
type list struct{ checks []Check }

// add appends a check. Where it states no tolerance it gets half a unit of the last printed digit.
func (l *list) add(c Check) {
	if c.Tol == 0 {
		c.Tol, _ = HalfUnit(c.Printed)
	}
	if c.Unit == "" {
		c.Unit = "1"
	}
	l.checks = append(l.checks, c)
}

// HalfUnit returns half a unit of the last printed digit.
//
//   - printed: text that begins with a number, such as 4.19 m/s or -2.7e-7
//
// Result [unit of the text]; ok is false where the text does not begin with a number that a space
// or the end of the text follows: no fraction, no sequence, no formula. Definition.
func HalfUnit(printed string) (half float64, ok bool) {
	text := strings.TrimLeft(strings.TrimSpace(printed), "+-")
	i, decimals, seenDigit, seenPoint := 0, 0, false, false
	for ; i < len(text); i++ {
		switch c := text[i]; {
		case c >= '0' && c <= '9':
			seenDigit = true
			if seenPoint {
				decimals++
			}
			continue
		case c == '.' && !seenPoint:
			seenPoint = true
			continue
		}
		break
	}
	if !seenDigit {
		return 0, false
	}
	exponent := 0
	if rest := text[i:]; len(rest) > 1 && rest[0] == 'e' {
		end := 1
		for end < len(rest) && (rest[end] == '-' || rest[end] == '+' || rest[end] >= '0' && rest[end] <= '9') {
			end++
		}
		n, err := strconv.Atoi(rest[1:end])
		if err == nil {
			exponent, i = n, i+end
		}
	}
	if rest := text[i:]; rest != "" && rest[0] != ' ' {
		return 0, false
	}
	return 0.5 * math.Pow(10, float64(exponent-decimals)), true
}

// number returns the number at the beginning of a printed text.
func number(printed string) float64 {
	text := strings.Fields(printed)[0]
	if a, b, isFraction := strings.Cut(text, "/"); isFraction {
		return number(a) / number(b)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return math.NaN() // no value is within any tolerance of it
	}
	return v
}
