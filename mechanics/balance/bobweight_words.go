package balance

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/num"
)

// Words says why the chosen factor is right or not for this crank, from the vector sums of its parts.
//
// Result: sentences with amounts per ω² in [kg mm] and [kg mm²], directions in [deg] from upright.
// Definition.
func (c *Card) Words() []string {
	if c.Needless() {
		out := []string{"The bobweights of this crank cancel each other in force and in moment, so that it comes out of the balancing machine alike with and without them: none is needed. The factor changes only the bending inside the crank, between throws that pull against each other."}
		return append(out, c.againstWords()...)
	}
	out := []string{
		"Half of every sliding mass makes a first-order force that turns with the crank, whatever the bank angle: bobweights with a factor of 50 % take exactly that, " +
			amounts(c.Sliding.With, c.Sliding.MomentWith) + " here.",
	}
	if c.AtHalf.With != 0 || c.AtHalf.MomentWith != 0 {
		out = append(out, "Offset cylinders or linked rods do not move as on a plain crank, and 50 % still leaves "+
			amounts(c.AtHalf.With, c.AtHalf.MomentWith)+" turning with the crank; "+num.Digits(100*c.Best, 4)+" % leaves least.")
	}
	switch over := c.Factor - 0.5; {
	case math.Abs(over) < 1e-9:
		if c.Left.With == 0 && c.Left.MomentWith == 0 {
			out = append(out, "With the chosen 50 % nothing that turns with the crank is left.")
		}
	default:
		much := "more"
		if over < 0 {
			much = "less"
		}
		out = append(out, fmt.Sprintf("The chosen %s %% counts %s %% %s of the sliding masses: %s that turns with the crank is left.",
			num.Digits(100*c.Factor, 4), num.Digits(100*math.Abs(over), 4), much, amounts(c.Left.With, c.Left.MomentWith)))
	}
	return append(out, c.againstWords()...)
}

// againstWords says what no bobweight can take, and what the factor makes of it.
func (c *Card) againstWords() []string {
	f := c.Left
	if f.Against == 0 && f.MomentAgainst == 0 {
		if c.Needless() {
			return []string{"Nothing of the first order is left either way."}
		}
		if c.AtHalf.With != 0 || c.AtHalf.MomentWith != 0 {
			return []string{"Nothing turns against the crank in first order."}
		}
		return []string{"Nothing turns against the crank in first order, so 50 % leaves none of it, and any other factor leaves some."}
	}
	line := "No bobweight changes what turns against the crank, " + amounts(f.Against, f.MomentAgainst)
	if share := ratio(f.Against, c.Sliding.With); share > 0 {
		line += fmt.Sprintf(" (in force %s %% of what 50 %% takes)", num.Digits(100*share, 4))
	} else if share := ratio(f.MomentAgainst, c.Sliding.MomentWith); share > 0 {
		line += fmt.Sprintf(" (in moment %s %% of what 50 %% takes)", num.Digits(100*share, 4))
	}
	out := []string{line + "; only a shaft that turns against the crank takes it."}
	if c.Sliding.With == 0 && c.Sliding.MomentWith != 0 && f.MomentAgainst != 0 {
		about := num.EllipseOf(c.Sliding.MomentWith, f.MomentAgainst).Axis
		out = append(out, fmt.Sprintf("So the factor is a choice of direction: at %s %% the largest moment is smallest; less makes the engine %s, more makes it %s.",
			num.Digits(100*c.Best, 4), coupleWords(about), coupleWords(about+num.Turn/4)))
	}
	if c.Sliding.With == 0 || f.Against == 0 {
		return out
	}
	along := num.EllipseOf(c.Sliding.With, f.Against).Axis
	out = append(out, fmt.Sprintf("So the factor is a choice of direction: at %s %% the largest force is smallest; less makes the engine shake more %s, more makes it shake more %s.",
		num.Digits(100*c.Best, 4), lineWords(along), lineWords(along+num.Turn/4)))
	return out
}

func ratio(a, b complex128) float64 {
	if a == 0 || b == 0 {
		return 0
	}
	return cmplx.Abs(a) / cmplx.Abs(b)
}

// amounts writes a force and a moment per ω², whichever there is.
func amounts(force, moment complex128) string {
	f, m := num.Digits(1e3*cmplx.Abs(force), 4)+" kg mm", num.Digits(1e6*cmplx.Abs(moment), 4)+" kg mm² of moment"
	switch {
	case moment == 0:
		return f
	case force == 0:
		return m
	}
	return f + " and " + m
}

// coupleWords says what a moment about an axis, given from +y about +x, does to the engine.
func coupleWords(axis num.Angle) string {
	switch from := math.Round(axis.Wrap(num.Turn/2).Deg()*10) / 10; from {
	case 0, 180:
		return "pitch more"
	case 90:
		return "yaw more"
	default:
		return "rock more about an axis " + num.Digits(from, 4) + "° from y"
	}
}

// lineWords names a direction given from +y about +x.
func lineWords(axis num.Angle) string {
	up := math.Round((axis-num.Turn/4).Wrap(num.Turn/2).Deg()*10) / 10 // from upright, in the sense of the file
	switch {
	case up == 0 || up == 180:
		return "up and down"
	case up == 90:
		return "from side to side"
	}
	if up > 90 {
		return "along −" + num.Digits(180-up, 4) + "° from upright"
	}
	return "along " + num.Digits(up, 4) + "° from upright"
}
