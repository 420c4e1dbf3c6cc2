package explain

import (
	"fmt"
	"math"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/bearing"
	"crankwright/num"
)

// Bearings says which bearings carry most, on what film, and what counterweights make of it.
//
//   - b: a result of analysis.Driver
//
// Result: sentences with forces [kN], specific loads [MPa] and films [µm]. Definition.
func Bearings(b *analysis.Bearings) []string {
	var out []string
	for _, list := range [][]analysis.Carried{b.Mains, b.BigEnds} {
		if len(list) == 0 {
			continue
		}
		worst := &list[0]
		for i := range list {
			if list[i].Specific.Force > worst.Specific.Force*(1+1e-6) { // the first of equals
				worst = &list[i]
			}
		}
		out = append(out, loadSentence(worst))
		if s := filmSentence(list); s != "" {
			out = append(out, s)
		}
	}
	for i := range b.BigEnds {
		if c := &b.BigEnds[i]; len(c.Sharing) > 0 {
			out = append(out, fmt.Sprintf("In %s, rods that stand in one plane share one bearing on the pin, as fork and blade or slipper rods do: it carries their resultant, and its bush moves with the first of them.", c.Name))
			break
		}
	}
	out = append(out, policySentences(b)...)
	if b.NoBeam != "" {
		out = append(out, "The mains share bay by bay: "+b.NoBeam+".")
	}
	if b.ByOther != nil {
		at := 0
		for i := range b.Mains {
			if math.Abs(b.ByOther[i].Force-b.Mains[i].Specific.Force) > math.Abs(b.ByOther[at].Force-b.Mains[at].Specific.Force) {
				at = i
			}
		}
		if own, other := b.Mains[at].Specific.Force, b.ByOther[at].Force; math.Abs(own-other) > 0.02*own {
			how := "with every bay a simple beam of its own"
			if b.Other == bearing.Continuous {
				how = "with the crank as a continuous beam"
			}
			out = append(out, fmt.Sprintf("How the mains share counts: %s, %s would carry %s in place of %s.", how, b.Mains[at].Name, num.Shown(other, "N"), num.Shown(own, "N")))
		}
	}
	if b.Budget != nil {
		out = append(out, Room(b.Budget, b.Bays)...)
	}
	return out
}

func loadSentence(c *analysis.Carried) string {
	s := fmt.Sprintf("%s carries most of its kind: %s at %s°", num.Capital(c.Name), num.Shown(c.Specific.Force, "N"), num.Digits(c.Specific.PeakAt.Deg(), 3))
	if c.Specific.Peak == 0 {
		return s + "; its width is unknown, so there is no specific load."
	}
	s += fmt.Sprintf(", %s MPa on %s × %s mm", num.Digits(c.Specific.Peak/1e6, 3), num.Digits(1e3*c.Land.Diameter, 3), num.Digits(1e3*c.Land.Width, 3))
	if c.Land.Width < c.Bearing.Width {
		s += " (less the groove)"
	}
	switch {
	case c.Use == 0:
		return s + "."
	case c.Use > 1:
		return s + fmt.Sprintf(": %s %% of the upper end of the guidance for its lining (%s), too much.", num.Digits(100*c.Use, 3), c.Lining.Name)
	}
	return s + fmt.Sprintf(", %s %% of the upper end of the guidance for its lining (%s).", num.Digits(100*c.Use, 3), c.Lining.Name)
}

func filmSentence(list []analysis.Carried) string {
	var thin *analysis.Carried
	var open []string
	for i := range list {
		c := &list[i]
		if c.Lost() {
			return fmt.Sprintf("The oil film of %s is lost: at %s µm the metals touch. A wider bearing, a thicker oil or less load is needed.", c.Name, num.Digits(1e6*c.Film.MinFilm, 2))
		}
		if c.Film != nil && (thin == nil || c.Film.MinFilm < thin.Film.MinFilm*(1-1e-3)) {
			thin = c
		}
		if c.Film != nil && !c.Film.Settled {
			open = append(open, fmt.Sprintf("%s (%d)", c.Name, c.Film.Cycles))
		}
	}
	if thin == nil {
		return ""
	}
	if open != nil {
		return fmt.Sprintf("The path of the journal has not repeated after the cycles followed (in brackets) in %s: the metals stay apart, the thinnest film is about %s µm, in %s. The load is too light for oil this thick; more load or warmer oil settles it.",
			strings.Join(open, ", "), num.Digits(1e6*thin.Film.MinFilm, 2), thin.Name)
	}
	h := thin.Film.MinFilm
	s := fmt.Sprintf("The thinnest computed film is %s µm, in %s at %s°; bearings of medium and large engines that are known to work have %s to %s µm, computed alike",
		num.Digits(1e6*h, 3), thin.Name, num.Digits(720*float64(thin.Film.MinAt)/analysis.BearingSamples, 3), num.Digits(1e6*thin.Known.Low, 2), num.Digits(1e6*thin.Known.High, 2))
	if h < thin.Known.Low {
		return s + ": this is thinner."
	}
	return s + "."
}

func policySentences(b *analysis.Bearings) []string {
	var own, best *analysis.PolicyLoads
	for i := range b.Policies {
		p := &b.Policies[i]
		if i == 0 {
			own = p
			continue
		}
		if best == nil || p.Mean < best.Mean {
			best = p
		}
	}
	if own == nil || best == nil {
		return nil
	}
	if best.Mean > 0.995*own.Mean {
		return []string{fmt.Sprintf("With the counterweights of the file the mains carry %s in the mean and %s at worst; none of the policies compared leaves less in the mean.",
			num.Shown(own.Mean, "N"), num.Shown(own.Worst.Force, "N"))}
	}
	s := fmt.Sprintf("With the counterweights of the file the mains carry %s in the mean and %s at worst; of the policies compared, %q leaves least in the mean: %s, and %s at worst.",
		num.Shown(own.Mean, "N"), num.Shown(own.Worst.Force, "N"), best.Name, num.Shown(best.Mean, "N"), num.Shown(best.Worst.Force, "N"))
	return []string{s}
}

// Room says what sets the length of a crank, and where parts have less than they need.
//
//   - budget, bays: of analysis.Room or analysis.Bearings
//
// Result: sentences with lengths [mm]. Definition.
func Room(budget *bearing.Budget, bays []bearing.Widths) []string {
	var out []string
	bores, crank, tight := 0, 0, math.Inf(1)
	for _, p := range budget.Pitches {
		if p.BoresSet() {
			bores++
		} else {
			crank++
		}
		tight = math.Min(tight, p.Slack())
	}
	switch {
	case len(budget.Pitches) == 0:
	case crank == 0:
		out = append(out, fmt.Sprintf("The bores set the length of the engine; %s", slackShown(tight)))
	case bores == 0:
		out = append(out, fmt.Sprintf("The crank sets the length of the engine: its journals, webs and pins ask for more than the bores; %s", slackShown(tight)))
	default:
		out = append(out, fmt.Sprintf("Bores set %d and the crank %d of the %d distances along the engine; %s", bores, crank, len(budget.Pitches), slackShown(tight)))
	}
	flying, flange, least := 0, 0, math.Inf(1)
	for _, p := range budget.Parts {
		switch p.Kind {
		case bearing.FlyingWeb:
			flying++
			least = math.Min(least, p.To-p.From)
		case bearing.Flange:
			flange++
			least = math.Min(least, p.To-p.From)
		default:
		}
	}
	switch {
	case flying > 0:
		out = append(out, fmt.Sprintf("%s between the two pins of a bay, %s mm at the least: room that a shared pin would give to the bearings.", num.Counted(flying, "flying web stands", "flying webs stand"), num.Digits(1e3*least, 3)))
	case flange > 0:
		out = append(out, fmt.Sprintf("%s between split pins that overlap, %s mm at the least.", num.Counted(flange, "flange stands", "flanges stand"), num.Digits(1e3*least, 3)))
	}
	for _, w := range bays {
		if w.Pins == 1 && w.Stagger > 0 && w.Rod > 0 {
			out = append(out, fmt.Sprintf("Two rods share a pin of %s mm, %s mm for each; the banks stand %s mm apart along the crank. A millimetre less of that takes one from each rod and gives two to the webs.",
				num.Digits(1e3*w.Pin, 3), num.Digits(1e3*w.Rod, 3), num.Digits(1e3*w.Stagger, 3)))
			break
		}
	}
	if list := budget.Conflicts(); len(list) > 0 {
		var names []string
		for _, p := range list {
			names = append(names, fmt.Sprintf("%s %s (%s mm short)", p.Kind, p.Name, num.Digits(-1e3*p.Slack(), 2)))
		}
		out = append(out, "Too little room: "+strings.Join(names, ", ")+".")
	}
	return out
}

func slackShown(slack float64) string {
	switch {
	case slack < -1e-6:
		return fmt.Sprintf("at the tightest place %s mm are missing.", num.Digits(-1e3*slack, 2))
	case slack < 1e-6:
		return "at the tightest place nothing is left over."
	}
	return fmt.Sprintf("at the tightest place %s mm are left over.", num.Digits(1e3*slack, 2))
}
