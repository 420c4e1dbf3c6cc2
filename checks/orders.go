package checks

import (
	"fmt"
	"strconv"
	"strings"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
)

// sequence reads an order such as 1-3-4-2.
func sequence(order string) []int {
	var out []int
	for _, word := range strings.Split(order, "-") {
		n, err := strconv.Atoi(word)
		if err != nil {
			return nil // Assign refuses it
		}
		out = append(out, n-1)
	}
	return out
}

// fire returns our schedule of an engine that fires in a given order.
func fire(e ideal, order string) (firing.Schedule, error) {
	t := e.train()
	tdc, err := firing.TopDeadCentres(t)
	if err != nil {
		return firing.Schedule{}, err
	}
	return firing.Assign(tdc, layout.FourStroke, sequence(order))
}

// firingRow is an order with the crank that fires in it.
type firingRow struct {
	id, order string
	engine    ideal
	intervals string // one period [deg]
	source    string
	seen      Seen
	place     string
}

// orders returns published orders, each with a crank that fires in it evenly or as printed.
func orders() []firingRow {
	const woiweb, memory = "WOIWEB", "FIRINGORDERS"
	cross := []float64{0, 90, 270, 180}
	six := []float64{0, 240, 120, 120, 240, 0}
	return []firingRow{
		{"inline-3", "1-3-2", inline(0, 240, 120), "240", woiweb, Read, "3 cylinders"},
		{"inline-4", "1-3-4-2", inline(0, 180, 180, 0), "180", woiweb, Read, "4 cylinders"},
		{"inline-6", "1-5-3-6-2-4", inline(six...), "120", woiweb, Read, "6 cylinders"},
		{"radial-7", "1-3-5-7-2-4-6", radial(7), "102.857142857", woiweb, Read, "radial, 7 cylinders"},
		{"v8-cross-along", "1-8-4-3-6-5-7-2", vee(-90, 0, cross...), "90", woiweb, Read, "8 cylinders; numbered along the crank"},
		{"v12", "1-7-5-11-3-9-6-12-2-8-4-10", vee(60, 0, six...).bankFirst(), "60", woiweb, Read, "12 cylinders; one bank after the other"},
		{
			"v16", "1-12-8-11-7-14-5-16-4-15-3-10-6-9-2-13", vee(-90, 0, 0, 270, 90, 180, 135, 225, 45, 315), "45", woiweb, Read,
			"16 cylinders; numbered along the crank it fits a 90° vee with eight throws 45° apart, and no vee numbered bank by bank",
		},
		{"inline-4-other", "1-2-4-3", inline(0, 180, 180, 0), "180", "DENTON", Read, "p. 107, two possible orders"},
		{"inline-5", "1-2-4-5-3", inline(0, 216, 144, 72, 288), "144", memory, Memory, ""},
		{"inline-6-other-crank", "1-4-2-6-3-5", inline(0, 120, 240, 240, 120, 0), "120", memory, Memory, ""},
		{"inline-6-other", "1-2-4-6-5-3", inline(six...), "120", memory, Memory, ""},
		{"inline-8", "1-6-2-5-8-3-7-4", inline(0, 180, 270, 90, 90, 270, 180, 0), "90", memory, Memory, ""},
		{"v6-60-along", "1-2-3-4-5-6", vee(60, 60, 0, 120, 240), "120", memory, Memory, "even-fire 60° vee, numbered along the crank"},
		{"v6-60-bank", "1-4-2-5-3-6", vee(60, 60, 0, 120, 240).bankFirst(), "120", memory, Memory, "even-fire 60° vee, bank by bank"},
		{"v6-90-along", "1-6-5-4-3-2", vee(-90, -30, 0, 240, 120), "120", memory, Memory, "even-fire 90° vee, numbered along the crank"},
		{"v8-cross-bank", "1-5-4-2-6-3-7-8", vee(90, 0, cross...).bankFirst(), "90", memory, Memory, "bank by bank"},
		{"v8-cross-bank-other", "1-3-7-2-6-5-4-8", vee(90, 0, cross...).bankFirst(), "90", memory, Memory, "bank by bank"},
		{"v8-flat-bank", "1-8-3-6-4-5-2-7", vee(90, 0, 0, 180, 180, 0).bankFirst(), "90", memory, Memory, "flat crank, bank by bank"},
		{"v10-72", "1-10-9-4-3-6-5-8-7-2", vee(-72, 0, 0, 72, 288, 144, 216), "72", memory, Memory, "numbered along the crank"},
		{"v10-90", "1-10-9-4-3-6-5-8-7-2", vee(-90, 0, 0, 72, 288, 144, 216), "90-54", memory, Memory, "the same order in a 90° vee on shared pins"},
		{"boxer-4", "1-4-3-2", boxer(1, 0, 180).bankFirst(), "180", memory, Memory, "bank by bank"},
		{"boxer-4-along", "1-3-2-4", boxer(1, 0, 180), "180", memory, Memory, "numbered along the crank"},
		{"boxer-6", "1-6-2-4-3-5", boxer(1, 0, 120, 240).bankFirst(), "120", "DIN73021", Read, "example of a flat or vee six"},
	}
}

// firingOrders lists published firing orders and how many a crank allows.
func (l *list) firingOrders() {
	for _, row := range orders() {
		kind := Published
		if row.seen == Memory {
			kind = CommonPractice
		}
		l.add(Check{
			ID: "order/" + row.id, Chapter: "firing", Kind: kind, Source: row.source, Place: row.place, Seen: row.seen,
			What: "order " + row.order + ": largest departure of its intervals from " + row.intervals + "°", Unit: "deg",
			Printed: "order " + row.order, Tol: 1e-6, TolWhy: "rounding; the intervals are exact",
			Ours: func() (float64, error) {
				s, err := fire(row.engine, row.order)
				if err != nil {
					return 0, err
				}
				return departure(s, row.intervals), nil
			},
		})
	}
	for _, c := range []struct {
		id     string
		engine ideal
		count  float64
	}{
		{"inline-3", inline(0, 240, 120), 1},
		{"inline-4", inline(0, 180, 180, 0), 2},
		{"inline-5", inline(0, 216, 144, 72, 288), 1},
		{"inline-6", inline(0, 240, 120, 120, 240, 0), 4},
		{"inline-8", inline(0, 180, 270, 90, 90, 270, 180, 0), 8},
		{"v8-cross", vee(90, 0, 0, 90, 270, 180), 8},
		{"v12-60", vee(60, 0, 0, 120, 240, 240, 120, 0), 32},
	} {
		l.add(Check{
			ID: "count/" + c.id, Chapter: "firing", Kind: ClosedForm, Source: "DEFINITION", Seen: Recomputed,
			Place: "N/2 pairs share a top dead centre; each fires either way round: 2^(N/2−1), one for an odd number",
			What:  "number of orders that fire evenly", Printed: strconv.Itoa(int(c.count)), Want: c.count,
			Ours: func() (float64, error) { return evenOrders(c.engine) },
		})
	}
}

// phaseVectors lists sums of firing phasors, plain and weighted along the crank.
func (l *list) phaseVectors() {
	type sum struct {
		order   float64
		printed string
	}
	for _, c := range []struct {
		id, order string
		engine    ideal
		plain     []sum // every cylinder counts 1
		linear    []sum // 1 at the free end, falling to 1/N
	}{
		{
			"inline-6", "1-5-3-6-2-4", inline(0, 240, 120, 120, 240, 0),
			[]sum{{0.5, "0"}, {1, "0"}, {1.5, "0"}, {2, "0"}, {2.5, "0"}, {3, "6"}, {3.5, "0"}, {4, "0"}, {4.5, "0"}, {6, "6"}, {9, "6"}, {12, "6"}},
			[]sum{{0.5, ".5774"}, {1, "0"}, {1.5, "1.5"}, {2, "0"}, {2.5, ".5774"}, {3, "3.5"}, {4, "0"}, {4.5, "1.5"}, {5, "0"}, {6, "3.5"}},
		},
		{
			"inline-4", "1-3-4-2", inline(0, 180, 180, 0),
			[]sum{{0.5, "0"}, {1, "0"}, {1.5, "0"}, {2, "4"}, {4, "4"}},
			[]sum{{0.5, ".7906"}, {1, "0"}, {1.5, ".7906"}, {2, "2.5"}, {4, "2.5"}},
		},
		{
			"inline-5", "1-2-4-5-3", inline(0, 216, 144, 72, 288),
			[]sum{{0.5, "0"}, {1, "0"}, {2, "0"}, {2.5, "5"}, {5, "5"}},
			[]sum{{0.5, ".9960"}, {1, ".0898"}, {1.5, ".0898"}, {2, ".9960"}, {2.5, "3.0"}, {5, "3.0"}},
		},
	} {
		n := float64(len(c.engine.pins))
		add := func(name, what string, s sum, ours func(firing.Schedule) float64) {
			tol := 5e-5
			if s.printed == "0" {
				tol = 1e-11
			}
			l.add(Check{
				ID: fmt.Sprintf("phase-vectors/%s/%s-%g", c.id, name, s.order), Chapter: "firing", Kind: ClosedForm, Source: "TAYLOR2", Seen: Recomputed,
				Place: "phase-vector sums of torsional vibration, order " + c.order,
				What:  fmt.Sprintf("sum of the firing phasors of order %g, %s", s.order, what), Printed: s.printed, Want: number(s.printed), Tol: tol,
				Ours: func() (float64, error) {
					schedule, err := fire(c.engine, c.order)
					if err != nil {
						return 0, err
					}
					return ours(schedule), nil
				},
			})
		}
		for _, s := range c.plain {
			add("plain", "every cylinder alike", s, func(f firing.Schedule) float64 { return firing.Spectrum(f)[int(2*s.order)-1] })
		}
		for _, s := range c.linear {
			add("linear", "falling linearly along the crank", s, func(f firing.Schedule) float64 {
				return spectrumOf(f, s.order, func(c int) float64 { return 1 - float64(c)/n })
			})
		}
	}
}
