package sound

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Pulse is one exhaust pulse.
type Pulse struct {
	At       num.Angle // crank angle at which the exhaust opens [rad], from 0 up to below the cycle
	Group    int       // index into Impulses.Groups
	Cylinder int       // index of the cylinder
	Strength float64   // height as a share of an ordinary pulse [1], above 0
}

// Group is the cylinders whose exhaust leaves by one outlet.
type Group struct {
	Name      string
	Cylinders []int       // that fire, in the sequence of their pulses from Impulses.First on; none: the outlet is silent
	Intervals []num.Angle // from the pulse of each of them to the next, the last to the first of the next cycle [rad]
}

// Impulses is the exhaust pulses of one cycle.
type Impulses struct {
	Cycle     layout.Cycle
	Cylinders int         // of the engine, those that do not fire included
	Lag       num.Angle   // from the firing top dead centre to the opening of the exhaust [rad]
	Pulses    []Pulse     // in the sequence of their angles
	First     int         // cylinder with which the lists of intervals begin: the first of the schedule that fires
	Intervals []num.Angle // of all groups together, as Group.Intervals [rad]
	Groups    []Group     // in the sequence of their first firing in the schedule
	Silent    []int       // cylinders that do not fire, by index
}

// MostCylinders is how many cylinders an impulse train can have [1], and between LeastStrength and MostStrength lies the
// height of a pulse [1].
const (
	MostCylinders = 128
	LeastStrength = 0.01
	MostStrength  = 4.0
)

// UsualLag returns the crank angle from firing to the opening of the exhaust.
//
//	four-stroke 130°      two-stroke 100°
//
// with
//   - c: the working cycle
//
// Result [rad]. The trade's engines lie within 110° to 140° and 85° to 115°. The lag is common to all
// cylinders and changes no interval and no level. Source: PRACTICE, from memory.
func UsualLag(c layout.Cycle) num.Angle {
	if c == layout.TwoStroke {
		return num.Degrees(100)
	}
	return num.Degrees(130)
}

// Train returns the exhaust pulses of one cycle.
//
//	α_j = firing angle_j + lag
//
// with
//   - t: a valid train, of which the exhaust groups are read: those that the cylinders name, else one for each bank
//   - s: one of its schedules [rad]
//   - strength: height of the pulse of each cylinder [1], 0.01 to 4; 0: the cylinder does not fire; nil: all 1
//
// Result [rad]: the pulses with UsualLag; After changes the lag. Errors: those of firing.Measure; strengths that are
// not one a cylinder or out of range; no cylinder that fires. Definition.
func Train(t *layout.Train, s firing.Schedule, strength []float64) (Impulses, error) {
	measures, err := firing.Measure(t, s)
	if err != nil {
		return Impulses{}, err
	}
	n := len(t.Cylinders)
	switch {
	case n > MostCylinders:
		return Impulses{}, fmt.Errorf("sound: there are %d cylinders; %d is the most", n, MostCylinders)
	case s.Cycle != t.Cycle:
		return Impulses{}, fmt.Errorf("sound: the firing is that of a %v engine, and the engine is a %v", s.Cycle, t.Cycle)
	case strength != nil && len(strength) != n:
		return Impulses{}, fmt.Errorf("sound: there are %d strengths of pulses; one for each of the %d cylinders is needed", len(strength), n)
	}
	for c, v := range strength {
		if v != 0 && !(v >= LeastStrength && v <= MostStrength) {
			return Impulses{}, fmt.Errorf("sound: the pulse of cylinder %s has the strength %g; it is 0 or lies from %g to %g", t.Cylinders[c].Name, v, LeastStrength, MostStrength)
		}
	}
	group := make([]int, n)
	m := Impulses{Cycle: t.Cycle, Cylinders: n, Groups: make([]Group, len(measures.Exhaust))}
	for g, e := range measures.Exhaust {
		m.Groups[g].Name = e.Name
		for _, c := range e.Cylinders {
			group[c] = g
		}
	}
	for k, c := range s.Order {
		p := Pulse{At: s.At[k], Group: group[c], Cylinder: c, Strength: 1}
		if strength != nil {
			p.Strength = strength[c]
		}
		if !(math.Abs(float64(p.At)) < 1e6) {
			return Impulses{}, fmt.Errorf("sound: cylinder %s fires at no finite angle", t.Cylinders[c].Name)
		}
		if p.Strength > 0 {
			if len(m.Pulses) == 0 {
				m.First = c
			}
			m.Pulses = append(m.Pulses, p)
		} else {
			m.Silent = append(m.Silent, c)
		}
	}
	if len(m.Pulses) == 0 {
		return Impulses{}, fmt.Errorf("sound: no cylinder fires; at least one is needed")
	}
	slices.Sort(m.Silent)
	return m.After(UsualLag(t.Cycle)), nil
}

// After returns the same pulses with another lag between firing and the opening of the exhaust.
//
//	α_j' = α_j + lag − former lag
//
// with
//   - lag: crank angle from the firing top dead centre to the opening of the exhaust [rad]; one that is not
//     finite counts as 0
//
// Result [rad]: angles from 0 up to below the cycle. Definition.
func (m Impulses) After(lag num.Angle) Impulses {
	if !(math.Abs(float64(lag)) < 1e6) {
		lag = 0
	}
	out := m
	out.Lag = lag
	out.Pulses = slices.Clone(m.Pulses)
	for j := range out.Pulses {
		out.Pulses[j].At = (out.Pulses[j].At + lag - m.Lag).Wrap(m.Cycle.Period())
	}
	slices.SortStableFunc(out.Pulses, func(a, b Pulse) int {
		return cmp.Or(cmp.Compare(a.At, b.At), a.Cylinder-b.Cylinder)
	})
	out.Groups = slices.Clone(m.Groups)
	out.Intervals = out.intervals(nil, -1)
	for g := range out.Groups {
		var cylinders []int
		out.Groups[g].Intervals = out.intervals(&cylinders, g)
		out.Groups[g].Cylinders = cylinders
	}
	return out
}

// intervals returns the intervals of one group, or of all where group is −1, and writes down its cylinders.
func (m Impulses) intervals(cylinders *[]int, group int) []num.Angle {
	first := slices.IndexFunc(m.Pulses, func(p Pulse) bool { return p.Cylinder == m.First })
	var at, out []num.Angle
	for j := range m.Pulses {
		p := m.Pulses[(max(first, 0)+j)%len(m.Pulses)]
		if group < 0 || p.Group == group {
			at = append(at, p.At)
			if cylinders != nil {
				*cylinders = append(*cylinders, p.Cylinder)
			}
		}
	}
	for j, a := range at {
		next := at[(j+1)%len(at)] - a
		if j == len(at)-1 && next <= 0 || next < 0 {
			next += m.Cycle.Period()
		}
		out = append(out, next)
	}
	return out
}

// Pattern returns the order spectrum of the firing pattern alone, of one group.
//
//	C_k = Σ_j s_j e^{−ikα_j/2}      over the pulses of the group
//
// with
//   - k: twice the order [1]; an odd k of a two-stroke engine has no meaning and gives 0
//   - group: index of the group; −1: all groups without delay
//
// Result [1]: N where N equal pulses add, 0 where they cancel; rounding of 1e-13 k is left in. Definition.
func (m Impulses) Pattern(k, group int) complex128 {
	if m.Cycle == layout.TwoStroke && k%2 != 0 {
		return 0
	}
	sum := complex128(0)
	for _, p := range m.Pulses {
		if group < 0 || p.Group == group {
			sum += complex(p.Strength, 0) * (-p.At * num.Angle(k) / 2).Unit()
		}
	}
	return sum
}

// FiringOrder returns the order that an engine with as many cylinders has when it fires evenly.
//
//	k = N (four-stroke)      k = 2N (two-stroke)
//
// Result [1]: twice the order per revolution. Source: PRACTICE.
func (m Impulses) FiringOrder() int {
	if m.Cycle == layout.TwoStroke {
		return 2 * m.Cylinders
	}
	return m.Cylinders
}
