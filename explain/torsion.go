package explain

import (
	"fmt"
	"math"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// Torsion says how a crank swings: its first natural frequency, which order drives it where, what a damper would make
// of it, and whether another firing order would be kinder.
//
//   - r: a result of analysis.Driver
//
// Result: sentences with frequencies [Hz], speeds [rpm] and stresses [MPa]. Definition.
func Torsion(r *analysis.Torsion) []string {
	if r.Winding < 0 {
		return []string{"The shaft has no elastic mode."}
	}
	mode := r.Bare[r.Winding]
	out := []string{fmt.Sprintf("The mode that winds the crank up lies at %s Hz (%s a minute), %s along the shaft.",
		num.Digits(mode.Frequency/(2*math.Pi), 4), num.Digits(mode.Frequency*30/math.Pi, 5), num.Counted(mode.Nodes, "node", "nodes"))}
	for i := range r.Crank.Stiffness {
		if k := r.Crank.Stiffness[i]; k.Mean > 0 {
			out = append(out, fmt.Sprintf("Two published formulas for the stiffness of a throw differ by %s %%; natural frequencies are uncertain by half of that and more.", num.Digits(100*k.Spread, 2)))
			break
		}
	}
	worst := -1
	for i, p := range r.Spans {
		if worst < 0 || p.Stress > r.Spans[worst].Stress {
			worst = i
		}
	}
	if worst >= 0 {
		p := r.Spans[worst]
		out = append(out, fmt.Sprintf("From %s to %s rpm the largest vibratory stress is %s MPa (nominal) in the span from %s at %s rpm, %s of order %s (%s MPa).",
			num.Digits(r.Lo*30/math.Pi, 4), num.Digits(r.Hi*30/math.Pi, 4), num.Digits(p.Stress/1e6, 3), p.Name, num.Digits(p.Speed*30/math.Pi, 4),
			largestPart(p.OrderPart, p.Stress), num.Digits(float64(p.Order)/2, 3), num.Digits(p.OrderPart/1e6, 3)))
	}
	if len(r.Tries) == 3 {
		out = append(out, fmt.Sprintf("A damper on the free end with a ring of %s kg m² would leave %s MPa on rubber, %s MPa in a viscous film, where %s MPa are without.",
			num.Digits(r.Tries[1].Damper.Ring, 3), num.Digits(r.Tries[1].Stress/1e6, 3), num.Digits(r.Tries[2].Stress/1e6, 3), num.Digits(r.Tries[0].Stress/1e6, 3)))
	}
	if r.Damper != nil {
		kind := map[layout.DamperKind]string{layout.Rubber: "rubber", layout.Viscous: "viscous"}[r.Fitted.Kind]
		out = append(out, fmt.Sprintf("With the %s damper that is fitted %s MPa are left.", kind, num.Digits(r.Fitted.Stress/1e6, 3)))
	}
	if s := orderSentence(r); s != "" {
		out = append(out, s)
	}
	return append(out, fmt.Sprintf("Damping is assumed, not computed: the mode is taken to magnify %s times without damper, and stresses at its critical speeds go with that number.", num.Digits(r.Magnifier, 3)))
}

func orderSentence(r *analysis.Torsion) string {
	if len(r.Kind) < 2 || r.Own < 0 {
		return ""
	}
	own, best := r.Kind[r.Own], r.Kind[0]
	if r.Own == 0 || own.Size <= 1.02*best.Size {
		return "Among the firing orders that the crank allows, none is kinder to this mode within the speeds that are run."
	}
	name := ""
	for i, c := range r.Orders[best.Index].Order {
		if i > 0 {
			name += "-"
		}
		name += r.Train.Cylinders[c].Name
	}
	return fmt.Sprintf("The firing order %s would be kinder: its worst order (%s) drives the mode with %s, the engine's own (order %s) with %s.",
		name, num.Digits(float64(best.Worst)/2, 3), num.Shown(best.Size, "N m"), num.Digits(float64(own.Worst)/2, 3), num.Shown(own.Size, "N m"))
}
