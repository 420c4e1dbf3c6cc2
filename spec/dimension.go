package spec

import (
	"cmp"
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// dimension says what a quantity measures and in which units people write it.
type dimension struct {
	name   string // with its article
	powers powers
	units  []string // named in messages and in the schema, the usual one first
	shown  unit     // the usual unit, in which values are written
	bare   bool     // a number without a unit is allowed
	turns  bool     // a plain frequency counts turns: 1 Hz is 2π rad/s
	steps  bool     // a difference, in which a degree Celsius is a kelvin
	takes  string   // what allowed says where there are no units; empty: a number without a unit
	most   float64  // largest value in SI that is in any measure; 0: 1e9
}

// Dimension is the kind of a Quantity: Length, Mass and so on.
type Dimension interface{ dimension() *dimension }

// Length is the kind of lengths [m].
type Length struct{}

// Mass is the kind of masses [kg].
type Mass struct{}

// Angle is the kind of angles [rad].
type Angle struct{}

// Moment is the kind of unbalances, mass × radius [kg m].
type Moment struct{}

// Inertia is the kind of moments of inertia [kg m²].
type Inertia struct{}

// Density is the kind of densities [kg/m³].
type Density struct{}

// Speed is the kind of speeds of rotation [rad/s].
type Speed struct{}

// Pressure is the kind of pressures [Pa].
type Pressure struct{}

// Area is the kind of areas [m²].
type Area struct{}

// Temperature is the kind of temperatures [K].
type Temperature struct{}

// Duration is the kind of lengths of time [s].
type Duration struct{}

// TemperatureStep is the kind of differences of temperature [K].
type TemperatureStep struct{}

// Strength is the kind of strengths of materials [Pa].
type Strength struct{}

// Stiffness is the kind of stiffnesses of supports [N/m].
type Stiffness struct{}

// TwistStiffness is the kind of stiffnesses of shafts that are twisted [N m/rad].
type TwistStiffness struct{}

// TwistDamping is the kind of dampings of turning parts [N m s/rad].
type TwistDamping struct{}

// Spring is the kind of stiffnesses of resilient mounts [N/m].
type Spring struct{}

// Mobility is the kind of velocities over the force that causes them [m/(N s)].
type Mobility struct{}

// Share is the kind of parts of a whole, 50 % or 0.5 [1].
type Share struct{}

// Priority is the kind of what people give to a wish, 0 to 10 points [1].
type Priority struct{}

// Price is the kind of what a part costs, in points [1].
type Price struct{}

// PureRatio is the kind of ratios, written without a unit [1].
type PureRatio struct{}

var (
	lengthDimension = &dimension{
		name: "a length", powers: powers{m: 1}, units: []string{"mm", "cm", "m", "in"}, shown: atoms["mm"],
	}
	massDimension = &dimension{
		name: "a mass", powers: powers{kg: 1}, units: []string{"kg", "g", "lb", "oz"}, shown: atoms["kg"],
	}
	angleDimension = &dimension{
		name: "an angle", powers: powers{rad: 1}, units: []string{"deg", "°", "rad"}, shown: atoms["deg"],
	}
	momentDimension = &dimension{
		name: "an unbalance", powers: powers{m: 1, kg: 1}, units: []string{"kg mm", "g cm", "g mm", "oz in"},
		shown: unit{1e-3, powers{m: 1, kg: 1}},
	}
	inertiaDimension = &dimension{
		name: "a moment of inertia", powers: powers{m: 2, kg: 1},
		units: []string{"kg m2", "kg cm2", "g cm2", "lb in2", "lb ft2"}, shown: unit{1, powers{m: 2, kg: 1}},
	}
	densityDimension = &dimension{
		name: "a density", powers: powers{m: -3, kg: 1}, units: []string{"kg/m3", "g/cm3", "kg/dm3"}, shown: unit{1, powers{m: -3, kg: 1}},
	}
	speedDimension = &dimension{
		name: "a speed", powers: powers{s: -1, rad: 1}, units: []string{"rpm", "1/min", "rad/s", "Hz"},
		shown: atoms["rpm"], turns: true,
	}
	pressureDimension = &dimension{
		name: "a pressure", powers: powers{m: -1, kg: 1, s: -2}, units: []string{"bar", "MPa", "kPa", "psi"},
		shown: atoms["bar"],
	}
	areaDimension = &dimension{
		name: "an area", powers: powers{m: 2}, units: []string{"cm2", "mm2", "m2", "in2"}, shown: unit{1e-4, powers{m: 2}},
	}
	temperatureDimension = &dimension{
		name: "a temperature", powers: powers{kelvin: 1}, units: []string{"K", "degC", "°C"}, shown: atoms["K"],
	}
	stepDimension = &dimension{
		name: "a difference of temperature", powers: powers{kelvin: 1}, units: []string{"K", "degC", "°C"}, shown: atoms["K"], steps: true,
	}
	strengthDimension = &dimension{
		name: "a strength", powers: powers{m: -1, kg: 1, s: -2}, units: []string{"MPa", "N/mm2", "psi"}, shown: atoms["MPa"], most: 1e12,
	}
	stiffnessDimension = &dimension{
		name: "a stiffness", powers: powers{kg: 1, s: -2}, units: []string{"GN/m", "MN/m", "kN/mm", "N/m", "lbf/in"}, shown: unit{1e9, powers{kg: 1, s: -2}}, most: 1e15,
	}
	twistStiffnessDimension = &dimension{
		name: "a torsional stiffness", powers: powers{m: 2, kg: 1, s: -2, rad: -1}, units: []string{"kN m/rad", "N m/rad", "MN m/rad", "lbf ft/rad"},
		shown: unit{1e3, powers{m: 2, kg: 1, s: -2, rad: -1}}, most: 1e15,
	}
	twistDampingDimension = &dimension{
		name: "a torsional damping", powers: powers{m: 2, kg: 1, s: -1, rad: -1}, units: []string{"N m s/rad", "lbf ft s/rad"},
		shown: unit{1, powers{m: 2, kg: 1, s: -1, rad: -1}},
	}
	durationDimension = &dimension{name: "a time", powers: powers{s: 1}, units: []string{"s", "ms", "min", "h"}, shown: atoms["s"]}

	springDimension = &dimension{
		name: "a stiffness", powers: powers{kg: 1, s: -2}, units: []string{"N/mm", "kN/mm", "N/m", "lbf/in"}, shown: unit{1e3, powers{kg: 1, s: -2}}, most: 1e15,
	}
	mobilityDimension = &dimension{name: "a mobility", powers: powers{kg: -1, s: 1}, units: []string{"m/N s", "mm/N s"}, shown: unit{1, powers{kg: -1, s: 1}}}
	shareDimension    = &dimension{name: "a share", units: []string{"%"}, shown: atoms["%"], bare: true}
	ratioDimension    = &dimension{name: "a ratio", shown: atoms["1"], bare: true}
	figureDimension   = &dimension{name: "this figure", shown: atoms["1"], bare: true}
	priceDimension    = &dimension{name: "a price", shown: atoms["1"], bare: true, takes: "a number of points without a unit"}
	priorityDimension = &dimension{name: "a priority", shown: atoms["1"], bare: true, takes: "a number from 0 to 10"}
)

// zeroCelsius is 0 °C [K], exact by definition.
const zeroCelsius = 273.15

func (Length) dimension() *dimension          { return lengthDimension }
func (Mass) dimension() *dimension            { return massDimension }
func (Angle) dimension() *dimension           { return angleDimension }
func (Moment) dimension() *dimension          { return momentDimension }
func (Inertia) dimension() *dimension         { return inertiaDimension }
func (Density) dimension() *dimension         { return densityDimension }
func (Speed) dimension() *dimension           { return speedDimension }
func (Pressure) dimension() *dimension        { return pressureDimension }
func (Area) dimension() *dimension            { return areaDimension }
func (Temperature) dimension() *dimension     { return temperatureDimension }
func (Share) dimension() *dimension           { return shareDimension }
func (Priority) dimension() *dimension        { return priorityDimension }
func (Price) dimension() *dimension           { return priceDimension }
func (PureRatio) dimension() *dimension       { return ratioDimension }
func (TemperatureStep) dimension() *dimension { return stepDimension }
func (Strength) dimension() *dimension        { return strengthDimension }
func (Stiffness) dimension() *dimension       { return stiffnessDimension }
func (TwistStiffness) dimension() *dimension  { return twistStiffnessDimension }
func (TwistDamping) dimension() *dimension    { return twistDampingDimension }
func (Duration) dimension() *dimension        { return durationDimension }
func (Spring) dimension() *dimension          { return springDimension }
func (Mobility) dimension() *dimension        { return mobilityDimension }

// allowed says which units the dimension takes.
func (d *dimension) allowed() string {
	switch {
	case len(d.units) == 0:
		return d.name + " is " + cmp.Or(d.takes, "a number without a unit")
	case d.bare:
		return d.name + " takes " + oneOf(d.units) + ", or a plain number"
	default:
		return d.name + " takes " + oneOf(d.units)
	}
}

// valueError says what is wrong with the text of a quantity, and what is allowed.
type valueError struct{ what, allowed string }

// Error returns both parts in one line.
func (e *valueError) Error() string { return e.what + "; " + e.allowed }

// parse reads a number with its unit. The unit of the list in which it stands, where there is
// one, counts for a number that has none of its own.
func (d *dimension) parse(text, listUnit string) (float64, *valueError) {
	number, unitText, err := splitNumber(text)
	if err != nil {
		if err.allowed == "" {
			err.allowed = d.allowed()
		}
		return 0, err
	}
	if unitText == "" {
		unitText = listUnit
	}
	if unitText == "" {
		if d.bare || number == 0 {
			return number, nil
		}
		return 0, &valueError{fmt.Sprintf("%q has no unit", text), d.allowed()}
	}
	if celsius := strings.TrimSpace(unitText); d.powers.kelvin == 1 && (celsius == "degC" || celsius == "°C") {
		if unitText = "K"; !d.steps {
			number += zeroCelsius
		}
	}
	u, unknown := parseUnit(unitText)
	if unknown != "" {
		allowed := d.allowed()
		if near := d.near(unknown, unitText); near != "" {
			allowed = fmt.Sprintf("did you mean %q? %s", near, allowed)
		}
		return 0, &valueError{fmt.Sprintf("unknown unit %q", unknown), allowed}
	}
	if d.turns && u.powers == (powers{s: -1}) {
		u.factor *= 2 * math.Pi
		u.powers.rad = 1
	}
	if len(d.units) == 0 && (u.powers != d.powers || u.factor != 1) {
		return 0, &valueError{fmt.Sprintf("%q has a unit", text), d.allowed()}
	}
	if u.powers != d.powers {
		return 0, &valueError{fmt.Sprintf("%q is not a unit of %s", unitText, d.kind()), d.allowed()}
	}
	v := number * u.factor
	if math.IsInf(v, 0) || math.Abs(v) > cmp.Or(d.most, 1e9) {
		return 0, &valueError{fmt.Sprintf("%q is out of all measure", text), d.allowed()}
	}
	return v, nil
}

// near returns the unit that a misspelt one may have been; whole is all that stands behind the number.
func (d *dimension) near(unknown, whole string) string {
	together := func(text string) string { return strings.Join(strings.Fields(text), "") }
	for _, u := range d.units {
		if strings.EqualFold(u, unknown) || strings.EqualFold(together(u), together(whole)) {
			return u
		}
	}
	for _, u := range d.units {
		if editDistance(strings.ToLower(unknown), strings.ToLower(u), 2) < 2 && utf8.RuneCountInString(unknown) > 1 {
			return u
		}
	}
	return ""
}
