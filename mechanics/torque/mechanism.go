package torque

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/dsp/fourier"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// DefaultSamples is the usual number of crank angles over two revolutions [1]: one a degree. Definition.
const DefaultSamples = 720

// MostSamples is the largest number of crank angles over two revolutions [1]. Definition: a fiftieth of a
// degree, far finer than any pressure curve.
const MostSamples = 1 << 15

// Mechanism is all of an engine that its torque depends on except the gas: levers, places in the cycle,
// moving masses. It is prepared once and serves many pressure curves and speeds. It has scratch memory and
// serves one goroutine at a time.
type Mechanism struct {
	Cycle  layout.Cycle
	Names  []string     // of the cylinders
	Swept  float64      // swept volume of all cylinders [m³]
	Torque num.Series   // inertia torque per ω² [kg m²], by half orders
	Energy []float64    // E(θ), kinetic energy of pistons and rods per ω² [kg m²]
	Unit   []float64    // inertia torque per ω² [kg m²] at every angle
	units  [][]float64  // the same by cylinder, once Curves needs it
	series []num.Series // and by half orders
	grid   *num.Grid
	levers [][]float64  // −A s' over one revolution from the firing [m³/rad], one for each kind
	places []place      // by cylinder
	n      int          // angles over two revolutions
	fft    *fourier.FFT // over one cycle

	own    [][]float64 // scratch: torque on a cylinder's own cycle
	orders [][]complex128
	weight []float64
}

// place is where the work of a cylinder stands in the cycle.
type place struct {
	lever int
	at    num.Angle // crank angle of its firing
	own   int       // scratch: which own curve it uses, −1 for none
}

// Mechanism errors.
var (
	ErrNoBore = errors.New("torque: the bore is missing; gas torque needs it, such as 'bore: 84 mm'")
	ErrCoarse = errors.New("torque: the inertia torque has more orders than the angles resolve; take more angles over two revolutions")
)

// NewMechanism prepares the mechanism of a train.
//
//	lever −A s'(θ)      E(θ) = Σ ½ m |w'|² + ½ J χ'²
//
// with
//   - t: a train; what layout.Validate refuses is refused with its Problems
//   - s: its firing, as firing.ForTrain returns it
//   - samples: crank angles over two revolutions [1], a multiple of 8 from 64 to MostSamples; 0: DefaultSamples
//
// Result: levers [m³/rad], inertia per ω² [kg m²]. Errors: ErrNoBore, ErrCoarse, motion.ErrReach and
// inertia.ErrAbrupt, a schedule that does not fire every cylinder of the train. Source: DEFINITION, virtual
// work on the exact motion.
func NewMechanism(t *layout.Train, s firing.Schedule, samples int) (*Mechanism, error) {
	if samples == 0 {
		samples = DefaultSamples
	}
	if samples < 64 || samples%8 != 0 || samples > MostSamples {
		return nil, fmt.Errorf("torque: the number of angles over two revolutions must be a multiple of 8 from 64 to %d, it is %d", MostSamples, samples)
	}
	if t == nil {
		return nil, errors.New("torque: a train is needed, there is none")
	}
	if err := layout.Validate(t); err != nil {
		return nil, err
	}
	if !(t.Bore > 0) {
		return nil, ErrNoBore
	}
	m := &Mechanism{Cycle: t.Cycle, Names: firing.Names(t), n: samples}
	if err := m.place(t, s); err != nil {
		return nil, err
	}
	if err := m.masses(t); err != nil {
		return nil, err
	}
	m.fft = fourier.NewFFT(m.CycleSamples())
	return m, nil
}

// Samples returns the number of crank angles over two revolutions [1]. Definition.
func (m *Mechanism) Samples() int { return m.n }

// CycleSamples returns the number of crank angles over one working cycle [1], the length of a pressure
// curve: all of them for a four-stroke engine, half for a two-stroke one. Definition.
func (m *Mechanism) CycleSamples() int {
	if m.Cycle == layout.TwoStroke {
		return m.n / 2
	}
	return m.n
}

// Step returns the crank angle from one sample to the next [rad]. Definition.
func (m *Mechanism) Step() num.Angle { return 2 * num.Turn / num.Angle(m.n) }

// place computes the levers, shared by cylinders that move alike from their firing on.
func (m *Mechanism) place(t *layout.Train, s firing.Schedule) error {
	type kind struct {
		link  motion.Linkage
		start num.Angle
	}
	if s.Cycle != t.Cycle {
		return fmt.Errorf("torque: the firing is that of a %s engine, the train is %s", s.Cycle, t.Cycle)
	}
	var kinds []kind
	area := math.Pi / 4 * t.Bore * t.Bore
	for i := range t.Cylinders {
		at, ok := firingAngle(s, i)
		if !ok {
			return fmt.Errorf("torque: the firing order leaves out cylinder %s; name every cylinder once", t.Cylinders[i].Name)
		}
		link, _, phase := motion.LinkageOf(t, i)
		start := (at + phase).Wrap(num.Turn)
		found := -1
		for k := range kinds {
			if off := math.Remainder(float64(kinds[k].start-start), float64(num.Turn)); kinds[k].link == link && math.Abs(off) < 1e-12 {
				found = k
			}
		}
		if found < 0 {
			lever := make([]float64, m.n/2)
			sampler := link.Sampler()
			for j := range lever {
				state, err := sampler.At((start + m.Step()*num.Angle(j)).Unit())
				if err != nil {
					return fmt.Errorf("cylinder %s: %w", t.Cylinders[i].Name, err)
				}
				lever[j] = -area * real(state.Piston.Vel)
			}
			found = len(kinds)
			kinds, m.levers = append(kinds, kind{link, start}), append(m.levers, lever)
		}
		stroke, err := link.Stroke()
		if err != nil {
			return fmt.Errorf("cylinder %s: %w", t.Cylinders[i].Name, err)
		}
		m.Swept += area * stroke
		m.places = append(m.places, place{lever: found, at: at})
	}
	return nil
}

// firingAngle is Schedule.FiringAngle for a schedule that may be damaged.
func firingAngle(s firing.Schedule, cylinder int) (num.Angle, bool) {
	if len(s.At) != len(s.Order) {
		return 0, false
	}
	at, ok := s.FiringAngle(cylinder)
	return at, ok && finite(float64(at))
}

// masses computes the inertia torque and the kinetic energy per ω².
func (m *Mechanism) masses(t *layout.Train) error {
	var solver inertia.Solver
	b, err := solver.Solve(nil, t, inertia.Options{})
	if err != nil {
		return err
	}
	m.Torque = b.Torque
	for len(m.Torque) > 0 && m.Torque[len(m.Torque)-1] == 0 {
		m.Torque = m.Torque[:len(m.Torque)-1]
	}
	if 2*len(m.Torque) > m.n {
		return ErrCoarse
	}
	m.grid = num.NewGrid(m.n)
	m.Unit = m.grid.Sample(nil, m.Torque)
	of := make([]num.Series, len(t.Cylinders))
	for k := 2; k < len(b.Torque); k += 2 {
		parts, err := solver.Contributions(t, k, inertia.Options{})
		if err != nil {
			return err
		}
		for _, p := range parts {
			if p.Kind == inertia.FromCylinder && k < m.n/2 {
				for len(of[p.Index]) <= k {
					of[p.Index] = append(of[p.Index], 0)
				}
				of[p.Index][k] = p.Torque
			}
		}
	}
	m.series = of
	return m.energy(t)
}

// byCylinder samples the inertia torque of each cylinder.
func (m *Mechanism) byCylinder() {
	for _, s := range m.series[len(m.units):] {
		m.units = append(m.units, m.grid.Sample(nil, s))
	}
}

// energy computes the kinetic energy of pistons and rods per ω² from their velocities.
func (m *Mechanism) energy(t *layout.Train) error {
	m.Energy = make([]float64, m.n)
	half := m.Energy[:m.n/2]
	for i := range t.Cylinders {
		c := &t.Cylinders[i]
		link, _, phase := motion.LinkageOf(t, i)
		sampler := link.Sampler()
		for j := range half {
			s, err := sampler.At((phase + m.Step()*num.Angle(j)).Unit())
			if err != nil {
				return fmt.Errorf("cylinder %s: %w", c.Name, err)
			}
			g := motion.Along(s.Pin, s.Piston, c.Rod.CG/link.Length).Vel
			p := real(s.Piston.Vel)
			half[j] += 0.5*c.Piston.Mass*p*p + 0.5*c.Rod.Mass*(real(g)*real(g)+imag(g)*imag(g)) + 0.5*c.Rod.Inertia*s.Rod.Vel*s.Rod.Vel
		}
	}
	copy(m.Energy[m.n/2:], half)
	return nil
}
