package explain

import (
	"fmt"
	"math"
	"math/cmplx"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Drive says what pushes the engine at one speed and load: how much of it is combustion and how much only inertia, and
// how even it is.
//
//   - d: a result of analysis.Driver
//
// Result: sentences with torques [N m] and speeds [rpm]. Definition.
func Drive(d *analysis.Drive) []string {
	out := []string{meanSentence(d)}
	out = append(out, shareSentences(d)...)
	if s := impulseSentence(d); s != "" {
		out = append(out, s)
	}
	switch {
	case d.Crank != nil:
		out = append(out, fmt.Sprintf("With %s kg m² the crank speed swings between %s and %s rpm, a coefficient of fluctuation of %s %%.",
			num.Digits(d.Rotor, 3), speedShown(d.Crank.Least), speedShown(d.Crank.Most), num.Digits(100*d.Crank.Fluctuation, 3)))
	case d.Stalls != "":
		out = append(out, fmt.Sprintf("With %s kg m² the crank would almost stop within the cycle at this speed: it needs a flywheel.", num.Digits(d.Rotor, 3)))
	}
	if t := d.Driver.Train; t.Flywheel == 0 {
		out = append(out, "The file has no flywheel: crank and driven machine turn alone. The key flywheel gives one, such as flywheel: {inertia: 0.12 kg m2}.")
	}
	return out
}

func speedShown(ω float64) string { return num.Digits(ω*30/math.Pi, 5) }

func meanSentence(d *analysis.Drive) string {
	if s := offSentence(d); s != "" {
		return s
	}
	load := "At full load"
	switch {
	case d.Driver.Measured:
		load = "With the measured pressure"
	case d.Light:
		load = "Running light"
	case d.Load < 1:
		load = fmt.Sprintf("At %s %% load", num.Digits(100*d.Load, 3))
	}
	s := fmt.Sprintf("%s the gas gives %s in the mean (%s bar); friction takes %s bar of it", load,
		num.Shown(d.Curves.Mean, "N m"), num.Digits(d.IMEP/1e5, 3), num.Digits(d.Friction.Total/1e5, 3))
	if d.Light {
		return s + ", which is all."
	}
	if d.Brake < 0 {
		return s + fmt.Sprintf(", more than there is: the engine lacks %s to keep this speed.", num.Shown(-d.Brake, "N m"))
	}
	return s + fmt.Sprintf(" and %s remain at the drive end.", num.Shown(d.Brake, "N m"))
}

// offSentence speaks of an engine of which not every cylinder fires; empty where all do.
func offSentence(d *analysis.Drive) string {
	t := d.Driver.Train
	switch n := len(t.Gas.Off); {
	case n == 0 || d.Driver.Measured:
		return ""
	case n == len(t.Cylinders):
		return fmt.Sprintf("No cylinder fires: turning the engine takes %s, of which %s bar are friction and %s bar what the cylinders breathe against.",
			num.Shown(-d.Brake, "N m"), num.Digits(d.Friction.Total/1e5, 3), num.Digits(-d.IMEP/1e5, 3))
	}
	throttle := "at full load"
	switch {
	case d.Light:
		throttle = "with the throttle or fuel at which all together would run light"
	case d.Load < 1:
		throttle = fmt.Sprintf("with the throttle or fuel at which all together would give %s %% load", num.Digits(100*d.Load, 3))
	}
	left := fmt.Sprintf("%s remain at the drive end", num.Shown(d.Brake, "N m"))
	if d.Brake < 0 {
		left = fmt.Sprintf("the engine lacks %s to keep this speed", num.Shown(-d.Brake, "N m"))
	}
	return fmt.Sprintf("With %d of %d cylinders firing, %s, the gas gives %s in the mean; friction takes %s bar of it and %s.",
		len(t.Cylinders)-len(t.Gas.Off), len(t.Cylinders), throttle, num.Shown(d.Curves.Mean, "N m"), num.Digits(d.Friction.Total/1e5, 3), left)
}

func shareSentences(d *analysis.Drive) []string {
	s := d.Share
	switch {
	case s.Total == 0:
		return []string{"The torque is perfectly even."}
	case s.Inertia < 1e-3*s.Gas:
		return []string{fmt.Sprintf("Inertia adds nothing worth naming to the uneven torque (%s): the pistons pass their energy to each other, so that what the driver feels is combustion.",
			num.Shown(s.Gas, "N m"))}
	case s.Gas == 0:
		return []string{fmt.Sprintf("No cylinder fires: the uneven torque of %s is inertia alone.", num.Shown(s.Inertia, "N m"))}
	}
	side := "is less uneven than the gas torque"
	switch {
	case s.Ratio > 1.05:
		side = "is more uneven than the gas torque"
	case s.Ratio > 0.95:
		side = "is as uneven as the gas torque"
	}
	first := fmt.Sprintf("The inertia torque %s here: root mean squares %s and %s, ratio %s", side,
		num.Shown(s.Inertia, "N m"), num.Shown(s.Gas, "N m"), num.Digits(s.Ratio, 3))
	if k, size := largestInertia(d); k > 0 {
		first += fmt.Sprintf("; %s is the %s", largestPart(size*size/2, s.Inertia*s.Inertia), orderName(k))
	}
	out := []string{first + "."}
	together := fmt.Sprintf("Together they leave %s", num.Shown(s.Total, "N m"))
	switch {
	case s.Total < 0.9*math.Max(s.Gas, s.Inertia):
		together += ", less than the larger alone: they cancel in part"
	case s.Total > 1.3*math.Max(s.Gas, s.Inertia):
		together += ", more than the larger alone"
	}
	if d.Equal > 0 && d.Equal < 1e4 {
		together += fmt.Sprintf("; with this gas torque they are equal at %s rpm", num.Digits(d.Equal*30/math.Pi, 3))
	}
	return append(out, together+".")
}

// largestInertia returns the order with the largest inertia torque and its amplitude [N m]; 0 where there is none.
func largestInertia(d *analysis.Drive) (k int, size float64) {
	for _, o := range d.Orders {
		if a := cmplx.Abs(o.Inertia); a > size {
			k, size = o.K, a
		}
	}
	return k, size
}

func impulseSentence(d *analysis.Drive) string {
	n := len(d.Impulses)
	if n < 2 {
		return ""
	}
	least, most, low, high := math.Inf(1), 0.0, math.Inf(1), math.Inf(-1)
	for _, p := range d.Impulses {
		least, most = math.Min(least, p.Gap.Deg()), math.Max(most, p.Gap.Deg())
		low, high = math.Min(low, p.Peak), math.Max(high, p.Peak)
	}
	gaps := fmt.Sprintf("%s° to %s° apart", num.Digits(math.Round(least), 4), num.Digits(math.Round(most), 4))
	if most-least < 1 {
		gaps = num.Digits(math.Round(most), 4) + "° apart"
	}
	peaks := "with equal peaks of " + num.Shown(high, "N m")
	if high-low > 0.01*math.Abs(high) {
		peaks = fmt.Sprintf("with peaks from %s to %s", num.Shown(low, "N m"), num.Shown(high, "N m"))
	}
	return fmt.Sprintf("The drive end feels %d pushes in two revolutions, %s, %s.", n, gaps, peaks)
}

// Friction says where the friction of an engine is taken from and how far engines scatter about it.
//
//   - t: a train
//
// Result: one sentence, pressures in it as mean effective pressures [bar]. Definition.
func Friction(t *layout.Train) string {
	scaled := ", scaled by the bearings, rings, valves and drives that this layout has over those of an in-line four of the same cylinders"
	switch t.Friction.By {
	case layout.SparkMotored:
		return "Friction follows the motored correlation of automotive spark-ignition engines (HEYWOOD, eq. 13.6a, from memory), less the pumping that the gas cycle counts itself" + scaled + "; engines scatter by 20 % about it (common practice)."
	case layout.CompressionMotored:
		return "Friction follows the motored correlation of direct-injection compression-ignition engines (MILLINGTON, from memory), less the pumping that the gas cycle counts itself" + scaled + "; engines scatter by 20 % about it (common practice)."
	case layout.PeakPressure:
		return "Friction follows a correlation in largest pressure and mean piston speed (CHENFLYNN, from memory)" + scaled + "; engines scatter by 20 % about it (common practice)."
	case layout.ByParts:
		return "Friction is the sum of bearings, rings, skirts, valves and drives from their counts and sizes; it may be wrong by a factor of two (common practice), and tells layouts apart."
	}
	return ""
}
