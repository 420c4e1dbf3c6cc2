package envelope

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// ClearanceKind is what comes near to what.
type ClearanceKind string

// The clearances that are looked at.
const (
	CrownToHead   ClearanceKind = "piston crown to head joint"
	SkirtToCheek  ClearanceKind = "piston skirt to web or counterweight"
	SkirtToBigEnd ClearanceKind = "piston skirt to another big end"
	ShankToBore   ClearanceKind = "rod shank to lower edge of bore"
	BigEndToBore  ClearanceKind = "big end to lower edge of bore"
	BoreToBore    ClearanceKind = "bore to bore of another bank"
	PistonToOther ClearanceKind = "piston to piston of another bank"
	HeadToHead    ClearanceKind = "head to head of another bank"
	TurningToSump ClearanceKind = "what turns to bottom of sump"
	ShaftToCrank  ClearanceKind = "balance shaft to what the crank sweeps"
	RodThrough    ClearanceKind = "big end through its bore"

	SkirtToFlyingWeb ClearanceKind = "piston skirt to flying web"
)

// Clearance is the room between two parts where they come nearest over a cycle.
type Clearance struct {
	Kind  ClearanceKind
	Parts string    // which they are
	Room  float64   // [m]; negative: they meet
	At    num.Angle // crank angle at which they are nearest [rad], where Turns
	Turns bool      // it depends on the crank angle
	Means string    // what follows where they meet
}

// Conflict reports whether two parts meet: less room than −1 µm [-]. Definition.
func (c Clearance) Conflict() bool { return c.Room < -1e-6 }

// clearances finds the nearest of each kind.
func (f *frame) clearances() []Clearance {
	var out []Clearance
	for _, find := range []func() (Clearance, bool){
		f.crowns, f.skirts, func() (Clearance, bool) { return f.facing(SkirtToBigEnd) }, func() (Clearance, bool) { return f.facing(SkirtToFlyingWeb) },
		func() (Clearance, bool) { return f.rodAndBores(false) }, func() (Clearance, bool) { return f.rodAndBores(true) },
		f.bores, f.pistonPairs, f.headPairs, f.sumpRoom, f.shaftRoom, f.through,
	} {
		if c, ok := find(); ok {
			out = append(out, c)
		}
	}
	return out
}

// crowns finds the least room between a piston and the head joint at top dead centre.
func (f *frame) crowns() (Clearance, bool) {
	c := Clearance{Kind: CrownToHead, Room: math.Inf(1), Means: "the deck is too low for rod, throw and piston"}
	for i, m := range f.cylinder {
		if room := f.b.DeckHeight - m.high - m.crown; room < c.Room {
			top, _, err := m.link.DeadCentres()
			if err != nil {
				continue
			}
			c.Room, c.Parts, c.At, c.Turns = room, "cylinder "+f.t.Cylinders[i].Name, (top - m.phase).Wrap(num.Turn), true
		}
	}
	return c, c.Turns
}

// skirts finds the least room between a piston at bottom dead centre and a web or its counterweight.
func (f *frame) skirts() (Clearance, bool) {
	webs := balance.Webs(f.t)
	radius := make([]float64, len(webs))
	for j := range radius {
		radius[j] = f.t.Crank.Web.Width / 2
	}
	for _, u := range f.t.Counterweights {
		nearest, gap := -1, math.Inf(1)
		for j, w := range webs {
			if d := math.Abs(w.At - u.At); d < gap {
				nearest, gap = j, d
			}
		}
		if nearest >= 0 && u.Amount != 0 {
			radius[nearest] = max(radius[nearest], f.b.CounterweightRadius)
		}
	}
	list, err := balance.SkirtClearances(f.t, webs, radius, f.b.PistonSkirt)
	if err != nil || len(list) == 0 {
		return Clearance{}, false
	}
	w, m := list[0], &f.cylinder[list[0].Cylinder]
	return Clearance{
		Kind: SkirtToCheek, Room: w.Gap, At: (m.bottom - m.phase).Wrap(num.Turn), Turns: true,
		Parts: fmt.Sprintf("cylinder %s, web of %s", f.t.Cylinders[w.Cylinder].Name, f.t.Throws[webs[w.Web].Throw].Name),
		Means: "shorten the skirt, lengthen the rod, or turn the counterweights in a smaller circle",
	}, true
}

// walls returns the metal beside a bore in the plane of a rod, in the frame of the bore's own cylinder: from its lower edge up.
func (f *frame) walls(bore, rod int, thick float64) [][]complex128 {
	c, row := &f.t.Cylinders[bore], &f.rows[f.rowOf[bore]]
	d := max(0, math.Abs(f.t.Cylinders[rod].At-c.At)-thick/2)
	if bore == rod {
		d = thick / 2
	}
	if d >= f.bore/2 || row.Deck <= row.Lower {
		return nil
	}
	h := math.Sqrt(f.bore*f.bore/4 - d*d)
	outer := h + BarrelShare*f.bore
	box := func(a, b float64) []complex128 {
		return []complex128{complex(row.Lower, c.Offset+a), complex(row.Deck, c.Offset+a), complex(row.Deck, c.Offset+b), complex(row.Lower, c.Offset+b)}
	}
	return [][]complex128{box(h, outer), box(-outer, -h)}
}

// rodAndBores finds the least room between a rod and the lower edge of a bore over a revolution: the shank in its own bore,
// the big end and all bores that stand in its plane.
func (f *frame) rodAndBores(bigEnd bool) (Clearance, bool) {
	const steps = 72
	type pair struct {
		link motion.Linkage
		turn complex128
		d, e float64
		own  bool
	}
	seen := map[pair]bool{} // equal pairs are equally near, at another crank angle
	best := Clearance{Kind: ShankToBore, Room: math.Inf(1), Means: "shorten the bores at their lower ends, or make the rod longer or its shank slimmer"}
	thick := 0.25 * f.bore
	if bigEnd {
		best.Kind, best.Means = BigEndToBore, "shorten the bores at their lower ends, make the rod longer, or its big end narrower"
		thick = 0.8 * f.t.Crank.Crankpin.Width
	}
	for i := range f.cylinder {
		m := &f.cylinder[i]
		big, shank := f.rodCorners(i)
		corners := shank
		if bigEnd {
			corners = big
		}
		for j := range f.cylinder {
			if !bigEnd && j != i || bigEnd && math.Abs(f.t.Cylinders[i].At-f.t.Cylinders[j].At) > f.bore {
				continue
			}
			walls := f.walls(j, i, thick)
			if walls == nil {
				continue
			}
			turn := m.axis / f.cylinder[j].axis
			key := pair{m.link, turn, math.Round(1e9 * math.Abs(f.t.Cylinders[i].At-f.t.Cylinders[j].At)), f.t.Cylinders[j].Offset, i == j}
			if seen[key] {
				continue
			}
			seen[key] = true
			by := func(measure func(a, b []complex128) float64) func(s motion.State) float64 {
				return func(s motion.State) float64 {
					at := placed(corners, s)
					for k := range at {
						at[k] *= turn
					}
					return min(measure(at, walls[0]), measure(at, walls[1]))
				}
			}
			sketch, roomAt := by(separation), by(Distance)
			room, angle := math.Inf(1), num.Angle(0)
			m.poses(steps, func(φ num.Angle, s motion.State) {
				if r := sketch(s); r < room {
					room, angle = r, φ
				}
			})
			room, angle = m.refined(angle, num.Turn/steps, roomAt)
			if room < best.Room {
				best.Room, best.At, best.Turns = room, (angle - m.phase).Wrap(num.Turn), true
				best.Parts = "cylinder " + f.t.Cylinders[i].Name
				if j != i {
					best.Parts = fmt.Sprintf("rod %s, bore of cylinder %s", f.t.Cylinders[i].Name, f.t.Cylinders[j].Name)
				}
			}
		}
	}
	return best, best.Turns
}

// refined follows the smallest of a function of a rod's place about a crank angle.
func (m *moved) refined(at, step num.Angle, f func(motion.State) float64) (float64, num.Angle) {
	return smallest(at, step, func(φ num.Angle) float64 {
		s, err := m.link.At(φ)
		if err != nil {
			return math.Inf(1)
		}
		return f(s)
	})
}

// smallest returns the smallest of a function within a step of a crank angle, and where it is, by golden section.
func smallest(at, step num.Angle, f func(num.Angle) float64) (float64, num.Angle) {
	const golden = 0.6180339887498949
	value := f(at)
	lo, hi := at-step, at+step
	a, b := hi-(hi-lo)*golden, lo+(hi-lo)*golden
	fa, fb := f(a), f(b)
	for range 40 {
		if fa < fb {
			hi, b, fb = b, a, fa
			a = hi - (hi-lo)*golden
			fa = f(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + (hi-lo)*golden
			fb = f(b)
		}
	}
	if fa < value {
		return fa, a
	}
	return value, at
}

// neighbours calls visit with all pairs of cylinders of rows that lean less than half a turn from each other and that
// overlap along the crank.
func (f *frame) neighbours(visit func(i, j int)) {
	for i := range f.cylinder {
		for j := i + 1; j < len(f.cylinder); j++ {
			a, b := &f.t.Cylinders[i], &f.t.Cylinders[j]
			turn := math.Abs(math.Remainder(float64(a.Axis-b.Axis), 2*math.Pi))
			if f.rowOf[i] != f.rowOf[j] && turn < 0.999*math.Pi && math.Abs(a.At-b.At) < 1.5*f.bore {
				visit(i, j)
			}
		}
	}
}

func (f *frame) barrelOf(i int, foot, top float64) *barrel {
	c := &f.t.Cylinders[i]
	return &barrel{at: c.At, foot: foot, top: top, axis: f.cylinder[i].axis, offset: c.Offset, diameter: f.bore}
}

// bores finds the least metal between bores of two banks.
func (f *frame) bores() (Clearance, bool) {
	best := Clearance{Kind: BoreToBore, Room: math.Inf(1), Means: "widen the bank angle, raise the decks with longer rods, shorten the bores, offset the cylinders, or stagger the banks more"}
	f.neighbours(func(i, j int) {
		r, o := &f.rows[f.rowOf[i]], &f.rows[f.rowOf[j]]
		if room := f.barrelOf(i, r.Lower, r.Deck).room(f.barrelOf(j, o.Lower, o.Deck)); room < best.Room {
			best.Room, best.Parts = room, f.pair(i, j)
		}
	})
	return best, best.Parts != ""
}

func (f *frame) pair(i, j int) string {
	return fmt.Sprintf("cylinders %s and %s", f.t.Cylinders[i].Name, f.t.Cylinders[j].Name)
}

// pistonPairs finds where pistons of two banks come nearest over a revolution.
func (f *frame) pistonPairs() (Clearance, bool) {
	const steps = 90
	best := Clearance{Kind: PistonToOther, Room: math.Inf(1), Means: "cut the skirts away where they face, widen the bank angle, or make the rods longer; skirts count as full cylinders"}
	place := func(i int, θ num.Angle) (*barrel, bool) {
		m := &f.cylinder[i]
		s, err := m.link.At(θ + m.phase)
		if err != nil {
			return nil, false
		}
		x := real(s.Piston.Pos)
		return f.barrelOf(i, x-f.b.PistonSkirt, x+m.crown), true
	}
	type pair struct {
		a, b   motion.Linkage
		phase  float64
		axes   [2]complex128
		offset [2]float64
		d      float64
	}
	seen := map[pair]bool{}
	f.neighbours(func(i, j int) {
		p, q := &f.cylinder[i], &f.cylinder[j]
		c, o := &f.t.Cylinders[i], &f.t.Cylinders[j]
		key := pair{p.link, q.link, math.Round(1e9 * math.Remainder(float64(p.phase-q.phase), 2*math.Pi)), [2]complex128{p.axis, q.axis}, [2]float64{c.Offset, o.Offset}, math.Round(1e9 * (c.At - o.At))}
		if seen[key] {
			return
		}
		seen[key] = true
		apart := func(θ num.Angle) float64 {
			p, ok := place(i, θ)
			q, both := place(j, θ)
			if !ok || !both {
				return math.Inf(1)
			}
			a, b := p.section((p.at+q.at)/2), q.section((p.at+q.at)/2)
			if a == nil || b == nil {
				return math.Inf(1)
			}
			return separation(a, b)
		}
		room, at := math.Inf(1), num.Angle(0)
		for _, θ := range revolution(steps) {
			if d := apart(θ); d < room {
				room, at = d, θ
			}
		}
		if math.IsInf(room, 1) {
			return // they stand clear of each other along the crank
		}
		_, at = smallest(at, num.Turn/steps, apart)
		a, ok := place(i, at)
		b, both := place(j, at)
		if ok && both {
			if room = a.room(b); room < best.Room {
				best.Room, best.Parts, best.At, best.Turns = room, f.pair(i, j), at.Wrap(num.Turn), true
			}
		}
	})
	return best, best.Turns
}

// headPairs finds the least room between heads of two banks.
func (f *frame) headPairs() (Clearance, bool) {
	best := Clearance{Kind: HeadToHead, Room: math.Inf(1)}
	for k := range f.tops {
		for l := k + 1; l < len(f.tops); l++ {
			a, b := &f.tops[k].Row, &f.tops[l].Row
			if a.From >= b.To || b.From >= a.To {
				continue
			}
			room := Distance(a.rectangle(a.Deck, a.Top, -a.HeadHalf, a.HeadHalf), b.rectangle(b.Deck, b.Top, -b.HeadHalf, b.HeadHalf))
			if room < best.Room {
				best.Room, best.Parts = room, fmt.Sprintf("banks %s and %s", a.called(k), b.called(l))
				best.Means = "widen the bank angle, raise the decks with longer rods, or offset the cylinders"
				if math.Abs(math.Remainder(float64(a.Axis-b.Axis), 2*math.Pi)) <= float64(layout.NarrowAngle) {
					best.Means = "one head over both banks is needed, making: {heads: shared}, or a wider bank angle"
				}
			}
		}
	}
	return best, best.Parts != ""
}

func (r *Row) called(k int) string {
	if r.Name != "" {
		return r.Name
	}
	return fmt.Sprint(k + 1)
}

// sumpRoom finds the room between the bottom of the sump and what turns.
func (f *frame) sumpRoom() (Clearance, bool) {
	if !f.hasSump {
		return Clearance{}, false
	}
	return Clearance{
		Kind: TurningToSump, Parts: "rods and counterweights", Room: f.b.SumpDepth - f.swept.Reach(num.Turn/2), Means: "make the sump deeper",
	}, true
}

// shaftRoom finds the least room between a balance shaft and the outline of what the crank sweeps.
func (f *frame) shaftRoom() (Clearance, bool) {
	best := Clearance{Kind: ShaftToCrank, Room: math.Inf(1), Means: "move the shaft further out"}
	outline := f.swept.points(0)
	for i := range f.t.Shafts {
		centre := complex(f.t.Shafts[i].Y, f.t.Shafts[i].Z)
		radius := 0.1 * f.bore
		for _, s := range f.shafts() {
			if c := complex(s.A.Y, s.A.Z); c == centre {
				radius = max(radius, s.Outer)
			}
		}
		if len(outline) == 0 {
			continue
		}
		k := (int(math.Round(cmplx.Phase(centre/1i)*180/math.Pi))%Directions + Directions) % Directions
		away := math.Inf(1)
		for j, p := range outline {
			away = min(away, toSegment(centre, p, outline[(j+1)%len(outline)]))
		}
		if cmplx.Abs(centre) < f.swept[k] {
			away = -away
		}
		if room := away - radius; room < best.Room {
			best.Room, best.Parts = room, fmt.Sprintf("balance shaft %d", i+1)
		}
	}
	return best, best.Parts != ""
}

// through finds whether the big ends pass through the bores when pistons are fitted from above.
func (f *frame) through() (Clearance, bool) {
	return Clearance{
		Kind: RodThrough, Parts: "rods and bores", Room: f.bore - f.b.BigEndWidth,
		Means: "the rods cannot be fitted from above; split the big ends obliquely or make them narrower",
	}, true
}
