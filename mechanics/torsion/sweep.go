package torsion

import "fmt"

// Point is the vibration at one speed of a sweep.
type Point struct {
	Response
	Discs []Swing // twist of each disc [rad]
	Spans []Swing // torque in each span [N m]
}

// Sweep is the vibration over a range of crank speeds: what a Campbell picture shows.
type Sweep struct {
	Orders int // highest half order
	Points []Point
	model  *Model
}

// Run computes the vibration of a shaft over crank speeds.
//
//   - m: the model
//   - speeds: crank speeds [rad/s], at least one
//   - excitations: one for each speed, or one alone for all of them, whose gas does not change with speed
//   - orders: highest half order [1]
//
// Result [rad] and [N m]. Errors: those of Check and Respond, a wrong number of excitations. Source: DENHARTOG, forced
// vibration.
func Run(m *Model, speeds []float64, excitations []*Excitation, orders int) (*Sweep, error) {
	s, err := NewSolver(m)
	if err != nil {
		return nil, err
	}
	y, err := NewSynth(orders)
	if err != nil {
		return nil, err
	}
	if len(speeds) == 0 || len(excitations) != 1 && len(excitations) != len(speeds) {
		return nil, fmt.Errorf("torsion: %d excitations are given for %d speeds; give one for all, or one for each", len(excitations), len(speeds))
	}
	for _, e := range excitations {
		if err := e.check(len(m.Discs)); err != nil {
			return nil, err
		}
	}
	out := &Sweep{Orders: orders, Points: make([]Point, len(speeds)), model: m}
	for i, ω := range speeds {
		e, p := excitations[0], &out.Points[i]
		if len(excitations) > 1 {
			e = excitations[i]
		}
		if _, err := s.respond(&p.Response, e, ω, orders); err != nil {
			return nil, err
		}
		p.Discs, p.Spans = make([]Swing, len(m.Discs)), make([]Swing, len(m.Spans))
		for d := range p.Discs {
			p.Discs[d] = y.Swing(p.Twist[d])
		}
		for w := range p.Spans {
			p.Spans[w] = y.Swing(p.Torque[w])
		}
	}
	return out, nil
}

// Stress returns the vibratory shear stress in a span.
//
//	τ = T/W_p
//
// with
//   - span: its index
//   - torque: amplitude [N m], such as Swing.Half of the span
//
// Result [Pa], nominal: on the plain section, without the concentration at fillets and oil bores; ok is false where the span
// has no section modulus. Source: DEFINITION, torsion of round shafts.
func (m *Model) Stress(span int, torque float64) (stress float64, ok bool) {
	if span < 0 || span >= len(m.Spans) || !(m.Spans[span].Modulus > 0) {
		return 0, false
	}
	return torque / m.Spans[span].Modulus, true
}

// Against compares the vibratory stress of a span with a limit.
type Against struct {
	Span   int
	Most   float64      // largest stress of the sweep, by Swing.Half [Pa]
	At     float64      // crank speed of it [rad/s]
	Order  int          // half order with the largest share there
	Share  float64      // Most over the limit [1]
	Barred [][2]float64 // ranges of crank speed in which the limit is exceeded [rad/s], between the speeds of the sweep by straight lines
}

// Limit compares the synthesised stress of every span that has a section modulus with a limit.
//
//   - limit: allowed vibratory stress, nominal, an amplitude [Pa]
//
// Result [Pa] in the sequence of the spans; the speeds must ascend. Between two speeds of a coarse sweep a peak is missed. Errors: a limit
// that is none, speeds that do not ascend. Definition.
func (s *Sweep) Limit(limit float64) ([]Against, error) {
	if !(limit > 0 && limit <= 1e12) {
		return nil, fmt.Errorf("torsion: the limit of the stress must be greater than 0, such as 30 N/mm², it is %g N/mm²", limit/1e6)
	}
	for i := 1; i < len(s.Points); i++ {
		if !(s.Points[i].Speed > s.Points[i-1].Speed) {
			return nil, fmt.Errorf("torsion: to find ranges of speed the speeds must ascend; %g rad/s does not lie above %g rad/s", s.Points[i].Speed, s.Points[i-1].Speed)
		}
	}
	var out []Against
	for w := range s.model.Spans {
		if _, ok := s.model.Stress(w, 0); !ok {
			continue
		}
		a := Against{Span: w}
		before := 0.0
		for i := range s.Points {
			p := &s.Points[i]
			τ, _ := s.model.Stress(w, p.Spans[w].Half)
			if τ > a.Most || i == 0 {
				a.Most, a.At, a.Order = τ, p.Speed, p.Spans[w].Worst
			}
			crossing := func() float64 {
				q := s.Points[i-1].Speed
				return q + (p.Speed-q)*(limit-before)/(τ-before)
			}
			last := len(a.Barred) - 1
			switch open := i > 0 && before > limit; {
			case τ > limit && !open && i == 0:
				a.Barred = append(a.Barred, [2]float64{p.Speed, p.Speed})
			case τ > limit && !open:
				a.Barred = append(a.Barred, [2]float64{crossing(), p.Speed})
			case τ > limit:
				a.Barred[last][1] = p.Speed
			case open:
				a.Barred[last][1] = crossing()
			}
			before = τ
		}
		a.Share = a.Most / limit
		out = append(out, a)
	}
	return out, nil
}
