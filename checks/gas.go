package checks

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"crankwright/mechanics/gas"
	"crankwright/num"
)

// gases lists what the cycle of the gas is held to.
func (l *list) gases() {
	l.airStandard()
	l.heatRelease()
	l.finiteRelease()
}

// airStandard are worked examples of air-standard cycles, by the closed forms and by the model in its limit: no
// losses, heat in next to no time, or at the pace that keeps the pressure.
func (l *list) airStandard() {
	read := func(source, place string) Check {
		return Check{ID: "gas/" + strings.ToLower(source) + "-" + place, Chapter: "gas", Kind: Published, Source: source, Place: "ex. " + place, Seen: Read}
	}
	point := func(c gas.AirStandard, i int, of func(gas.StandardPoint) float64) func() (float64, error) {
		return func() (float64, error) { p, err := c.Points(); return of(p[i]), err }
	}
	kelvin := func(p gas.StandardPoint) float64 { return p.T }
	bar := func(p gas.StandardPoint) float64 { return p.P / 1e5 }
	by := func(factor float64, f func() (float64, error)) func() (float64, error) {
		return func() (float64, error) { v, err := f(); return factor * v, err }
	}
	const k = 1.4
	const specific = "the source takes c_p = 1.005 and R = 0.287 kJ/(kg K), whose κ is not quite 1.4"
	const rounds = "the source rounds in between"

	// heat at constant volume: p₃/p₂ = 1 + q/(c_v T₂)
	otto := func(ratio, T1, q, cv float64) gas.AirStandard {
		return gas.AirStandard{Ratio: ratio, K: k, P1: 1e5, T1: T1, Pressure: 1 + q/(cv*T1*math.Pow(ratio, k-1)), Cutoff: 1}
	}
	first := otto(8, 300, 1500, 0.72)
	model := sync.OnceValues(func() (*gas.Result, error) { return limitOfOtto(first) })
	l.worked(
		read("RAJ", "3.9"),
		Check{ID: "T2", What: "end of compression, Otto", Unit: "K", Printed: "689.22 K", Ours: point(first, 1, kelvin)},
		Check{ID: "p2", What: "end of compression, Otto", Unit: "bar", Printed: "18.38 bar", Ours: point(first, 1, bar)},
		Check{ID: "T3", What: "after the heat, Otto", Unit: "K", Printed: "2772.55 K", Ours: point(first, 2, kelvin)},
		Check{ID: "p3", What: "after the heat, Otto", Unit: "bar", Printed: "73.93 bar", Ours: point(first, 2, bar)},
		Check{ID: "T4", What: "end of expansion, Otto", Unit: "K", Printed: "1206.82 K", Ours: point(first, 4, kelvin)},
		Check{ID: "work", What: "work of the Otto cycle", Unit: "kJ/kg", Printed: "847.09 kJ/kg", Ours: by(1500, first.Efficiency)},
		Check{ID: "efficiency", What: "efficiency of the Otto cycle", Unit: "%", Printed: "56.47 %", Ours: by(100, first.Efficiency)},
		Check{ID: "model-p3", What: "peak pressure of the model in the limit of the Otto cycle", Unit: "bar", Printed: "73.93 bar", Ours: func() (float64, error) {
			r, err := model()
			if err != nil {
				return 0, err
			}
			return r.PeakPressure / 1e5, nil
		}},
		Check{ID: "model-T3", What: "highest temperature of the model in the limit of the Otto cycle", Unit: "K", Printed: "2772.55 K", Tol: 0.05, TolWhy: "the heat still needs 0.005 degrees", Ours: func() (float64, error) {
			r, err := model()
			if err != nil {
				return 0, err
			}
			return r.PeakTemperature, nil
		}},
		Check{ID: "model-efficiency", What: "efficiency of the model in the limit of the Otto cycle", Unit: "%", Printed: "56.47 %", Ours: func() (float64, error) {
			r, err := model()
			if err != nil {
				return 0, err
			}
			return 100 * r.Efficiency, nil
		}},
	)

	second := otto(8, 293, 1800, 0.718)
	l.worked(
		read("MS", "2.8"),
		Check{ID: "T3", What: "after the heat, Otto", Unit: "K", Printed: "3180 K", Ours: point(second, 2, kelvin)},
		Check{ID: "p3", What: "after the heat, Otto", Unit: "bar", Printed: "86.8 bar", Ours: point(second, 2, bar)},
		Check{ID: "T4", What: "end of expansion, Otto", Unit: "K", Printed: "1384 K", Ours: point(second, 4, kelvin)},
		Check{ID: "efficiency", What: "efficiency of the Otto cycle", Unit: "%", Printed: "56.5 %", Ours: by(100, second.Efficiency)},
		Check{ID: "mep", What: "mean effective pressure of the Otto cycle", Unit: "bar", Printed: "13.8 bar", Ours: by(1e-5, second.MEP)},
	)

	diesel := gas.AirStandard{Ratio: 16, K: k, P1: 1e5, T1: 300, Pressure: 1, Cutoff: 2.2}
	slow := sync.OnceValues(func() (*gas.Result, error) { return limitOfDiesel(diesel) })
	swept := math.Pi / 4 * 0.2 * 0.2 * 0.3
	l.worked(
		read("GUP", "2.4"),
		Check{ID: "T2", What: "end of compression, Diesel", Unit: "K", Printed: "909.4 K", Ours: point(diesel, 1, kelvin)},
		Check{ID: "p2", What: "end of compression, Diesel", Unit: "bar", Printed: "48.5 bar", Ours: point(diesel, 1, bar)},
		Check{ID: "T3", What: "after the heat, Diesel", Unit: "K", Printed: "2001 K", Ours: point(diesel, 3, kelvin)},
		Check{ID: "T4", What: "end of expansion, Diesel", Unit: "K", Printed: "904.7 K", Ours: point(diesel, 4, kelvin)},
		Check{ID: "work", What: "work of the Diesel cycle", Unit: "kJ", Printed: "7.736 kJ", Tol: 0.004, TolWhy: specific, Ours: by(1e-3*swept, diesel.MEP)},
		Check{ID: "efficiency", What: "efficiency of the Diesel cycle", Unit: "%", Printed: "60.4 %", Ours: by(100, diesel.Efficiency)},
		Check{ID: "mep", What: "mean effective pressure of the Diesel cycle", Unit: "bar", Printed: "8.21 bar", Ours: by(1e-5, diesel.MEP)},
		Check{ID: "model-p3", What: "peak pressure of the model in the limit of the Diesel cycle", Unit: "bar", Printed: "48.5 bar", Ours: func() (float64, error) {
			r, err := slow()
			if err != nil {
				return 0, err
			}
			return r.PeakPressure / 1e5, nil
		}},
		Check{ID: "model-work", What: "work of the model in the limit of the Diesel cycle", Unit: "kJ", Printed: "7.736 kJ", Tol: 0.004, TolWhy: specific, Ours: func() (float64, error) {
			r, err := slow()
			if err != nil {
				return 0, err
			}
			return r.Work / 1e3, nil
		}},
		Check{ID: "model-efficiency", What: "efficiency of the model in the limit of the Diesel cycle", Unit: "%", Printed: "60.4 %", Ours: func() (float64, error) {
			r, err := slow()
			if err != nil {
				return 0, err
			}
			return 100 * r.Work / r.Balance.Released, nil
		}},
	)

	// q_v = 2 q_p: (α − 1) = 2 κ α (β − 1)
	α := 60 / math.Pow(15, k)
	dual := gas.AirStandard{Ratio: 15, K: k, P1: 1e5, T1: 300, Pressure: α, Cutoff: 1 + (α-1)/(2*k*α)}
	l.worked(
		read("GUP", "2.8"),
		Check{ID: "T2", What: "end of compression, dual", Unit: "K", Printed: "886.3 K", Tol: 0.06, TolWhy: rounds, Ours: point(dual, 1, kelvin)},
		Check{ID: "p2", What: "end of compression, dual", Unit: "bar", Printed: "44.3 bar", Ours: point(dual, 1, bar)},
		Check{ID: "T3", What: "after the heat at constant volume, dual", Unit: "K", Printed: "1200 K", Ours: point(dual, 2, kelvin)},
		Check{ID: "T4", What: "after the heat at constant pressure, dual", Unit: "K", Printed: "1312.1 K", Ours: point(dual, 3, kelvin)},
		Check{ID: "T5", What: "end of expansion, dual", Unit: "K", Printed: "460.3 K", Ours: point(dual, 4, kelvin)},
		Check{ID: "efficiency", What: "efficiency of the dual cycle", Unit: "%", Printed: "66.0 %", Tol: 0.06, TolWhy: rounds, Ours: by(100, dual.Efficiency)},
		Check{ID: "mep", What: "mean effective pressure of the dual cycle", Unit: "bar", Printed: "2.8 bar", Ours: by(1e-5, dual.MEP)},
	)
}

// lossless returns the model's setting for an air-standard cycle that takes heat h p₁V₁ in, 0.2 m by 0.3 m.
func lossless(c gas.AirStandard, h float64) (gas.Setting, error) {
	chamber, err := gas.InfiniteRod(0.2, 0.3, c.Ratio)
	v1 := chamber.Displacement() * c.Ratio / (c.Ratio - 1)
	return gas.Setting{
		Chamber: chamber, Speed: 100, Intake: c.P1, Temperature: c.T1, Exhaust: c.P1,
		Fluid: gas.Fluid{K: c.K}, Fuel: gas.Fuel{Heat: h * c.P1 * v1, Premixed: true},
	}, err
}

// limitOfOtto solves the model with all the heat within 0.005 degrees about top dead centre.
func limitOfOtto(c gas.AirStandard) (*gas.Result, error) {
	s, err := lossless(c, math.Pow(c.Ratio, c.K-1)*(c.Pressure-1)/(c.K-1))
	if err != nil {
		return nil, err
	}
	s.Release = gas.Release{{Share: 1, Start: num.Degrees(-0.0025), Duration: num.Degrees(0.005), A: 20, M: 2}}
	return gas.Solve(s)
}

// limitOfDiesel solves the model with heat in proportion to the volume gained, in 200 parts that burn nearly evenly:
// with a = 0.1 and m = 0 each releases only 1 − e^−a of its share, which the heat makes up for.
func limitOfDiesel(c gas.AirStandard) (*gas.Result, error) {
	const parts, a = 200, 0.1
	s, err := lossless(c, math.Pow(c.Ratio, c.K-1)*c.K*(c.Cutoff-1)/(c.K-1)/-math.Expm1(-a))
	if err != nil {
		return nil, err
	}
	end := num.Angle(math.Acos(1 - 2*(c.Cutoff-1)/(c.Ratio-1)))
	volume := func(i int) float64 { v, _ := s.Chamber.Volume(end * num.Angle(i) / parts); return v }
	for i := range parts {
		s.Release = append(s.Release, gas.Wiebe{
			Share: (volume(i+1) - volume(i)) / (volume(parts) - volume(0)),
			Start: end * num.Angle(i) / parts, Duration: end / parts, A: a,
		})
	}
	return gas.Solve(s)
}

// heatRelease are points of the Wiebe function and of the correlation of Woschni.
func (l *list) heatRelease() {
	for _, w := range []struct{ a, m, half, p10, p50, p90 float64 }{
		{5, 2, 0.46474, 0.27621, 0.51755, 0.77223},
		{6.908, 2, 0.57832, 0.24799, 0.46468, 0.69335},
		{5, 3, math.NaN(), 0.38100, 0.61019, 0.82378},
	} {
		release := gas.Release{{Share: 1, Duration: 1, A: w.a, M: w.m}}
		base := Check{ID: fmt.Sprintf("gas/wiebe-%g-%g", w.a, w.m), Chapter: "gas", Kind: ClosedForm, Source: "HEYWOOD", Place: "eq. 9.30", Seen: Recomputed}
		var rows []Check
		if w.half == w.half {
			rows = append(rows, Check{
				ID: "half", What: fmt.Sprintf("share burned at half the duration, a = %g, m = %g", w.a, w.m), Printed: fmt.Sprintf("%.5f", w.half),
				Ours: func() (float64, error) { return release.Burned(0.5), nil },
			})
		}
		for i, at := range []float64{w.p10, w.p50, w.p90} {
			share := [3]float64{0.1, 0.5, 0.9}[i]
			rows = append(rows, Check{
				ID: fmt.Sprintf("%g", 100*share), What: fmt.Sprintf("part of the duration after which %g %% has burned, a = %g, m = %g", 100*share, w.a, w.m),
				Printed: fmt.Sprintf("%.5f", at), Ours: func() (float64, error) {
					θ, ok := release.Reaches(share)
					if !ok {
						return 0, fmt.Errorf("never reached")
					}
					return float64(θ), nil
				},
			})
		}
		l.worked(base, rows...)
	}
	l.worked(
		Check{ID: "gas/wiebe-end", Chapter: "gas", Kind: ClosedForm, Source: "HEYWOOD", Place: "eq. 9.30", Seen: Recomputed},
		Check{ID: "burned", What: "share burned in the duration, a = 5", Printed: "0.99326", Ours: func() (float64, error) { return gas.SparkRelease(0, 1).Burned(2), nil }},
	)
	base := Check{ID: "gas/woschni", Chapter: "gas", Kind: Published, Source: "WOSCHNI", Place: "in a lecture text", Seen: Read}
	l.worked(
		base,
		Check{ID: "C1-exchange", What: "gas speed over piston speed, valves open", Printed: "6.18", Ours: func() (float64, error) { return gas.WoschniSpeed(true, 1, 0), nil }},
		Check{ID: "C1-closed", What: "gas speed over piston speed, valves closed", Printed: "2.28", Ours: func() (float64, error) { return gas.WoschniSpeed(false, 1, 0), nil }},
	)
	base.Kind, base.Seen, base.Place = ClosedForm, Recomputed, "Heywood eq. 12.18, factor from memory"
	l.worked(base, Check{
		ID: "h", What: "bore 0.1 m, 10 bar, 1200 K, piston speed 10 m/s, motored", Unit: "W/(m² K)", Printed: "320.64 W/(m² K)",
		Ours: func() (float64, error) { return gas.Woschni(0.1, 1e6, 1200, gas.WoschniSpeed(false, 10, 0)), nil },
	})
}

// finiteRelease is the textbook example of a finite release of heat: r = 10, Q = 20 p₁V₁, 40 degrees, no losses.
func (l *list) finiteRelease() {
	for _, e := range []struct {
		name                                string
		start                               float64
		peak, at, work, share, imep, ofOtto string
	}{
		{"early", -20, "87.7823", "10.8", "11.8403", "0.592016", "13.1559", "98.36 %"},
		{"late", 0, "53.5326", "27.7", "11.0358", "0.551789", "12.2620", "91.68 %"},
	} {
		otto := gas.AirStandard{Ratio: 10, K: 1.4, P1: 1e5, T1: 300, Pressure: 2, Cutoff: 1}
		solve := sync.OnceValues(func() (*gas.Result, error) {
			s, err := lossless(otto, 20)
			if err != nil {
				return nil, err
			}
			s.Release = gas.SparkRelease(num.Degrees(e.start), num.Degrees(40))
			return gas.Solve(s)
		})
		ours := func(of func(r *gas.Result) float64) func() (float64, error) {
			return func() (float64, error) {
				r, err := solve()
				if err != nil {
					return 0, err
				}
				return of(r), nil
			}
		}
		base := Check{
			ID: "gas/finite-" + e.name, Chapter: "gas", Kind: IndependentLibrary, Source: "FERGUSON", Place: "ch. 2, solved by SciPy to 1e-12", Seen: Recomputed,
		}
		peak := ours(func(r *gas.Result) float64 { return r.PeakPressure / 1e5 })
		angle := ours(func(r *gas.Result) float64 { return r.PeakAngle.Deg() })
		v1 := 1e5 * math.Pi / 4 * 0.04 * 0.3 / 0.9 // p₁V₁
		l.worked(
			base,
			Check{ID: "peak", What: "largest pressure over p₁", Printed: e.peak, Ours: peak},
			Check{ID: "angle", What: "where it stands after top dead centre", Unit: "deg", Printed: e.at + " deg", Ours: angle},
			Check{ID: "work", What: "work over p₁V₁", Printed: e.work, Ours: ours(func(r *gas.Result) float64 { return r.Work / v1 })},
			Check{ID: "efficiency", What: "work over the heat given", Printed: e.share, Ours: ours(func(r *gas.Result) float64 { return r.Efficiency })},
			Check{ID: "imep", What: "mean effective pressure over p₁", Printed: e.imep, Ours: ours(func(r *gas.Result) float64 { return r.IMEP / 1e5 })},
			Check{ID: "of-otto", What: "efficiency over that of the Otto cycle", Unit: "%", Printed: e.ofOtto, Ours: func() (float64, error) {
				r, err := solve()
				if err != nil {
					return 0, err
				}
				η, err := otto.Efficiency()
				return 100 * r.Efficiency / η, err
			}},
		)
		if e.name == "early" {
			base.ID, base.Kind, base.Place, base.Seen = "gas/finite-book", Published, "ch. 2, finite heat release", Memory
			l.worked(
				base,
				Check{ID: "peak", What: "largest pressure over p₁", Printed: "87.77", Tol: 0.0878, TolWhy: "0.1 %: the steps of the source are not known", Ours: peak},
				Check{ID: "angle", What: "where it stands after top dead centre", Unit: "deg", Printed: "11 deg", Ours: angle},
			)
		}
	}
}
