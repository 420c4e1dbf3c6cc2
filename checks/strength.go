package checks

import (
	"fmt"

	"crankwright/mechanics/strength"
)

// strengths lists the rule for crankshafts and the one for shafts: factors at a grid of throws, a chain from loads to
// acceptability, and permissible stresses.
func (l *list) strengths() {
	const why = "printed with four decimals"
	factor := func(id, what, printed string, r strength.Ratios, of func(strength.Factors) float64) {
		want := number(printed)
		half, _ := HalfUnit(printed)
		l.add(Check{
			ID: "strength/" + id, Chapter: "strength", Kind: ClosedForm, Source: "IACSM53", Place: "stress concentration factors; computed by an independent program from the same formulas",
			Seen: Recomputed, What: what, Unit: "1", Printed: printed, Want: want, Tol: 1.01 * half, TolWhy: why,
			Ours: func() (float64, error) { return of(strength.FactorsOf(r)), nil },
		})
	}
	for i, c := range []struct {
		r              strength.Ratios
		ab, at, bb, bq string
		gb, gt         string
	}{
		{strength.Ratios{S: 0, W: .34, B: 1.5, RH: .05}, "2.5950", "1.9116", "2.9319", "2.8196", "", ""},
		{strength.Ratios{S: .1, W: .35, B: 1.5, RH: .05, DO: .1}, "2.4847", "1.9623", "2.8149", "3.0241", "2.758", "3.7"},
		{strength.Ratios{S: .2, W: .30, B: 1.6, RH: .06, DG: .3, DH: .3, DO: .1}, "2.0004", "1.9322", "1.8730", "2.5772", "2.758", "3.7"},
		{strength.Ratios{S: .3, W: .27, B: 1.6, RH: .05, DO: .08}, "1.7536", "2.1133", "1.8923", "3.3229", "2.751", "3.712"},
		{strength.Ratios{S: 0, W: .50, B: 1.6, RH: .05, DO: .1}, "3.4995", "1.7642", "3.9685", "3.2762", "2.758", "3.7"},
		{strength.Ratios{S: -.2, W: .40, B: 1.6, RH: .05, DO: .1}, "3.2395", "1.7147", "3.5173", "2.4829", "2.758", "3.7"},
	} {
		r := c.r
		r.RG = r.RH
		id := fmt.Sprintf("factors-%d/", i+1)
		at := fmt.Sprintf(" at s %g, w %g, b %g, r %g, bores %g and %g", r.S, r.W, r.B, r.RH, r.DG, r.DH)
		factor(id+"pin-bending", "α_B"+at, c.ab, r, func(f strength.Factors) float64 { return f.PinBending })
		factor(id+"pin-torsion", "α_T"+at, c.at, r, func(f strength.Factors) float64 { return f.PinTorsion })
		factor(id+"journal-bending", "β_B"+at, c.bb, r, func(f strength.Factors) float64 { return f.JournalBending })
		factor(id+"journal-shear", "β_Q"+at, c.bq, r, func(f strength.Factors) float64 { return f.JournalShear })
		if r.DO > 0 {
			bore := fmt.Sprintf(" at an oil bore of %g", r.DO)
			factor(id+"oil-bending", "γ_B"+bore, c.gb, r, func(f strength.Factors) float64 { return f.OilBending })
			factor(id+"oil-torsion", "γ_T"+bore, c.gt, r, func(f strength.Factors) float64 { return f.OilTorsion })
		}
	}
	l.strengthChain()
	l.shaftRule()
}

// strengthChain follows one throw from its loads to its acceptability.
func (l *list) strengthChain() {
	t := strength.Throw{Pin: .2, Journal: .22, Radius: .16, Web: .08, WebWidth: .32, PinFillet: .01, JournalFillet: .01, OilBore: .02}
	loads := strength.Loads{Bending: 20e3, Radial: 150e3, OilBore: 18e3, PinTorque: 25e3, JournalTorque: 25e3}
	add := func(id, what, unit, printed, place string, of func(*strength.Assessment) float64) {
		half, _ := HalfUnit(printed)
		l.add(Check{
			ID: "strength/chain/" + id, Chapter: "strength", Kind: ClosedForm, Source: "IACSM53", Place: place, Seen: Recomputed,
			What: what + " of a throw with pin 200, journal 220, throw 160, web 80 × 320, fillets 10, oil bore 20 mm", Unit: unit,
			Printed: printed, Want: number(printed), Tol: 1.2 * half, TolWhy: "the last digit printed",
			Ours: func() (float64, error) {
				a, err := strength.Assess(t, loads, strength.Steel{Tensile: 900e6, Factor: 1.05}, strength.Setting{})
				if err != nil {
					return 0, err
				}
				return of(a), nil
			},
		})
	}
	const mpa = 1e-6
	const factors, stresses, fatigue = "stress concentration factors", "nominal and equivalent stresses", "fatigue strength, structure and constants read in a class rule"
	add("pin-bending", "α_B", "1", "2.5316", factors, func(a *strength.Assessment) float64 { return a.Factors.PinBending })
	add("pin-torsion", "α_T", "1", "1.9661", factors, func(a *strength.Assessment) float64 { return a.Factors.PinTorsion })
	add("journal-bending", "β_B", "1", "2.7790", factors, func(a *strength.Assessment) float64 { return a.Factors.JournalBending })
	add("journal-shear", "β_Q", "1", "3.5490", factors, func(a *strength.Assessment) float64 { return a.Factors.JournalShear })
	add("nominal-bending", "σ_BFN", "N/mm²", "58.594", stresses, func(a *strength.Assessment) float64 { return a.Nominal.Bending * mpa })
	add("nominal-shear", "σ_QFN", "N/mm²", "5.859", stresses, func(a *strength.Assessment) float64 { return a.Nominal.Shear * mpa })
	add("nominal-torsion-pin", "τ_N in the pin", "N/mm²", "15.915", stresses, func(a *strength.Assessment) float64 { return a.Nominal.PinTorsion * mpa })
	add("nominal-torsion-journal", "τ_N in the journal", "N/mm²", "11.958", stresses, func(a *strength.Assessment) float64 { return a.Nominal.JournalTorsion * mpa })
	for i, c := range []struct{ id, where, v, dw, q string }{
		{"pin", "pin fillet", "167.35", "298.51", "1.784"}, {"journal", "journal fillet", "198.06", "295.43", "1.492"}, {"oil", "oil bore", "93.48", "284.29", "3.041"},
	} {
		add(c.id+"/equivalent", "equivalent stress at the "+c.where, "N/mm²", c.v, stresses, func(a *strength.Assessment) float64 { return a.Points[i].Equivalent * mpa })
		add(c.id+"/fatigue", "fatigue strength at the "+c.where, "N/mm²", c.dw, fatigue, func(a *strength.Assessment) float64 { return a.Points[i].Fatigue * mpa })
		add(c.id+"/q", "acceptability factor of the "+c.where, "1", c.q, "acceptance", func(a *strength.Assessment) float64 { return a.Points[i].Q })
	}
}

// shaftRule holds permissible stresses of plain shafts.
func (l *list) shaftRule() {
	add := func(id, what, unit, printed string, ours func() (float64, error)) {
		half, _ := HalfUnit(printed)
		l.add(Check{
			ID: "shaft-rule/" + id, Chapter: "strength", Kind: ClosedForm, Source: "IACSM68", Place: "permissible stresses; computed by an independent program from the same formulas",
			Seen: Recomputed, What: what, Unit: unit, Printed: printed, Want: number(printed), Tol: 1.01 * half, TolWhy: "the last digit printed", Ours: ours,
		})
	}
	const shaft = " of a shaft of 300 mm, 600 N/mm², integral flange"
	add("size", "size factor c_D of 300 mm", "1", "0.647207", func() (float64, error) { return strength.SizeFactor(0.3), nil })
	for _, c := range []struct {
		speed   float64
		printed string
	}{{.5, "68.316"}, {.8, "47.002"}, {.95, "37.711"}} {
		add(fmt.Sprintf("continuous-%g", c.speed), fmt.Sprintf("continuous stress at %g of the rated speed", c.speed)+shaft, "N/mm²", c.printed, func() (float64, error) {
			v, err := strength.ContinuousStress(600e6, 0.3, 1, c.speed)
			return v / 1e6, err
		})
	}
	add("transient", "stress while passing a barred range at 0.8 of the rated speed"+shaft, "N/mm²", "79.903", func() (float64, error) {
		v, err := strength.TransientStress(600e6, 0.3, 1, 0.8)
		return v / 1e6, err
	})
	add("diameter", "least diameter for 5000 kW at 500 1/min, 600 N/mm²", "mm", "194.59", func() (float64, error) {
		v, err := strength.ShaftDiameter(5e6, rpm(500), 600e6, 1)
		return 1e3 * v, err
	})
}
