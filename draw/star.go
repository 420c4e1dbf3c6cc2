package draw

import (
	"math"
	"math/cmplx"
	"slices"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/inertia"
)

// Quantity is one of the two plane vectors that shake an engine.
type Quantity int

// The two quantities.
const (
	Force  Quantity = iota // shaking force
	Moment                 // shaking moment about the reference of the train
)

// String returns the word of the quantity, force or moment [-]. Definition.
func (q Quantity) String() string {
	if q == Moment {
		return "moment"
	}
	return "force"
}

func (q Quantity) title() string {
	if q == Moment {
		return "Shaking moment"
	}
	return "Shaking force"
}

func (q Quantity) unit() string {
	if q == Moment {
		return "N m"
	}
	return "N"
}

// pair returns an order's phasors of the quantity.
func (q Quantity) pair(o analysis.Order) analysis.Pair {
	if q == Moment {
		return o.Moment
	}
	return o.Force
}

// phasor is one part's arrow in a star.
type phasor struct {
	kind  inertia.SourceKind
	names []string // of all parts whose vectors are the same
	value complex128
	aside float64 // how far it is set beside others of its direction, in units of the drawing
}

// phasors returns the arrows of one half of a star, those that lie on each other gathered into one.
// still names the parts that add nothing.
func phasors(r *analysis.Result, k int, q Quantity, isWith bool) (out []phasor, still []string) {
	longest := 0.0
	var all []phasor
	for _, c := range r.Contributions(k) {
		v := phasor{kind: c.Kind, names: []string{partName(r, c)}}
		switch {
		case q == Moment && isWith:
			v.value = c.MomentWith(r.Train.Reference)
		case q == Moment:
			v.value = c.MomentAgainst(r.Train.Reference)
		case isWith:
			v.value = c.With
		default:
			v.value = c.Against
		}
		if !isWith && (c.Kind == inertia.FromThrow || c.Kind == inertia.FromCounterweight) {
			continue // nothing on the crank can turn against it
		}
		if c.Kind == inertia.FromShaft && (c.With != 0) != isWith {
			continue
		}
		if !finite(cmplx.Abs(v.value)) {
			continue
		}
		longest = math.Max(longest, cmplx.Abs(v.value))
		all = append(all, v)
	}
	for _, v := range all {
		if cmplx.Abs(v.value) <= 1e-9*longest {
			still = append(still, v.names[0])
			continue
		}
		same := slices.IndexFunc(out, func(o phasor) bool {
			return o.kind == v.kind && cmplx.Abs(o.value-v.value) < 0.01*cmplx.Abs(v.value)
		})
		if same >= 0 {
			out[same].names = append(out[same].names, v.names[0])
			continue
		}
		out = append(out, v)
	}
	setAside(out)
	return out, still
}

// setAside moves arrows that point the same way beside each other, the longest in the middle.
func setAside(all []phasor) {
	done := make([]bool, len(all))
	for i := range all {
		if done[i] {
			continue
		}
		row := []int{i}
		for j := i + 1; j < len(all); j++ {
			if !done[j] && math.Abs(cmplx.Phase(all[j].value/all[i].value)) < 0.012 {
				row = append(row, j)
				done[j] = true
			}
		}
		slices.SortStableFunc(row, func(a, b int) int {
			return -compare(cmplx.Abs(all[a].value), cmplx.Abs(all[b].value))
		})
		for n, j := range row {
			side := float64((n + 1) / 2)
			if n%2 == 1 {
				side = -side
			}
			all[j].aside = 5 * side
		}
	}
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// throwName marks a throw's name with a T where it has none.
func throwName(name string) string {
	if strings.HasPrefix(name, "T") {
		return name
	}
	return "T" + name
}

// partName is the short name of a part in a star: a cylinder by its name, others with a letter.
func partName(r *analysis.Result, c inertia.Contribution) string {
	t := r.Train
	switch c.Kind {
	case inertia.FromThrow:
		if c.Index < len(t.Throws) {
			return throwName(t.Throws[c.Index].Name)
		}
	case inertia.FromCounterweight:
		return "W" + count(c.Index+1)
	case inertia.FromShaft:
		return "S" + count(c.Index+1)
	case inertia.FromCylinder:
		if c.Index < len(t.Cylinders) {
			return t.Cylinders[c.Index].Name
		}
	}
	return count(c.Index + 1)
}

// lookOf returns how the arrows of a kind of part are drawn.
func lookOf(kind inertia.SourceKind, isWith bool) look {
	switch kind {
	case inertia.FromThrow, inertia.FromCounterweight:
		return pen(third, normal).in(chain)
	case inertia.FromShaft:
		return pen(fourth, normal).in(dotted)
	}
	if isWith {
		return pen(with, normal)
	}
	return pen(against, normal).in(dashed)
}

// mark draws what stands at the tip of a part's arrow: a head for a cylinder, a square for a throw, a
// diamond for a counterweight, a ring for a balance shaft.
func mark(s *scene, kind inertia.SourceKind, tip, u point, l look) {
	const r = 4.
	switch kind {
	case inertia.FromThrow:
		c := tip.minus(u.times(r))
		s.add(rectangle(c.x-r*0.9, c.y-r*0.9, 1.8*r, 1.8*r), pen(l.stroke, 1.3).filled(paper))
	case inertia.FromCounterweight:
		c := tip.minus(u.times(r))
		s.add(polygon{points: []point{{c.x, c.y - 1.3*r}, {c.x + 1.3*r, c.y}, {c.x, c.y + 1.3*r}, {c.x - 1.3*r, c.y}}}, solid(l.stroke))
	case inertia.FromShaft:
		s.add(circle{tip.minus(u.times(r)), r}, pen(l.stroke, 1.6).filled(paper))
	default:
		s.add(arrowhead(tip, u, 10), solid(l.stroke))
	}
}

// blockArrow draws a hollow arrow, the sign of a resultant. Where broken, a gap says that its length is
// not to scale.
func (s *scene) blockArrow(a, b point, broken bool) {
	d := b.minus(a)
	if d.length() < 3 {
		return
	}
	u := d.unit()
	n := u.left()
	half := math.Min(5.5, 0.14*d.length())
	head := math.Min(16, 0.6*d.length())
	neck := b.minus(u.times(head))
	outline := polygon{points: []point{
		a.plus(n.times(half)), neck.plus(n.times(half)), neck.plus(n.times(2 * half)), b,
		neck.minus(n.times(2 * half)), neck.minus(n.times(half)), a.minus(n.times(half)),
	}}
	s.add(outline, pen(ink, 1.3).filled(band))
	if !broken {
		return
	}
	c := a.towards(b, 0.62)
	slant := n.times(1.7 * half).plus(u.times(2.5))
	gap := u.times(2.5)
	s.add(polygon{points: []point{c.plus(slant).plus(gap), c.minus(slant).plus(gap), c.minus(slant).minus(gap), c.plus(slant).minus(gap)}}, solid(paper))
	s.line(c.plus(slant).plus(gap), c.minus(slant).plus(gap), pen(ink, 1.3))
	s.line(c.plus(slant).minus(gap), c.minus(slant).minus(gap), pen(ink, 1.3))
}

// planeAxes draws the axes y, to the right, and z, upwards.
func (s *scene) planeAxes(c point, r float64) {
	s.line(point{c.x - r, c.y}, point{c.x + r, c.y}, pen(rule, thin))
	s.line(point{c.x, c.y + r}, point{c.x, c.y - r}, pen(rule, thin))
	s.text(label{at: point{c.x + r + 4, c.y + 4}, text: "y", size: sizeSmall, paint: soft})
	s.text(label{at: point{c.x, c.y - r - 5}, text: "z", size: sizeSmall, align: middle, paint: soft})
}
