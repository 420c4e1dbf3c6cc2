package bearing

import (
	"fmt"
	"math/cmplx"

	"crankwright/mechanics/layout"
)

// Frame is whose eye sees a polar diagram.
type Frame int

// The frames of polar diagrams.
const (
	InBlock   Frame = iota // y right, z up, seen from the drive end
	InJournal              // real part outward along the throw (mains: along θ = 0 of the crank), imaginary part ahead of it in the sense of rotation
	InRod                  // real part towards the small end, imaginary part ahead of it in the sense of rotation
)

// String returns the frame in words [-]. Definition.
func (f Frame) String() string {
	switch f {
	case InJournal:
		return "journal"
	case InRod:
		return "rod"
	}
	return "block"
}

// PolarMain returns the polar diagram of a main bearing: the force of the journal on the bearing.
//
//	in the journal: F/(i e^{iθ})
//
// with
//   - dst: receives the result where it is long enough; nil allocates
//   - l: of Loads
//   - main: index of the main
//   - f: InBlock shows where the bearing is loaded, InJournal where the journal wears
//
// Result [N] at every angle. Errors: no such main, a frame that a main has not. Definition.
func (m *Mechanism) PolarMain(dst []complex128, l *Loads, main int, f Frame) ([]complex128, error) {
	if l == nil || main < 0 || main >= len(m.Mains) || main >= len(l.Mains) || len(l.Mains[main]) != m.n {
		return nil, fmt.Errorf("bearing: there are no loads of main %d; the crank has %d mains", main+1, len(m.Mains))
	}
	if f != InBlock && f != InJournal {
		return nil, fmt.Errorf("bearing: a main bearing has no frame %q; take block or journal", f)
	}
	return m.turned(dst, l.Mains[main], func(j int) complex128 {
		if f == InBlock {
			return 0
		}
		return 1i * m.units[j]
	}), nil
}

// PolarBigEnd returns the polar diagram of a big end: the force of the rod, or of all rods that share its bearing, on the
// pin.
//
//	in the journal: Σ F/(i e^{i(ψ + θ)})      in the rod: Σ F/(i e^{iβ} d)
//
// with
//   - dst: receives the result where it is long enough; nil allocates
//   - l: of Loads
//   - cylinder: index of the cylinder
//   - f: InJournal shows the pin, InRod the bearing in the rod
//   - sharing: other cylinders whose rods share its bearing, as BigEnds has them; none: its own force alone
//
// Result [N] at every angle. The pin of a linked rod is fixed in its master, whose direction counts for InJournal.
// Errors: no such cylinder or frame. Definition.
func (m *Mechanism) PolarBigEnd(dst []complex128, l *Loads, cylinder int, f Frame, sharing ...int) ([]complex128, error) {
	for _, i := range append([]int{cylinder}, sharing...) {
		if l == nil || i < 0 || i >= len(m.rods) || i >= len(l.Of) || len(l.Of[i].BigEnd) != m.n {
			return nil, fmt.Errorf("bearing: there are no loads of cylinder %d; the engine has %d", i+1, len(m.rods))
		}
	}
	if f < InBlock || f > InRod {
		return nil, fmt.Errorf("bearing: a big end has no frame %d; take block, journal or rod", f)
	}
	r := &m.rods[cylinder]
	throw := 1i * m.train.Throws[m.train.Cylinders[cylinder].Throw].Angle.Unit()
	force := l.Of[cylinder].BigEnd
	if len(sharing) > 0 {
		force = append([]complex128(nil), force...)
		for _, i := range sharing {
			for j, f := range l.Of[i].BigEnd {
				force[j] += f
			}
		}
	}
	return m.turned(dst, force, func(j int) complex128 {
		switch {
		case f == InBlock:
			return 0
		case f == InRod:
			return r.place * r.toward[j%(m.n/2)]
		case r.master >= 0:
			carrier := &m.rods[r.master]
			return carrier.place * carrier.toward[j%(m.n/2)]
		default:
			return throw * m.units[j]
		}
	}), nil
}

// PolarSmallEnd returns the polar diagram of a small end: the force of the rod on the piston pin.
//
//	in the rod: P/d
//
// with
//   - dst: receives the result where it is long enough; nil allocates
//   - l: of Loads
//   - cylinder: index of the cylinder
//
// Result [N] at every angle, in the frame of the rod; CylinderLoads has it in that of the cylinder. Errors: no such
// cylinder. Definition.
func (m *Mechanism) PolarSmallEnd(dst []complex128, l *Loads, cylinder int) ([]complex128, error) {
	if l == nil || cylinder < 0 || cylinder >= len(m.rods) || cylinder >= len(l.Of) || len(l.Of[cylinder].SmallEnd) != m.n {
		return nil, fmt.Errorf("bearing: there are no loads of cylinder %d; the engine has %d", cylinder+1, len(m.rods))
	}
	dst = grown(dst, m.n)
	for j, p := range l.Of[cylinder].SmallEnd {
		dst[j] = p * cmplx.Conj(m.rods[cylinder].toward[j%(m.n/2)])
	}
	return dst, nil
}

// turned brings forces in the block's frame into the frame of a direction of the train as written; 0 is the block.
func (m *Mechanism) turned(dst, force []complex128, direction func(j int) complex128) []complex128 {
	dst = grown(dst, m.n)
	for j, f := range force {
		d := direction(j)
		if d == 0 {
			dst[j] = f
			continue
		}
		if m.train.Rotation == layout.Clockwise {
			f = -cmplx.Conj(f) // back to the train as written
		}
		dst[j] = f * cmplx.Conj(d)
	}
	return dst
}
