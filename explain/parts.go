package explain

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/parts"
	"crankwright/num"
)

// Parts says what an engine is made of, what rubs most, how it is reached and where it is hottest.
//
//   - p: of analysis.NewParts
//
// Result: sentences with counts [1] and lengths [m]. Definition.
func Parts(p *analysis.Parts) []string {
	l := p.List
	out := []string{fmt.Sprintf("It has %s, %s, %s and %s; %g parts in all, and %g machined faces and honed bores.",
		num.Counted(l.Heads, "head", "heads"), num.Counted(int(l.Of("camshaft")), "camshaft", "camshafts"), num.Counted(len(l.Drives), "camshaft drive", "camshaft drives"), num.Counted(l.Mains, "main bearing", "main bearings"), l.Pieces(), l.Faces())}
	if n := l.DriveLength(); n > 0 {
		out = append(out, fmt.Sprintf("Its camshafts take %s m of %s.", num.Digits(n, 3), l.Making.CamDrive))
	}
	if n := l.ExhaustLength(); n > 0 {
		across := 0.0
		for _, e := range l.Exhausts {
			across += e.Crossover
		}
		text := fmt.Sprintf("%s take %s m of pipe to the collectors", num.Capital(num.Counted(len(l.Exhausts), "exhaust group", "exhaust groups")), num.Digits(n, 3))
		if len(l.Exhausts) == 1 {
			text = fmt.Sprintf("One exhaust group takes %s m of pipe to the collectors", num.Digits(n, 3))
		}
		if across > 0 {
			text += fmt.Sprintf(", %s m of it across the engine", num.Digits(across, 3))
		}
		out = append(out, text+".")
	}
	if len(p.Rubs) > 0 {
		most := slices.MaxFunc(p.Rubs, func(a, b parts.Rub) int { return cmp.Compare(a.Share, b.Share) })
		out = append(out, fmt.Sprintf("Of the friction %s take most, %s %%.", most.Name, num.Digits(100*most.Share, 3)))
	}
	if len(p.Jobs) > 0 {
		worst := slices.MaxFunc(p.Jobs, func(a, b parts.Job) int { return cmp.Compare(a.Score, b.Score) })
		out = append(out, fmt.Sprintf("Of the routine jobs %s cost most, %s of %s points.", worst.Name, num.Digits(worst.Score, 3), num.Digits(parts.ServiceScore(p.Jobs), 3)))
	}
	if f := p.Cooling; len(f.Of) > 0 {
		out = append(out, coolingSentence(p))
	}
	return out
}

func coolingSentence(p *analysis.Parts) string {
	f := p.Cooling
	if f.Spread < 1e-9 {
		return "All cylinders are cooled alike."
	}
	return fmt.Sprintf("Cylinder %s is placed worst for cooling: %s.", p.Cylinder(f.Worst), f.Of[f.Worst].Why)
}

// Cost says where the points go; parts.Invented says what they are worth.
//
//   - c: of parts.CostOf
//
// Result: sentences with points [1]. Definition.
func Cost(c *parts.Cost) []string {
	out := []string{fmt.Sprintf("The cost index is %s: %s points of the table %q, which calls %s an index of 1.",
		num.Digits(c.Index, 3), num.Digits(c.Points, 4), c.Prices.Name, num.Digits(c.Prices.Reference, 4))}
	groups := slices.Clone(c.Groups)
	slices.SortStableFunc(groups, func(a, b parts.GroupCost) int { return cmp.Compare(b.Points, a.Points) })
	var most []string
	for _, g := range groups[:min(3, len(groups))] {
		most = append(most, fmt.Sprintf("%s (%s %%)", g.Group, num.Digits(100*g.Share, 3)))
	}
	if len(most) > 0 {
		out = append(out, "Most goes to "+strings.Join(most, "; then ")+".")
	}
	return out
}

// Dearer says what makes one engine dearer than another.
//
//   - a, b: the two engines' costs, by one table
//   - nameA, nameB: what they are called
//
// Result: a sentence with points [1]. Definition.
func Dearer(a, b *parts.Cost, nameA, nameB string) string {
	more := b.Points - a.Points
	if math.Abs(more) < 1e-9*math.Max(a.Points, 1) {
		return fmt.Sprintf("%s and %s cost the same.", nameB, nameA)
	}
	word, sign := "more", 1.0
	if more < 0 {
		word, sign = "less", -1
	}
	var why []string
	for _, d := range parts.Differ(a, b) {
		if sign*d.More <= 0 || len(why) == 4 {
			continue
		}
		count := fmt.Sprintf("%s instead of %s", num.Digits(d.CountB, 3), num.Digits(d.CountA, 3))
		if d.CountA == d.CountB {
			count = "heavier"
			if d.MassB < d.MassA {
				count = "lighter"
			}
		}
		why = append(why, fmt.Sprintf("%s (%s, %s)", d.Key, count, signedPoints(d.More)))
	}
	return fmt.Sprintf("%s costs %s points %s than %s: %s.", nameB, num.Digits(math.Abs(more), 3), word, nameA, strings.Join(why, ", "))
}

func signedPoints(x float64) string {
	if x < 0 {
		return "−" + num.Digits(-x, 3)
	}
	return "+" + num.Digits(x, 3)
}
