package envelope

import (
	"math"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// AccessoryDensity is the mean density of generator, starter and pumps with the air between them [kg/m³]. Source: PRACTICE,
// from memory.
const AccessoryDensity = 2600.0

// free returns the directions in which no row stands: right, left, up, and down where there is no sump.
func (f *frame) free() []num.Angle {
	var out []num.Angle
	sides := []num.Angle{-num.Turn / 4, num.Turn / 4, 0}
	if !f.hasSump {
		sides = append(sides, num.Turn/2)
	}
	for _, a := range sides {
		clear := true
		for _, r := range f.rows {
			clear = clear && math.Abs(math.Remainder(float64(a-r.Axis), 2*math.Pi)) > 40*math.Pi/180
		}
		if clear {
			out = append(out, a)
		}
	}
	return out
}

// accessories hangs the accessories beside the crankcase, on both sides where both are free; where rows stand all round, in a
// ring behind them.
func (f *frame) accessories() []Solid {
	mass := f.b.Accessories
	if mass <= 0 {
		return nil
	}
	sides := f.free()
	if len(sides) > 2 {
		sides = sides[:2]
	}
	if len(sides) == 0 {
		outer := max(2*f.bore, f.swept.Largest())
		s := alongX(AccessoryPart, "accessories", f.rear, f.rear+0.8*max(f.b.RearRoom, 0.1*f.bore), 0, outer, 0.7*outer, AccessoryDensity)
		weigh(&s, mass, AccessoryDensity)
		return []Solid{s}
	}
	var out []Solid
	length := 0.7 * (f.rear - f.front)
	for _, a := range sides {
		r := Row{Axis: a}
		face := 0.0
		for _, p := range f.out {
			face = max(face, real(p/(1i*a.Unit())))
		}
		half := 0.9 * f.bore
		if len(sides) == 1 {
			half = 2.2 * f.bore
		}
		depth := mass / float64(len(sides)) / (AccessoryDensity * length * 2 * half)
		s := prism(AccessoryPart, "accessories", f.front, f.front+length, r.rectangle(face, face+depth, -half, half), AccessoryDensity)
		out = append(out, s)
	}
	return out
}

// shafts builds the balance shafts: a spindle, and half cylinders that have the unbalances.
func (f *frame) shafts() []Solid {
	var out []Solid
	for _, s := range f.t.Shafts {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, m := range s.Masses {
			lo, hi = min(lo, m.At), max(hi, m.At)
		}
		if len(s.Masses) == 0 {
			lo, hi = f.front, f.rear
		}
		centre := complex(s.Y, s.Z)
		spindle := alongX(ShaftPart, "balance shaft", lo-0.75*f.bore, hi+0.75*f.bore, centre, 0.1*f.bore, 0, SteelDensity)
		spindle.Moving = true
		out = append(out, spindle)
		for _, m := range s.Masses {
			out = append(out, f.shaftWeight(m, centre)...)
		}
	}
	return out
}

// shaftWeight builds a half cylinder with an unbalance U, spread over the whole circle.
//
//	half cylinder of radius R: e = 4 R/(3π),  m = U/e
func (f *frame) shaftWeight(m layout.Unbalance, centre complex128) []Solid {
	u := math.Abs(m.Amount)
	if u < 1e-12 {
		return nil
	}
	radius := 0.22 * f.bore
	mass := u * 3 * math.Pi / (4 * radius)
	length := mass / (SteelDensity * math.Pi * radius * radius / 2)
	if length > f.bore { // a longer one gets thicker instead
		radius *= math.Cbrt(length / f.bore)
		mass = u * 3 * math.Pi / (4 * radius)
		length = mass / (SteelDensity * math.Pi * radius * radius / 2)
	}
	s := alongX(ShaftPart, "weight", m.At-length/2, m.At+length/2, centre, radius, 0, SteelDensity)
	s.Fill, s.Moving = 0.5, true
	return []Solid{s}
}

// fluids builds oil in the sump and coolant in block and heads.
func (f *frame) fluids() []Solid {
	var out []Solid
	const oil, water = 870.0, 1050.0
	if m := f.b.Oil; m > 0 {
		half, level := f.bore, -f.swept.Reach(num.Turn/2)
		if f.hasSump {
			half, level = f.jointHalf(f.in), -f.b.SumpDepth+0.1*f.bore
		}
		depth := max(m/(oil*(f.rear-f.front)*2*half), 1e-6)
		s := prism(OilPart, "oil", f.front, f.rear, []complex128{
			complex(-half, level), complex(half, level), complex(half, level+depth), complex(-half, level+depth),
		}, oil)
		weigh(&s, m, oil)
		out = append(out, s)
	}
	if m := f.b.Coolant; m > 0 {
		n := float64(len(f.rows))
		for k := range f.rows {
			r := &f.rows[k]
			if box := f.own(k, r.rectangle((r.Lower+r.Deck)/2, r.Deck+0.4*(r.Top-r.Deck), -r.Half, r.Half)); len(box) > 2 {
				s := prism(CoolantPart, "coolant", r.From, r.To, box, water)
				weigh(&s, m/n, water)
				out = append(out, s)
			}
		}
	}
	return out
}
