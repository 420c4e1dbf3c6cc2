package firing

import (
	"fmt"
	"math"
	"strings"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Turn is one throw that is turned on the crank.
type Turn struct {
	Throw int       // index
	By    num.Angle // added to its angle [rad], in (−π, π]
	To    num.Angle // its angle afterwards [rad], from 0 up to below 2π
}

// TurnChange is the smallest set of throws that must be turned so that an engine fires evenly.
type TurnChange struct {
	Turns []Turn
	Exact bool // no smaller set, and no smaller sum of angles, exists; false: the search was cut short
}

// sentence says what the change does.
func (c TurnChange) sentence(t *layout.Train, interval num.Angle) string {
	parts := make([]string, len(c.Turns))
	for i, u := range c.Turns {
		parts[i] = fmt.Sprintf("%s by %+.6g deg to %s°", t.Throws[u.Throw].Name, math.Round(u.By.Deg()*1e6)/1e6, degrees(u.To))
	}
	return fmt.Sprintf("Turning %s %s makes it fire every %s°.", plural(len(parts), "throw"), strings.Join(parts, " and "), degrees(interval))
}

func plural(n int, noun string) string {
	if n == 1 {
		return noun
	}
	return noun + "s"
}

// turnWeight makes one throw more always dearer than any sum of angles [rad]: with 56 throws that
// is less than 56 π.
const turnWeight = 1e3

// turns finds the smallest set of throws to turn. At least one throw can stay, because turning all
// of them together changes nothing; each is tried as the one whose first cylinder says where the
// grid stands.
func turns(t *layout.Train, r *ring, g grid) *TurnChange {
	p := placing{grid: g, used: make([]int, g.slots)}
	var throws []int
	at := map[int]int{}
	single := true
	for c := range t.Cylinders {
		th := t.Cylinders[c].Throw
		i, ok := at[th]
		if !ok {
			i = len(throws)
			at[th] = i
			throws = append(throws, th)
			p.blocks = append(p.blocks, nil)
		}
		p.blocks[i] = append(p.blocks[i], r.tdc[c])
		single = single && !ok
	}
	if len(throws) < 2 || !p.fit() {
		return nil
	}
	best := turnSearch{placing: &p, cost: math.Inf(1), budget: 300_000}
	var tried []num.Angle
	for i := range throws {
		p.anchor = p.blocks[i][0]
		if seenPhase(tried, p.anchor, g) {
			continue
		}
		tried = append(tried, p.anchor)
		if single {
			best.match()
		} else {
			best.start()
		}
	}
	if best.shift == nil {
		return nil
	}
	out := &TurnChange{Exact: best.budget > 0}
	for i, s := range best.shift {
		if s != 0 {
			out.Turns = append(out.Turns, Turn{Throw: throws[i], By: half(-s), To: (t.Throws[throws[i]].Angle - s).Wrap(num.Turn)})
		}
	}
	return out
}

// seenPhase says whether the grid through an anchor was tried already.
func seenPhase(tried []num.Angle, anchor num.Angle, g grid) bool {
	for _, a := range tried {
		if _, off := g.slot(anchor - a); math.Abs(float64(off)) < float64(Together) {
			return true
		}
	}
	return false
}

// turnSearch looks for the cheapest way to place the throws.
type turnSearch struct {
	*placing
	options [][]num.Angle
	now     []num.Angle
	cost    float64
	shift   []num.Angle
	budget  int // steps left
}

func turnCost(shift num.Angle) float64 {
	if shift == 0 {
		return 0
	}
	return turnWeight + math.Abs(float64(shift))
}

// start searches by branch and bound with the anchor as it is.
func (s *turnSearch) start() {
	s.options = make([][]num.Angle, len(s.blocks))
	s.now = make([]num.Angle, len(s.blocks))
	rest := make([]float64, len(s.blocks)+1) // least cost of the throws from here on
	for i := len(s.blocks) - 1; i >= 0; i-- {
		s.options[i] = s.shifts(i)
		rest[i] = rest[i+1] + turnCost(s.options[i][0])
	}
	s.branch(0, 0, rest)
}

func (s *turnSearch) branch(i int, cost float64, rest []float64) {
	if s.budget <= 0 {
		return
	}
	s.budget--
	if i == len(s.blocks) {
		s.cost, s.shift = cost, append([]num.Angle(nil), s.now...)
		return
	}
	for _, shift := range s.options[i] {
		next := cost + turnCost(shift)
		if next+rest[i+1] >= s.cost-1e-9 {
			return // the options are sorted: the others cost no less
		}
		if s.put(i, shift, 1) {
			s.now[i] = shift
			s.branch(i+1, next, rest)
		}
		s.put(i, shift, -1)
	}
}

// match solves the case of one cylinder a throw with the anchor as it is: an assignment of throws to places in the
// grid at least cost, by the Hungarian method with potentials (row by row, shortest augmenting
// paths).
func (s *turnSearch) match() {
	n := len(s.blocks)
	shift := func(i, place int) num.Angle {
		target := s.anchor + num.Angle(place%s.grid.slots)*s.grid.spacing()
		if d := half(target - s.blocks[i][0]); math.Abs(float64(d)) > float64(EvenTolerance) {
			return d
		}
		return 0
	}
	u, v := make([]float64, n+1), make([]float64, n+1) // potentials; row and column 0 are helpers
	row, way := make([]int, n+1), make([]int, n+1)     // row of each column; column before it on the path
	for i := 1; i <= n; i++ {
		row[0] = i
		least := make([]float64, n+1)
		for j := range least {
			least[j] = math.Inf(1)
		}
		done := make([]bool, n+1)
		j0 := 0
		for row[j0] != 0 {
			done[j0] = true
			delta, j1 := math.Inf(1), 0
			for j := 1; j <= n; j++ {
				if done[j] {
					continue
				}
				if c := turnCost(shift(row[j0]-1, j-1)) - u[row[j0]] - v[j]; c < least[j] {
					least[j], way[j] = c, j0
				}
				if least[j] < delta {
					delta, j1 = least[j], j
				}
			}
			for j := 0; j <= n; j++ {
				if done[j] {
					u[row[j]] += delta
					v[j] -= delta
				} else {
					least[j] -= delta
				}
			}
			j0 = j1
		}
		for j0 != 0 {
			row[j0] = row[way[j0]]
			j0 = way[j0]
		}
	}
	found := make([]num.Angle, n)
	cost := 0.0
	for j := 1; j <= n; j++ {
		found[row[j]-1] = shift(row[j]-1, j-1)
		cost += turnCost(found[row[j]-1])
	}
	if cost < s.cost-1e-9 {
		s.cost, s.shift = cost, found
	}
}
