package bearing

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/layout"
)

// LeastWall is the least metal between two bores of one bank, as a share of the bore [1]: cylinders cast together get
// 0.06 to 0.10, wet liners 0.15 or more (from memory). Source: PRACTICE.
const LeastWall = 0.08

// FlangeShare is the least thickness of the flange between two pins that overlap, as a share of the bore [1]; it guides
// the rods and has to carry nothing more. Source: PRACTICE.
const FlangeShare = 0.03

// FlyingShare is the least thickness of the web between two pins of one bay that do not overlap, over that of the webs
// beside the mains [1]. Scatter ±30 %. Source: PRACTICE.
const FlyingShare = 0.6

// PartKind is what a stretch of the crank is.
type PartKind string

// The stretches of a crank.
const (
	MainPart   PartKind = "main journal"
	PinPart    PartKind = "crankpin"
	WebPart    PartKind = "web"        // between a main journal and a crankpin
	FlyingWeb  PartKind = "flying web" // between two pins of one bay that do not overlap
	Flange     PartKind = "flange"     // between two pins that overlap
	ShaftPart  PartKind = "shaft"      // between two main journals
	noPartKind PartKind = ""
)

// Part is a stretch of the crank.
type Part struct {
	Kind     PartKind
	Name     string  // of a journal or pin; of a web the two it joins
	From, To float64 // along the crank [m]; To before From: the neighbours overlap
	Need     float64 // what it should have at least [m]
}

// Slack returns what a part has beyond its need.
//
//	slack = to − from − need
//
// Result [m]; negative: a conflict. Definition.
func (p Part) Slack() float64 { return p.To - p.From - p.Need }

// Pitch is the distance along the crank of two neighbouring bays, and what asks for it. Beside a single bay it is the
// distance of its two mains.
type Pitch struct {
	Bay   int     // index of the first of the two
	Have  float64 // between the middles of the bays [m]
	Crank float64 // what main journals, webs and pins need [m]
	Bores float64 // what bores and walls of one bank need [m]; 0: no two bores of one bank stand there
}

// BoresSet reports whether the bores, not the crank, set the pitch [-]. Definition.
func (p Pitch) BoresSet() bool { return p.Bores >= p.Crank }

// Slack returns the room beyond the larger of the two needs.
//
//	slack = have − max(crank, bores)
//
// Result [m]; negative: a conflict. Definition.
func (p Pitch) Slack() float64 { return p.Have - math.Max(p.Crank, p.Bores) }

// Needs are the widths that the parts of a crank should have at least [m]. A zero takes the train's own width, or the
// proportion of common practice. Estimated widths fill the spacing to the last millimetre, so whether bores or crank set
// the length shows only against widths that bearings and webs need for their loads.
type Needs struct {
	Main   float64 // main journal; 0: its own
	Pin    float64 // each crankpin; 0: the train's
	Web    float64 // beside a main; 0: the train's
	Flying float64 // between two pins that do not overlap; 0: FlyingShare of the web
	Flange float64 // between two pins that overlap; 0: FlangeShare of the bore, at most the flying web
	Wall   float64 // between two bores of one bank; 0: LeastWall of the bore
}

// Budget is what stands along a crank.
type Budget struct {
	Parts   []Part  // from the free end to the drive end
	Pitches []Pitch // from the free end to the drive end
	Needs   Needs   // as they were used
}

// Conflicts returns the parts that have less than they need.
//
// Result [m], along the crank: parts whose slack is below −1 µm. Definition.
func (b *Budget) Conflicts() []Part {
	var out []Part
	for _, p := range b.Parts {
		if p.Slack() < -1e-6 {
			out = append(out, p)
		}
	}
	return out
}

// Axial returns the axial budget of a crank: which part stands where, and whether bores or crank set its length.
//
//	web: has x_right − x_left less half the widths of its neighbours
//	pitch: crank main + 2 web + pins + what is between them, bores bore + wall, less how the cylinders stand apart
//
// with
//   - t: a train that layout.Validate accepts, with its bore and the widths of its crank
//   - mains: from the free end to the drive end; nil: those of Mains
//   - need: least widths [m]
//
// Result [m], exact bookkeeping of the places that the train has. Own pins in one bay need a flying web, split pins
// that overlap a flange. Errors: layout.Problems, ErrNoBore, ErrNoWidths, lengths that are none. Source: DEFINITION for
// the sums, PRACTICE for the least widths.
func Axial(t *layout.Train, mains []Main, need Needs) (*Budget, error) {
	if t == nil {
		return nil, errors.New("bearing: a train is needed, there is none")
	}
	if err := layout.Validate(t); err != nil {
		return nil, err
	}
	if !(t.Bore > 0) {
		return nil, ErrNoBore
	}
	if mains == nil {
		mains = Mains(t)
	}
	if err := checkMains(mains); err != nil {
		return nil, err
	}
	for _, x := range []float64{need.Main, need.Pin, need.Web, need.Flying, need.Flange, need.Wall} {
		if !(x >= 0) || x > 100 {
			return nil, fmt.Errorf("bearing: a least width of %g mm is none; 0 takes the usual one", 1e3*x)
		}
	}
	b := &Budget{Needs: need.filled(t)}
	if err := b.parts(t, mains); err != nil {
		return nil, err
	}
	b.pitches(t, mains)
	return b, nil
}

func (n Needs) filled(t *layout.Train) Needs {
	or := func(x *float64, usual float64) {
		if *x == 0 {
			*x = usual
		}
	}
	or(&n.Web, t.Crank.Web.Thickness)
	or(&n.Flying, FlyingShare*n.Web)
	or(&n.Flange, math.Min(FlangeShare*t.Bore, n.Flying))
	or(&n.Wall, LeastWall*t.Bore)
	return n
}

func (b *Budget) parts(t *layout.Train, mains []Main) error {
	all := seats(t, mains)
	for i, s := range all {
		if s.width <= 0 || s.diameter <= 0 || b.Needs.Web <= 0 {
			return ErrNoWidths
		}
		if i > 0 {
			before := all[i-1]
			p := Part{Name: before.name + " – " + s.name, From: before.at + before.width/2, To: s.at - s.width/2}
			p.Kind, p.Need = b.between(before, s)
			if p.Kind != noPartKind {
				b.Parts = append(b.Parts, p)
			}
		}
		kind := PinPart
		if s.throw < 0 {
			kind = MainPart
		}
		b.Parts = append(b.Parts, Part{kind, s.name, s.at - s.width/2, s.at + s.width/2, b.least(s.throw < 0, s.width)})
	}
	return nil
}

// least returns the width that a journal or pin of a given width needs.
func (b *Budget) least(main bool, width float64) float64 {
	need := b.Needs.Pin
	if main {
		need = b.Needs.Main
	}
	if need == 0 {
		return width
	}
	return need
}

// between returns what has to stand between two seats, and its least width.
func (b *Budget) between(l, r seat) (PartKind, float64) {
	switch {
	case l.throw < 0 && r.throw < 0:
		return ShaftPart, 0
	case l.throw < 0 || r.throw < 0:
		return WebPart, b.Needs.Web
	case l.overlap(r):
		return Flange, b.Needs.Flange
	default:
		return FlyingWeb, b.Needs.Flying
	}
}

func (b *Budget) pitches(t *layout.Train, mains []Main) {
	bays := Bays(t)
	middle := func(i int) float64 { return (bays[i].Lo + bays[i].Hi) / 2 }
	all := seats(t, nil)
	needOf := func(bay Bay) float64 { // from the face of its first web to that of its last
		length, last := 2*b.Needs.Web, -1
		for k, s := range all {
			if s.at < bay.Lo || s.at > bay.Hi {
				continue
			}
			if last >= 0 {
				_, between := b.between(all[last], s)
				length += between
			}
			length, last = length+b.least(false, s.width), k
		}
		return length
	}
	if len(bays) == 1 {
		n := len(mains)
		b.Pitches = []Pitch{{
			Have:  mains[n-1].At - mains[0].At,
			Crank: needOf(bays[0]) + (b.least(true, mains[0].Width)+b.least(true, mains[n-1].Width))/2,
		}}
		return
	}
	for i := 1; i < len(bays); i++ {
		p := Pitch{Bay: i - 1, Have: middle(i) - middle(i-1)}
		p.Crank = (needOf(bays[i-1])+needOf(bays[i]))/2 + b.widest(mains, middle(i-1), middle(i))
		for j := range t.Cylinders {
			for k := range t.Cylinders {
				l, r := &t.Cylinders[j], &t.Cylinders[k]
				if l.Bank != r.Bank || math.Abs(math.Remainder(float64(l.Axis-r.Axis), 2*math.Pi)) > 1e-9 ||
					!slices.Contains(bays[i-1].Throws, l.Throw) || !slices.Contains(bays[i].Throws, r.Throw) {
					continue
				}
				p.Bores = math.Max(p.Bores, t.Bore+b.Needs.Wall-(r.At-l.At-p.Have))
			}
		}
		b.Pitches = append(b.Pitches, p)
	}
}

// widest returns the widths of the mains between two places together; without any the two webs meet.
func (b *Budget) widest(mains []Main, lo, hi float64) float64 {
	sum := 0.0
	for _, m := range mains {
		if m.At > lo && m.At < hi {
			sum += b.least(true, m.Width)
		}
	}
	return sum
}
