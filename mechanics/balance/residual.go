package balance

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Grade is a balance quality grade: the product of permissible eccentricity and speed.
type Grade struct {
	Name string  // such as G16
	G    float64 // e·ω [m/s]
	For  string  // the rotors for which it is usual, as far as engines are concerned
}

// Grades returns the balance quality grades from coarse to fine.
//
// Result: e·ω in [m/s]; the name has it in mm/s. Source: ISO21940, table of rotor types.
func Grades() []Grade {
	return []Grade{
		{"G4000", 4, "crank drives of large slow marine engines (piston speed below 9 m/s), inherently unbalanced"},
		{"G1600", 1.6, "crank drives of large slow marine engines (piston speed below 9 m/s), inherently balanced"},
		{"G630", 0.63, "crank drives, inherently unbalanced, elastically mounted"},
		{"G250", 0.25, "crank drives, inherently unbalanced, rigidly mounted"},
		{"G100", 0.1, "complete reciprocating engines of cars, trucks and locomotives"},
		{"G40", 0.04, "crank drives, inherently balanced, elastically mounted; wheels, drive shafts"},
		{"G16", 0.016, "crank drives, inherently balanced, rigidly mounted"},
		{"G6.3", 0.0063, "machines in general, flywheels, fans, pumps"},
		{"G2.5", 0.0025, "turbines, turbochargers, machine tool drives"},
		{"G1", 0.001, "fine drives and small fast rotors"},
		{"G0.4", 0.0004, "spindles and gyroscopes"},
	}
}

// GradeNamed returns the grade of a name such as G16 or G 6.3.
//
//   - name: G and the figure in mm/s; case and blanks do not count
//
// Result: e·ω in [m/s]. A grade that is not in the table is an error that lists the table.
// Source: ISO21940, table of rotor types.
func GradeNamed(name string) (Grade, error) {
	wanted, ok := strings.CutPrefix(strings.ToUpper(strings.Join(strings.Fields(name), "")), "G")
	var names []string
	for _, g := range Grades() {
		v, err := strconv.ParseFloat(wanted, 64)
		if ok && err == nil && math.Abs(v*1e-3-g.G) <= 1e-9*g.G {
			return g, nil
		}
		names = append(names, g.Name)
	}
	return Grade{}, fmt.Errorf("%q is no balance quality grade; the grades are %s", name, strings.Join(names, ", "))
}

// Permissible is the residual unbalance that a grade allows.
type Permissible struct {
	Eccentricity float64 // of the centre of gravity from the axis [m]
	Unbalance    float64 // of the whole rotor [kg m]
}

// PermissibleUnbalance returns what a grade allows a rotor.
//
//	e_per = G/ω      U_per = m e_per
//
// with
//   - grade: a grade, G in [m/s], greater than zero
//   - mass: mass of the rotor [kg], greater than zero, up to 1e6
//   - ω: highest service speed [rad/s], greater than zero, up to 1e5
//
// Result [m] and [kg m]. An error where an argument is out of range. Source: ISO21940, definition of G
// and U_per.
func PermissibleUnbalance(grade Grade, mass, ω float64) (Permissible, error) {
	switch {
	case !(grade.G > 0 && grade.G <= 1e3):
		return Permissible{}, fmt.Errorf("a grade of %g mm/s is not possible; it must be greater than zero", 1e3*grade.G)
	case !(mass > 0 && mass <= 1e6):
		return Permissible{}, fmt.Errorf("a rotor mass of %g kg is not possible; it must be greater than zero and at most 1000000 kg", mass)
	case !(ω >= 1e-3 && ω <= 1e5):
		return Permissible{}, fmt.Errorf("a speed of %g rpm is not possible; it must lie between 0.01 and 900000 rpm", ω*30/math.Pi)
	}
	return Permissible{Eccentricity: grade.G / ω, Unbalance: mass * grade.G / ω}, nil
}

// The bounds of one plane's share of the permissible unbalance: they keep a plane that the centre of
// gravity stands in from taking all of it. Source: ISO21940, limits of the allocation.
const (
	leastShare = 0.3
	mostShare  = 0.7
)

// SplitUnbalance divides a permissible unbalance over two tolerance planes.
//
//	U_A = U b/(a + b)   U_B = U a/(a + b)       each between 0.3 U and 0.7 U
//
// with
//   - u: permissible unbalance of the rotor [kg m], not negative
//   - a, b: distance of the centre of gravity from plane A and from plane B [m], the centre between them
//
// Result [kg m] for plane A and B; limited says that a bound was used. The tolerance planes are best the
// bearings (common practice). Errors: distances that leave no space between the planes, and a centre of
// gravity outside them: the rule for overhung rotors is not known here. Source: ISO21940, allocation to
// tolerance planes.
func SplitUnbalance(u, a, b float64) (ua, ub float64, limited bool, err error) {
	switch {
	case !(u >= 0 && u <= 1e9):
		return 0, 0, false, fmt.Errorf("a permissible unbalance of %g kg m is not possible; it must not be negative", u)
	case !(a >= 0 && b >= 0):
		return 0, 0, false, errors.New("the centre of gravity lies outside the two planes; the split of an overhung rotor is not known here, give the permissible unbalance of each plane")
	case !(a <= 1e3 && b <= 1e3):
		return 0, 0, false, fmt.Errorf("the distances %g m and %g m are out of range; at most 1000 m are possible", a, b)
	case a+b < 1e-6:
		return 0, 0, false, errors.New("there is no space between the planes; give how far the centre of gravity lies from each")
	}
	share := b / (a + b)
	bounded := math.Max(leastShare, math.Min(mostShare, share))
	return u * bounded, u * (1 - bounded), math.Abs(bounded-share) > 1e-12, nil
}

// Residual is an unbalance that was found, held against what may stay.
type Residual struct {
	Found, Permissible float64 // [kg m]
	Within             bool
	Share              float64 // of the permissible unbalance that is used up [1]
}

// ResidualOf holds an unbalance that was found against what may stay.
//
//   - found: unbalance as measured after the last correction [kg m], not negative
//   - permissible: of the rotor or of the plane [kg m], greater than zero
//
// Result [kg m]. An error where an argument is out of range. Definition.
func ResidualOf(found, permissible float64) (Residual, error) {
	switch {
	case !between(found, 0, 1e9):
		return Residual{}, fmt.Errorf("a residual unbalance of %g kg m is not possible; it must not be negative", found)
	case !between(permissible, 1e-12, 1e9):
		return Residual{}, fmt.Errorf("a permissible unbalance of %g kg m is not possible; it must be greater than zero", permissible)
	}
	return Residual{Found: found, Permissible: permissible, Within: found <= permissible, Share: found / permissible}, nil
}
