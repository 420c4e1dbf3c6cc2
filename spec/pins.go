package spec

import (
	"fmt"
	"math"
	"slices"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// pinWords are the trade words for throw angles, in degrees from the free end (common practice).
// even-fire has no row: it depends on the banks, see evenFire.
var pinWords = []struct {
	word   string
	throws map[int][]float64
}{
	// all pins in one plane
	{"flat-plane", map[int][]float64{2: {0, 180}, 4: {0, 180, 180, 0}}},
	// four directions, opposite throws side by side in the middle; eight throws: two such halves, mirrored
	{"cross-plane", map[int][]float64{4: {0, 90, 270, 180}, 8: {0, 90, 270, 180, 180, 270, 90, 0}}},
	// twins, by the angle from the first pin to the second
	{"360", map[int][]float64{2: {0, 0}}},
	{"270", map[int][]float64{2: {0, 270}}},
	{"180", map[int][]float64{2: {0, 180}, 4: {0, 180, 180, 0}}},
	// by the angle between neighbouring directions
	{"120", map[int][]float64{3: {0, 240, 120}, 6: {0, 120, 240, 240, 120, 0}}},
	{"90", map[int][]float64{2: {0, 90}, 4: {0, 90, 270, 180}}},
	{"72", map[int][]float64{5: {0, 216, 144, 72, 288}}},
}

const evenFireWord = "even-fire"

// pinWordNames lists all words.
func pinWordNames() []string {
	names := []string{evenFireWord}
	for _, w := range pinWords {
		names = append(names, w.word)
	}
	return names
}

// pinWordAngles returns the angles of a word for a number of throws; where the word does not fit,
// nil and the words that do.
func pinWordAngles(word string, throws int) (angles []num.Angle, fitting []string) {
	fitting = []string{evenFireWord}
	for _, w := range pinWords {
		degrees, ok := w.throws[throws]
		if !ok {
			continue
		}
		fitting = append(fitting, w.word)
		if w.word == word {
			angles = toAngles(degrees)
		}
	}
	return angles, fitting
}

func toAngles(degrees []float64) []num.Angle {
	list := make([]num.Angle, len(degrees))
	for i, d := range degrees {
		list[i] = num.Degrees(d)
	}
	return list
}

// starCrank returns n directions, all different, 360/n apart, in an order that keeps neighbours
// far apart.
func starCrank(n int) []float64 {
	switch n {
	case 1:
		return []float64{0}
	case 2:
		return []float64{0, 180}
	case 3:
		return []float64{0, 240, 120}
	case 4:
		return []float64{0, 90, 270, 180}
	case 5:
		return []float64{0, 216, 144, 72, 288} // fires 1-2-4-5-3
	}
	// ends to middle in turn: 1, n, 2, n−1, … are one pitch apart
	list := make([]float64, n)
	for k := range n {
		i := k / 2
		if k%2 == 1 {
			i = n - 1 - k/2
		}
		list[i] = math.Mod(360-360*float64(k)/float64(n), 360)
	}
	return list
}

// mirroredCrank returns n throws, n even, of which the second half mirrors the first.
func mirroredCrank(n int) []float64 {
	half := starCrank(n / 2)
	switch n {
	case 6:
		half = []float64{0, 120, 240}
	case 8:
		half = []float64{0, 180, 270, 90} // fires 1-6-2-5-8-3-7-4
	}
	list := slices.Clone(half)
	for i := range half {
		list = append(list, half[len(half)-1-i])
	}
	return list
}

// crank is a choice of throw angles for banks that fire evenly together.
type crank struct {
	degrees []float64
	target  float64 // bank angle + pin split, up to multiples of pitch, that makes it fire evenly
	pitch   float64
}

// evenCranks lists the cranks of n throws that can fire evenly, the usual one first.
//
// One bank: a four-stroke engine with an even number of throws needs each direction twice, half a
// cycle apart; with an odd number, or two-stroke, each direction once. Two banks: cylinders of the
// second reach top dead centre (bank angle + split) after those of the first on the same throw. With each
// direction once, that must bring them onto the directions of other throws (four-stroke) or midway
// between them (two-stroke); with each direction twice, midway between them.
func evenCranks(n, banks int, cycle layout.Cycle) []crank {
	star := crank{degrees: starCrank(n), target: 0, pitch: 360 / float64(n)}
	if n == 3 && banks == 2 {
		star.degrees = []float64{0, 120, 240}
	}
	if cycle == layout.TwoStroke {
		star.target = 180 / float64(n)
		return []crank{star}
	}
	if n%2 != 0 {
		return []crank{star}
	}
	mirrored := crank{degrees: mirroredCrank(n), target: 360 / float64(n), pitch: 720 / float64(n)}
	switch {
	case banks == 1:
		return []crank{mirrored}
	case n <= 4:
		return []crank{star, mirrored}
	default:
		return []crank{mirrored, star}
	}
}

// split returns the smallest pin split that makes the crank fire evenly at a bank angle; of two
// equal ones the positive.
func (c crank) split(bankAngle float64) float64 {
	s := math.Mod(c.target-bankAngle, c.pitch)
	switch {
	case s > c.pitch/2+1e-9:
		s -= c.pitch
	case s <= -c.pitch/2+1e-9:
		s += c.pitch
	}
	if math.Abs(s) < 1e-9 {
		return 0
	}
	return s
}

// phasing is the outcome of evenFire.
type phasing struct {
	pins  []num.Angle
	split num.Angle
	even  bool    // it fires evenly
	wants float64 // where not even: the split that would make it so [deg]
}

// evenFire chooses the throw angles that fire evenly. fixed tells that the split is given; else it
// is chosen, the smallest that does.
func evenFire(n, banks int, cycle layout.Cycle, bankAngle, split num.Angle, fixed bool) phasing {
	cranks := evenCranks(n, banks, cycle)
	if banks == 1 {
		return phasing{pins: toAngles(cranks[0].degrees), even: true}
	}
	best := phasing{wants: math.Inf(1)}
	for _, c := range cranks {
		s := c.split(bankAngle.Deg())
		if fixed {
			off := math.Remainder(split.Deg()-s, c.pitch)
			if math.Abs(off) < 1e-6 {
				return phasing{pins: toAngles(c.degrees), split: split, even: true}
			}
		}
		if math.Abs(s) < math.Abs(best.wants)-1e-9 {
			best.pins, best.wants = toAngles(c.degrees), s
		}
	}
	if fixed {
		best.split = split
		return best
	}
	return phasing{pins: best.pins, split: num.Degrees(best.wants), even: true}
}

// pinsOfOrder returns the throw angles with which the cylinders fire evenly in a given order.
// throwOf and axisOf are by cylinder; second tells the cylinders of the second bank, whose pin
// trails by the split. ok is false where no crank does it.
func pinsOfOrder(order []int, throws int, throwOf []int, axisOf []num.Angle, second []bool, cycle layout.Cycle,
	split num.Angle, fixed bool,
) (p phasing, ok bool) {
	interval := cycle.Period() / num.Angle(len(order))
	pin := make([]num.Angle, len(order)) // by cylinder
	for k, c := range order {
		pin[c] = axisOf[c] - num.Angle(k)*interval
	}
	first := make([]num.Angle, throws)
	for c, t := range throwOf {
		if !second[c] {
			first[t] = pin[c]
		}
	}
	p = phasing{split: split, even: true}
	for c, t := range throwOf {
		if !second[c] {
			continue
		}
		s := num.Angle(math.Remainder(float64(first[t]-pin[c]), float64(num.Turn)))
		if !fixed {
			p.split, fixed = s, true
			if math.Abs(s.Deg()) < 1e-6 {
				p.split = 0
			}
		}
		if math.Abs(math.Remainder(float64(s-p.split), float64(num.Turn))) > 1e-6 {
			return phasing{}, false
		}
	}
	for _, a := range first {
		d := (a - first[0]).Wrap(num.Turn).Deg()
		if r := math.Abs(math.Round(d*1e6) / 1e6); math.Abs(d-r) < 1e-9 {
			d = r // angles of a whole number of degrees come out as such
		}
		p.pins = append(p.pins, num.Degrees(d))
	}
	return p, true
}

// shownAngles writes a list of angles as a file has it.
func shownAngles(list []num.Angle) string {
	text := ""
	for i, a := range list {
		if i > 0 {
			text += ", "
		}
		text += formatNumber(math.Round(a.Deg()*1e9) / 1e9)
	}
	return fmt.Sprintf("[%s] deg", text)
}
