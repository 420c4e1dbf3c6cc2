package analysis

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/torsion"
	"crankwright/num"
)

// Torsion is how a crank winds up and swings over its range of speeds at one load.
type Torsion struct {
	Train     *layout.Train
	Load      float64        // brake torque over that of full load [1]
	Crank     *torsion.Crank // with the damping of its cylinders, without damper
	Model     *torsion.Model // with the damper of the file, or the crank alone
	Modes     []torsion.Mode // of Model, slowest first, undamped
	Winding   int            // index in Bare of the mode that winds the crank up; −1: none
	Bare      []torsion.Mode // of the crank without damper
	Magnifier float64        // of the mode that winds the crank up [1]
	Damping   float64        // of each cylinder that gives it [N m s/rad]
	Damper    *torsion.Damper
	Fitted    DamperTry // what it does in the forced model; of no meaning where Damper is nil

	Lo, Hi    float64 // crank speeds that are run [rad/s]
	Criticals []torsion.Critical
	// VectorModes are the slowest elastic modes of Bare, Vectors their phase-vector sums by half order [1].
	VectorModes []torsion.Mode
	Vectors     [][]complex128
	fires       []num.Angle // by cylinder

	Speeds []float64 // of Sweep [rad/s], beyond Hi too
	Sweep  *torsion.Sweep
	Spans  []SpanPeak // of those spans that have a section, along the shaft
	Tries  []DamperTry
	Kind   []torsion.Kindness // firing orders that the crank allows, kindest to the winding mode first
	Orders []firing.Ordering  // Kind.Index counts here
	Own    int                // place of the engine's own order in Kind; −1: not among them
	Notes  []string
}

// SpanPeak is the largest vibratory stress of a span within the speeds that are run.
type SpanPeak struct {
	Span      int
	Name      string
	Torque    float64 // half the range over the cycle, all orders with their phases [N m]
	Stress    float64 // nominal, from it [Pa]
	Speed     float64 // [rad/s]
	Order     int     // half order with the largest share
	OrderPart float64 // stress of that order alone [Pa]
}

// DamperTry is a damper, sized by the published optimum for the winding mode, in the forced model.
type DamperTry struct {
	Kind   layout.DamperKind
	Damper torsion.Damper // zero without damper
	Stress float64        // largest in the crank within the speeds that are run, half the range of the cycle [Pa]
	At     float64        // crank speed of it [rad/s]
	Twist  float64        // largest of the free end, half the range of the cycle [rad]
	Heat   float64        // that the damper takes where it takes most [W]
}

// TorsionOrders is the highest half order that drives the shaft [1]: order 12. MostVectorModes is how many modes get
// phase-vector sums, TorsionSpeeds how many equally spaced speeds a sweep has besides the critical ones, GasSpeeds at how many of them the gas is found anew.
// UsualRing is the moment of inertia of a damper's ring over the equivalent one of the mode [1]. Definition; the ring
// is common practice.
const (
	TorsionOrders   = 24
	MostVectorModes = 3
	TorsionSpeeds   = 200
	GasSpeeds       = 8
	UsualRing       = 0.3
)

// ErrStiff is returned for a shaft with a single disc, which cannot swing.
var ErrStiff = errors.New("a shaft of a single disc has no torsional vibration; give the flywheel, such as 'flywheel: {inertia: 0.1 kg m2}'")

// Torsion computes the torsional vibration of an engine.
//
//   - load: brake torque over that of full load [1]; 0: full load
//
// Result in SI. The gas is found at GasSpeeds speeds and taken along straight lines between them; where the pressure is
// measured it is the same at all speeds. Errors: ErrStiff, a crank without sizes, those of At and of package torsion.
// Definition.
func (d *Driver) Torsion(load float64) (*Torsion, error) {
	t := d.Train
	r := &Torsion{Train: t, Load: load, Winding: -1, Own: -1, Magnifier: t.Twisting.Magnifier}
	if load == 0 {
		r.Load = 1
	}
	if err := r.model(); err != nil {
		return nil, err
	}
	r.Notes = append(r.Notes, d.charging()...)
	var err error
	if r.Lo, r.Hi, err = speedsOf(t); err != nil {
		return nil, err
	}
	if err := r.speeds(); err != nil {
		return nil, err
	}
	excite, one, err := d.excitations(r)
	if err != nil {
		return nil, err
	}
	if err := r.respond(excite); err != nil {
		return nil, err
	}
	if err := r.vectors(d.Schedule); err != nil {
		return nil, err
	}
	return r, r.kind(d, one)
}

// speeds finds the critical speeds and lays the speeds of the sweep: equally spaced, and the critical ones of the shaft with
// and without its damper, between which a lightly damped resonance would be missed.
func (r *Torsion) speeds() error {
	for i := range TorsionSpeeds {
		r.Speeds = append(r.Speeds, r.Lo+(1.2*r.Hi-r.Lo)*float64(i)/(TorsionSpeeds-1))
	}
	meets := func(m *torsion.Model, modes []torsion.Mode) ([]torsion.Critical, error) {
		found, err := torsion.Criticals(modes, TorsionOrders, r.Lo, 1.2*r.Hi)
		if r.Train.Cycle == layout.TwoStroke { // it has no half orders
			found = slices.DeleteFunc(found, func(c torsion.Critical) bool { return c.K%2 == 1 })
		}
		for _, c := range found {
			if mode := &modes[c.Mode]; mode.Magnifier(m) <= hardlyDamped {
				r.Speeds = append(r.Speeds, c.Speed)
			}
		}
		return found, err
	}
	var err error
	if r.Criticals, err = meets(r.Model, r.Modes); err != nil {
		return err
	}
	if _, err = meets(&r.Crank.Model, r.Bare); err != nil {
		return err
	}
	slices.Sort(r.Speeds)
	r.Speeds = slices.CompactFunc(r.Speeds, func(a, b float64) bool { return math.Abs(a-b) <= 1e-9*a })
	for _, c := range r.Criticals {
		if mode := &r.Modes[c.Mode]; mode.Magnifier(r.Model) > hardlyDamped {
			r.Notes = append(r.Notes, fmt.Sprintf("Hardly anything damps the mode at %.4g Hz: how large its resonances become cannot be told, and the largest stresses leave them out. "+
				"Give the driven line its damping in the section torsion, and keep away from its critical speeds.", mode.Frequency/(2*math.Pi)))
			break
		}
	}
	return nil
}

// hardlyDamped is the magnifier beyond which the size of a resonance says nothing [1].
const hardlyDamped = 1000

// model builds the shaft, its damping and its damper.
func (r *Torsion) model() error {
	t := r.Train
	set := torsion.CrankSetting{
		JournalBore: t.Crank.MainJournal.Bore, PinBore: t.Crank.Crankpin.Bore, CrankInertia: t.Turning.Crank,
		FreeEnd: shaftParts(t.Twisting.FreeEnd), Drive: shaftParts(t.Twisting.Driven),
	}
	switch t.Twisting.Formula {
	case layout.ByCarter:
		set.Formula = torsion.Carter
	case layout.ByKerWilson:
		set.Formula = torsion.KerWilson
	}
	c, err := torsion.NewCrank(t, set)
	if err != nil {
		return err
	}
	if len(c.Discs) < 2 {
		return ErrStiff
	}
	if len(set.Drive) > 0 && t.Turning.Driven > 0 {
		r.Notes = append(r.Notes, "The driven line of the section torsion takes the place of flywheel.driven_inertia.")
	}
	for _, p := range slices.Concat(t.Twisting.FreeEnd, t.Twisting.Driven) {
		if n := math.Abs(p.Ratio); n != 0 && n != 1 {
			r.Notes = append(r.Notes, fmt.Sprintf("%s turns %.4g times as fast as the crank: its torque, stiffness and inertia are shown as the crank feels them; the torque in it is that over %.4g, the stress its own.", p.Name, n, n))
		}
	}
	if c.Flywheel < 0 {
		r.Notes = append(r.Notes, "There is no flywheel: the crank swings free at both ends.")
	}
	if r.Bare, err = torsion.Modes(&c.Model); err != nil {
		return err
	}
	if r.Winding = winding(c, r.Bare); r.Winding >= 0 && r.Magnifier > 0 {
		if r.Damping, err = r.Bare[r.Winding].DampingFor(c.Cylinders, r.Magnifier); err != nil {
			return err
		}
		set.CylinderDamping = r.Damping
		if c, err = torsion.NewCrank(t, set); err != nil {
			return err
		}
	}
	r.Crank, r.Model, r.Modes = c, &c.Model, r.Bare
	r.Notes = append(r.Notes, c.Notes...)
	if k := t.Twisting.Damper.Kind; k != layout.Rubber && k != layout.Viscous {
		return nil
	}
	if r.Winding < 0 {
		r.Notes = append(r.Notes, "No mode winds the crank up: the damper is left out.")
		return nil
	}
	damper, err := r.size(t.Twisting.Damper)
	if err != nil {
		return err
	}
	r.Damper = &damper
	if r.Model, err = c.With(c.FreeEnd, damper, t.Twisting.Damper.Hub); err != nil {
		return err
	}
	r.Modes, err = torsion.Modes(r.Model)
	return err
}

// winding finds the slowest mode that winds the crank up rather than the shafts beyond it: the twist of the throws
// differs by 0.3 of the largest twist or more.
func winding(c *torsion.Crank, modes []torsion.Mode) int {
	first := -1
	for i, m := range modes {
		if m.Frequency == 0 {
			continue
		}
		if first < 0 {
			first = i
		}
		shape := m.At(c.Throws)
		if c.Flywheel >= 0 {
			shape = append(shape, m.Shape[c.Flywheel])
		}
		if slices.Max(shape)-slices.Min(shape) >= 0.3 {
			return i
		}
	}
	return first
}

// hubbed is the mode that winds the crank up with the hub of a damper on its free end.
func (r *Torsion) hubbed(hub float64) (torsion.Mode, error) {
	if hub == 0 {
		return r.Bare[r.Winding], nil
	}
	m := torsion.Model{Discs: slices.Clone(r.Crank.Discs), Spans: r.Crank.Spans}
	m.Discs[r.Crank.FreeEnd].Inertia += hub
	modes, err := torsion.Modes(&m)
	if err != nil {
		return torsion.Mode{}, err
	}
	return modes[winding(r.Crank, modes)], nil
}

// size sizes a damper by the published optimum for the winding mode, and keeps what the file gives.
func (r *Torsion) size(of layout.Damper) (torsion.Damper, error) {
	mode, err := r.hubbed(of.Hub)
	if err != nil {
		return torsion.Damper{}, err
	}
	equivalent, err := mode.EquivalentInertia(r.Crank.FreeEnd)
	if err != nil {
		return torsion.Damper{}, err
	}
	ratio := UsualRing
	if of.Ring > 0 {
		ratio = of.Ring / equivalent
	}
	size := torsion.TunedDamper
	if of.Kind == layout.Viscous {
		size = torsion.ViscousDamper
	}
	damper, err := size(equivalent, mode.Frequency, ratio)
	if err != nil {
		return damper, fmt.Errorf("the damper: %w", err)
	}
	if of.Stiffness > 0 {
		damper.Stiffness = of.Stiffness
		damper.Tuning = math.Sqrt(of.Stiffness/damper.Ring) / mode.Frequency
		damper.Peak, damper.At = 0, 0
	}
	if of.Damping > 0 {
		damper.Damping = of.Damping
		damper.Zeta = of.Damping / (2 * damper.Ring * mode.Frequency)
		damper.Peak, damper.At = 0, 0
	}
	return damper, nil
}

// shaftParts brings parts to the crank: inertia, stiffness and damping by the square of their ratio, and the section
// so that torque at the crank over it is the stress in the shaft.
func shaftParts(parts []layout.ShaftPart) []torsion.Part {
	var out []torsion.Part
	for _, p := range parts {
		n := math.Abs(p.Ratio)
		if n == 0 {
			n = 1
		}
		q := torsion.Part{
			Name: p.Name, Inertia: torsion.Referred(p.Inertia, n), Damping: torsion.Referred(p.Damping, n), Stiffness: torsion.Referred(p.Stiffness, n),
		}
		if p.Diameter > 0 {
			q.Modulus = torsion.Section{Outer: p.Diameter}.Modulus() * n
		}
		out = append(out, q)
	}
	return out
}

// respond runs the forced vibration with the damper of the file and with those that could be.
func (r *Torsion) respond(excite []*torsion.Excitation) error {
	var err error
	if r.Sweep, err = torsion.Run(r.Model, r.Speeds, widened(excite, len(r.Model.Discs)), TorsionOrders); err != nil {
		return err
	}
	r.Spans = r.peaks(r.Model, r.Sweep)
	r.Tries = append(r.Tries, DamperTry{Kind: layout.NoDamper})
	if r.Winding >= 0 {
		for _, kind := range []layout.DamperKind{layout.Rubber, layout.Viscous} {
			damper, err := r.size(layout.Damper{Kind: kind, Ring: r.Train.Twisting.Damper.Ring, Hub: r.Train.Twisting.Damper.Hub})
			if err != nil {
				return err
			}
			r.Tries = append(r.Tries, DamperTry{Kind: kind, Damper: damper})
		}
	}
	for i := range r.Tries {
		if err := r.try(&r.Tries[i], excite); err != nil {
			return err
		}
	}
	if r.Damper != nil {
		r.Fitted = DamperTry{Kind: r.Train.Twisting.Damper.Kind, Damper: *r.Damper}
		return r.try(&r.Fitted, excite)
	}
	return nil
}

// try puts a damper into the forced model.
func (r *Torsion) try(try *DamperTry, excite []*torsion.Excitation) error {
	m := &r.Crank.Model
	var err error
	if try.Kind != layout.NoDamper {
		if m, err = r.Crank.With(r.Crank.FreeEnd, try.Damper, r.Train.Twisting.Damper.Hub); err != nil {
			return err
		}
	}
	wide := widened(excite, len(m.Discs))
	sweep := r.Sweep
	if try.Kind != layout.NoDamper || r.Damper != nil { // else it is the sweep of the model itself
		if sweep, err = torsion.Run(m, r.Speeds, wide, TorsionOrders); err != nil {
			return err
		}
	}
	for _, p := range r.peaks(m, sweep) {
		if crankSpan(r.Crank, p.Span) && p.Stress > try.Stress {
			try.Stress, try.At = p.Stress, p.Speed
		}
	}
	solver, err := torsion.NewSolver(m)
	if err != nil {
		return err
	}
	synth, err := torsion.NewSynth(TorsionOrders)
	if err != nil {
		return err
	}
	for j := range sweep.Points {
		p := &sweep.Points[j]
		if p.Speed > r.Hi*(1+1e-9) {
			break
		}
		try.Twist = math.Max(try.Twist, r.wound(synth, &p.Response))
		if try.Kind == layout.NoDamper {
			continue
		}
		power, err := solver.Power(&p.Response, wide[min(j, len(wide)-1)])
		if err != nil {
			return err
		}
		try.Heat = math.Max(try.Heat, power.Spans[len(m.Spans)-1])
	}
	return nil
}

// wound is how far the crank winds up: the free end against the flywheel, or else the last throw.
func (r *Torsion) wound(synth *torsion.Synth, p *torsion.Response) float64 {
	far := r.Crank.Flywheel
	if far < 0 {
		far = slices.Max(r.Crank.Throws)
	}
	a, b := p.Twist[r.Crank.FreeEnd], p.Twist[far]
	if r.Crank.FreeEnd == far {
		return 0
	}
	d := make(num.Series, len(a))
	for k := range a {
		d[k] = a[k] - b.Order(k)
	}
	return synth.Swing(d).Half
}

// crankSpan reports whether a span lies between two throws or beside one.
func crankSpan(c *torsion.Crank, span int) bool {
	if span >= len(c.Spans) {
		return false
	}
	lo, hi := slices.Min(c.Throws), slices.Max(c.Throws)
	s := c.Spans[span]
	return s.B >= lo && s.A <= hi
}

// peaks returns the largest stress of every span that has a section, at the speeds that are run.
func (r *Torsion) peaks(m *torsion.Model, sweep *torsion.Sweep) []SpanPeak {
	var out []SpanPeak
	for i, s := range m.Spans {
		p := SpanPeak{Span: i, Name: s.Name}
		for _, q := range sweep.Points {
			if q.Speed > r.Hi*(1+1e-9) {
				break
			}
			swing := q.Spans[i]
			if stress, ok := m.Stress(i, swing.Half); ok && stress > p.Stress {
				p.Torque, p.Stress, p.Speed, p.Order = swing.Half, stress, q.Speed, swing.Worst
				p.OrderPart, _ = m.Stress(i, swing.Size)
			}
		}
		if s.Modulus > 0 {
			out = append(out, p)
		}
	}
	return out
}
