package report

import (
	"fmt"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/balance"
	"crankwright/num"
)

// ordersOnPage is how many firing orders a report lists of an engine.
const ordersOnPage = 12

// whatCouldBe are the chapters of a report on what the engine could have instead: other firing orders, counterweights and
// balance shafts. They are computed here, from the engine alone.
func whatCouldBe(id string, r *analysis.Result) []*pageChapter {
	var out []*pageChapter
	for _, chapter := range []func(string, *analysis.Result) *pageChapter{firingChapter, balancingChapter} {
		if c := chapter(id, r); c != nil {
			out = append(out, c)
		}
	}
	return out
}

// firingChapter lists the firing orders that the crank allows; nil where there is but one.
func firingChapter(id string, r *analysis.Result) *pageChapter {
	list, err := Orders(r, ordersOnPage, false)
	if err != nil || len(list.List) < 2 {
		return nil
	}
	c := newChapter("Firing orders of this crank", "", nil)
	c.Lead = "The most even first; the engine's own is marked."
	if list.Complete {
		c.Lead = fmt.Sprintf("The crank allows %s, %s. The best %d are shown, the most even first; the engine's own is marked.",
			counted(list.Orders, "firing order", "firing orders"), evenly(list.EvenCount), len(list.List))
	}
	t := plainTable{ID: id + "-orders-listed", Caption: "Firing orders of " + engineOf(id), Head: []plainHead{
		{Text: "Order"},
		{Text: "Intervals [deg]", Wide: true},
		{Text: "Evenness, 1 is even", Number: true},
		{Text: "Neighbours in succession", Number: true},
		{Text: "One bank in succession", Number: true},
		{Text: "Shortest interval in an exhaust group [deg]", Number: true},
	}}
	for _, o := range list.List {
		name := o.Label
		if o.Own {
			name += " (own)"
		}
		var intervals []string
		for _, v := range o.IntervalsDeg {
			intervals = append(intervals, num.Digits(v, 4))
		}
		t.Rows = append(t.Rows, []string{
			name, strings.Join(intervals, " "), num.Digits(o.Evenness, 3), fmt.Sprint(o.Neighbours), fmt.Sprint(o.SameBank), num.Digits(o.ExhaustGapDeg, 4),
		})
	}
	c.Tables = []plainTable{t}
	return c
}

func evenly(n int) string {
	if n == 0 {
		return "none of which fires evenly"
	}
	return exactly(uint64(n)) + " of which " + map[bool]string{true: "fires", false: "fire"}[n == 1] + " evenly"
}

// balancingChapter says what other counterweights and balance shafts would leave.
func balancingChapter(id string, r *analysis.Result) *pageChapter {
	c := newChapter("Balancing", "", nil)
	c.Lead = "What other counterweights and what balance shafts would leave at " + rpmOf(r.Speed) + " rpm, each by itself."
	weights, remains := weightsTable(id, r)
	c.Lines = unbroken(remains)
	if weights != nil {
		c.Tables = append(c.Tables, *weights)
	}
	shafts, lines := shaftsTable(id, r)
	c.Lines = append(c.Lines, unbroken(lines)...)
	if shafts != nil {
		c.Tables = append(c.Tables, *shafts)
	}
	if len(c.Tables) == 0 {
		return nil
	}
	c.Rule = "Shafts are sought among speeds of once and twice that of the crank, both ways, beside and below it; what they weigh and rub is rough, and whether there is room for them is not looked at. " +
		"The optimum makes the mean square of force and moment small together."
	return c
}

// weightsTable sets ways to choose the counterweights beside those that the engine has.
func weightsTable(id string, r *analysis.Result) (*plainTable, []string) {
	t := plainTable{ID: id + "-weights", Caption: "Counterweights of " + engineOf(id), Head: []plainHead{
		{Text: "Counterweights"},
		{Text: "Number", Number: true},
		{Text: "Force of order 1, most [N]", Number: true},
		{Text: "least [N]", Number: true},
		{Text: "Moment of order 1, most [N m]", Number: true},
		{Text: "least [N m]", Number: true},
		{Text: "Largest force, all orders [N]", Number: true},
		{Text: "Largest moment, all orders [N m]", Number: true},
	}}
	row := func(name string, s CounterweightState) {
		t.Rows = append(t.Rows, []string{
			name, fmt.Sprint(s.Weights), plain(s.Force.MajorN), plain(s.Force.MinorN), plain(s.Moment.MajorNm), plain(s.Moment.MinorNm), plain(s.PeakForceN), plain(s.PeakMomentNm),
		})
	}
	var remains []string
	for i, way := range []struct {
		name string
		q    balance.Request
	}{
		{"none", balance.Request{Policy: balance.NoWeights}},
		{"half of what moves to and fro", balance.Request{Policy: balance.ByFactor, Factors: []float64{0.5}}},
		{"optimum", balance.Request{Policy: balance.ByOptimum}},
	} {
		d, err := Counterweights(r, way.q)
		if err != nil {
			continue
		}
		if i == 0 {
			row("as the engine has them", d.Before)
		}
		row(way.name, d.After)
		if way.q.Policy == balance.ByOptimum {
			for _, text := range d.Remains {
				remains = append(remains, "With the optimum: "+text)
			}
		}
	}
	if len(t.Rows) == 0 {
		return nil, nil
	}
	return &t, remains
}

// shaftsTable sets the best sets of balance shafts beside each other, up to the smallest that takes orders 1 and 2.
func shaftsTable(id string, r *analysis.Result) (*plainTable, []string) {
	answer, err := balance.FindShafts(r.Train, balance.ShaftTask{Targets: []balance.ShaftTarget{
		{K: 2, Aim: balance.AimForce}, {K: 2, Aim: balance.AimMoment}, {K: 4, Aim: balance.AimForce}, {K: 4, Aim: balance.AimMoment},
	}})
	if err != nil {
		return nil, []string{"Balance shafts: " + err.Error() + "."}
	}
	d, err := NewShaftsDoc(r.Train, answer, ShaftChoice{Speed: r.Speed})
	if err != nil {
		return nil, []string{"Balance shafts: " + err.Error() + "."}
	}
	t := plainTable{ID: id + "-shafts", Caption: "Balance shafts of " + engineOf(id) + ": the best set with each number of them", Head: []plainHead{
		{Text: "Shafts"},
		{Text: "Speed over that of the crank"},
		{Text: "Unbalance [kg mm]", Number: true},
		{Text: "Bars [kg]", Number: true},
		{Text: "Friction [W]", Number: true},
		{Text: "Left of force and moment of orders 1 and 2", Wide: true},
	}}
	for i, set := range d.Sets {
		var ratios []string
		for _, s := range set.Shafts {
			ratios = append(ratios, num.Digits(s.SpeedRatio, 3))
		}
		left := strings.Join(shaftLeft(set), "; ")
		if i == d.Smallest {
			left += " (meets all)"
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(set.Count), orNone(strings.Join(ratios, ", ")), num.Digits(set.UnbalanceKgmm, 4), num.Digits(set.MassKg, 3), num.Digits(set.LossW, 3), left})
	}
	var lines []string
	if d.Smallest < 0 {
		for _, n := range d.Needs {
			lines = append(lines, "No set of shafts that was tried meets all; this would do by itself: "+n)
		}
	}
	return &t, lines
}
