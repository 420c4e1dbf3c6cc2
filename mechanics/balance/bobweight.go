package balance

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/inertia"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// PartKind says how a part of piston or rod moves.
type PartKind int

// The two ways in which the balancing shop books a part.
const (
	Rotating      PartKind = iota // turns with the crankpin: big end, bearing shells, oil in the pin
	Reciprocating                 // slides with the piston: small end, piston, piston pin, locks, rings
)

// String returns the kind in the words of a list of parts [-]. Definition.
func (k PartKind) String() string {
	if k == Reciprocating {
		return "reciprocating"
	}
	return "rotating"
}

// Part is one line of a list of weighed parts.
type Part struct {
	Name     string
	Mass     float64 // of one piece [kg]
	Count    int     // pieces in each cylinder
	Kind     PartKind
	Cylinder int // 1 + index of the cylinder that has it; 0: every cylinder
}

// The bounds of a list of parts. Definition: far beyond what any engine has, so that a slip of the
// keyboard is told from a part.
const (
	MaxPartMass  = 1e4 // [kg]
	MaxPartCount = 100 // pieces in each cylinder
)

// FileParts returns the parts as the engine file knows them: the two shares of the rod and the piston.
//
//	m_rot = m_rod (1 − c/l)   m_rec = m_rod c/l + m_piston
//
// with
//   - t: a train that layout.Validate accepts
//
// Result [kg], one line for all cylinders where they are alike, else one for each. Forces are exact in
// it. Source: KG, ch. 15, dynamically equivalent masses.
func FileParts(t *layout.Train) []Part {
	alike := true
	for _, c := range t.Cylinders {
		first := t.Cylinders[0]
		alike = alike && c.Piston.Mass == first.Piston.Mass && c.Rod.Mass == first.Rod.Mass &&
			c.Rod.CG*first.Rod.Length == first.Rod.CG*c.Rod.Length
	}
	var parts []Part
	for i, c := range t.Cylinders {
		of := i + 1
		if alike {
			of = 0
		}
		for _, p := range []Part{
			{"rod, big-end share", inertia.RotatingShare(c.Rod), 1, Rotating, of},
			{"rod, small-end share", inertia.ReciprocatingShare(c.Rod), 1, Reciprocating, of},
			{"piston, complete", c.Piston.Mass, 1, Reciprocating, of},
		} {
			if p.Mass > 0 {
				parts = append(parts, p)
			}
		}
		if alike {
			break
		}
	}
	return parts
}

// Bobweight is the ring mass that stands for pistons and rods on one crankpin while the crank is
// balanced.
type Bobweight struct {
	Throw         int     // index of the throw
	Cylinders     []int   // whose rods the pin carries
	Rotating      float64 // mass that turns with the pin [kg]
	Reciprocating float64 // mass that slides [kg]
	Mass          float64 // of the bobweight: rotating + factor × reciprocating [kg]
	Linked        bool    // a linked rod is among them: its big end counts as if it sat on the pin
}

// First is the shaking of the first order, per ω².
type First struct {
	With, Against             complex128 // force with and against the crank [kg m]
	MomentWith, MomentAgainst complex128 // moment about the reference [kg m²]
}

// Mirror returns the first order as a crank makes it that turns the other way.
//
//	force: w → −conj w    moment: w → conj w
//
// Result per ω² [kg m] and [kg m²]. Definition.
func (f First) Mirror() First {
	return First{
		With: -cmplx.Conj(f.With), Against: -cmplx.Conj(f.Against),
		MomentWith: cmplx.Conj(f.MomentWith), MomentAgainst: cmplx.Conj(f.MomentAgainst),
	}
}

// Card is what the balancing shop needs for one crank, and what it leaves.
type Card struct {
	Factor float64 // share of the reciprocating mass that the bobweights carry [1]
	Parts  []Part
	Bobs   []Bobweight // one a pin

	Bob     First // what the bobweights do: with the crank only
	Sliding First // half of the sliding masses, as if each sat on its pin: what a factor of ½ takes
	Left    First // of the engine whose crank was balanced with these bobweights
	AtHalf  First // the same for a factor of ½

	// Best is the factor of least force turning with the crank, or of least moment where the sliding masses
	// of all pins cancel in force [1]: ½ for central cylinders; ½ also where both cancel.
	Best float64

	force, moment float64 // sums of magnitudes of Sliding: what counts as nothing is measured by them
}

// BobweightCard returns the bobweights of a crank and what the first order keeps of them.
//
//	m_bob = Σ m_rot + k Σ m_rec                            over the rods of the pin
//	W⁺_left = Σ ½ m_rec r i e^{iψ} + Σ (m_rot − m_bob) r i e^{iψ} = (½ − k) Σ m_rec r i e^{iψ}
//
// with
//   - t: a train that layout.Validate accepts; its throws and counterweights do not count, because the
//     shop balances them away
//   - parts: weighed parts [kg]; every cylinder needs some of each kind
//   - k: factor of the reciprocating masses [1], 0 to 1
//
// Results [kg], and per ω² [kg m] and [kg m²]. The second line holds for central cylinders; what is left
// is taken from the exact motion, offsets and linked rods included. Angles are as written in the file,
// also of a clockwise train. Errors: layout.Problems, parts or a factor that cannot be,
// motion.ErrReach. Source: IDENTITY, the forward first order of docs/notation.md.
func BobweightCard(t *layout.Train, parts []Part, k float64) (*Card, error) {
	if err := layout.Validate(t); err != nil {
		return nil, err
	}
	if !(k >= 0 && k <= 1) {
		return nil, fmt.Errorf("a factor of %s %% is not possible; 0 %% to 100 %% of the reciprocating mass can be counted", num.Digits(100*k, 4))
	}
	turning, sliding, err := cylinderMasses(t, parts)
	if err != nil {
		return nil, err
	}
	c := &Card{Factor: k, Parts: parts}
	half := make([]float64, len(t.Throws))
	mass := make([]float64, len(t.Throws))
	for i, th := range t.Throws {
		b := Bobweight{Throw: i}
		for j, cyl := range t.Cylinders {
			if cyl.Throw == i {
				b.Cylinders = append(b.Cylinders, j)
				b.Rotating += turning[j]
				b.Reciprocating += sliding[j]
				b.Linked = b.Linked || cyl.Rod.Linked
			}
		}
		b.Mass = b.Rotating + k*b.Reciprocating
		mass[i], half[i] = b.Mass, b.Rotating+b.Reciprocating/2
		c.Bobs = append(c.Bobs, b)
		u, arm := complex(0, th.Radius)*th.Angle.Unit(), complex(0, th.At-t.Reference)
		c.Bob.With += complex(b.Mass, 0) * u
		c.Bob.MomentWith += complex(b.Mass, 0) * u * arm
		c.Sliding.With += complex(b.Reciprocating/2, 0) * u
		c.Sliding.MomentWith += complex(b.Reciprocating/2, 0) * u * arm
		c.force += b.Reciprocating / 2 * th.Radius
		c.moment += b.Reciprocating / 2 * th.Radius * math.Abs(th.At-t.Reference)
	}
	if c.Left, err = leftBy(t, turning, sliding, mass); err != nil {
		return nil, err
	}
	if c.AtHalf, err = leftBy(t, turning, sliding, half); err != nil {
		return nil, err
	}
	for _, f := range []*First{&c.Bob, &c.Sliding, &c.Left, &c.AtHalf} {
		c.dropRounding(f)
	}
	c.Best = c.best()
	return c, nil
}

// best returns the factor of least forward part: W⁺(k) = W⁺(½) + (1 − 2k) S, S the forward sum that ½ takes.
func (c *Card) best() float64 {
	s, rest := c.Sliding.With, c.AtHalf.With
	if s == 0 {
		s, rest = c.Sliding.MomentWith, c.AtHalf.MomentWith
	}
	if s == 0 || rest == 0 {
		return 0.5
	}
	return math.Max(0, math.Min(1, 0.5+real(rest/s)/2))
}

// cylinderMasses adds up the list of parts by cylinder.
func cylinderMasses(t *layout.Train, parts []Part) (turning, sliding []float64, err error) {
	turning, sliding = make([]float64, len(t.Cylinders)), make([]float64, len(t.Cylinders))
	for _, p := range parts {
		switch {
		case !(p.Mass > 0 && p.Mass <= MaxPartMass):
			return nil, nil, fmt.Errorf("part %q: a mass of %s kg is not possible; it must be greater than zero and at most %g kg", p.Name, num.Digits(p.Mass, 4), float64(MaxPartMass))
		case p.Count < 1 || p.Count > MaxPartCount:
			return nil, nil, fmt.Errorf("part %q: a count of %d is not possible; 1 to %d pieces in each cylinder are", p.Name, p.Count, MaxPartCount)
		case p.Cylinder < 0 || p.Cylinder > len(t.Cylinders):
			return nil, nil, fmt.Errorf("part %q: there is no cylinder %d; the engine has %d", p.Name, p.Cylinder, len(t.Cylinders))
		case p.Kind != Rotating && p.Kind != Reciprocating:
			return nil, nil, fmt.Errorf("part %q: it is neither rotating nor reciprocating", p.Name)
		}
		to := turning
		if p.Kind == Reciprocating {
			to = sliding
		}
		for i := range to {
			if p.Cylinder == 0 || p.Cylinder == i+1 {
				to[i] += p.Mass * float64(p.Count)
			}
		}
	}
	for i := range t.Cylinders {
		missing := Rotating
		if turning[i] > 0 {
			missing = Reciprocating
		}
		if turning[i] == 0 || sliding[i] == 0 {
			return nil, nil, fmt.Errorf("cylinder %s has no %s part; give at least one of each kind for every cylinder", t.Cylinders[i].Name, missing)
		}
	}
	return turning, sliding, nil
}

// leftBy returns the first order of an engine with the weighed parts on a crank that was balanced with
// these masses on its pins: such a crank pulls against each pin as the bobweight did.
func leftBy(t *layout.Train, turning, sliding, bobs []float64) (First, error) {
	e := *t
	e.Rotation = layout.Anticlockwise
	e.Counterweights, e.Shafts = nil, nil
	e.Throws = append([]layout.Throw(nil), t.Throws...)
	e.Cylinders = append([]layout.Cylinder(nil), t.Cylinders...)
	for i := range e.Throws {
		e.Throws[i].Unbalance = -bobs[i] * e.Throws[i].Radius
	}
	for i := range e.Cylinders {
		c := &e.Cylinders[i]
		c.Piston.Mass = sliding[i]
		c.Rod.Mass, c.Rod.CG, c.Rod.Inertia = turning[i], 0, 0
	}
	var s inertia.Solver
	b, err := s.Solve(nil, &e, inertia.Options{})
	if err != nil {
		return First{}, err
	}
	var f First
	f.With, f.Against = b.Force.Order(2)
	f.MomentWith, f.MomentAgainst = b.Moment.Order(2)
	return f, nil
}

// nothingShare is the share of the sliding masses' force or moment below which a sum counts as nothing.
const nothingShare = 1e-9

func (c *Card) dropRounding(f *First) {
	for _, p := range []*complex128{&f.With, &f.Against} {
		if cmplx.Abs(*p) <= nothingShare*c.force {
			*p = 0
		}
	}
	for _, p := range []*complex128{&f.MomentWith, &f.MomentAgainst} {
		if cmplx.Abs(*p) <= nothingShare*max(c.moment, c.force*1e-3) {
			*p = 0
		}
	}
}

// Needless reports whether the bobweights of a card cancel each other, in force and in moment, so that
// the crank comes out of the balancing machine alike with and without them [-]. Definition.
func (c *Card) Needless() bool {
	return c.Bob.With == 0 && c.Bob.MomentWith == 0 && c.Sliding.With == 0 && c.Sliding.MomentWith == 0
}

// Counterweights returns the masses that the balancing machine leaves on a crank with the bobweights of a
// card, as if each throw were balanced by itself: one mass opposite each pin.
//
//	U = U_throw + m_bob r
//
// with
//   - t: the train of the card
//
// Result [kg m], ready to be the train's counterweights. In force and moment about any point it is what
// masses in two planes do. Source: DEFINITION, crank and bobweights together have no unbalance.
func (c *Card) Counterweights(t *layout.Train) []layout.Unbalance {
	var out []layout.Unbalance
	for _, b := range c.Bobs {
		th := t.Throws[b.Throw]
		if u := th.Unbalance + b.Mass*th.Radius; u > 0 {
			out = append(out, layout.Unbalance{At: th.At, Angle: (th.Angle + num.Turn/2).Wrap(num.Turn), Amount: u, Throw: 1 + b.Throw})
		}
	}
	return out
}
