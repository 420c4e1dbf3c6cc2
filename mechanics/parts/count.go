package parts

import (
	"fmt"
	"math"

	"crankwright/mechanics/bearing"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// List is what an engine is made of.
type List struct {
	Stand    Stand
	Making   layout.Making // with what was open as it is usual
	Chosen   []Choice      // what was open
	Rows     []Row         // of what the engine has, in the order of Kinds
	Heads    int
	Drives   []Drive
	Exhausts []Pipes // empty without bore
	Intakes  []Pipes
	Mains    int
	Bays     []bearing.Bay
}

// counter gathers rows.
type counter struct {
	t    *layout.Train
	l    *List
	rows map[string]Row
}

// Count counts the parts of an engine.
//
//   - t: a train
//
// Result: numbers of pieces [1], lengths [m], masses [kg] where the train has them; nothing that the engine does not have.
// The sequence of cylinders in the train, and its mirror image, change nothing but names. Errors: layout.Problems of a train
// that layout.Validate refuses. Source: PRACTICE, the rules that each row names; counts by Definition.
func Count(t *layout.Train) (*List, error) {
	if err := layout.Validate(t); err != nil {
		return nil, err
	}
	l := &List{Stand: StandOf(t), Bays: bearing.Bays(t)}
	l.Making, l.Chosen = Usual(t)
	l.Mains = len(l.Bays) + 1
	l.Drives = Drives(t, l.Making, l.Stand)
	if t.Bore > 0 {
		l.Exhausts, l.Intakes = Exhausts(t, l.Stand), Intakes(t, l.Stand)
	}
	c := &counter{t: t, l: l, rows: map[string]Row{}}
	c.heads()
	c.valves()
	c.block()
	c.crank()
	c.balance()
	c.faces()
	c.pipes()
	c.rest()
	for _, k := range Kinds() {
		if r, ok := c.rows[k.Key]; ok && r.Count > 0 {
			r.Kind = k
			l.Rows = append(l.Rows, r)
		}
	}
	return l, nil
}

// Of returns how much of a kind the engine has.
//
//   - key: of Kinds
//
// Result [1] or [m]; 0 for none. Definition.
func (l *List) Of(key string) float64 {
	for _, r := range l.Rows {
		if r.Key == key {
			return r.Count
		}
	}
	return 0
}

// Pieces returns the number of parts in the box, without faces and lengths [1]. Definition.
func (l *List) Pieces() float64 {
	return l.sum(func(r Row) bool { return r.Unit == Piece && !r.Joined })
}

// Faces returns the number of machined faces, honed bores among them [1]. Definition.
func (l *List) Faces() float64 { return l.sum(func(r Row) bool { return r.Joined }) }

func (l *List) sum(wanted func(Row) bool) float64 {
	n := 0.0
	for _, r := range l.Rows {
		if wanted(r) {
			n += r.Count
		}
	}
	return n
}

// DriveLength returns the length of all chains and belts of the camshafts [m]; 0 for gears. Definition.
func (l *List) DriveLength() float64 {
	sum := 0.0
	for _, d := range l.Drives {
		sum += d.Length
	}
	return sum
}

// ExhaustLength returns the length of all exhaust pipes up to their collectors, crossovers included [m]. Definition.
func (l *List) ExhaustLength() float64 { return totalLength(l.Exhausts) }

func totalLength(list []Pipes) float64 {
	sum := 0.0
	for _, p := range list {
		sum += p.Length()
	}
	return sum
}

func (c *counter) add(key string, count float64, from string, args ...any) {
	c.rows[key] = Row{Count: count, From: fmt.Sprintf(from, args...)}
}

func (c *counter) heads() {
	n, banks := len(c.t.Cylinders), len(c.l.Stand.Banks)
	switch c.l.Making.Heads {
	case layout.HeadEach:
		c.l.Heads = n
		c.add("cylinder head", float64(n), "one for each of %s", num.Counted(n, "cylinder", "cylinders"))
	case layout.HeadShared:
		c.l.Heads = 1
		c.add("cylinder head", 1, "one over %s that stand %s° apart or less", num.Counted(banks, "bank", "banks"), num.Digits(layout.NarrowAngle.Deg(), 3))
	default:
		c.l.Heads = banks
		c.add("cylinder head", float64(banks), "one for each of %s", num.Counted(banks, "bank", "banks"))
	}
	if c.l.Making.ValveDrive != layout.Ports {
		c.add("head cover", float64(c.l.Heads), "one for each of %s", num.Counted(c.l.Heads, "head", "heads"))
	}
}

func (c *counter) valves() {
	m := c.l.Making
	if m.ValveDrive == layout.Ports {
		return
	}
	perCylinder := math.Round(c.t.Friction.ValvesPerCylinder)
	if perCylinder == 0 {
		perCylinder = 4
	}
	n := float64(len(c.t.Cylinders))
	c.add("valve", perCylinder*n, "%g for each of %s", perCylinder, num.Counted(len(c.t.Cylinders), "cylinder", "cylinders"))
	cams, seats, gears, links := 0, 0, 0, 0.0
	for _, d := range c.l.Drives {
		cams += d.Cams
		gears += d.Gears
		links += d.Links
		inRow := len(d.Carry)
		if m.ValveDrive == layout.Pushrods {
			inRow = len(c.l.Bays)
			if c.l.Stand.Star {
				inRow = 0 // a ring runs on one bearing
			}
		}
		seats += d.Cams * (inRow + 1)
	}
	drives := len(c.l.Drives)
	where := fmt.Sprintf("over each of %s", num.Counted(drives, "row", "rows"))
	switch {
	case m.ValveDrive == layout.Pushrods && c.l.Stand.Star:
		where = "a cam ring for each row of the star"
	case m.ValveDrive == layout.Pushrods:
		where = "one in the block for all cylinders, which pushrods lead to the valves"
	case m.ValveDrive == layout.OverheadDouble:
		where = "two " + where
	default:
		where = "one " + where
	}
	c.add("camshaft", float64(cams), "%s", where)
	c.add("camshaft bearing", float64(seats), "one on each side of every cylinder or bay that a camshaft passes; a cam ring runs on one")
	if m.ValveDrive == layout.Pushrods {
		c.add("pushrod", perCylinder*n, "one for each valve")
	}
	c.add("camshaft drive", float64(drives), "one for each row of overhead camshafts, one for all camshafts in the crankcase; with wheels, guides and tensioner")
	if m.CamDrive == layout.Gears {
		if gears > 0 {
			c.add("drive gear", float64(gears+1), "one on the crank, one a camshaft, and idlers of one bore at most that span the distance")
		}
		return
	}
	key, what := "drive chain", "links"
	if m.CamDrive == layout.Belt {
		key, what = "drive belt", "teeth"
	}
	c.add(key, c.l.DriveLength(), "%g %s of %s mm about the wheels of the crank and the camshafts", links, what, num.Digits(1e3*m.Pitch, 4))
}

func (c *counter) crank() {
	t, bays := c.t, len(c.l.Bays)
	c.add("crank", 1, "one")
	c.add("crankpin", float64(len(t.Throws)), "one for each pin; split pins are two")
	flying := len(t.Throws) - bays
	c.add("web", float64(2*bays+flying), "two for each of %s between mains, and one flying web or flange between pins of one bay (%d)", num.Counted(bays, "bay", "bays"), flying)
	c.add("counterweight", float64(len(t.Counterweights)), "the masses that the train has on its crank")
	c.add("main bearing", float64(c.l.Mains), "one on each side of every bay: %s and one more", num.Counted(bays, "bay", "bays"))
	masters := map[int]bool{}
	linked := 0
	for i := range t.Cylinders {
		if r := &t.Cylinders[i].Rod; r.Linked {
			linked++
			masters[r.Master] = true
		}
	}
	n := len(t.Cylinders)
	c.add("big-end bearing", float64(n-linked), "one for each rod on a crankpin")
	c.add("knuckle pin", float64(linked), "one for each linked rod")
	c.add("plain rod", float64(n-linked-len(masters)), "rods on a crankpin that carry no other")
	c.add("master rod", float64(len(masters)), "rods that carry linked ones")
	c.add("linked rod", float64(linked), "rods on a knuckle pin")
	c.add("piston", float64(n), "one a cylinder, with rings and pin")
	pistons := 0.0
	rods := map[string]float64{}
	for i := range t.Cylinders {
		pistons += t.Cylinders[i].Piston.Mass
		key := "plain rod"
		switch {
		case t.Cylinders[i].Rod.Linked:
			key = "linked rod"
		case masters[i]:
			key = "master rod"
		}
		rods[key] += t.Cylinders[i].Rod.Mass
	}
	rods["piston"] = pistons
	for key, mass := range rods {
		r := c.rows[key]
		r.Mass = mass
		c.rows[key] = r
	}
}

func (c *counter) balance() {
	n := len(c.t.Shafts)
	if n == 0 {
		return
	}
	// a shaft that turns against the crank meshes with it; one that turns with it meshes with a partner of the same
	// speed against it, or needs an idler
	partners := map[float64]int{}
	for _, s := range c.t.Shafts {
		if s.SpeedRatio < 0 {
			partners[-s.SpeedRatio]++
		}
	}
	idlers := 0
	for _, s := range c.t.Shafts {
		if s.SpeedRatio > 0 {
			if partners[s.SpeedRatio]--; partners[s.SpeedRatio] < 0 {
				idlers++
			}
		}
	}
	c.add("balance shaft", float64(n), "the shafts of the train")
	c.add("balance gear", float64(1+n+idlers), "one on the crank, one a shaft, and an idler for each shaft that turns with the crank and has no partner against it (%d)", idlers)
	c.add("balance bearing", float64(2*n), "two a shaft")
}
