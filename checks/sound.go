package checks

import (
	"fmt"
	"math"
	"math/cmplx"
	"slices"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/sound"
)

// pulsesOf returns the exhaust pulses of an ideal engine that fires in a given order; cylinders that are off do not fire.
func pulsesOf(e ideal, order string, off ...int) (sound.Impulses, error) {
	t := e.train()
	t.FiringOrder = sequence(order)
	s, err := firing.ForTrain(t)
	if err != nil {
		return sound.Impulses{}, err
	}
	strength := make([]float64, len(t.Cylinders))
	for c := range strength {
		strength[c] = 1
	}
	for _, c := range off {
		strength[c-1] = 0
	}
	return sound.Train(t, s, strength)
}

// sounds lists what the trade knows of the sound of engines, and the closed forms behind it.
func (l *list) sounds() {
	const rounding = "rounding; the fact is exact"
	add := func(id string, kind Kind, place, what, unit, printed string, want float64, ours func() (float64, error)) {
		c := Check{
			ID: "sound/" + id, Chapter: "sound", Kind: kind, Source: "PRACTICE", Place: place, Seen: Memory, What: what, Unit: unit,
			Printed: printed, Want: want, Tol: 1e-9, TolWhy: rounding, Ours: ours,
		}
		if kind == ClosedForm {
			c.Source, c.Seen = "DEFINITION", Recomputed
		}
		l.add(c)
	}
	// lowest is the lowest order in which the pulses do not cancel
	lowest := func(e ideal, order string) func() (float64, error) {
		return func() (float64, error) {
			m, err := pulsesOf(e, order)
			if err != nil {
				return 0, err
			}
			for k := 1; k <= 4*m.FiringOrder(); k++ {
				if cmplx.Abs(m.Pattern(k, -1)) > 1e-9 {
					return float64(k) / 2, nil
				}
			}
			return 0, fmt.Errorf("no order is left")
		}
	}
	size := func(e ideal, order string, n float64, group int, off ...int) func() (float64, error) {
		return func() (float64, error) {
			m, err := pulsesOf(e, order, off...)
			return cmplx.Abs(m.Pattern(int(2*n), group)), err
		}
	}
	const cross, flat = "1-8-4-3-6-5-7-2", "1-8-3-6-4-5-2-7" // along the crank; bank by bank
	crossVee, flatVee := vee(-90, 0, 0, 90, 270, 180), vee(90, 0, 0, 180, 180, 0).bankFirst()
	for _, c := range []struct {
		id, name, order, printed string
		engine                   ideal
		lowest                   float64
	}{
		{"twin-360", "a twin on a 360° crank", "1-2", "1", inline(0, 0), 1},
		{"inline-3", "three in line", "1-3-2", "1.5", inline(0, 240, 120), 1.5},
		{"inline-4", "four in line on a flat crank", "1-3-4-2", "2", inline(0, 180, 180, 0), 2},
		{"inline-5", "five in line", "1-2-4-5-3", "2.5", inline(0, 216, 144, 72, 288), 2.5},
		{"inline-6", "six in line", "1-5-3-6-2-4", "3", inline(0, 240, 120, 120, 240, 0), 3},
		{"vee-8-cross", "a cross-plane vee eight, all pipes joined alike", cross, "4", crossVee, 4},
	} {
		add("even/"+c.id, CommonPractice, "an even four-stroke engine sounds in half as many orders as it has cylinders",
			"lowest order of "+c.name, "1", c.printed, c.lowest, lowest(c.engine, c.order))
	}
	for _, c := range []struct {
		id, name, order string
		engine          ideal
	}{
		{"twin-180", "a twin on a 180° crank", "1-2", inline(0, 180)},
		{"twin-270", "a twin on a 270° crank", "1-2", inline(0, 270)},
		{"vee-twin-45", "a 45° vee twin on one pin", "1-2", vee(45, 0, 0)},
	} {
		add("uneven/"+c.id, CommonPractice, "uneven twins beat in the half order", "lowest order of "+c.name, "1", "0.5", 0.5, lowest(c.engine, c.order))
	}
	add("misfire", ClosedForm, "what cancelled leaves the share of the missing cylinder", "order 0.5 of four in line without cylinder 3", "pulses", "1", 1,
		size(inline(0, 180, 180, 0), "1-3-4-2", 0.5, -1, 3))
	add("twin-180/0.5", ClosedForm, "|1 + e^{−i90°}| = √2, intervals 180-540", "order 0.5 of a twin on a 180° crank", "pulses", "√2", math.Sqrt2,
		size(inline(0, 180), "1-2", 0.5, -1))
	add("twin-270/0.5", ClosedForm, "|1 + e^{−i135°}| = 2 cos 67.5°, intervals 270-450", "order 0.5 of a twin on a 270° crank", "pulses", "0.7654", 2*math.Cos(67.5*math.Pi/180),
		size(inline(0, 270), "1-2", 0.5, -1))

	// the banks of vee eights, by the intervals that the trade knows
	bank := func(e ideal, order, intervals string) func() (float64, error) {
		return func() (float64, error) {
			m, err := pulsesOf(e, order)
			if err != nil {
				return 0, err
			}
			var want []float64
			for _, c := range sequence(intervals) { // cylinder numbers less one
				want = append(want, float64(c+1))
			}
			return bankDeparture(m, want), nil
		}
	}
	add("vee-8-cross/bank", CommonPractice, "90-180-270-180 within each bank of a cross-plane vee eight", "largest departure of a bank's intervals", "deg",
		"90-180-270-180", 0, bank(crossVee, cross, "90-180-270-180"))
	add("vee-8-flat/bank", CommonPractice, "a flat-plane vee eight is two fours: 180° within each bank", "largest departure of a bank's intervals", "deg",
		"180-180-180-180", 0, bank(flatVee, flat, "180-180-180-180"))
	low, high := math.Sqrt(4-2*math.Sqrt2), math.Sqrt(4+2*math.Sqrt2)
	for _, c := range []struct {
		n       float64
		printed string
		want    float64
	}{{0.5, "1.0824", low}, {1, "0", 0}, {1.5, "2.6131", high}, {2, "0", 0}, {2.5, "2.6131", high}, {3, "0", 0}, {3.5, "1.0824", low}, {4, "4", 4}} {
		add(fmt.Sprintf("vee-8-cross/bank-%g", c.n), ClosedForm, "pulses at 0, 90, 270 and 540°: √(4 ∓ 2√2) in half orders, 0 in orders 1 to 3",
			fmt.Sprintf("order %g of one bank", c.n), "pulses", c.printed, c.want, size(crossVee, cross, c.n, 0))
	}
	add("vee-8-flat/bank-2", ClosedForm, "four pulses, each 180°", "order 2 of one bank of a flat-plane vee eight", "pulses", "4", 4, size(flatVee, flat, 2, 0))
	add("vee-8-flat/bank-0.5", ClosedForm, "four pulses, each 180°", "order 0.5 of one bank of a flat-plane vee eight", "pulses", "0", 0, size(flatVee, flat, 0.5, 0))

	frequency := func(e ideal, order string, speed float64) func() (float64, error) {
		return func() (float64, error) {
			m, err := pulsesOf(e, order)
			if err != nil {
				return 0, err
			}
			orders, err := sound.Orders(m, sound.Setting{Speed: rpm(speed), Load: 1}, m.FiringOrder())
			if err != nil {
				return 0, err
			}
			return orders[len(orders)-1].Frequency, nil
		}
	}
	add("frequency/four", CommonPractice, "firings a second: speed times cylinders over two", "firing frequency of four cylinders at 3000 rpm", "Hz", "100", 100,
		frequency(inline(0, 180, 180, 0), "1-3-4-2", 3000))
	add("frequency/six", CommonPractice, "firings a second: speed times cylinders over two", "firing frequency of six cylinders at 6000 rpm", "Hz", "300", 300,
		frequency(inline(0, 240, 120, 120, 240, 0), "1-5-3-6-2-4", 6000))
	add("level/half", ClosedForm, "20 lg ½: one of two banks that fire evenly", "firing order in one bank of a cross-plane vee eight", "dB", "-6.0206", 20*math.Log10(0.5),
		func() (float64, error) {
			m, err := pulsesOf(crossVee, cross)
			if err != nil {
				return 0, err
			}
			orders, err := sound.Orders(m, sound.Setting{Speed: rpm(3000), Load: 1}, 8)
			if err != nil {
				return 0, err
			}
			level, _ := sound.Level(orders[7].Groups[0])
			return level, nil
		})
}

// bankDeparture is the largest departure [deg] of any group's intervals from a sequence that may begin anywhere.
func bankDeparture(m sound.Impulses, want []float64) float64 {
	worst := 0.0
	for _, g := range m.Groups {
		if len(g.Intervals) != len(want) {
			return math.Inf(1)
		}
		best := math.Inf(1)
		for range want {
			want = append(slices.Clone(want[1:]), want[0])
			gap := 0.0
			for i, a := range g.Intervals {
				gap = max(gap, math.Abs(a.Deg()-want[i]))
			}
			best = min(best, gap)
		}
		worst = max(worst, best)
	}
	return worst
}
