package firing

import (
	"strconv"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Group is a set of cylinders whose exhaust gases flow together.
type Group struct {
	Name      string
	Cylinders []int       // in the sequence of firing
	Intervals []num.Angle // from each pulse of the group to its next [rad]; sum: the cycle
	Evenness  float64     // cycle² / (n Σ interval²) of the group's n pulses [1]
	Shortest  num.Angle   // shortest interval [rad]
	// BackToBack counts the pulses that directly follow another of the same group in the firing of the
	// whole engine; 0 where the engine has one group.
	BackToBack int
}

// exhaustGroups splits a schedule into exhaust groups: those that the cylinders name, else one for
// each bank.
func exhaustGroups(t *layout.Train, s Schedule) []Group {
	names := make([]string, len(s.Order))
	at := map[string]int{}
	var out []Group
	var times [][]num.Angle
	elapsed := s.Elapsed()
	for k, c := range s.Order {
		name := exhaustName(t, c)
		names[k] = name
		i, ok := at[name]
		if !ok {
			i = len(out)
			at[name] = i
			out = append(out, Group{Name: name})
			times = append(times, nil)
		}
		out[i].Cylinders = append(out[i].Cylinders, c)
		times[i] = append(times[i], elapsed[k])
	}
	for i := range out {
		g := &out[i]
		sum := 0.0
		g.Shortest = s.Cycle.Period()
		for k, from := range times[i] {
			to := times[i][0] + s.Cycle.Period()
			if k+1 < len(times[i]) {
				to = times[i][k+1]
			}
			g.Intervals = append(g.Intervals, to-from)
			g.Shortest = min(g.Shortest, to-from)
			sum += float64(to-from) * float64(to-from)
		}
		g.Evenness = evennessOf(sum, len(g.Cylinders), s.Cycle)
	}
	if len(out) > 1 {
		for k, name := range names {
			if name == names[(k+1)%len(names)] {
				out[at[name]].BackToBack++
			}
		}
	}
	return out
}

func exhaustName(t *layout.Train, c int) string {
	cyl := &t.Cylinders[c]
	if cyl.Exhaust != "" {
		return cyl.Exhaust
	}
	if cyl.Bank >= 0 && cyl.Bank < len(t.Banks) && t.Banks[cyl.Bank].Name != "" {
		return t.Banks[cyl.Bank].Name
	}
	return "bank " + strconv.Itoa(cyl.Bank+1)
}
