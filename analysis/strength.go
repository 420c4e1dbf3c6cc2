package analysis

import (
	"fmt"
	"slices"

	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/strength"
	"crankwright/num"
)

// Strength is whether the throws of a crank last, by the rule for crankshafts.
type Strength struct {
	Drive  *Drive
	Steel  strength.Steel
	Beyond bool // ratios outside the range of the rule are held at its end, and their results labelled
	Twist  bool // torques are those of the torsional vibration over the speeds that are run; else those of this speed, as if the shaft were stiff
	Webs   []WebStrength
	Notes  []string
}

// WebStrength is one web with the journal and the pin beside it.
type WebStrength struct {
	Name       string // the main and the throw that it joins
	Throw      int    // index
	Main       int    // index of the main beside it
	Drive      bool   // it stands on the drive end's side of its pin
	Loads      strength.Loads
	TwistSpeed float64 // crank speed at which the torque is largest [rad/s]; 0: the speed of Drive
	Assessment *strength.Assessment
	Refused    string // why there is none
	Changes    []strength.Change
}

// StrengthOptions say how strength is found.
type StrengthOptions struct {
	Torsion *Torsion // of the same engine; nil: the torque of this speed, as if the shaft were stiff
	Beyond  bool     // hold ratios outside the range of the rule at its end, instead of refusing them
}

// SteelFactor returns the factor K of a make of crank [1]. Source: IACSM53, read in a class rule.
func SteelFactor(m layout.Make) float64 {
	switch m {
	case layout.FreeForged:
		return 1
	case layout.CastSteel:
		return 0.93
	default:
		return 1.05
	}
}

// tie is the share by which a later web must be weaker, so that of equal ones the first is named.
const tie = 1e-9

// Worst returns the web with the smallest acceptability factor, the first of equal ones; nil where none is assessed [-].
// Definition.
func (s *Strength) Worst() *WebStrength {
	var worst *WebStrength
	for i := range s.Webs {
		w := &s.Webs[i]
		if w.Assessment != nil && (worst == nil || w.Assessment.Worst().Q < (1-tie)*worst.Assessment.Worst().Q) {
			worst = w
		}
	}
	return worst
}

// Spare returns the least size that all webs bear with their loads as they are.
//
//   - size: one of strength.Sizes but the oil bore
//
// Result [m], and whether it is the acceptability factor that asks for it, else the range of the rule;
// not ok where a web is not assessed or is too weak already. Definition.
func (s *Strength) Spare(size strength.Size) (least float64, bound, ok bool) {
	for i := range s.Webs {
		k := slices.IndexFunc(s.Webs[i].Changes, func(c strength.Change) bool { return c.Size == size })
		if k < 0 || s.Webs[i].Assessment.Worst().Q < strength.Required {
			return 0, false, false
		}
		if c := &s.Webs[i].Changes[k]; c.Now-c.Spare > least {
			least, bound = c.Now-c.Spare, c.Bound
		}
	}
	return least, bound, least > 0
}

// ThrowOf returns the throw of a train by the sizes that its strength depends on [m]. Definition.
func ThrowOf(t *layout.Train, throw int) strength.Throw {
	c := &t.Crank
	journal := c.JournalFillet
	if journal == 0 {
		journal = c.Fillet
	}
	return strength.Throw{
		Pin: c.Crankpin.Diameter, PinBore: c.Crankpin.Bore, Journal: c.MainJournal.Diameter, JournalBore: c.MainJournal.Bore,
		Radius: t.Throws[throw].Radius, Web: c.Web.Thickness, WebWidth: c.Web.Width, PinFillet: c.Fillet, JournalFillet: journal,
		PinRecess: c.Recess, JournalRecess: c.Recess, OilBore: c.OilBore,
	}
}

// Strength assesses every web beside a main bearing.
//
//   - r: of At, of this driver
//   - opt: where torques come from, and what is done outside the range of the rule
//
// Result in SI [N, N m, Pa]: the loads alternate as the rods push at this speed and load, each bay a simple beam between
// its mains. Errors: bearing.ErrNoWidths and those of package bearing. Definition; the rule is IACSM53.
func (d *Driver) Strength(r *Drive, opt StrengthOptions) (*Strength, error) {
	t := d.Train
	if t.Crank.Crankpin.Width == 0 || t.Crank.Crankpin.Diameter == 0 || t.Crank.MainJournal.Diameter == 0 || t.Crank.Web.Thickness == 0 || t.Crank.Web.Width == 0 || t.Crank.Fillet == 0 {
		return nil, fmt.Errorf("the crank's sizes are missing; strength needs diameter and width of main journal and crankpin, thickness and width of the webs and the fillet radius, such as 'crank: {fillet_radius: 2.5 mm}'")
	}
	m, err := bearing.NewMechanism(t, d.Schedule, bearing.Options{Samples: BearingSamples, Method: bearing.Determinate})
	if err != nil {
		return nil, err
	}
	l, err := m.Loads(nil, d.everyDegree(r), t.Gas.Crankcase, r.Speed)
	if err != nil {
		return nil, err
	}
	s := &Strength{Drive: r, Steel: strength.Steel{Tensile: t.Steel.Tensile, Factor: SteelFactor(t.Steel.Make)}, Beyond: opt.Beyond, Twist: opt.Torsion != nil}
	if s.Steel.Tensile == 0 {
		return nil, fmt.Errorf("the tensile strength of the crank is missing, such as 'crank: {tensile_strength: 850 MPa}'")
	}
	s.Notes = append(s.Notes, apart(t)...)
	var before []float64
	for i, b := range bearing.Bays(t) {
		if i+1 >= len(m.Mains) {
			break
		}
		bay, err := bayOf(t, m, l, b, [2]float64{m.Mains[i].At, m.Mains[i+1].At})
		if err != nil {
			return nil, err
		}
		bay.Torque = before
		h, err := bay.Load()
		if err != nil {
			return nil, err
		}
		for side := range 2 {
			s.web(t, h, opt, b, i, side, before)
		}
		if len(b.Throws) > 1 {
			s.Notes = append(s.Notes, fmt.Sprintf("Between %s stands a web without a main beside it; the rule knows one throw between two mains and does not assess it.", names(t, b)))
		}
		before = h.After
	}
	return s, nil
}

// apart says which throws have pins and journals that do not overlap, for which the rule is known in part only.
func apart(t *layout.Train) []string {
	var list []string
	least := 0.0
	for i := range t.Throws {
		throw := ThrowOf(t, i)
		if s := throw.Ratios().S; s < 0 {
			list = append(list, t.Throws[i].Name)
			least = min(least, s)
		}
	}
	if list == nil {
		return nil
	}
	out := fmt.Sprintf("Pin and journal do not overlap at %s (overlap over the pin's diameter down to %s): the rule then wants a reduced thickness of the web, which is not computed here, so that the stresses there are rough.",
		num.List(list, "and"), num.Digits(least, 3))
	if least < strength.LeastOverlap {
		out += fmt.Sprintf(" Below %g the overlap counts as %g.", strength.LeastOverlap, strength.LeastOverlap)
	}
	return []string{out}
}

func names(t *layout.Train, b bearing.Bay) string {
	out := ""
	for i, throw := range b.Throws {
		if i > 0 {
			out += " and "
		}
		out += t.Throws[throw].Name
	}
	return out
}

// bayOf is a bay with the forces of its rods, in the frame of its first pin.
func bayOf(t *layout.Train, m *bearing.Mechanism, l *bearing.Loads, b bearing.Bay, mains [2]float64) (*strength.Bay, error) {
	c := &t.Crank
	bay := &strength.Bay{From: mains[0], To: mains[1]}
	bay.Webs = [2]float64{b.Lo - c.Crankpin.Width/2 - c.Web.Thickness/2, b.Hi + c.Crankpin.Width/2 + c.Web.Thickness/2}
	first := t.Throws[b.Throws[0]].Angle
	for k, throw := range b.Throws {
		th := &t.Throws[throw]
		bay.Pins = append(bay.Pins, strength.Pin{Angle: th.Angle - first, Radius: th.Radius, At: th.At, Oil: c.OilBoreAngle})
		for i := range t.Cylinders {
			if t.Cylinders[i].Throw != throw || t.Cylinders[i].Rod.Linked {
				continue
			}
			force, err := m.PolarBigEnd(nil, l, i, bearing.InJournal)
			if err != nil {
				return nil, err
			}
			turn := (th.Angle - first).Unit()
			for j := range force {
				force[j] *= turn
			}
			bay.Forces = append(bay.Forces, strength.Force{Pin: k, At: t.Cylinders[i].At, Of: force})
		}
	}
	if len(bay.Forces) == 0 { // a throw without rods
		bay.Forces = []strength.Force{{At: bay.Pins[0].At, Of: make([]complex128, m.Samples())}}
	}
	return bay, nil
}

// web assesses the web of a bay beside one of its mains.
func (s *Strength) web(t *layout.Train, h *strength.Histories, opt StrengthOptions, b bearing.Bay, bay, side int, before []float64) {
	pin := side * (len(b.Throws) - 1)
	throw := b.Throws[pin]
	w := WebStrength{Throw: throw, Main: bay + side, Drive: side == 1}
	if side == 0 {
		w.Name = fmt.Sprintf("main %d to %s", bay+1, t.Throws[throw].Name)
	} else {
		w.Name = fmt.Sprintf("%s to main %d", t.Throws[throw].Name, bay+2)
	}
	w.Loads.Bending, _ = strength.Alternating(h.Bending[side])
	w.Loads.Radial, _ = strength.Alternating(h.Radial[side])
	w.Loads.OilBore, _ = strength.Alternating(h.OilBore[pin])
	w.Loads.PinTorque, _ = strength.Alternating(h.Pin[pin])
	journal := before
	if side == 1 {
		journal = h.After
	}
	w.Loads.JournalTorque, _ = strength.Alternating(journal)
	if opt.Torsion != nil {
		w.twist(opt.Torsion)
	}
	set := strength.Setting{TwoStroke: t.Cycle == layout.TwoStroke, Beyond: s.Beyond}
	a, err := strength.Assess(ThrowOf(t, throw), w.Loads, s.Steel, set)
	if err != nil {
		w.Refused = Said(err)
	} else {
		w.Assessment = a
		if w.Changes, err = strength.Changes(ThrowOf(t, throw), w.Loads, s.Steel, set, changeStep); err != nil {
			w.Refused = Said(err)
		}
	}
	s.Webs = append(s.Webs, w)
}

// twist takes the torques of the torsional vibration: in the journal that of the span on its side, in the pin the larger of
// the spans on both sides.
func (w *WebStrength) twist(x *Torsion) {
	w.Loads.PinTorque, w.Loads.JournalTorque = 0, 0
	disc := x.Crank.Throws[w.Throw]
	for _, p := range x.Spans {
		span := x.Model.Spans[p.Span]
		if p.Span >= len(x.Crank.Spans) || span.A != disc && span.B != disc {
			continue
		}
		if beside := span.B == disc; beside != w.Drive {
			w.Loads.JournalTorque = p.Torque
		}
		if p.Torque > w.Loads.PinTorque {
			w.Loads.PinTorque, w.TwistSpeed = p.Torque, p.Speed
		}
	}
}

// changeStep is added to every size to see what it buys [m].
const changeStep = 1e-3
