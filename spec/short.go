package spec

import (
	"fmt"
	"math"
	"slices"

	"crankwright/estimate"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// shape is what a short form says of throws, banks and pins, before lengths and masses.
type shape struct {
	throws  int         // places along the crank: throws, pairs of facing cylinders, or rows
	banks   int         // cylinders of one throw
	axes    []num.Angle // cylinder axis by bank; of a radial engine for the first row
	turned  num.Angle   // radial: angle by which every second row is turned
	own     bool        // each rod has a pin of its own
	pins    []num.Angle // by place; with perRod by place and bank
	perRod  bool        // pins has an angle for every rod
	split   num.Angle   // angle by which the second bank's pin trails the first's
	along   bool        // numbers run along the crank, not bank by bank
	narrow  bool        // the rods of a vee stand too far apart along the crank for one pin
	lean    num.Angle   // angle by which offsets turn the top dead centres of the second bank against the first's
	radial  bool
	linked  bool
	offsets []float64 // cylinder offset by bank
}

// short resolves the short form of any arrangement.
func (r *resolver) short() {
	e, t := r.e, r.t
	if e.Bore.missing() && e.Stroke.missing() {
		r.missing(e.Position(), "bore", "give the bore, such as 84 mm, or at least the stroke")
	}
	s, ok := r.shape()
	if !ok {
		return
	}
	k := r.known()
	r.bankPlaces(s, &k)
	s.narrow = estimate.Narrow(k)
	s.lean = r.lean(s, k)
	r.names(s)
	order := r.firingOrder()
	if !r.pins(s, order) {
		return
	}
	e2, ok := r.fill(s)
	if !ok {
		return
	}
	t.Bore = e2.Bore
	r.places(s, e2)
	r.banks(nil)
	r.bodies(s, e2)
	r.narrowPins(e2)
	r.reference()
	t.FiringOrder = order
	r.exhaust()
	r.counterweights()
}

// shape counts throws and banks.
func (r *resolver) shape() (*shape, bool) {
	l := &r.e.Layout
	arrangement := layout.Arrangement(l.Arrangement.Value)
	n, ok := r.cylinderCount()
	if !ok {
		return nil, false
	}
	s := &shape{throws: n, banks: 1, axes: []num.Angle{0}}
	switch arrangement {
	case layout.Vee, layout.Opposed:
		if n%2 != 0 {
			r.fail(l.Cylinders.at, "an even number is needed; the custom form takes any", "cylinders: %d cylinders do not make two equal banks", n)
			return nil, false
		}
		s.throws, s.banks = n/2, 2
		s.along = l.Numbering.Value == "along-crank"
		angle := num.Turn / 2
		if arrangement == layout.Vee {
			if !r.need(l.BankAngle.Mark, l.at, "bank_angle", "give the angle between the banks, such as 90 deg") {
				return nil, false
			}
			angle = num.Angle(l.BankAngle.SI)
			if angle >= num.Turn {
				r.fail(l.BankAngle.at, "an angle below 360 deg is needed", "bank_angle: %s is no bank angle", l.BankAngle.Text)
				return nil, false
			}
			s.split = num.Angle(l.PinSplit.SI)
		} else if l.EachRodOwnPin.missing() || l.EachRodOwnPin.Value {
			s.own, s.split = true, num.Turn/2
			if l.EachRodOwnPin.missing() {
				r.estimated(layout.Estimate{
					Key: "layout.each_rod_own_pin", Value: 1, Unit: "1", Shown: "true",
					Rule: "opposed cylinders have a crankpin each, half a turn apart", Source: "PRACTICE",
				})
			}
		}
		s.axes = []num.Angle{-angle / 2, angle / 2}
	case layout.Radial:
		if !r.rows(s, n) {
			return nil, false
		}
	}
	return s, r.offsets(s)
}

func (r *resolver) cylinderCount() (int, bool) {
	l := &r.e.Layout
	if !r.need(l.Cylinders.Mark, l.at, "cylinders", "give their number") {
		return 0, false
	}
	n := l.Cylinders.Count
	switch {
	case l.Cylinders.List != nil:
		r.fail(l.Cylinders.at, "give their number, or take arrangement: custom", "cylinders: a list of cylinders is for the arrangement custom")
	case n < 1:
		r.fail(l.Cylinders.at, "an engine has at least one cylinder", "cylinders: there is none")
	case n > layout.MaxCylinders:
		r.fail(l.Cylinders.at, fmt.Sprintf("%d is the most", layout.MaxCylinders), "cylinders: %d are too many", n)
	default:
		return n, true
	}
	return 0, false
}

func (r *resolver) offsets(s *shape) bool {
	o := &r.e.Layout.CylinderOffset
	s.offsets = make([]float64, s.banks)
	if !o.Given() {
		return o.missing()
	}
	switch {
	case len(o.List) == 1:
		for i := range s.offsets {
			s.offsets[i] = o.List[0].SI
		}
	case len(o.List) == s.banks && !s.radial:
		for i := range s.offsets {
			s.offsets[i] = o.List[i].SI
		}
	default:
		allowed := "give one value"
		if s.banks == 2 {
			allowed = "give one value, or one for each of the 2 banks"
		}
		r.fail(o.at, allowed, "cylinder_offset: there are %d values", len(o.List))
		return false
	}
	return true
}

// names makes the cylinders with their names, in the order of their numbers. Throws, places and
// bodies follow later.
func (r *resolver) names(s *shape) {
	r.t.Cylinders = slices.Grow(r.t.Cylinders, s.throws*s.banks)
	for i := range s.throws * s.banks {
		r.t.Cylinders = append(r.t.Cylinders, layout.Cylinder{Name: fmt.Sprint(i + 1)})
	}
}

// cylinder returns the index of the cylinder of a place along the crank and a bank.
func (s *shape) cylinder(place, bank int) int {
	if s.radial || s.along {
		return place*s.banks + bank
	}
	return bank*s.throws + place
}

// axis returns the cylinder axis of a place and a bank.
func (s *shape) axis(place, bank int) num.Angle {
	if s.radial && place%2 == 1 {
		return s.axes[bank] + s.turned
	}
	return s.axes[bank]
}

// separate reports whether the rods of one place sit on pins of their own.
func (s *shape) separate() bool {
	return s.banks == 2 && !s.radial && (s.own || s.perRod || s.split != 0)
}

// pins sets the throw angles, from the list, the word or the choice.
func (r *resolver) pins(s *shape, order []int) bool {
	l := &r.e.Layout
	p := &l.Pins
	switch {
	case p.state == broken || l.PinSplit.state == broken || l.EachRodOwnPin.state == broken:
		return false
	case p.List != nil:
		return r.listedPins(s)
	case s.radial:
		return true // rows has set them
	case p.Word != "" && p.Word != evenFireWord:
		angles, fitting := pinWordAngles(p.Word, s.throws)
		if angles == nil {
			r.fail(p.at, fmt.Sprintf("with %s the words %s fit, or a list of angles", num.Counted(s.throws, "throw", "throws"), oneOf(fitting)),
				"pins: %s does not fit a crank with %s", p.Word, num.Counted(s.throws, "throw", "throws"))
			return false
		}
		s.pins = angles
		return true
	}
	return r.evenPins(s, order)
}

func (r *resolver) listedPins(s *shape) bool {
	p := &r.e.Layout.Pins
	n := len(p.List)
	switch {
	case n == s.throws:
	case s.banks == 2 && !s.radial && n == 2*s.throws && (s.own || r.e.Layout.Arrangement.Value == "vee" && s.split == 0):
		s.perRod, s.own = true, true
	case s.banks == 2 && !s.radial:
		r.fail(p.at, fmt.Sprintf("give %d, one for each throw, or %d, one for each rod along the crank", s.throws, 2*s.throws),
			"pins: %s", thereAre(n, "angle"))
		return false
	default:
		r.fail(p.at, fmt.Sprintf("give %d, one for each throw", s.throws), "pins: %s", thereAre(n, "angle"))
		return false
	}
	for _, q := range p.List {
		s.pins = append(s.pins, num.Angle(q.SI))
	}
	return true
}

// evenPins finds the pins that fire evenly: for the word even-fire, and where the file says nothing.
func (r *resolver) evenPins(s *shape, order []int) bool {
	l, cycle := &r.e.Layout, r.t.Cycle
	asked := l.Pins.Word == evenFireWord
	fixed := s.own || l.PinSplit.Given() || !asked && !s.narrow || l.Arrangement.Value == "opposed"
	bankAngle := num.Angle(0)
	if s.banks == 2 {
		bankAngle = s.axes[1] - s.axes[0]
	}
	if !fixed {
		bankAngle += s.lean
	}
	var found phasing
	rule, ok := "", false
	if order != nil {
		if found, ok = r.orderPins(s, order, fixed); ok {
			rule = "the crank that fires evenly in the given order"
		} else if asked {
			r.fail(l.FiringOrder.at, "leave it out, or give the pins as a list of angles",
				"firing_order: no crank of this layout fires evenly in this order")
			return false
		}
	}
	if !ok {
		found = evenFire(s.throws, s.banks, cycle, bankAngle, s.split, fixed)
		rule = "the usual crank that fires evenly"
	}
	if !found.even {
		wanted := fmt.Sprintf("a pin split of %s deg would", formatNumber(math.Round(found.wants*1e6)/1e6))
		if l.Arrangement.Value == "opposed" {
			wanted = fmt.Sprintf("each_rod_own_pin: %t would", !s.own)
			if other := evenFire(s.throws, 2, cycle, bankAngle, num.Turn/2-s.split, true); !other.even {
				wanted = "none does with facing cylinders"
			}
		}
		if asked {
			r.fail(l.Pins.at, wanted, "pins: no crank with this bank angle and these pins fires evenly")
			return false
		}
		rule = "throws evenly spaced; this does not fire evenly, " + wanted
	}
	s.pins = found.pins
	if !asked {
		r.estimated(layout.Estimate{
			Key: "layout.pins", Value: float64(s.pins[0]), Unit: "rad", Shown: shownAngles(s.pins), Rule: rule, Source: "PRACTICE",
		})
	}
	if s.split != found.split {
		s.split = found.split
		why := "the smallest pin split that fires evenly"
		if !asked {
			why += "; the rods of a narrow vee stand too far apart for one pin"
		}
		r.estimated(layout.Estimate{
			Key: "layout.pin_split", Value: float64(s.split), Unit: "rad", Shown: formatSI[Angle](math.Round(s.split.Deg()*1e9) / 1e9 * math.Pi / 180),
			Rule: why, Source: "PRACTICE",
		})
	}
	return true
}

func (r *resolver) orderPins(s *shape, order []int, fixed bool) (phasing, bool) {
	n := len(r.t.Cylinders)
	throwOf, axisOf, second := make([]int, n), make([]num.Angle, n), make([]bool, n)
	for place := range s.throws {
		for bank := range s.banks {
			c := s.cylinder(place, bank)
			throwOf[c], axisOf[c], second[c] = place, s.axis(place, bank), bank == 1
			if second[c] && !fixed {
				axisOf[c] += s.lean
			}
		}
	}
	return pinsOfOrder(order, s.throws, throwOf, axisOf, second, r.t.Cycle, s.split, fixed)
}

// places puts throws and cylinders on the crank: the middle at x = 0, the free end first.
func (r *resolver) places(s *shape, e estimate.Engine) {
	t := r.t
	for place := range s.throws {
		x := 0.0
		if s.throws > 1 {
			x = (float64(place) - float64(s.throws-1)/2) * e.CylinderSpacing
		}
		var at []float64
		for bank := range s.banks {
			if s.banks == 2 && !s.radial {
				at = append(at, x+(float64(bank)-0.5)*e.BankStagger)
			} else {
				at = append(at, x)
			}
		}
		first := len(t.Throws)
		for bank := range s.banks {
			c := &t.Cylinders[s.cylinder(place, bank)]
			c.At, c.Axis, c.Offset = at[bank], s.axis(place, bank), s.offsets[bank]
			if s.separate() {
				c.Throw = len(t.Throws)
				t.Throws = append(t.Throws, layout.Throw{
					Name: fmt.Sprintf("T%d%c", place+1, 'a'+bank), At: at[bank], Angle: s.pinAngle(place, bank), Pair: first,
				})
				continue
			}
			c.Throw = first
			if bank == 0 {
				t.Throws = append(t.Throws, layout.Throw{Name: fmt.Sprintf("T%d", place+1), At: x, Angle: s.pins[place], Pair: first})
			}
		}
	}
	for i := range t.Throws {
		t.Throws[i].Radius = e.Stroke / 2
		t.Throws[i].Unbalance = e.ThrowUnbalance
	}
}

func (s *shape) pinAngle(place, bank int) num.Angle {
	if s.perRod {
		return s.pins[2*place+bank]
	}
	if bank == 0 {
		return s.pins[place]
	}
	return (s.pins[place] - s.split).Wrap(num.Turn)
}

// bodies gives every cylinder its piston and rod.
func (r *resolver) bodies(s *shape, e estimate.Engine) {
	t := r.t
	for i := range t.Cylinders {
		c := &t.Cylinders[i]
		c.Piston = layout.Piston{Mass: e.PistonMass, PinOffset: r.e.Piston.PinOffset.SI, CompressionHeight: e.CompressionHeight}
		c.Rod = layout.Rod{Length: e.RodLength, Mass: e.RodMass, CG: e.RodCG, Inertia: e.RodInertia}
	}
	if s.linked {
		r.link(s, e)
	}
}

// thereAre returns "there is 1 angle", "there are 2 angles".
func thereAre(n int, noun string) string {
	if n == 1 {
		return "there is " + num.Counted(n, noun, noun+"s")
	}
	return "there are " + num.Counted(n, noun, noun+"s")
}
