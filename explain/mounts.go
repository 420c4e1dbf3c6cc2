package explain

import (
	"fmt"
	"math"
	"strings"

	"crankwright/analysis"
	"crankwright/num"
)

// Mounts says how an engine stands: its modes, what excites them at idle, whether the roll is decoupled, what reaches the
// structure and who feels more than the action value.
//
//   - r: a result of analysis.Driver
//
// Result: sentences with frequencies [Hz], forces [N] and speeds [rpm]. Definition.
func Mounts(r *analysis.Mounts) []string {
	hz := func(ω float64) string { return num.Digits(ω/(2*math.Pi), 3) }
	rpm := func(ω float64) string { return num.Digits(ω*30/math.Pi, 4) }
	order := float64(r.Main) / 2
	out := []string{fmt.Sprintf("%s kg on %s swing by themselves from %s to %s Hz and settle by %s mm at most.",
		num.Digits(r.System.Body.Mass, 3), num.Counted(len(r.System.Mounts), "mount", "mounts"), hz(r.Modes[0].Frequency), hz(r.Modes[5].Frequency), num.Digits(1e3*r.Merit.Sag, 2))}
	where := "well above them: the mounts isolate"
	loud := analysis.MountOrder{} // the largest that is magnified
	for _, o := range r.Idle.Orders {
		if o.Total > max(o.Resting, loud.Total) {
			loud = o
		}
	}
	switch {
	case r.Merit.Separation < math.Sqrt2:
		where = "among them or too near: the mounts magnify at idle; softer mounts, a faster idle or another order would help"
	case r.Merit.Separation < analysis.UsualSeparation:
		where = "above them, but near: less than twice the fastest mode"
	case r.Idle.Passes >= 1 && loud.K > 0:
		where = fmt.Sprintf("well above them; but order %s, at %s Hz, is among them or near, and %s times what would come at rest reaches the structure",
			num.Digits(float64(loud.K)/2, 3), hz(r.Idle.Speed*float64(loud.K)/2), num.Digits(r.Idle.Passes, 2))
	}
	out = append(out, fmt.Sprintf("At idle (%s rpm) order %s drives the roll most, at %s Hz, %s.", rpm(r.Idle.Speed), num.Digits(order, 3), hz(r.Aim.Excitation), where))
	axis := "decoupled: a torque about the crank swings one mode alone"
	if r.Merit.Decoupling < 0.95 {
		axis = fmt.Sprintf("coupled: one mode takes %s %% of a torque about the crank, the rest shakes in others", num.Digits(100*r.Merit.Decoupling, 3))
	}
	out = append(out, "The roll is "+axis+".")
	rated, worst := r.Tries[0].Rated, r.Worst()
	out = append(out, fmt.Sprintf("Into the structure go %s N at idle, %s N at %s rpm, and at most %s N at %s rpm (root mean square of all mounts).",
		num.Digits(r.Idle.Total, 3), num.Digits(rated.Total, 3), rpm(rated.Speed), num.Digits(worst.Total, 3), rpm(worst.Speed)))
	if n := len(r.Meets); n > 0 {
		most := r.Meets[0]
		for _, m := range r.Meets {
			if m.Total > most.Total {
				most = m
			}
		}
		main, _ := r.Modes[most.Mode].Main()
		text := fmt.Sprintf("Order %s runs through mode %d (mostly %s) at %s rpm, where %s N go into the structure: do not run there for long", num.Digits(float64(most.K)/2, 3), most.Mode+1, main, rpm(most.Speed), num.Digits(most.Total, 3))
		if n > 1 {
			text += fmt.Sprintf("; %s more between idle and the highest speed", num.Counted(n-1, "meeting", "meetings"))
		}
		out = append(out, text+".")
	}
	var better []string
	for _, t := range r.Tries[1:] {
		if t.Rated.Total < 0.8*rated.Total {
			better = append(better, fmt.Sprintf("%s would leave %s N", t.Name, num.Digits(t.Rated.Total, 3)))
		}
	}
	if len(better) > 0 {
		out = append(out, fmt.Sprintf("At %s rpm %s.", rpm(rated.Speed), strings.Join(better, "; ")))
	}
	for i := range r.Train.Mounting.Receivers {
		most, at := 0, 0.0
		for _, p := range r.Sweep {
			if p.Felt[i].Over > most {
				most, at = p.Felt[i].Over, p.Speed
			}
		}
		name := num.Capital(r.Train.Mounting.Receivers[i].Name)
		switch most {
		case 0:
			out = append(out, fmt.Sprintf("%s stays below the action value at every speed of the sweep, as computed.", name))
		case 1:
			out = append(out, fmt.Sprintf("%s is above the action value of the day at the load of the sweep, first at %s rpm.", name, rpm(at)))
		default:
			out = append(out, fmt.Sprintf("%s is above the limit value of the day at the load of the sweep, first at %s rpm.", name, rpm(at)))
		}
	}
	return append(out, "Engine and structure are taken as rigid and rubber as a spring that never stiffens: real mounts pass more, above 100 Hz much more.")
}
