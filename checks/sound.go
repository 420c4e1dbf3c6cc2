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
	l.lowestOrders()
	l.bankSounds()
	l.soundLevels()
}

// sound adds a fact of the trade, or a closed form.
func (l *list) sound(id string, kind Kind, place, what, unit, printed string, want float64, ours func() (float64, error)) {
	c := Check{
		ID: "sound/" + id, Chapter: "sound", Kind: kind, Source: "PRACTICE", Place: place, Seen: Memory, What: what, Unit: unit,
		Printed: printed, Want: want, Tol: 1e-9, TolWhy: "rounding; the fact is exact", Ours: ours,
	}
	if kind == ClosedForm {
		c.Source, c.Seen = "DEFINITION", Recomputed
	}
	l.add(c)
}

// lowestOrder returns the lowest order in which the pulses of an engine do not cancel.
func lowestOrder(e ideal, order string) func() (float64, error) {
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

// sizeOfOrder returns the size of order n of the pulses of a group, −1: of all [pulses]; cylinders that are off do not fire.
func sizeOfOrder(e ideal, order string, n float64, group int, off ...int) func() (float64, error) {
	return func() (float64, error) {
		m, err := pulsesOf(e, order, off...)
		return cmplx.Abs(m.Pattern(int(2*n), group)), err
	}
}

// The orders of the two vee eights: along the crank; bank by bank.
const crossOrder, flatOrder = "1-8-4-3-6-5-7-2", "1-8-3-6-4-5-2-7"

func crossEight() ideal { return vee(-90, 0, 0, 90, 270, 180) }
func flatEight() ideal  { return vee(90, 0, 0, 180, 180, 0).bankFirst() }

// lowestOrders lists in which order engines begin to sound, even and uneven ones, and what a cylinder that does not fire leaves.
func (l *list) lowestOrders() {
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
		{"vee-8-cross", "a cross-plane vee eight, all pipes joined alike", crossOrder, "4", crossEight(), 4},
	} {
		l.sound("even/"+c.id, CommonPractice, "an even four-stroke engine sounds in half as many orders as it has cylinders",
			"lowest order of "+c.name, "1", c.printed, c.lowest, lowestOrder(c.engine, c.order))
	}
	for _, c := range []struct {
		id, name, order string
		engine          ideal
	}{
		{"twin-180", "a twin on a 180° crank", "1-2", inline(0, 180)},
		{"twin-270", "a twin on a 270° crank", "1-2", inline(0, 270)},
		{"vee-twin-45", "a 45° vee twin on one pin", "1-2", vee(45, 0, 0)},
	} {
		l.sound("uneven/"+c.id, CommonPractice, "uneven twins beat in the half order", "lowest order of "+c.name, "1", "0.5", 0.5, lowestOrder(c.engine, c.order))
	}
	l.sound("misfire", ClosedForm, "what cancelled leaves the share of the missing cylinder", "order 0.5 of four in line without cylinder 3", "pulses", "1", 1,
		sizeOfOrder(inline(0, 180, 180, 0), "1-3-4-2", 0.5, -1, 3))
	l.sound("twin-180/0.5", ClosedForm, "|1 + e^{−i90°}| = √2, intervals 180-540", "order 0.5 of a twin on a 180° crank", "pulses", "√2", math.Sqrt2,
		sizeOfOrder(inline(0, 180), "1-2", 0.5, -1))
	l.sound("twin-270/0.5", ClosedForm, "|1 + e^{−i135°}| = 2 cos 67.5°, intervals 270-450", "order 0.5 of a twin on a 270° crank", "pulses", "0.7654", 2*math.Cos(67.5*math.Pi/180),
		sizeOfOrder(inline(0, 270), "1-2", 0.5, -1))
}

// bankSounds lists the banks of vee eights, by the intervals that the trade knows.
func (l *list) bankSounds() {
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
	l.sound("vee-8-cross/bank", CommonPractice, "90-180-270-180 within each bank of a cross-plane vee eight", "largest departure of a bank's intervals", "deg",
		"90-180-270-180", 0, bank(crossEight(), crossOrder, "90-180-270-180"))
	l.sound("vee-8-flat/bank", CommonPractice, "a flat-plane vee eight is two fours: 180° within each bank", "largest departure of a bank's intervals", "deg",
		"180-180-180-180", 0, bank(flatEight(), flatOrder, "180-180-180-180"))
	low, high := math.Sqrt(4-2*math.Sqrt2), math.Sqrt(4+2*math.Sqrt2)
	for _, c := range []struct {
		n       float64
		printed string
		want    float64
	}{{0.5, "1.0824", low}, {1, "0", 0}, {1.5, "2.6131", high}, {2, "0", 0}, {2.5, "2.6131", high}, {3, "0", 0}, {3.5, "1.0824", low}, {4, "4", 4}} {
		l.sound(fmt.Sprintf("vee-8-cross/bank-%g", c.n), ClosedForm, "pulses at 0, 90, 270 and 540°: √(4 ∓ 2√2) in half orders, 0 in orders 1 to 3",
			fmt.Sprintf("order %g of one bank", c.n), "pulses", c.printed, c.want, sizeOfOrder(crossEight(), crossOrder, c.n, 0))
	}
	l.sound("vee-8-flat/bank-2", ClosedForm, "four pulses, each 180°", "order 2 of one bank of a flat-plane vee eight", "pulses", "4", 4, sizeOfOrder(flatEight(), flatOrder, 2, 0))
	l.sound("vee-8-flat/bank-0.5", ClosedForm, "four pulses, each 180°", "order 0.5 of one bank of a flat-plane vee eight", "pulses", "0", 0, sizeOfOrder(flatEight(), flatOrder, 0.5, 0))
}

// soundLevels lists firing frequencies, and the level of one bank of two.
func (l *list) soundLevels() {
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
	l.sound("frequency/four", CommonPractice, "firings a second: speed times cylinders over two", "firing frequency of four cylinders at 3000 rpm", "Hz", "100", 100,
		frequency(inline(0, 180, 180, 0), "1-3-4-2", 3000))
	l.sound("frequency/six", CommonPractice, "firings a second: speed times cylinders over two", "firing frequency of six cylinders at 6000 rpm", "Hz", "300", 300,
		frequency(inline(0, 240, 120, 120, 240, 0), "1-5-3-6-2-4", 6000))
	l.sound("level/half", ClosedForm, "20 lg ½: one of two banks that fire evenly", "firing order in one bank of a cross-plane vee eight", "dB", "-6.0206", 20*math.Log10(0.5),
		func() (float64, error) {
			m, err := pulsesOf(crossEight(), crossOrder)
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
