package parts

import (
	"math"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Side is from where a place is reached.
type Side string

// The sides, from the kindest to the worst.
const (
	FromAbove Side = "from above"
	Slanting  Side = "slanting from above"
	FromSide  Side = "from the side"
	FromEnd   Side = "from the free end"
	FromBelow Side = "from below"
)

// Effort returns how much harder a place is reached than one from above.
//
// Result [1]: 1 from above, 1.25 slanting, 1.5 from the side or the free end, 3 from below. Definition: a stated score.
func (s Side) Effort() float64 {
	return map[Side]float64{FromAbove: 1, Slanting: 1.25, FromSide: 1.5, FromEnd: 1.5, FromBelow: 3}[s]
}

// Scores of what must be done before a job begins [1]. Definition: stated scores.
const (
	OffEffort = 2.0  // one thing comes off
	OutEffort = 20.0 // the engine leaves the boat, or the crank the engine
)

// What costs more than a thing that comes off.
const (
	engineOut = "engine out of the boat"
	crankOut  = "crank drawn out"
)

func before(first []string) float64 {
	sum := 0.0
	for _, what := range first {
		if what == engineOut || what == crankOut {
			sum += OutEffort
			continue
		}
		sum += OffEffort
	}
	return sum
}

// Job is a routine job.
type Job struct {
	Name   string
	Places int
	From   map[Side]int // how many places are reached from where
	First  []string     // what must come off first
	Often  float64      // beside a change of plugs or injectors [1]
	Score  float64      // [1]; less is better
	Why    string
}

// sideOf is from where something that points along an axis is reached.
func sideOf(axis num.Angle) Side {
	switch up := apart(axis, 0).Deg(); {
	case up <= 30+1e-6:
		return FromAbove
	case up <= 75+1e-6:
		return Slanting
	case up <= 105+1e-6:
		return FromSide
	}
	return FromBelow
}

// Service lists the routine jobs of an engine and scores them.
//
//	score = often · ( Σ places · effort of the side + 2 · things that come off first + 20 where engine or crank come out )
//	by the angle of the cylinder axis from up: to 30° from above, to 75° slanting, to 105° from the side, else from below
//
// with
//   - t: the train that was counted
//   - l: of Count
//
// Result [1]: jobs with at least one place; less is easier. Up is the reference line of the engine. How often a job
// comes, and what comes off first, are common practice; the score is no time. Source: PRACTICE.
func Service(t *layout.Train, l *List) []Job {
	m, s := l.Making, l.Stand
	perHead := map[Side]int{}
	each := map[Side]int{}
	for _, b := range s.Banks {
		side := sideOf(b.Axis)
		each[side] += len(b.Cylinders)
		switch m.Heads {
		case layout.HeadEach:
			perHead[side] += len(b.Cylinders)
		default:
			perHead[side]++
		}
	}
	if m.Heads == layout.HeadShared {
		perHead = map[Side]int{sideOf(middleAxis(s)): 1}
	}
	overhead := m.ValveDrive == layout.OverheadSingle || m.ValveDrive == layout.OverheadDouble
	low := FromSide // starter and accessories beside the crankcase
	if lowest(s) > num.Degrees(75)+sameAxis {
		low = FromBelow
	}
	plugs := "injectors and spark plugs"
	if t.Gas.Ignition == layout.Compression {
		plugs = "injectors"
	}
	headFirst := []string{"intake manifold", "exhaust manifold"}
	if overhead {
		headFirst = append(headFirst, "camshaft drive of the row")
	}
	jobs := []Job{{Name: plugs, From: each, Often: 1, Why: "one a cylinder, along its axis"}}
	if m.ValveDrive != layout.Ports {
		jobs = append(jobs, Job{Name: "valve clearances", From: perHead, First: []string{"head covers"}, Often: 1, Why: "under each head cover, along the cylinder axis"})
	}
	jobs = append(jobs, Job{Name: "filters", From: map[Side]int{FromSide: 2 + max(1, len(l.Intakes))}, Often: 1, Why: "oil, fuel, and one of air for each intake manifold, on the sides of the engine"})
	if n := len(l.Drives); n > 0 {
		often := map[layout.CamDrive]float64{layout.Belt: 0.5, layout.Chain: 0.2, layout.Gears: 0.05}[m.CamDrive]
		jobs = append(jobs, Job{Name: "camshaft drive", From: map[Side]int{FromEnd: n}, First: []string{"front cover", "drives of the accessories"}, Often: often, Why: "one drive a row; a belt is changed, a chain looked at, gears left alone"})
	}
	jobs = append(jobs, Job{Name: "head removal", From: perHead, First: headFirst, Often: 0.1, Why: "along the cylinder axis"}, bearingsJob(l))
	jobs = append(jobs,
		Job{Name: "starter and accessories", From: map[Side]int{low: 3}, Often: 0.3, Why: "starter, generator and a pump beside the crankcase; from below where banks lean more than 75° over them"},
		Job{Name: "exhaust", From: exhaustSides(l), Often: 0.2, Why: "one collector for each group in each bank, on the outer side; below the heads where banks face each other"},
	)
	var out []Job
	for _, j := range jobs {
		sum := 0.0
		for side, n := range j.From {
			j.Places += n
			sum += float64(n) * side.Effort()
		}
		if j.Places == 0 {
			continue
		}
		j.Score = j.Often * (sum + before(j.First))
		out = append(out, j)
	}
	return out
}

// ServiceScore returns the sum of the scores of all jobs [1]. Definition.
func ServiceScore(jobs []Job) float64 {
	sum := 0.0
	for _, j := range jobs {
		sum += j.Score
	}
	return sum
}

// bearingsJob is the inspection of mains and big ends.
func bearingsJob(l *List) Job {
	j := Job{Name: "bearing inspection", Often: 0.1}
	n := l.Mains + int(l.Of("big-end bearing"))
	pan := "sump"
	if l.Of("sump") == 0 {
		pan = "lower cover"
	}
	switch l.Making.Crankcase {
	case layout.Halves:
		j.From, j.First = map[Side]int{FromSide: n}, []string{engineOut, "heads", "crankcase divided"}
		j.Why = "a crankcase in halves must be divided"
	case layout.Tunnel:
		j.From, j.First = map[Side]int{FromEnd: n}, []string{pan, "flywheel", "end cover", crankOut}
		j.Why = "the crank leaves a tunnel through an end"
	default:
		j.From, j.First = map[Side]int{FromBelow: n}, []string{pan}
		j.Why = "from below, the " + pan + " off"
	}
	return j
}

// middleAxis is the middle of all cylinder axes.
func middleAxis(s Stand) num.Angle {
	sum := complex(0, 0)
	for _, b := range s.Banks {
		sum += direction(b.Axis) * complex(float64(len(b.Cylinders)), 0)
	}
	if math.Hypot(real(sum), imag(sum)) < sameAxis {
		return 0
	}
	return axisOf(sum)
}

// lowest is the largest lean of a bank from up, of a star half a turn.
func lowest(s Stand) num.Angle {
	most := num.Angle(0)
	for _, b := range s.Banks {
		most = max(most, apart(b.Axis, 0))
	}
	return most
}

// exhaustSides says from where the collectors are reached.
func exhaustSides(l *List) map[Side]int {
	from := map[Side]int{}
	side := FromSide
	if l.Stand.Opposed {
		side = FromBelow
	}
	for _, p := range l.Exhausts {
		from[side] += p.Banks
	}
	return from
}
