package torsion

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Part is a disc outside the throws with the shaft that leads to it: of the driven line, or of the free end.
type Part struct {
	Name      string
	Inertia   float64 // referred to the crank [kg m²]
	Damping   float64 // against the block [N m s/rad]
	Stiffness float64 // of the shaft that leads to it [N m/rad]; 0: the first part sits on the crank's end, a later one is driven by a viscous film alone
	Relative  float64 // damping in that shaft [N m s/rad]
	Loss      float64 // loss factor of that shaft [1]
	Modulus   float64 // polar section modulus of that shaft [m³]; 0: its stress is not asked for
}

// CrankSetting is what the train does not say of its crank. The zero value is a solid steel crank without damping.
type CrankSetting struct {
	Formula              Formula // for the throws
	Shear                float64 // shear modulus [Pa]; 0: SteelShear
	Density              float64 // [kg/m³]; 0: SteelDensity
	JournalBore, PinBore float64 // [m]
	CounterweightRadius  float64 // radius of inertia of the counterweights' mass [m]; 0: their throw's crank radius
	CrankInertia         float64 // of the crank without flywheel, where it is known [kg m²]: the throws are scaled to it; 0: from the sizes
	CylinderDamping      float64 // against the block, of each cylinder [N m s/rad]
	Loss                 float64 // loss factor of the crank [1]
	FreeEnd              []Part  // from the crank outwards: pulley, hub of a damper
	Drive                []Part  // from the flywheel outwards; empty: the train's driven inertia is joined to the flywheel
}

// Crank is the torsional model of an engine. Discs run from the free end to the drive end.
type Crank struct {
	Model
	Setting    CrankSetting
	FreeEnd    int              // disc of the free end
	Throws     []int            // disc of each throw
	Cylinders  []int            // disc of each cylinder
	Flywheel   int              // disc of the flywheel; −1: there is none
	Shape      []ThrowShape     // of each throw, with the mean of the journals at its sides
	Stiffness  []ThrowStiffness // of each throw; zero where a throw has no journals at its sides
	Parts      []ThrowParts     // moment of inertia of each throw
	Moving     []Moving         // of each cylinder
	Notes      []string         // for people: what was taken for granted
	ScaledBy   float64          // what the moments of inertia from the sizes were multiplied by [1]
	CrankAlone float64          // moment of inertia of the crank without flywheel [kg m²]
}

// gap is what lies between two neighbouring pins.
type gap struct {
	journal float64 // length of the journal between two webs [m]; 0: a web alone
	web     float64 // thickness of that web alone [m]
}

// crankBuilder collects a model.
type crankBuilder struct {
	t     *layout.Train
	set   CrankSetting
	order []int // throws from the free end
	gaps  []gap // after each throw of order, and before the first at the end of the list
	c     *Crank
}

// NewCrank returns the torsional model of an engine.
//
//	span between throws  1/k = ½/k_i + ½/k_j      disc of a throw  J = crank + Σ mean of 2E of its cylinders
//
// with
//   - t: a train that layout.Validate accepts, with the sizes of main journal, crankpin and web
//   - set: what the train does not say
//
// Result [kg m²] and [N m/rad]. The journal between two throws has the length that their places leave; where the room
// between two pins is no more than two webs there is one web and no journal (a note says so). Such a web bends as one of
// Carter's formula with half the distance of the pins in place of R, or twists as a round bar as thick as the pins overlap,
// whichever is stiffer: an approximation of our own.
// The flywheel of the train sits on the drive end. Errors: missing and impossible sizes, pins without room.
// Source: KERWILSON for the throws; DEFINITION for the rest.
func NewCrank(t *layout.Train, set CrankSetting) (*Crank, error) {
	if t == nil {
		return nil, errors.New("torsion: a train is needed, there is none")
	}
	if err := layout.Validate(t); err != nil {
		return nil, err
	}
	if set.Shear == 0 {
		set.Shear = SteelShear
	}
	if set.Density == 0 {
		set.Density = SteelDensity
	}
	if err := set.check(&t.Crank); err != nil {
		return nil, err
	}
	b := &crankBuilder{t: t, set: set, c: &Crank{Setting: set, Flywheel: -1, ScaledBy: 1}}
	for i := range t.Throws {
		b.order = append(b.order, i)
	}
	slices.SortStableFunc(b.order, func(i, j int) int { return cmp.Compare(t.Throws[i].At, t.Throws[j].At) })
	for _, step := range []func() error{b.room, b.masses, b.chain} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return b.c, b.c.Check()
}

func (set *CrankSetting) check(g *layout.CrankGeometry) error {
	for _, v := range []struct {
		key string
		v   float64
	}{
		{"diameter of the main journals", g.MainJournal.Diameter},
		{"width of the main journals", g.MainJournal.Width},
		{"diameter of the crankpins", g.Crankpin.Diameter},
		{"width of the crankpins", g.Crankpin.Width},
		{"thickness of the webs", g.Web.Thickness},
		{"width of the webs", g.Web.Width},
	} {
		if !(v.v > 0) {
			return fmt.Errorf("torsion: the %s is missing; the stiffness of the crank needs it", v.key)
		}
	}
	if err := errors.Join(checkShear(set.Shear), checkDensity(set.Density)); err != nil {
		return err
	}
	for _, p := range append(slices.Clone(set.FreeEnd), set.Drive...) {
		if !(p.Stiffness >= 0 && p.Stiffness <= MaxStiffness) || !(p.Loss >= 0 && p.Loss <= MaxLoss) || !(p.Modulus >= 0) {
			return fmt.Errorf("torsion: stiffness, loss factor and section modulus of the shaft to %s must not be negative; they are %g N m/rad, %g and %g m³", p.Name, p.Stiffness, p.Loss, p.Modulus)
		}
	}
	switch {
	case !(set.CounterweightRadius >= 0 && set.CounterweightRadius <= 10):
		return fmt.Errorf("torsion: the radius of inertia of the counterweights must lie between 0 and 10 m, it is %g m", set.CounterweightRadius)
	case !(set.CrankInertia >= 0 && set.CrankInertia <= MaxInertia):
		return fmt.Errorf("torsion: the moment of inertia of the crank must not be negative, it is %g kg m²", set.CrankInertia)
	case !(set.CylinderDamping >= 0 && set.CylinderDamping <= MaxDamping):
		return fmt.Errorf("torsion: the damping of a cylinder must not be negative, it is %g N m s/rad", set.CylinderDamping)
	}
	return nil
}

// shape is a throw with journals of a given length.
func (b *crankBuilder) shape(throw int, journal float64) ThrowShape {
	g := &b.t.Crank
	return ThrowShape{
		Journal: Section{Outer: g.MainJournal.Diameter, Bore: b.set.JournalBore}, JournalLength: journal,
		Pin: Section{Outer: g.Crankpin.Diameter, Bore: b.set.PinBore}, PinLength: g.Crankpin.Width,
		Radius: b.t.Throws[throw].Radius, Web: g.Web.Thickness, WebWidth: g.Web.Width,
	}
}

// room finds what lies between the pins.
func (b *crankBuilder) room() error {
	g := &b.t.Crank
	for n := range len(b.order) - 1 {
		i, j := b.order[n], b.order[n+1]
		free := b.t.Throws[j].At - b.t.Throws[i].At - g.Crankpin.Width
		names := fmt.Sprintf("throws %s and %s", b.name(i), b.name(j))
		switch {
		case free > 2*g.Web.Thickness+1e-4:
			b.gaps = append(b.gaps, gap{journal: free - 2*g.Web.Thickness})
			continue
		case free < 0 && free > -1e-6: // rounding
			free = 0
		case free < 0:
			return fmt.Errorf("torsion: %s stand %.4g mm apart, and a crankpin is %.4g mm wide; give narrower pins or more spacing",
				names, 1e3*(free+g.Crankpin.Width), 1e3*g.Crankpin.Width)
		}
		if free < 1e-4 && b.pinOverlap(i, j) <= 0 {
			return fmt.Errorf("torsion: the pins of %s do not overlap and have no room for a web between them; give narrower pins or more spacing", names)
		}
		b.gaps = append(b.gaps, gap{web: free})
		b.c.Notes = append(b.c.Notes, fmt.Sprintf("Between %s is no room for a journal: one web of %.4g mm is assumed there, and its stiffness is our own approximation.", names, 1e3*free))
	}
	end := gap{journal: g.MainJournal.Width}
	b.gaps = append(b.gaps, end, end) // behind the last throw, and before the first
	return nil
}

func (b *crankBuilder) name(throw int) string {
	if n := b.t.Throws[throw].Name; n != "" {
		return n
	}
	return fmt.Sprint(throw + 1)
}

// before and after are the gaps at the sides of the throw at a place of the order.
func (b *crankBuilder) before(n int) gap {
	if n == 0 {
		return b.gaps[len(b.gaps)-1]
	}
	return b.gaps[n-1]
}
func (b *crankBuilder) after(n int) gap { return b.gaps[n] }

// pinOverlap is the width in which two neighbouring pins overlap [m].
func (b *crankBuilder) pinOverlap(i, j int) float64 {
	return b.t.Crank.Crankpin.Diameter - b.pinDistance(i, j)
}

func (b *crankBuilder) pinDistance(i, j int) float64 {
	p, q := &b.t.Throws[i], &b.t.Throws[j]
	apart := float64(p.Angle - q.Angle)
	return math.Hypot(p.Radius-q.Radius, 2*math.Sqrt(p.Radius*q.Radius)*math.Sin(apart/2))
}

// masses finds the moment of inertia of every throw.
func (b *crankBuilder) masses() error {
	c, t := b.c, b.t
	c.Shape, c.Parts = make([]ThrowShape, len(t.Throws)), make([]ThrowParts, len(t.Throws))
	c.Stiffness = make([]ThrowStiffness, len(t.Throws))
	for n, i := range b.order {
		journal, webs := 0.0, 0.0
		for _, g := range []gap{b.before(n), b.after(n)} {
			if journal += g.journal / 2; g.journal > 0 {
				webs += t.Crank.Web.Thickness
			} else {
				webs += g.web / 2
			}
		}
		c.Shape[i] = b.shape(i, journal)
		if b.before(n).journal > 0 && b.after(n).journal > 0 {
			s, err := c.Shape[i].Stiffness(b.set.Shear)
			if err != nil {
				return err
			}
			c.Stiffness[i] = s
		} else if err := b.shape(i, t.Crank.MainJournal.Width).Check(); err != nil {
			return err
		}
		c.Parts[i] = c.Shape[i].inertia(b.set.Density, journal, webs)
	}
	for _, w := range t.Counterweights {
		i := b.nearest(w)
		radius := b.set.CounterweightRadius
		if radius == 0 {
			radius = t.Throws[i].Radius
		}
		c.Parts[i].Counterweights += math.Abs(w.Amount) * radius
	}
	for _, p := range c.Parts {
		c.CrankAlone += p.Crank()
	}
	if b.set.CrankInertia > 0 {
		c.ScaledBy = b.set.CrankInertia / c.CrankAlone
		for i := range c.Parts {
			p := &c.Parts[i]
			p.Journal, p.Pin, p.Webs, p.Counterweights = p.Journal*c.ScaledBy, p.Pin*c.ScaledBy, p.Webs*c.ScaledBy, p.Counterweights*c.ScaledBy
		}
		c.CrankAlone = b.set.CrankInertia
	}
	for i := range t.Cylinders {
		m, err := MovingInertia(t, i)
		if err != nil {
			return err
		}
		c.Moving = append(c.Moving, m)
		c.Parts[t.Cylinders[i].Throw].Moving += m.Mean
	}
	return nil
}

// nearest is the throw that a counterweight belongs to, or the one that it stands nearest to.
func (b *crankBuilder) nearest(w layout.Unbalance) int {
	if w.Throw > 0 && w.Throw <= len(b.t.Throws) {
		return w.Throw - 1
	}
	best := 0
	for i := range b.t.Throws {
		if math.Abs(b.t.Throws[i].At-w.At) < math.Abs(b.t.Throws[best].At-w.At) {
			best = i
		}
	}
	return best
}

// chain puts discs and spans in a row.
func (b *crankBuilder) chain() error {
	c, t := b.c, b.t
	last := len(b.order) - 1
	for n := len(b.set.FreeEnd) - 1; n >= 0; n-- { // from outside inwards
		p := b.set.FreeEnd[n]
		c.Discs = append(c.Discs, Disc{Name: p.Name, Inertia: p.Inertia, Damping: p.Damping})
		at := len(c.Discs) - 1
		if n > 0 {
			c.Spans = append(c.Spans, p.span(at, at+1, fmt.Sprintf("%s to %s", p.Name, b.set.FreeEnd[n-1].Name)))
			continue
		}
		c.Spans = append(c.Spans, b.end(b.order[0], b.before(0), p, at, at+1))
	}
	c.Throws = make([]int, len(t.Throws))
	for n, i := range b.order {
		c.Throws[i] = len(c.Discs)
		c.Discs = append(c.Discs, Disc{Name: "throw " + b.name(i), Inertia: c.Parts[i].Total()})
		if n < last {
			c.Spans = append(c.Spans, b.between(n))
		}
	}
	for i := range t.Cylinders {
		c.Cylinders = append(c.Cylinders, c.Throws[t.Cylinders[i].Throw])
		c.Discs[c.Cylinders[i]].Damping += b.set.CylinderDamping
	}
	drive := b.set.Drive
	wheel := t.Flywheel
	if len(drive) == 0 {
		wheel += t.Turning.Driven
	}
	if wheel > 0 {
		drive = append([]Part{{Name: "flywheel", Inertia: wheel}}, drive...)
		c.Flywheel = len(c.Discs)
	}
	for n, p := range drive {
		at := len(c.Discs) - 1
		c.Discs = append(c.Discs, Disc{Name: p.Name, Inertia: p.Inertia, Damping: p.Damping})
		if n == 0 {
			c.Spans = append(c.Spans, b.end(b.order[last], b.after(last), p, at, at+1))
		} else {
			c.Spans = append(c.Spans, p.span(at, at+1, fmt.Sprintf("%s to %s", drive[n-1].Name, p.Name)))
		}
	}
	return nil
}

func (p Part) span(a, b int, name string) Span {
	return Span{Name: name, A: a, B: b, Stiffness: p.Stiffness, Damping: p.Relative, Loss: p.Loss, Modulus: p.Modulus}
}

// end is the span from an end throw over its journal to a part: half a throw, and the part's own shaft.
func (b *crankBuilder) end(throw int, g gap, p Part, from, to int) Span {
	half := b.stiffness(func(f Formula) float64 { return b.shape(throw, g.journal).flexibility(f) / 2 })
	s := Span{Name: fmt.Sprintf("throw %s to %s", b.name(throw), p.Name), A: from, B: to, Stiffness: half, Loss: b.set.Loss, Modulus: b.modulus(true)}
	if p.Stiffness != 0 {
		// in series, the loss in proportion to the energy in each
		s.Stiffness = 1 / (1/half + 1/p.Stiffness)
		s.Loss = s.Stiffness * (b.set.Loss/half + p.Loss/p.Stiffness)
		if p.Modulus > 0 {
			s.Modulus = min(s.Modulus, p.Modulus)
		}
	}
	s.Damping = p.Relative
	return s
}

// between is the span between two neighbouring throws.
func (b *crankBuilder) between(n int) Span {
	i, j, g := b.order[n], b.order[n+1], b.after(n)
	s := Span{Name: fmt.Sprintf("throw %s to throw %s", b.name(i), b.name(j)), A: b.c.Throws[i], B: b.c.Throws[i] + 1, Loss: b.set.Loss, Modulus: b.modulus(g.journal > 0)}
	if g.journal > 0 {
		s.Stiffness = b.stiffness(func(f Formula) float64 {
			return (b.shape(i, g.journal).flexibility(f) + b.shape(j, g.journal).flexibility(f)) / 2
		})
		return s
	}
	shape := b.shape(i, 0)
	web := math.Inf(1)
	if g.web > 0 {
		web = g.web/shape.Pin.fourth() + 1.5*b.pinDistance(i, j)/2/(g.web*math.Pow(shape.WebWidth, 3))
	}
	if d := b.pinOverlap(i, j); d > 0 {
		web = min(web, g.web/math.Pow(d, 4))
	}
	pin := shape.Pin.fourth()
	s.Stiffness = b.stiffness(func(f Formula) float64 {
		if f == Carter {
			return 0.75*shape.PinLength/pin + web
		}
		return (shape.PinLength+0.4*shape.Pin.Outer)/pin + web
	})
	return s
}

// stiffness is that of a flexibility X by the formula that is set.
func (b *crankBuilder) stiffness(x func(Formula) float64) float64 {
	g := math.Pi / 32 * b.set.Shear
	if b.set.Formula == Carter || b.set.Formula == KerWilson {
		return g / x(b.set.Formula)
	}
	return (g/x(Carter) + g/x(KerWilson)) / 2
}

// modulus is the polar section modulus of the weaker of pin and journal.
func (b *crankBuilder) modulus(journal bool) float64 {
	s := b.shape(b.order[0], 1)
	if !journal {
		return s.Pin.Modulus()
	}
	return min(s.Pin.Modulus(), s.Journal.Modulus())
}

// FiringAngles returns where the cylinders of a schedule fire, by cylinder [rad].
//
//   - at: firing angle of a cylinder, such as firing.Schedule.FiringAngle
//   - cylinders: their number
//
// Errors: a cylinder that does not fire. Definition.
func FiringAngles(at func(cylinder int) (num.Angle, bool), cylinders int) ([]num.Angle, error) {
	out := make([]num.Angle, cylinders)
	for i := range out {
		a, ok := at(i)
		if !ok {
			return nil, fmt.Errorf("torsion: the firing order leaves out the cylinder with index %d; name every cylinder once", i)
		}
		out[i] = a
	}
	return out, nil
}
