package checks

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"crankwright/mechanics/firing"
)

// layoutRow is a row of the table of free forces and moments. A cell holds the largest resultant,
// the part that turns with the crank, the part against it and the smallest resultant, in forces of
// one cylinder and cylinder spacings; a hyphen stands for what is not given, a lone 0 for an order
// that cancels.
type layoutRow struct {
	id             string
	engine         ideal
	f1, f2, m1, m2 string
	more           []moreOrder
	firing         string // intervals of the most even order [deg], one period; uneven; or empty
}

// customary is the order in which the intervals of a layout are printed, where it is not the one
// that we call the most even: by the sum of squares 120-120-90-120-120-150 is a little more even
// than 90-150 in turn.
func customary(id string) string {
	if id == "v6-90-shared" {
		return "1-2-5-6-3-4"
	}
	return ""
}

// moreOrder is an entry of a higher order.
type moreOrder struct {
	n      int
	moment bool
	cell   string
}

// layouts returns the table of free forces and moments and firing intervals.
func layouts() []layoutRow {
	force := func(n int, cell string) []moreOrder { return []moreOrder{{n, false, cell}} }
	return []layoutRow{
		{"single", inline(0), "1 .5 .5", "1 .5 .5", "0", "0", nil, "720"},
		{"inline-2-360", inline(0, 0), "2 1 1", "2", "0", "0", nil, "360"},
		{"inline-2-180", inline(0, 180), "0", "2", "1 .5 .5 0", "0", nil, "180-540"},
		{"inline-2-270", inline(0, 270), "1.4142", "0", "0.7071", "1.0", nil, "270-450"},
		{"inline-3", inline(0, 240, 120), "0", "0", "1.7321 .8660 .8660", "1.7321 .8660 .8660", nil, "240"},
		{"inline-4-flat", inline(0, 180, 180, 0), "0", "4 2 2", "0", "0", force(4, "4"), "180"},
		{"inline-4-cross", inline(0, 90, 270, 180), "0", "0", "3.1623", "0", force(4, "4"), "180-90-180-270"},
		{"inline-4-0-180-90-270", inline(0, 180, 90, 270), "0", "0", "1.4142", "4.0", nil, "uneven"},
		{"inline-5-1-2-4-5-3", inline(0, 216, 144, 72, 288), "0", "0", "0.4490 .2245 .2245", "4.9798 2.4899 2.4899", nil, "144"},
		{"inline-5-1-5-2-3-4", inline(0, 72, 288, 144, 216), "0", "0", "4.9798", "0.4490", nil, "144"},
		{"inline-6", inline(0, 120, 240, 240, 120, 0), "0", "0", "0", "0", force(6, "6"), "120"},
		{"inline-8", inline(0, 180, 270, 90, 90, 270, 180, 0), "0", "0", "0", "0", force(4, "8"), "90"},
		{"v2-45", vee(45, 0, 0), "1.7071 1 .7071 .2929", "1.3066 .9239 .3827", "0", "0", nil, "315-405"},
		{"v2-60", vee(60, 0, 0), "1.5 1 .5 .5", "0.8660 .8660 0 .8660", "0", "0", nil, "300-420"},
		{"v2-90", vee(90, 0, 0), "1.0 1 0 1", "1.4142 .7071 .7071 0", "0", "0", nil, "270-450"},
		{"v2-120", vee(120, 0, 0), "1.5 1 .5", "1.5 .5 1", "0", "0", nil, "240-480"},
		{"v4-90-180", vee(90, 0, 0, 180), "0", "2.8284 1.4142 1.4142", "1.0 1 0", "0", nil, "180-90-180-270"},
		{"v4-90-90", vee(90, 0, 0, 90), "1.4142 1.4142 0 1.4142", "0", "0.7071 .7071 0 .7071", "1.4142", nil, "90-90-270-270"},
		{"v6-60-shared", vee(60, 0, 0, 240, 120), "0", "0", "2.5981 1.7321 .8660 .8660", "1.5 1.5 0 1.5", nil, "uneven"},
		{"v6-60-split", vee(60, 60, 0, 240, 120), "0", "0", "1.5 1.5 0 1.5", "1.5 0 1.5 1.5", nil, "120"},
		{"v6-90-shared", vee(90, 0, 0, 240, 120), "0", "0", "1.7321 1.7321 0 1.7321", "2.4495 1.2247 1.2247", nil, "90-150"},
		{"v6-90-split", vee(90, 30, 0, 240, 120), "0", "0", "2.1213 1.6730 .4483 1.2247", "2.1213 .4483 1.6730 1.2247", nil, "120"},
		{"v6-120", vee(120, 0, 0, 240, 120), "0", "0", "2.5981 1.7321 .8660 .8660", "2.5981 .8660 1.7321 .8660", nil, "120"},
		{"v8-90-cross", vee(90, 0, 0, 90, 270, 180), "0", "0", "3.1623 3.1623 0 3.1623", "0", force(4, "5.657"), "90"},
		{"v8-90-flat", vee(90, 0, 0, 180, 180, 0), "0", "5.6569 2.8284 2.8284 0", "0", "0", nil, "90"},
		{"v8-60-flat", vee(60, 0, 0, 180, 180, 0), "0", "3.4641 3.4641 0 3.4641", "0", "0", nil, "60-120"},
		{"v10-72", vee(72, 0, 0, 216, 144, 72, 288), "0", "0", "0.5878 .4490 .1388 .3103", "5.5676 4.0287 1.5388 2.4899", nil, "72"},
		{"v12-60", vee(60, 0, 0, 120, 240, 240, 120, 0), "0", "0", "0", "0", force(6, "10.39"), "60"},
		{"v12-90", vee(90, 0, 0, 120, 240, 240, 120, 0), "0", "0", "0", "0", nil, ""},
		{"v16-45", vee(45, 0, 0, 90, 270, 180, 180, 270, 90, 0), "0", "0", "0", "0", force(4, "6.123"), "45"},
		{"flat-2-boxer", boxer(1, 0), "0", "0", "1.0", "1.0", nil, "360"},
		{"flat-2-shared", vee(180, 0, 0), "2.0", "0", "0", "0", nil, "180-540"},
		{"flat-4-boxer", boxer(1, 0, 180), "0", "0", "0", "2.0", nil, "180"},
		{"flat-6-boxer", boxer(1, 0, 120, 240), "0", "0", "0", "0", []moreOrder{{6, true, "3"}}, "120"},
		{"flat-4-shared", vee(180, 0, 0, 180), "0", "0", "2.0 1 1 0", "0", nil, "180"},
		{"flat-6-shared", vee(180, 0, 0, 240, 120), "0", "0", "3.4641 1.7321 1.7321", "0", nil, "uneven"},
		{"flat-8-shared", vee(180, 0, 0, 180, 180, 0), "0", "0", "0", "0", nil, ""}, // firing: see layoutTable
		{"flat-12-shared", vee(180, 0, 0, 120, 240, 240, 120, 0), "0", "0", "0", "0", nil, "60"},
		{"radial-3", radial(3), "1.5 1.5 0 1.5", "1.5 0 1.5 1.5", "0", "0", nil, "240"},
		{"radial-4", radial(4), "2.0 2.0 0 2.0", "0", "0", "0", nil, ""},
		{"radial-5", radial(5), "2.5 2.5 0 2.5", "0", "0", "0", []moreOrder{{4, false, "2.5 0 2.5"}, {6, false, "2.5 2.5 0"}}, "144"},
		{
			"radial-7", radial(7), "3.5 3.5 0 3.5", "0", "0", "0",
			[]moreOrder{{4, false, "0"}, {6, false, "3.5 0 3.5"}, {8, false, "3.5 3.5 0"}},
			"102.857142857",
		},
		{
			"radial-9", radial(9), "4.5 4.5 0 4.5", "0", "0", "0",
			[]moreOrder{{4, false, "0"}, {6, false, "0"}, {8, false, "4.5 0 4.5"}, {10, false, "4.5 4.5 0"}},
			"80",
		},
		{"w12-60", threeBanks(0, 180, 180, 0), "0", "6 4 2 2", "0", "0", nil, ""},
	}
}

var cellParts = [4]string{"max", "with", "against", "min"}

// layoutTable lists every cell of the table, and the firing intervals.
func (l *list) layoutTable() {
	for _, row := range layouts() {
		cells := append([]moreOrder{{1, false, row.f1}, {2, false, row.f2}, {1, true, row.m1}, {2, true, row.m2}}, row.more...)
		for _, cell := range cells {
			for i, printed := range strings.Fields(cell.cell) {
				if printed != "-" {
					l.add(layoutCheck(row, cell, i, printed))
				}
			}
		}
		if row.firing != "" {
			l.add(firingCheck("layout/"+row.id+"/firing", row.engine, row.firing, customary(row.id)))
		}
	}
	flat8 := vee(180, 0, 0, 180, 180, 0)
	l.add(Check{
		ID: "layout/flat-8-shared/firing", Chapter: "firing", Kind: ClosedForm, Source: "DEFINITION", Place: "dead centres of the pins", Seen: Recomputed,
		What: "longest interval of the most even order of a flat eight with shared pins and mirror crank", Unit: "deg",
		Printed: "180", Want: 180, Tol: 1e-6,
		Note: "the mirror crank that leaves no moment has its pins at 0-180-180-0, so that the eight pistons have two top dead centres, four at each: two fire together, 180° apart; intervals of 90° need a cross crank, which leaves a first-order moment",
		Ours: func() (float64, error) {
			s, err := firing.ForTrain(flat8.train())
			if err != nil {
				return 0, err
			}
			return slices.Max(s.Intervals).Deg(), nil
		},
	})
}

// layoutCheck is the check of one number of a cell.
func layoutCheck(row layoutRow, cell moreOrder, part int, printed string) Check {
	name, what := "F", "force"
	if cell.moment {
		name, what = "M", "moment"
	}
	c := Check{
		ID:      fmt.Sprintf("layout/%s/%s%d-%s", row.id, name, cell.n, cellParts[part]),
		Chapter: "inertia", Kind: ClosedForm, Source: "BOSCH", Seen: Recomputed,
		Place:   "table of free forces and moments by layout; every entry recomputed as a vector sum",
		What:    fmt.Sprintf("free %s of order %d, %s", what, cell.n, []string{"largest", "turning with the crank", "turning against the crank", "smallest"}[part]),
		Unit:    "F" + strconv.Itoa(cell.n),
		Printed: printed, Want: number(printed), Tol: 5e-5,
		Ours: func() (float64, error) {
			v, err := row.engine.ellipse(cell.n, cell.moment)
			return v[part], err
		},
	}
	if cell.moment {
		c.Unit += " a"
	}
	if c.Want == 0 {
		c.Tol = 1e-11
	} else if half, _ := HalfUnit(printed); half == 5e-3 || half == 5e-4 {
		c.Tol = half
	}
	if cell.n > 2 { // A_n of high orders is small, and with it what rounding leaves
		c.Tol = max(c.Tol, 1e-7)
	}
	return c
}

// firingCheck compares the intervals of an order, the most even one where none is given, with the
// printed ones.
func firingCheck(id string, e ideal, printed, order string) Check {
	c := Check{
		ID: id, Chapter: "firing", Kind: ClosedForm, Source: "BOSCH", Place: "table of firing intervals by layout", Seen: Recomputed,
		What: "largest departure of the most even firing intervals from the printed ones", Unit: "deg",
		Printed: printed + " deg", Tol: 1e-6,
		TolWhy: "rounding; the printed intervals are exact",
	}
	if printed == "uneven" {
		c.What, c.Unit, c.Printed, c.Tol = "number of orders that fire evenly", "1", printed, 0.5
		c.TolWhy = "a count"
		c.Ours = func() (float64, error) { return evenOrders(e) }
		return c
	}
	if order != "" {
		c.What = "order " + order + ": largest departure of its intervals from the printed ones"
		c.Note = "not the most even order by the sum of squares, but the one that the trade uses"
	}
	c.Ours = func() (float64, error) {
		var s firing.Schedule
		var err error
		if order != "" {
			s, err = fire(e, order)
		} else {
			s, err = firing.ForTrain(e.train())
		}
		if err != nil {
			return 0, err
		}
		return departure(s, printed), nil
	}
	return c
}

// evenOrders counts the firing orders with equal intervals.
func evenOrders(e ideal) (float64, error) {
	t := e.train()
	tdc, err := firing.TopDeadCentres(t)
	if err != nil {
		return 0, err
	}
	orders, err := firing.Orders(t, tdc, firing.Options{Limit: 1})
	return float64(orders.Even), err
}

// departure returns the largest difference [deg] between the intervals of a schedule and printed
// ones, which may begin anywhere in the cycle and stand for one period of it.
func departure(s firing.Schedule, printed string) float64 {
	period := strings.Split(printed, "-")
	n := len(s.Intervals)
	best := math.Inf(1)
	for shift := range n {
		worst := 0.0
		for k := range n {
			want := number(period[(k+shift)%len(period)])
			worst = max(worst, math.Abs(s.Intervals[k].Deg()-want))
		}
		best = min(best, worst)
	}
	return best
}
