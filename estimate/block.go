package estimate

import (
	"fmt"
	"math"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/bearing"
	"crankwright/mechanics/envelope"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/mechanics/torque"
)

// DeckClearance is the room between the crown of a piston at top dead centre and the head, gasket included, as a share of
// the bore [1]. Source: PRACTICE, 0.6 to 1.2 mm on car engines.
const DeckClearance = 0.012

// DeckHeight returns the distance from the crank axis to the head joint that clears every piston.
//
//	h = max( s_top + h_c ) + 0.012 B
//
// with
//   - t: a train; where its rods do not reach, crank radius + rod stands for s_top
//
// Result [m]: s_top is the exact place of the piston pin at top dead centre, h_c the compression height, 0.38 bores where
// it is unknown. Source: DEFINITION, PRACTICE for the clearance.
func DeckHeight(t *layout.Train) float64 {
	most := 0.0
	for i := range t.Cylinders {
		crown := t.Cylinders[i].Piston.CompressionHeight
		if crown <= 0 {
			crown = CompressionHeight(t.Bore, General)
		}
		top, _ := deadCentres(t, i)
		most = math.Max(most, top+crown)
	}
	return most + DeckClearance*t.Bore
}

// deadCentres returns the places of a piston pin at top and bottom dead centre, by crank radius and rod alone where the
// train is none.
func deadCentres(t *layout.Train, i int) (top, bottom float64) {
	c := &t.Cylinders[i]
	radius := 0.0
	if m := c.Rod.Master; c.Throw >= 0 && c.Throw < len(t.Throws) && (!c.Rod.Linked || m >= 0 && m < len(t.Cylinders)) {
		radius = t.Throws[c.Throw].Radius
		link, _, _ := motion.LinkageOf(t, i)
		if hi, lo, err := link.DeadCentres(); err == nil {
			a, errA := link.At(hi)
			b, errB := link.At(lo)
			if errA == nil && errB == nil {
				return real(a.Piston.Pos), real(b.Piston.Pos)
			}
		}
	}
	reach := c.Rod.Length + c.Rod.KnuckleRadius
	return reach + radius, reach - radius
}

// lowestPin returns the least distance of a piston pin from the crank axis, along its cylinder.
func lowestPin(t *layout.Train) float64 {
	least := math.Inf(1)
	for i := range t.Cylinders {
		_, bottom := deadCentres(t, i)
		least = math.Min(least, bottom)
	}
	return least
}

// skirt returns how far pistons usually reach below their pins [m], and why.
//
//	0.3 B; where another pin comes up to a piston that is lowest: s − (−r cos Δ) − 0.72 d − 0.012 B, at least 0.15 B
//
// s is the lowest place of the piston pin, Δ the angle between the pins of two cylinders so near each other that big end and
// skirt overlap along the crank, d the crankpin.
func skirt(t *layout.Train, pin float64) (below float64, why string) {
	below, why = balance.SkirtShare*t.Bore, fmt.Sprintf("%.3g × bore", balance.SkirtShare)
	width := t.Crank.Crankpin.Width
	if width == 0 {
		width = envelope.UsualRod * t.Bore
	}
	placed := func(c *layout.Cylinder) bool { return c.Throw >= 0 && c.Throw < len(t.Throws) && !c.Rod.Linked }
	for i := range t.Cylinders {
		c := &t.Cylinders[i]
		_, lowest := deadCentres(t, i)
		for j := range t.Cylinders {
			o := &t.Cylinders[j]
			if !placed(c) || !placed(o) || o.Throw == c.Throw {
				continue
			}
			bay := t.PairOf(c.Throw) == t.PairOf(o.Throw) // the web between the pins is in the way, if not the big end
			if !bay && math.Abs(c.At-o.At) >= t.Bore/2+0.4*width {
				continue
			}
			turned := float64(t.Throws[o.Throw].Angle - t.Throws[c.Throw].Angle)
			if free := lowest + t.Throws[o.Throw].Radius*math.Cos(turned) - envelope.CapReach*pin - DeckClearance*t.Bore; free < below {
				below, why = math.Max(free, 0.15*t.Bore), "what clears the big ends on other pins by 0.012 × bore, at least 0.15 × bore"
			}
		}
	}
	return below, why
}

// block assumes what block, heads, sump and what hangs on them are commonly like.
func (f *filler) block(t *layout.Train, w *Working) {
	b, duty, bore := &w.Block, f.e.Duty, t.Bore
	longest := 0.0
	for _, th := range t.Throws {
		longest = math.Max(longest, th.Radius)
	}
	swept := float64(len(t.Cylinders)) * math.Pi / 4 * bore * bore * 2 * longest
	pin := t.Crank.Crankpin.Diameter
	if pin == 0 {
		pin = PinDiameter(bore, duty)
	}
	f.metals(b)
	crown := CompressionHeight(bore, duty)
	if len(t.Cylinders) > 0 && t.Cylinders[0].Piston.CompressionHeight > 0 {
		crown = t.Cylinders[0].Piston.CompressionHeight
	}
	f.set(&b.DeckHeight, "block.deck_height", DeckHeight(t), "PRACTICE", "crank axis to the highest crown, and 0.012 × bore of room")
	f.heads(b, &w.Making, bore)
	if t.Arrangement == layout.Radial {
		f.set(&b.BoreLength, "block.bore_length", math.Min(2*longest+crown-0.1*bore, 0.9*b.DeckHeight), "PRACTICE", "stroke + compression height − 0.1 × bore, for rods that lean far")
	}
	f.set(&b.BoreLength, "block.bore_length", math.Min(2*longest+crown+0.1*bore, 0.9*b.DeckHeight), "PRACTICE", "stroke + compression height + 0.1 × bore")
	f.set(&b.SkirtDepth, "block.skirt_depth", 0.6*bore, "PRACTICE", "0.6 × bore, below the main bearing caps")
	if f.stand.Hangs {
		f.set(&b.SumpDepth, "block.sump_depth", 0, "PRACTICE", "cylinders that point down leave no place for a sump; oil goes to a tank")
	}
	f.set(&b.SumpDepth, "block.sump_depth", math.Max(longest+1.7*bore, b.SkirtDepth), "PRACTICE", "crank radius + 1.7 × bore")
	iron := b.Density > 5000
	wall := 0.06
	if iron {
		wall = 0.05
	}
	f.set(&b.Wall, "block.wall", wall*bore, "PRACTICE", "%.3g × bore, usual for %s", wall, b.Metal)
	f.set(&b.BoreWall, "block.bore_wall", bearing.LeastWall*bore, "PRACTICE", "%.3g × bore, cylinders cast together", bearing.LeastWall)
	f.set(&b.FrontRoom, "block.front_room", bore, "PRACTICE", "1 × bore for the drives of camshafts and pumps and for the damper")
	rear := 0.3 * bore
	if wheel, err := torque.DiscWheel(t.Flywheel, torque.Material{Density: w.Turning.Density}, w.Turning.Diameter, 0); err == nil {
		rear = math.Max(rear, wheel.Width+0.15*bore)
	}
	f.set(&b.RearRoom, "block.rear_room", math.Min(rear, layout.MaxBlockLength), "PRACTICE", "the flywheel and 0.15 × bore, at least 0.3 × bore")

	f.set(&b.BigEndWidth, "block.big_end_width", 1.6*pin, "PRACTICE", "1.6 × crankpin, so that rods pass through the bores")
	below, why := skirt(t, pin)
	f.set(&b.PistonSkirt, "block.piston_skirt", below, "PRACTICE", "%s", why)
	free := lowestPin(t) - b.PistonSkirt - 0.012*bore
	if sweep := longest + 0.75*pin; free < sweep && free > 0.6*longest {
		f.set(&b.CounterweightRadius, "block.counterweight_radius", free, "PRACTICE", "what clears the skirts at bottom dead centre by 0.012 × bore")
	}
	f.set(&b.CounterweightRadius, "block.counterweight_radius", longest+0.75*pin, "PRACTICE", "crank radius + 0.75 × crankpin, about what the big ends sweep")
	f.fittings(b, 1e3*swept, w.Making.Cooling)
}

// heads assumes the camshafts over the heads, and the height that they and the valve gear ask for.
func (f *filler) heads(b *layout.Block, m *layout.Making, bore float64) {
	duty := f.e.Duty
	switch m.ValveDrive {
	case layout.Ports:
		f.set(&b.HeadHeight, "block.head_height", 0.6*bore, "PRACTICE", "0.6 × bore, without valves and cover")
	case layout.Pushrods:
		share := byDuty(duty, 1.4, 1.4, 1.6)
		f.set(&b.HeadHeight, "block.head_height", share*bore, "PRACTICE", "%.3g × bore with valves, rockers and cover, the camshaft in the crankcase", share)
	default:
		share := byDuty(duty, 0.7, 0.7, 0.9)
		f.set(&b.HeadHeight, "block.head_height", m.CamHeight+share*bore, "PRACTICE", "height of the camshafts, making.cam_height, and %.3g × bore up to the top of the cover", share)
	}
	over, _ := m.ValveDrive.Overhead()
	f.set(&b.Camshafts, "block.camshafts", float64(over), "PRACTICE", "those over each bank with valves worked by %s", m.ValveDrive)
}

// metals assumes what block, heads and sump are made of.
func (f *filler) metals(b *layout.Block) {
	duty := f.e.Duty
	metal := func(at *layout.Metal, density *float64, key, dense string, usual layout.Metal, why string) {
		if *at == "" {
			*at = usual
			f.word(key, string(usual), why)
		}
		for _, m := range layout.Metals() {
			if m.Metal == *at {
				f.set(density, dense, m.Density, "PRACTICE", "that of %s", m.Metal)
			}
		}
	}
	light, why := layout.Aluminium, "usual for "+duty.String()+" duty"
	pan := layout.Aluminium
	if duty == Heavy {
		light, pan = layout.CastIron, layout.Sheet
	}
	metal(&b.Metal, &b.Density, "block.metal", "block.density", light, why)
	metal(&b.HeadMetal, &b.HeadDense, "block.head_metal", "block.head_density", light, why)
	metal(&b.SumpMetal, &b.SumpDense, "block.sump_metal", "block.sump_density", pan, why)
}

// fittings assumes the masses of what hangs on the engine and of its liquids.
//
//   - litres: displacement [l]
//   - cooling: what takes the heat
func (f *filler) fittings(b *layout.Block, litres float64, cooling layout.Cooling) {
	f.set(&b.Accessories, "block.accessories", 12*math.Sqrt(litres)+3.5*litres, "PRACTICE", "12 kg √V + 3.5 kg V, V the displacement in litres; generator, starter, pumps, injection; ±40 %%")
	f.set(&b.Oil, "block.oil_mass", 0.87*(1+1.6*litres), "PRACTICE", "1 l and 1.6 l for each litre of displacement")
	if cooling == layout.Air {
		f.set(&b.Coolant, "block.coolant_mass", 0, "PRACTICE", "air cools the engine")
	}
	f.set(&b.Coolant, "block.coolant_mass", 1.05*1.3*litres, "PRACTICE", "1.3 l for each litre of displacement inside the engine")
	if math.IsNaN(b.DryMass) {
		b.DryMass = 0 // not weighed
	}
}
