package bearing

import (
	"errors"
	"fmt"
	"math"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// DefaultSamples is the usual number of crank angles over two revolutions [1]: one a degree. Definition.
const DefaultSamples = 720

// MostSamples is the largest number of crank angles over two revolutions [1]. Definition.
const MostSamples = 1 << 15

// Method is how the loads of the throws are shared among the main bearings.
type Method int

// The two methods.
const (
	Continuous  Method = iota // a continuous beam on elastic supports
	Determinate               // each bay a simple beam between its two mains
)

// String returns the method in words [-]. Definition.
func (m Method) String() string {
	if m == Determinate {
		return "statically determinate bays"
	}
	return "continuous beam on elastic supports"
}

// Overhung is a mass on the crank that only weighs, such as a flywheel.
type Overhung struct {
	At   float64 // axial place x [m]
	Mass float64 // [kg]
}

// Options say how the crank is held. The zero value is a continuous steel crank in mains of common stiffness.
type Options struct {
	Samples  int     // crank angles over two revolutions [1]; 0: DefaultSamples
	Method   Method  // of sharing among the mains
	Mains    []Main  // from the free end to the drive end; nil: those of Mains
	Support  float64 // stiffness of a main where the Main does not say [N/m]; 0: SupportStiffness; +Inf: rigid
	Young    float64 // modulus of the crank [Pa]; 0: SteelYoung
	Overhung []Overhung
}

// Mechanism is all of an engine that its bearing loads depend on except gas and speed. It is prepared once and serves
// many pressure curves and speeds; nothing changes it afterwards, so goroutines may share it.
type Mechanism struct {
	Cycle layout.Cycle
	Mains []Main
	Share [][]float64 // by main and cylinder: share of the load at the cylinder's place [1]; 0 for linked rods

	train   *layout.Train
	n       int
	area    float64
	rods    []rod        // by cylinder
	order   []int        // cylinders, linked rods before their masters
	units   []complex128 // e^{iθ}
	turning []complex128 // by main: load of what turns with the crank, at θ = 0 per ω² [kg m]
	weight  []complex128 // by main: load of the overhung masses [N]
}

// rod is what the forces of one cylinder depend on, at every angle of one revolution, in the cylinder's own frame
// and per ω².
type rod struct {
	place   complex128   // i e^{iβ}, from the cylinder's frame to the block's
	shift   place        // of its pressure curve
	push    []float64    // m_p s'', along the axis [kg m]
	tilt    []float64    // sideways part of a unit force along the axis [1]
	across  []float64    // sideways force of the rod's own inertia on the piston pin [kg m]
	mass    []complex128 // m_r a_g [kg m]
	toward  []complex128 // unit vector from the big end to the small end
	master  int          // −1: on the crankpin
	turn    complex128   // from its frame to the master's
	knuckle []complex128 // knuckle pin from the master's big end over the master's height, master's frame [1]
}

// ErrNoBore is returned where the bore is unknown.
var ErrNoBore = errors.New("bearing: the bore is missing; the force of the gas needs it, such as 'bore: 84 mm'")

// NewMechanism prepares the bearing loads of a train.
//
//   - t: a train; what layout.Validate refuses is refused with its Problems. It is kept, not copied
//   - s: its firing, as firing.ForTrain returns it
//   - opt: how the crank is held
//
// Result ready for Loads, forces per ω² [kg m]. A linked rod loads its master in the plane of the master. Errors:
// ErrNoBore, motion.ErrReach, a schedule that leaves cylinders out, options that are no length, mass or stiffness;
// for a continuous beam a crank without its widths and diameters, or without room for its webs. Source: DEFINITION,
// Newton's second law on rigid bodies; see the package.
func NewMechanism(t *layout.Train, s firing.Schedule, opt Options) (*Mechanism, error) {
	if t == nil {
		return nil, errors.New("bearing: a train is needed, there is none")
	}
	if opt.Samples == 0 {
		opt.Samples = DefaultSamples
	}
	if n := opt.Samples; n < 64 || n%8 != 0 || n > MostSamples {
		return nil, fmt.Errorf("bearing: the number of angles over two revolutions must be a multiple of 8 from 64 to %d, it is %d", MostSamples, n)
	}
	if err := layout.Validate(t); err != nil {
		return nil, err
	}
	if !(t.Bore > 0) {
		return nil, ErrNoBore
	}
	if s.Cycle != t.Cycle {
		return nil, fmt.Errorf("bearing: the firing is that of a %s engine, the train is %s", s.Cycle, t.Cycle)
	}
	m := &Mechanism{Cycle: t.Cycle, train: t, n: opt.Samples, area: math.Pi / 4 * t.Bore * t.Bore}
	m.units = make([]complex128, m.n)
	for j := range m.units {
		m.units[j] = m.Angle(j).Unit()
	}
	for i := range t.Cylinders {
		if len(s.At) != len(s.Order) {
			return nil, errors.New("bearing: the schedule has not as many firing angles as firings")
		}
		at, ok := s.FiringAngle(i)
		if !ok || !(math.Abs(float64(at)) < 1e6) {
			return nil, fmt.Errorf("bearing: the firing order leaves out cylinder %s; name every cylinder once", t.Cylinders[i].Name)
		}
		m.rods = append(m.rods, rod{shift: placeOf(float64(at)/float64(m.Step()), m.CycleSamples())})
		if t.Cylinders[i].Rod.Linked {
			m.order = append(m.order, i)
		}
	}
	for i := range t.Cylinders {
		if err := m.prepare(i); err != nil {
			return nil, fmt.Errorf("cylinder %s: %w", t.Cylinders[i].Name, err)
		}
		if !t.Cylinders[i].Rod.Linked {
			m.order = append(m.order, i)
		}
	}
	return m, m.hold(opt)
}

// Samples returns the number of crank angles over two revolutions [1]. Definition.
func (m *Mechanism) Samples() int { return m.n }

// CycleSamples returns the number of crank angles over one working cycle [1], the length of a pressure curve.
// Definition.
func (m *Mechanism) CycleSamples() int {
	if m.Cycle == layout.TwoStroke {
		return m.n / 2
	}
	return m.n
}

// Step returns the crank angle from one sample to the next [rad]. Definition.
func (m *Mechanism) Step() num.Angle { return 2 * num.Turn / num.Angle(m.n) }

// Angle returns the crank angle of a sample, in the sense of rotation.
//
//   - j: index of the sample
//
// Result [rad]. Definition.
func (m *Mechanism) Angle(j int) num.Angle { return m.Step() * num.Angle(j) }

// prepare fills the tables of one cylinder.
func (m *Mechanism) prepare(i int) error {
	t, r, half := m.train, &m.rods[i], m.n/2
	c := &t.Cylinders[i]
	link, _, phase := motion.LinkageOf(t, i)
	sampler := link.Sampler()
	r.place, r.master = 1i*c.Axis.Unit(), -1
	r.push, r.tilt, r.across = make([]float64, half), make([]float64, half), make([]float64, half)
	r.mass, r.toward = make([]complex128, half), make([]complex128, half)
	var master motion.Sampler
	if c.Rod.Linked {
		r.master, r.turn, r.knuckle = c.Rod.Master, link.Lean.Unit(), make([]complex128, half)
		own, _, _ := motion.LinkageOf(t, c.Rod.Master) // has the same base frame and phase
		master = own.Sampler()
	}
	for j := range half {
		unit := (phase + m.Angle(j)).Unit()
		s, err := sampler.At(unit)
		if err != nil {
			return err
		}
		mass := complex(c.Rod.Mass, 0)
		rod := s.Piston.Pos - s.Pin.Pos
		g := motion.Along(s.Pin, s.Piston, c.Rod.CG/link.Length)
		r.push[j] = c.Piston.Mass * real(s.Piston.Acc)
		r.tilt[j] = imag(rod) / real(rod)
		r.mass[j] = mass * g.Acc
		spin := c.Rod.Inertia*s.Rod.Acc + cross(g.Pos-s.Pin.Pos, r.mass[j])
		r.across[j] = r.tilt[j]*r.push[j] - spin/real(rod)
		r.toward[j] = s.Rod.Direction
		if r.master >= 0 {
			ms, err := master.At(unit)
			if err != nil {
				return err
			}
			height := real(ms.Piston.Pos - ms.Pin.Pos)
			r.knuckle[j] = (r.turn*s.Pin.Pos - ms.Pin.Pos) / complex(height, 0)
		}
	}
	return nil
}

func cross(a, b complex128) float64 { return real(a)*imag(b) - imag(a)*real(b) }
