package gas

import (
	"fmt"
	"math"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Indication says how a measured trace is read.
type Indication struct {
	Samples int            // of the result over the cycle; 0: one each half degree
	Shift   num.Angle      // added to the angles of the trace, to correct its top dead centre [rad]
	Phase   num.Angle      // crank angle of the cylinder's firing top dead centre on the scale of the trace [rad]
	Pegging layout.Pegging // how the zero of the pressure is found
	Intake  float64        // pressure in the intake, for layout.PegIntake [Pa]
	// Exponent of compression for layout.PegPolytropic [1]; 0: fitted together with the zero.
	Exponent float64
	// From and To are the part of compression that is fitted, from firing top dead centre [rad]; both 0: from where
	// valves and ports have commonly closed, 110 degrees before (two-stroke: 85), to where combustion is seen; for zero and
	// exponent at most to 20 degrees before.
	From, To num.Angle
}

// Indicated is what a measured trace says of the cycle.
type Indicated struct {
	Period   num.Angle // of the curve [rad]; sample j stands at Period·j/len from firing top dead centre
	Pressure []float64 // absolute, as far as the pegging goes [Pa]

	Offset   float64   // what the pegging added to the trace [Pa]
	Exponent float64   // polytropic exponent of compression, at the top dead centre as given and shifted [1]
	From, To num.Angle // the part of compression that was fitted [rad]

	TDCError  num.Angle // what would have to be added to the crank angles for compression to follow a polytrope [rad]
	TDCSpread num.Angle // standard deviation of TDCError from the noise of the trace alone [rad]
	Motored   bool      // the cylinder does not fire, as far as the trace shows

	PeakPressure float64   // [Pa]
	PeakAngle    num.Angle // from firing top dead centre, in −Period/2 … Period/2 [rad]
	IMEP         float64   // net, over the whole cycle [Pa]
	Gross        float64   // of the revolution about firing top dead centre [Pa]
	Pumping      float64   // IMEP − Gross: of the other revolution of a four-stroke [Pa]

	Warnings []string // in plain words
}

// The limits of what a trace is taken for, common practice.
const (
	leastExponent, mostExponent = 1.2, 1.4             // of compression with heat to the walls
	tdcDoubt                    = 0.5 * math.Pi / 180  // a smaller suspected error of top dead centre is not said [rad]
	atmosphere                  = 101325.0             // the standard one, from which gauge pressures count [Pa]
	mostGap                     = 10 * math.Pi / 180   // a longer part without samples is not bridged [rad]
	exchange                    = 140 * math.Pi / 180  // valves have opened, from firing top dead centre [rad]
	besideBDC                   = 10 * math.Pi / 180   // the intake is at rest this far on both sides of bottom dead centre [rad]
	blowdown                    = 40 * math.Pi / 180   // after it the pressure is that of the exhaust [rad]
	aboutPeak                   = 2.5 * math.Pi / 180  // the parabola of the peak reaches this far [rad]
	mostSamples                 = 1 << 16              // of a result [1]
	leastSamples                = 90                   // likewise
	motoredBy                   = 1.25                 // pressure after over before firing top dead centre, up to which nothing has burned [1]
	late                        = 60 * math.Pi / 180   // no peak of combustion is later [rad]
	early                       = -30 * math.Pi / 180  // nor earlier [rad]
	fitted                      = -110 * math.Pi / 180 // intake valves have commonly closed [rad]
	fittedPorts                 = -85 * math.Pi / 180  // ports have commonly closed [rad]
	unburned                    = -40 * math.Pi / 180  // nothing has commonly burned yet [rad]
	pegged                      = -20 * math.Pi / 180  // the zero is not sought nearer to the top, where heat losses bend the polytrope [rad]
	nearTop                     = -4 * math.Pi / 180   // V hardly changes beyond [rad]
)

// Indicate reads one curve of a measured trace.
//
//	IMEP = ∮ p dV/V_h;  compression: (p + offset) V(θ + shift)^n = const, fitted by least squares
//
// with
//   - m: the trace, with at least 36 samples over a cycle
//   - column: index of the curve in it
//   - c: the chamber of the cylinder
//   - cycle: the working cycle
//   - o: how to read it
//
// Result [Pa] by Indicated.Pressure, on equal angles: between the samples runs a cubic that does not overshoot, and
// where the result is coarser than the trace a low-pass keeps noise out of the low orders. A top dead centre that
// looks wrong is said and never corrected: Warnings, TDCError. Its estimate needs no more than compression; the
// exponent is taken to fall a little as the gas gets hot, and what it truly does may feign 0.3 degrees, 0.7 where the
// spark comes early. With an exponent that is fitted the zero is good to 0.1 bar of an engine that draws from the
// atmosphere; from the pressure of the intake it is better. A part of the exchange
// strokes that was not measured is taken at the pressure that follows it, which is said. Errors: a trace that has no
// samples where they are needed, an Indication that cannot be. Source: PRACTICE.
func Indicate(m *layout.Trace, column int, c Chamber, cycle layout.Cycle, o Indication) (*Indicated, error) {
	if err := o.check(m, column, c, cycle); err != nil {
		return nil, err
	}
	r := &Indicated{Period: cycle.Period()}
	s, err := sampled(m.Angles, m.Pressures[column], o.Shift-o.Phase, r.Period)
	if err != nil {
		return nil, err
	}
	if err := r.bridge(s, cycle); err != nil {
		return nil, err
	}
	if err := r.zero(m, c, s, cycle, &o); err != nil {
		return nil, err
	}
	n := o.Samples
	if n == 0 {
		n = int(math.Round(2 * r.Period.Deg()))
	}
	r.Pressure = s.resample(n)
	for j := range r.Pressure {
		r.Pressure[j] += r.Offset
	}
	r.work(c, cycle)
	r.peak()
	r.judge(m, s, &o)
	return r, nil
}

// check refuses what cannot be.
func (o *Indication) check(m *layout.Trace, column int, c Chamber, cycle layout.Cycle) error {
	switch {
	case m == nil || column < 0 || column >= len(m.Pressures):
		return fmt.Errorf("gas: the trace has no curve %d", column+1)
	case !(c.Displacement() > 0):
		return fmt.Errorf("gas: a chamber of no volume; take one of NewChamber, InfiniteRod or ChamberOf")
	case cycle != layout.FourStroke && cycle != layout.TwoStroke:
		return fmt.Errorf("gas: there is no working cycle %d", cycle)
	case o.Samples != 0 && (o.Samples < leastSamples || o.Samples > mostSamples):
		return fmt.Errorf("gas: %d samples over the cycle; %d to %d are allowed", o.Samples, leastSamples, mostSamples)
	case !(math.Abs(float64(o.Shift)) <= math.Pi) || !(math.Abs(float64(o.Phase)) <= 100):
		return fmt.Errorf("gas: a shift of %.4g deg; at most 180 deg on either side are allowed", o.Shift.Deg())
	case o.Pegging < layout.PegUsual || o.Pegging > layout.PegNone:
		return fmt.Errorf("gas: there is no pegging %d", o.Pegging)
	case o.Pegging == layout.PegIntake && !(o.Intake > 0 && o.Intake <= 1e7):
		return fmt.Errorf("gas: pegging to an intake pressure of %.4g bar; it must be above 0 and at most 100 bar", o.Intake/1e5)
	case o.Exponent != 0 && !(o.Exponent >= 1 && o.Exponent <= 1.7):
		return fmt.Errorf("gas: a polytropic exponent of %.4g; it must lie between 1 and 1.7, such as 1.32", o.Exponent)
	case (o.From != 0 || o.To != 0) && !(o.From >= -math.Pi && o.From+num.Degrees(10) <= o.To && o.To <= 0):
		return fmt.Errorf("gas: a fit from %.4g to %.4g deg; it must lie between -180 and 0 deg and be 10 deg long", o.From.Deg(), o.To.Deg())
	}
	return nil
}

// bridge fills a part of the exchange strokes that was not measured.
func (r *Indicated) bridge(s *samples, cycle layout.Cycle) error {
	if s.gap <= mostGap {
		return nil
	}
	begin, end := s.gapAt, s.gapAt+s.gap
	deg := func(a float64) float64 { return num.Angle(a).Deg() }
	if cycle == layout.TwoStroke || begin < exchange || end > s.period-exchange {
		return fmt.Errorf("gas: the trace has no pressures from %.4g to %.4g deg from firing top dead centre; compression, combustion and expansion must be there without a gap of more than %.0f deg",
			deg(begin), deg(end), deg(mostGap))
	}
	follows := s.p[0]
	for i, θ := range s.θ { // the sample at the end of the gap
		if math.Abs(θ+s.period-end) < 1e-9 || math.Abs(θ-end) < 1e-9 {
			follows = s.p[i]
		}
	}
	const step = math.Pi / 180
	angles, p := make([]num.Angle, 0, len(s.θ)+720), make([]float64, 0, len(s.θ)+720)
	for i, θ := range s.θ {
		angles, p = append(angles, num.Angle(θ)), append(p, s.p[i])
	}
	for θ := begin + math.Min(blowdown, s.gap/2); θ < end-step/2; θ += step {
		angles, p = append(angles, num.Angle(θ)), append(p, follows)
	}
	whole, err := sampled(angles, p, 0, num.Angle(s.period))
	if err != nil {
		return err
	}
	*s = *whole
	r.warn("the trace has no pressures from %.4g to %.4g deg: there the pressure is taken as it is at the end of this part, and the work of those strokes is not measured", deg(begin), deg(end))
	return nil
}

// zero fits compression: the offset, the exponent, and what the top dead centre should be.
func (r *Indicated) zero(m *layout.Trace, c Chamber, s *samples, cycle layout.Cycle, o *Indication) error {
	from, to, latest := float64(fitted), float64(unburned), float64(nearTop)
	if cycle == layout.TwoStroke {
		from = fittedPorts
	}
	if o.From != 0 || o.To != 0 {
		from, to, latest = float64(o.From), float64(o.To), float64(o.To)
	}
	pegging := o.Pegging
	if pegging == layout.PegUsual {
		pegging = layout.PegPolytropic
		if m.Absolute {
			pegging = layout.PegNone
		}
	}
	if !m.Absolute {
		r.Offset = atmosphere
	}
	exponent := usualExponent
	if o.Exponent != 0 {
		exponent = o.Exponent
	}
	may := free{offset: true, exponent: true, shift: true} // else what is given wrongly shows as an error of top dead centre
	if pegging == layout.PegIntake {
		p, ok := s.mean(-math.Pi-besideBDC, -math.Pi+besideBDC)
		if cycle == layout.TwoStroke { // its cycle begins at bottom dead centre
			before, okBefore := s.mean(math.Pi-besideBDC, math.Pi)
			p, ok = (p+before)/2, ok && okBefore
		}
		if !ok {
			return fmt.Errorf("gas: the trace has no pressures about bottom dead centre of intake, to which they should be pegged; choose another pegging")
		}
		r.Offset = o.Intake - p
	}
	start := started(c, s, from, to, r.Offset, exponent)
	first := start
	first.from, first.to = from, to
	if !first.fit(c, s, free{offset: pegging != layout.PegIntake}) {
		return fmt.Errorf("gas: compression of the trace from %.4g to %.4g deg from firing top dead centre cannot be fitted; it needs 8 samples there and a pressure that rises", num.Angle(from).Deg(), num.Angle(to).Deg())
	}
	first.fall = usualFall
	tdc, ok := compression(c, s, from, to, latest, first, may)
	first.fall = 0
	if ok {
		r.TDCError, r.TDCSpread = num.Angle(tdc.shift), num.Angle(tdc.spread)
	} else {
		tdc = first
		r.TDCSpread = math.Pi
	}
	own := first // at the top dead centre as given
	own.to = math.Min(tdc.to, math.Max(to, pegged))
	if pegging == layout.PegNone {
		own.offset = r.Offset
	}
	if !own.fit(c, s, free{offset: pegging == layout.PegPolytropic, exponent: o.Exponent == 0}) {
		own = first
	}
	r.Exponent = own.n
	if pegging == layout.PegPolytropic {
		r.Offset = own.offset
	}
	if ok && pegging == layout.PegNone && math.Abs(tdc.offset-r.Offset) > 0.3e5 {
		r.warn("the zero of the pressure looks wrong: compression follows a polytrope if %.2f bar is added to the trace; if so, peg it to the intake or by the polytrope", tdc.offset/1e5)
	}
	r.From, r.To = num.Angle(own.from), num.Angle(own.to)
	before, ok1 := s.mean(-60*math.Pi/180, -40*math.Pi/180)
	after, ok2 := s.mean(40*math.Pi/180, 60*math.Pi/180)
	r.Motored = ok1 && ok2 && after+r.Offset < motoredBy*(before+r.Offset)
	return nil
}

// work integrates the curve.
func (r *Indicated) work(c Chamber, cycle layout.Cycle) {
	n := len(r.Pressure)
	h := float64(r.Period) / float64(n)
	for j, p := range r.Pressure {
		θ := r.angle(j)
		_, dv := c.Volume(θ)
		dw := p * dv * h / c.Displacement()
		r.IMEP += dw
		switch {
		case cycle == layout.TwoStroke || math.Abs(float64(θ)) < math.Pi-1e-9:
			r.Gross += dw
		case math.Abs(float64(θ)) < math.Pi+1e-9: // on the border
			r.Gross += dw / 2
		}
	}
	r.Pumping = r.IMEP - r.Gross
	if cycle == layout.TwoStroke {
		r.Pumping = 0
	}
}

// angle is that of a sample, in −Period/2 … Period/2 [rad].
func (r *Indicated) angle(j int) num.Angle {
	θ := r.Period * num.Angle(j) / num.Angle(len(r.Pressure))
	if θ >= r.Period/2 {
		θ -= r.Period
	}
	return θ
}

// peak finds the highest pressure as the top of the parabola that meets the samples about it with least squares.
func (r *Indicated) peak() {
	n, best := len(r.Pressure), 0
	for j, p := range r.Pressure {
		if p > r.Pressure[best] {
			best = j
		}
	}
	h := float64(r.Period) / float64(n)
	k := max(1, int(aboutPeak/h))
	// orthogonal polynomials on −k … k
	var s0, s2, s4, b0, b1, b2 float64
	for i := -k; i <= k; i++ {
		x, p := float64(i), r.Pressure[(best+i+n)%n]
		s0, s2, s4 = s0+1, s2+x*x, s4+x*x*x*x
		b0, b1, b2 = b0+p, b1+p*x, b2+p*x*x
	}
	curve := (b2 - b0*s2/s0) / (s4 - s2*s2/s0)
	slope, level := b1/s2, (b0-curve*s2)/s0
	r.PeakPressure, r.PeakAngle = r.Pressure[best], r.angle(best)
	if curve < 0 {
		if x := -slope / (2 * curve); math.Abs(x) <= float64(k) {
			r.PeakPressure, r.PeakAngle = level+x*(slope+curve*x), r.PeakAngle+num.Angle(x*h)
		}
	}
}

func (r *Indicated) warn(format string, args ...any) {
	r.Warnings = append(r.Warnings, fmt.Sprintf(format, args...))
}

// judge says in plain words what looks wrong.
func (r *Indicated) judge(m *layout.Trace, s *samples, o *Indication) {
	suspected, spread := math.Abs(float64(r.TDCError)), float64(r.TDCSpread)
	switch {
	case suspected > tdcDoubt+2*spread && (suspected > nearEdge*mostShift || r.Exponent < 1): // less than at constant temperature
		r.warn("top dead centre looks wrong, and by more than compression can tell: look what the crank angles of the trace count from, and at the zero of the pressure")
	case suspected > tdcDoubt+2*spread:
		r.warn("top dead centre looks wrong: compression follows a polytrope best with all crank angles moved by %+.1f deg, give or take %.1f deg; if that is so, set trace_shift: %.1f deg",
			r.TDCError.Deg(), math.Max(0.1, num.Angle(3*spread).Deg()), (o.Shift + r.TDCError).Deg())
	case spread > tdcDoubt:
		r.warn("the trace is too noisy or too coarse to tell whether its top dead centre is right")
	}
	if r.Motored && float64(r.PeakAngle) > 0.1*math.Pi/180 {
		r.warn("the cylinder does not fire, and still its pressure peaks %.1f deg after top dead centre; losses of heat and gas make it peak up to 2 deg before, so top dead centre is likely wrong", r.PeakAngle.Deg())
	}
	if r.Exponent < leastExponent || r.Exponent > mostExponent {
		r.warn("the polytropic exponent of compression is %.3f, and %.1f to %.1f is usual: look at top dead centre, the compression ratio and the zero of the pressure", r.Exponent, leastExponent, mostExponent)
	}
	if float64(r.PeakAngle) < early || float64(r.PeakAngle) > late {
		r.warn("the pressure peaks at %.1f deg from firing top dead centre, where no engine burns: look what the crank angles of the trace count from", r.PeakAngle.Deg())
	}
	lowest := math.Inf(1)
	for _, p := range r.Pressure {
		lowest = math.Min(lowest, p)
	}
	if lowest <= 0 {
		r.warn("the pressure falls to %.2f bar absolute, below nothing: its zero is wrong", lowest/1e5)
	}
	if !m.Absolute && (o.Pegging == layout.PegNone) {
		r.warn("the pressures of the trace count from the atmosphere, which is taken as %.5g bar", atmosphere/1e5)
	}
	if step := s.period / float64(len(s.θ)); step > 2.01*math.Pi/180 {
		r.warn("the trace has a sample each %.1f deg; peak and work need one each 2 deg or less", num.Angle(step).Deg())
	}
}
