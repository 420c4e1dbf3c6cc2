package independent

import (
	"embed"
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/torque"
	"crankwright/mechanics/torsion"
	"crankwright/num"
)

//go:embed shafts/*.torsion.txt
var shaftFiles embed.FS

// Shaft is the torsional model of one engine with what drives it.
type Shaft struct {
	Stem       string // of its files
	Model      *torsion.Model
	Excitation *torsion.Excitation
	Speeds     []float64 // of the crank [rad/s]
	Orders     int       // highest half order
}

// Shafts returns the crankshafts whose vibration is computed twice, invented ones of a harbour pilot boat.
//
// Result in SI units: an inline four with a viscous damper and a propeller shaft, and a vee six with split pins, a rubber damper
// and a pulley on a branch. Errors: none that a test should see. Definition.
func Shafts() ([]Shaft, error) {
	four, six := inlineFourCross(), veeSixSplit()
	four.Flywheel, six.Flywheel = 0.31, 0.26
	four.Crank, six.Crank = crankOfFour(), crankOfSix()
	a, err := shaftOf("inline-four-viscous", &four, 300, torsion.CrankSetting{
		Loss: 0.015, CylinderDamping: 1.5, FreeEnd: []torsion.Part{{Name: "hub", Inertia: 0.004}},
		Drive: []torsion.Part{
			{Name: "gearbox", Inertia: 0.03, Stiffness: 9e3, Relative: 12},
			{Name: "propeller", Inertia: 0.12, Stiffness: 2.2e4, Damping: 6, Loss: 0.01},
		},
	}, func(j, ω float64) (torsion.Damper, error) { return torsion.ViscousDamper(j, ω, 0.6) })
	if err != nil {
		return nil, err
	}
	b, err := shaftOf("vee-six-rubber", &six, 420, torsion.CrankSetting{
		Formula: torsion.Carter, JournalBore: 0.018, Loss: 0.02, CylinderDamping: 0.8, FreeEnd: []torsion.Part{{Name: "hub", Inertia: 0.006}},
	}, func(j, ω float64) (torsion.Damper, error) {
		d, err := torsion.TunedDamper(j, ω, 0.25)
		return d.Rubber(), err
	})
	if err != nil {
		return nil, err
	}
	m := b.Model // the belt and what it drives, on a branch, held by a spring to the block
	m.Discs = append(m.Discs, torsion.Disc{Name: "alternator", Inertia: 0.02, Damping: 0.3, Ground: 150})
	m.Spans = append(m.Spans, torsion.Span{Name: "belt", A: 0, B: len(m.Discs) - 1, Stiffness: 4e3, Damping: 0.5})
	b.Excitation.Gas, b.Excitation.Inertia = append(b.Excitation.Gas, nil), append(b.Excitation.Inertia, nil)
	return []Shaft{a, b}, nil
}

// shaftOf is the model of a train under a smooth hump of pressure, with a damper for its first mode that turns the crank.
func shaftOf(stem string, t *layout.Train, ω float64, set torsion.CrankSetting, damper func(j, ω float64) (torsion.Damper, error)) (Shaft, error) {
	s := Shaft{Stem: stem, Speeds: []float64{80, ω, 1.7 * ω}, Orders: 24}
	c, err := torsion.NewCrank(t, set)
	if err != nil {
		return s, err
	}
	modes, err := torsion.Modes(&c.Model)
	if err != nil {
		return s, err
	}
	best := 1 // the mode in which the free end moves most for its energy
	least := math.Inf(1)
	for i := 1; i < len(modes); i++ {
		if j, err := modes[i].EquivalentInertia(0); err == nil && j < least {
			best, least = i, j
		}
	}
	d, err := damper(least, modes[best].Frequency)
	if err != nil {
		return s, err
	}
	if s.Model, err = c.With(0, d, 0); err != nil {
		return s, err
	}
	order, err := firing.ForTrain(t)
	if err != nil {
		return s, err
	}
	m, err := torque.NewMechanism(t, order, 0)
	if err != nil {
		return s, err
	}
	p := make([]float64, m.CycleSamples())
	for j := range p {
		x := math.Remainder(float64(m.Step())*float64(j)-0.25, float64(m.Cycle.Period()))
		p[j] = 1e5 + 65e5*math.Exp(-x*x/0.4)
	}
	curves, err := m.Curves(nil, [][]float64{p}, 1e5, ω)
	if err != nil {
		return s, err
	}
	if s.Excitation, err = c.Excite(curves, ω, s.Orders); err != nil {
		return s, err
	}
	for d := range s.Excitation.Gas {
		rounded(s.Excitation.Gas[d], 1e-7)
		rounded(s.Excitation.Inertia[d], 1e-12)
	}
	s.Excitation.Gas, s.Excitation.Inertia = append(s.Excitation.Gas, nil), append(s.Excitation.Inertia, nil) // the ring
	return s, nil
}

// DescribeShaft writes a shaft as torsion.py reads it.
//
//   - s: one of Shafts
//
// Result in SI units and [rad]: see README.md. Numbers have twelve digits, so that another processor writes the same. Definition.
func DescribeShaft(s Shaft) []byte {
	var b strings.Builder
	line := func(item string, values ...float64) { writeRow(&b, item, values...) }
	line("name " + s.Stem)
	line("orders", float64(s.Orders))
	for _, d := range s.Model.Discs {
		line("disc", d.Inertia, d.Damping, d.Ground)
	}
	for _, w := range s.Model.Spans {
		line("span", float64(w.A), float64(w.B), w.Stiffness, w.Damping, w.Loss)
	}
	for d := range s.Model.Discs {
		gas, inertia := s.Excitation.Gas[d], s.Excitation.Inertia[d]
		for k := 1; k <= s.Orders && len(gas) > 0; k++ {
			g, i := gas[k], inertia[k]
			line("torque", float64(d), float64(k), real(g), imag(g), real(i), imag(i))
		}
	}
	for _, ω := range s.Speeds {
		line("speed", ω)
	}
	return []byte(b.String())
}

// rounded drops the digits of a torque that differ from one processor to the next.
func rounded(x num.Series, unit float64) {
	for k, c := range x {
		x[k] = complex(math.Round(real(c)/unit)*unit+0, math.Round(imag(c)/unit)*unit+0) // + 0: no minus zero
	}
}

// RawShaft is what torsion.py printed for one shaft.
type RawShaft struct {
	Header []string
	Modes  []torsion.Mode        // frequency [rad/s] and shape alone
	Twist  map[string]complex128 // by "speed k disc" [rad]
	Half   map[string]float64    // by "speed span" [N m]
}

// CommittedShaft returns the committed output of torsion.py for one shaft.
//
//   - stem: of the shaft's files
//
// Result in [rad], [rad/s], [N m]; an error where there is none. Definition.
func CommittedShaft(stem string) (*RawShaft, error) {
	text, err := shaftFiles.ReadFile("shafts/" + stem + ".torsion.txt")
	if err != nil {
		return nil, fmt.Errorf("independent: no raw output of the shaft %s: make independent writes it", stem)
	}
	return ParseShaft(string(text))
}

// ParseShaft reads the output of torsion.py.
//
//   - text: header lines that start with #, lines of modes, twists and half ranges
//
// Result in [rad], [rad/s], [N m]; an error that names the line. Definition.
func ParseShaft(text string) (*RawShaft, error) {
	r := &RawShaft{Twist: map[string]complex128{}, Half: map[string]float64{}}
	var err error
	r.Header, err = readRows(text, "shaft", "mode, twist or half range", func(word string, v []float64) bool {
		switch {
		case word == "mode" && len(v) > 2:
			r.Modes = append(r.Modes, torsion.Mode{Frequency: v[1], Shape: v[2:]})
		case word == "twist" && len(v) == 5:
			r.Twist[twistKey(v[0], int(v[1]), int(v[2]))] = complex(v[3], v[4])
		case word == "half" && len(v) == 3:
			r.Half[halfKey(v[0], int(v[1]))] = v[2]
		default:
			return false
		}
		return true
	})
	if err != nil {
		return nil, err
	}
	if len(r.Modes) == 0 || len(r.Twist) == 0 || len(r.Half) == 0 {
		return nil, fmt.Errorf("independent: the shaft has no numbers")
	}
	return r, nil
}

func twistKey(ω float64, k, disc int) string { return fmt.Sprintf("%g %d %d", ω, k, disc) }
func halfKey(ω float64, span int) string     { return fmt.Sprintf("%g %d", ω, span) }

// ShaftGap is how far two computations of a shaft are from each other.
type ShaftGap struct {
	Frequency float64 // largest, over the highest [1]
	Shape     float64 // largest of the elastic modes [1]
	Twist     float64 // largest, over the largest of its order and speed [1]
	Half      float64 // largest, over the half range itself [1]
}

// Worst returns the largest of the gaps [1]. Definition.
func (g ShaftGap) Worst() float64 { return max(g.Frequency, g.Shape, g.Twist, g.Half) }

// CompareShaft measures how far mechanics/torsion is from the output of torsion.py.
//
//   - s: the shaft
//   - raw: of the same shaft
//
// Result [1]; an error where the two do not hold the same. Definition.
func CompareShaft(s Shaft, raw *RawShaft) (ShaftGap, error) {
	var g ShaftGap
	modes, err := torsion.Modes(s.Model)
	if err != nil {
		return g, err
	}
	if len(modes) != len(raw.Modes) {
		return g, fmt.Errorf("independent: %d modes against %d", len(raw.Modes), len(modes))
	}
	top := modes[len(modes)-1].Frequency
	for i, m := range modes {
		if m.Frequency == 0 { // there the square root of rounding stands on the other side
			continue
		}
		g.Frequency = max(g.Frequency, math.Abs(raw.Modes[i].Frequency-m.Frequency)/top)
		for d, v := range m.Shape {
			g.Shape = max(g.Shape, math.Abs(raw.Modes[i].Shape[d]-v))
		}
	}
	sweep, err := torsion.Run(s.Model, s.Speeds, []*torsion.Excitation{s.Excitation}, s.Orders)
	if err != nil {
		return g, err
	}
	for _, p := range sweep.Points {
		for k := 1; k <= s.Orders; k++ {
			most, gap := 0.0, 0.0
			for d := range s.Model.Discs {
				other, ok := raw.Twist[twistKey(p.Speed, k, d)]
				if !ok {
					return g, fmt.Errorf("independent: no twist of disc %d in order %g at %g rad/s", d, float64(k)/2, p.Speed)
				}
				most, gap = max(most, cmplx.Abs(other)), max(gap, cmplx.Abs(other-p.Twist[d][k]))
			}
			if most > 1e-12 {
				g.Twist = max(g.Twist, gap/most)
			}
		}
		for i := range s.Model.Spans {
			other, ok := raw.Half[halfKey(p.Speed, i)]
			if !ok {
				return g, fmt.Errorf("independent: no half range of span %d at %g rad/s", i, p.Speed)
			}
			g.Half = max(g.Half, math.Abs(p.Spans[i].Half/other-1))
		}
	}
	return g, nil
}
