package firing

import (
	"fmt"
	"math"
	"strings"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// EvenTest says whether an engine can fire evenly, and if not what would have to change.
type EvenTest struct {
	Even      bool
	Interval  num.Angle // the interval of even firing, cycle / N [rad]
	Best      Schedule  // the most even schedule as the crank stands
	Departure num.Angle // largest departure of its intervals from Interval [rad]

	// Each of the following alone would make the engine fire evenly. All are empty where it does
	// already.
	Splits     []SplitChange // smallest first
	BankAngles []BankChange  // smallest first
	Turn       *TurnChange   // fewest throws, least turning; nil where turning whole throws cannot do it

	Sentences []string // the same in words
}

// EvenFiring tests whether an engine can fire evenly and finds what would have to change.
//
//	even ⇔ the top dead centres fill N/2 slots 4π/N apart, two in each (four-stroke, N even),
//	       or N slots 2π/N apart (four-stroke with N odd, two-stroke)
//
// It reads the geometry only: top dead centres, which cylinders share a throw, which stand in one
// bank. Neither the firing order nor the name of the arrangement counts.
//
//   - t: a valid train
//   - tdc: its top dead centres, as TopDeadCentres returns them [rad]; length N
//
// Result: see EvenTest, angles in [rad]. Even means to within EvenTolerance. Turn is the best of all where every throw
// carries one cylinder, and else where TurnChange.Exact says so. Errors: layout.Problem for
// input that makes no sense. Definition.
func EvenFiring(t *layout.Train, tdc []num.Angle) (EvenTest, error) {
	r, err := trainRing(t, tdc)
	if err != nil {
		return EvenTest{}, err
	}
	for c := range t.Cylinders {
		if th := t.Cylinders[c].Throw; th < 0 || th >= len(t.Throws) {
			return EvenTest{}, layout.Problem{
				Where: fmt.Sprintf("cylinders[%d].throw", c), What: "the throw does not exist",
				Limit: fmt.Sprintf("there are %d throws", len(t.Throws)),
			}
		}
	}
	g := newGrid(len(tdc), r.cycle)
	e := EvenTest{Interval: r.cycle.Period() / num.Angle(len(tdc)), Even: g.holds(r.tdc)}
	e.Best = r.bestSchedule(newNear(t))
	for _, gap := range e.Best.Intervals {
		e.Departure = max(e.Departure, num.Angle(math.Abs(float64(gap-e.Interval))))
	}
	if e.Even {
		e.say("The engine can fire evenly, every %s°, in the order %s.", degrees(e.Interval), e.Best.Label(Names(t)))
		return e, nil
	}
	e.say("As it stands the engine cannot fire every %s°: the most even order, %s, has intervals of %s°.",
		degrees(e.Interval), e.Best.Label(Names(t)), degreeList(e.Best.Intervals))
	e.Splits = splits(t, r, g)
	e.BankAngles = bankAngles(t, e.Splits)
	e.Turn = turns(t, r, g)
	e.describe(t, r, g)
	return e, nil
}

// bestSchedule returns the most even schedule.
func (r *ring) bestSchedule(q *near) Schedule {
	if len(r.sorted) > MaxEnumerated {
		return r.fromRevolutions(r.evenest(nil, q))
	}
	return r.fromMask(r.enumerate(q, Options{Limit: 1}).items[0].mask)
}

func (e *EvenTest) say(format string, args ...any) {
	e.Sentences = append(e.Sentences, fmt.Sprintf(format, args...))
}

// describe puts the changes into words.
func (e *EvenTest) describe(t *layout.Train, r *ring, g grid) {
	for _, s := range e.Splits {
		e.Sentences = append(e.Sentences, s.sentence(t, e.Interval))
	}
	for _, b := range e.BankAngles {
		e.say("With the pins as they are, a bank angle of %s° instead of %s° makes it fire every %s°.",
			degrees(b.To), degrees(b.From), degrees(e.Interval))
	}
	switch {
	case e.Turn != nil:
		e.Sentences = append(e.Sentences, e.Turn.sentence(t, e.Interval))
	case onlyThrow(t):
		e.say("Turning the one throw changes nothing, because all cylinders are on it.")
	default:
		e.say("Turning whole throws alone cannot do it%s.", rigid(t, r, g))
	}
}

func onlyThrow(t *layout.Train) bool {
	for c := range t.Cylinders {
		if t.Cylinders[c].Throw != t.Cylinders[0].Throw {
			return false
		}
	}
	return true
}

// rigid names two cylinders of one throw that do not fit into the grid together.
func rigid(t *layout.Train, r *ring, g grid) string {
	for a := range t.Cylinders {
		for b := a + 1; b < len(t.Cylinders); b++ {
			if t.Cylinders[a].Throw != t.Cylinders[b].Throw {
				continue
			}
			apart := r.ahead(a, b)
			if _, off := g.slot(apart); math.Abs(float64(off)) > float64(EvenTolerance) {
				apart = min(apart, num.Turn-apart)
				return fmt.Sprintf(": cylinders %s and %s on throw %s reach top dead centre %s° apart, which is no multiple of %s°",
					t.Cylinders[a].Name, t.Cylinders[b].Name, t.Throws[t.Cylinders[a].Throw].Name, degrees(apart), degrees(g.spacing()))
			}
		}
	}
	return ""
}

func degreeList(as []num.Angle) string {
	out := make([]string, len(as))
	for i, a := range as {
		out[i] = degrees(a)
	}
	return strings.Join(out, "-")
}

// half brings an angle into (−π, π].
func half(a num.Angle) num.Angle {
	w := a.Wrap(num.Turn)
	if w > num.Turn/2+Together {
		w -= num.Turn
	}
	return w
}
