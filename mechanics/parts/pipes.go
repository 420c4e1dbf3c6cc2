package parts

import (
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Pipes is a manifold: the pipes from the ports of some cylinders to where they meet.
type Pipes struct {
	Name      string
	Cylinders []int
	Runners   []float64 // by Cylinders [m]
	Crossover float64   // pipes that join the collectors of several banks [m]
	Banks     int       // that it takes pipes from
}

// Rules of pipes. Source: PRACTICE.
const (
	PortSide    = 0.6                              // a port beside the cylinder axis at the deck, over the bore [1]
	LeastRunner = 1.0                              // of every runner: the bend from port to log or collector, over the bore [1]
	ValleyAngle = num.Angle(120 * math.Pi / 180.0) // up to this angle an intake stands between two banks [rad]
)

// port is a place on a cylinder's flank.
type port struct {
	cylinder, bank int
	x              float64
	w              complex128 // y + iz
}

// ports places one port a cylinder on the sides that side gives, +1 towards axis + 90°.
func ports(t *layout.Train, s Stand, side func(bank int) float64) []port {
	var out []port
	for k, b := range s.Banks {
		for _, i := range b.Cylinders {
			w := direction(b.Axis) * complex(deckOf(t, i), side(k)*PortSide*t.Bore)
			out = append(out, port{i, k, t.Cylinders[i].At, w})
		}
	}
	return out
}

// outward is the side of a bank away from the other banks; of facing banks the lower one, of a lone bank and of a star
// the side of axis + 90°.
func outward(s Stand, k int) float64 {
	others := complex(0, 0)
	for j, b := range s.Banks {
		if j != k {
			others += direction(b.Axis)
		}
	}
	mine := direction(s.Banks[k].Axis)
	across := imag(others / mine) // where the others lie, + towards axis + 90°
	switch {
	case len(s.Banks) == 1 || s.Star:
		return 1
	case math.Abs(across) < 1e-9: // facing: down
		if imag(mine*1i) > 0 {
			return -1
		}
		return 1
	case across > 0:
		return -1
	}
	return 1
}

// Exhausts returns the exhaust manifolds, one for each exhaust group.
//
//	runner = bore + |x_port − x_collector|        collector at the mean place of its ports in a bank
//	crossover = Σ across the engine, from each collector to the next, |Δy, Δz| + |Δx|
//
// with
//   - t: a train that layout.Validate accepts, with bore [m]
//   - s: its stand
//
// Result [m]; groups in the sequence of their first cylinder. Ports stand on the outer side of a bank. Lengths are those of
// pipes laid square along and across the engine: a drawn manifold has bends of equal length that this does not know. Source: PRACTICE.
func Exhausts(t *layout.Train, s Stand) []Pipes {
	groups := map[string][]port{}
	var names []string
	for _, p := range ports(t, s, func(k int) float64 { return outward(s, k) }) {
		name := t.Cylinders[p.cylinder].Exhaust
		if name == "" {
			name = s.Banks[p.bank].Name
		}
		if groups[name] == nil {
			names = append(names, name)
		}
		groups[name] = append(groups[name], p)
	}
	var out []Pipes
	for _, name := range names {
		m := Pipes{Name: name}
		byBank := map[int][]port{}
		var banks []int
		for _, p := range groups[name] {
			if byBank[p.bank] == nil {
				banks = append(banks, p.bank)
			}
			byBank[p.bank] = append(byBank[p.bank], p)
		}
		var collectors []port
		for _, k := range banks {
			at := middle(byBank[k])
			collectors = append(collectors, at)
			for _, p := range byBank[k] {
				m.Cylinders = append(m.Cylinders, p.cylinder)
				m.Runners = append(m.Runners, LeastRunner*t.Bore+math.Abs(p.x-at.x))
			}
		}
		m.Banks = len(collectors)
		m.Crossover = path(collectors)
		out = append(out, m)
	}
	return out
}

// middle is the mean place of ports.
func middle(list []port) port {
	var at port
	n := complex(float64(len(list)), 0)
	for _, p := range list {
		at.x += p.x / real(n)
		at.w += p.w / n
	}
	return at
}

// path is the length of pipe that joins places round the engine, the widest gap left open.
func path(list []port) float64 {
	if len(list) < 2 {
		return 0
	}
	slices.SortStableFunc(list, func(a, b port) int {
		switch x, y := cmplx.Phase(a.w), cmplx.Phase(b.w); {
		case x < y-sameAxis:
			return -1
		case x > y+sameAxis:
			return 1
		}
		return 0
	})
	sum, widest := 0.0, 0.0
	for i, p := range list {
		q := list[(i+1)%len(list)]
		d := cmplx.Abs(p.w-q.w) + math.Abs(p.x-q.x)
		sum += d
		widest = math.Max(widest, d)
	}
	return sum - widest
}

// Intakes returns the intake manifolds.
//
//	a bank alone, or banks more than 120° apart: one each, runner = 2 bore
//	two banks up to 120° apart: one in the valley, runner = bore + distance of the port from the middle of all ports
//	a star: one behind the crankcase, runner = distance of the port from the crank axis
//
// with
//   - t: a train that layout.Validate accepts, with bore [m]
//   - s: its stand
//
// Result [m]. Source: PRACTICE.
func Intakes(t *layout.Train, s Stand) []Pipes {
	all := ports(t, s, func(k int) float64 { return -outward(s, k) })
	valley := len(s.Banks) == 2 && s.Included <= ValleyAngle
	if !s.Star && !valley {
		var out []Pipes
		for _, b := range s.Banks {
			m := Pipes{Name: b.Name, Banks: 1}
			for _, i := range b.Cylinders {
				m.Cylinders = append(m.Cylinders, i)
				m.Runners = append(m.Runners, 2*LeastRunner*t.Bore)
			}
			out = append(out, m)
		}
		return out
	}
	m := Pipes{Name: "the valley", Banks: len(s.Banks)}
	at := middle(all).w
	for _, p := range all {
		length := LeastRunner*t.Bore + cmplx.Abs(p.w-at)
		if s.Star {
			length = cmplx.Abs(p.w)
		}
		m.Cylinders = append(m.Cylinders, p.cylinder)
		m.Runners = append(m.Runners, length)
	}
	if s.Star {
		m.Name = "behind the crankcase"
	}
	return []Pipes{m}
}

// Length returns all pipes of a manifold together.
//
// Result [m]. Definition.
func (p Pipes) Length() float64 {
	sum := p.Crossover
	for _, r := range p.Runners {
		sum += r
	}
	return sum
}
