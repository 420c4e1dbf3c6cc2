package report

import (
	"fmt"
	"math"
	"slices"

	"crankwright/analysis"
	"crankwright/mechanics/firing"
)

// OrderList is every firing order that a crank allows: the JSON object that orders --json prints.
type OrderList struct {
	Name      string             `json:"name" jsonschema_description:"name of the engine"`
	Cylinders int                `json:"cylinders" jsonschema_description:"how many the engine has"`
	TDCDeg    map[string]float64 `json:"tdc_deg" jsonschema_description:"true top dead centre of each cylinder by name, 0 up to 360"`
	Schedules uint64             `json:"schedules" jsonschema_description:"ways to spread the cylinders over the revolutions"`
	Orders    int                `json:"orders" jsonschema_description:"distinct firing orders; 0 where they were not counted"`
	EvenCount int                `json:"even" jsonschema_description:"how many of them fire evenly"`
	Complete  bool               `json:"complete" jsonschema_description:"every schedule was looked at; otherwise only the most even one was computed"`
	Own       string             `json:"own" jsonschema_description:"the order of the engine as it stands"`
	List      []ListedOrder      `json:"list" jsonschema_description:"best first"`
	Estimated
	Even EvenDoc `json:"even_firing" jsonschema_description:"whether the crank can fire evenly, and if not what would have to change"`
}

// ListedOrder is one firing order with its measures.
type ListedOrder struct {
	Order          []string  `json:"order" jsonschema_description:"names of the cylinders in the order of firing"`
	Label          string    `json:"label" jsonschema_description:"the same in one word, such as 1-3-4-2"`
	IntervalsDeg   []float64 `json:"intervals_deg" jsonschema_description:"from each firing to the next, the first firing first"`
	Evenness       float64   `json:"evenness" jsonschema_description:"cycle^2 / (N sum of squared intervals): 1 for even firing, 1/N where all fire together"`
	LongestDeg     float64   `json:"longest_interval_deg" jsonschema_description:"from one firing to the next"`
	ShortestDeg    float64   `json:"shortest_interval_deg" jsonschema_description:"from one firing to the next; 0: two fire together"`
	Quick          int       `json:"quick_successions" jsonschema_description:"intervals shorter than half the mean"`
	Neighbours     int       `json:"neighbours_in_succession" jsonschema_description:"successive firings of cylinders next to each other in one bank"`
	SameBank       int       `json:"same_bank_in_succession" jsonschema_description:"successive firings in one bank"`
	SharedThrow    int       `json:"shared_throw_in_succession" jsonschema_description:"successive firings of cylinders on one throw"`
	ExhaustGapDeg  float64   `json:"shortest_exhaust_interval_deg" jsonschema_description:"shortest interval between two pulses of one exhaust group"`
	BackToBack     int       `json:"exhaust_back_to_back" jsonschema_description:"pulses that directly follow another of the same exhaust group"`
	ByOrder        bool      `json:"by_order" jsonschema_description:"the firing order alone names this schedule"`
	Own            bool      `json:"own" jsonschema_description:"the order of the engine as it stands"`
	AlternateShare float64   `json:"alternate_bank_share" jsonschema_description:"share of successions that go from one bank to another, from 0 to 1"`
}

// Orders lists the firing orders that the crank of an engine allows, at most limit of them; 0: as many
// as package firing lists. variants lists every schedule, not only those that an order names.
func Orders(r *analysis.Result, limit int, variants bool) (OrderList, error) {
	tdc, err := firing.TopDeadCentres(r.Train)
	if err != nil {
		return OrderList{}, err
	}
	found, err := firing.Orders(r.Train, tdc, firing.Options{Limit: limit, Variants: variants})
	if err != nil {
		return OrderList{}, err
	}
	names := firing.Names(r.Train)
	out := OrderList{
		Name: r.Train.Name, Cylinders: len(names), TDCDeg: map[string]float64{}, Schedules: found.Schedules, Orders: found.Orders,
		EvenCount: found.Even, Complete: found.Complete, Own: r.Firing.Label(names), List: []ListedOrder{}, Even: evenDoc(r),
		Estimated: estimatedOf(r.Train),
	}
	for i, a := range tdc {
		out.TDCDeg[names[i]] = deg(a)
	}
	for _, o := range found.List {
		m := o.Measures
		l := ListedOrder{
			Order: namesOf(o.Order, names), Label: o.Label(names), IntervalsDeg: degs(o.Intervals),
			Evenness: m.Evenness, LongestDeg: deg(m.Longest), ShortestDeg: deg(m.Shortest), Quick: m.Quick,
			Neighbours: len(m.Neighbours), SameBank: m.SameBank, SharedThrow: m.SharedThrow,
			ExhaustGapDeg: math.Inf(1), ByOrder: o.ByOrder, AlternateShare: m.AlternateShare, Own: o.Schedule.SameRound(r.Firing),
		}
		for _, g := range m.Exhaust {
			l.ExhaustGapDeg = math.Min(l.ExhaustGapDeg, deg(g.Shortest))
			l.BackToBack += g.BackToBack
		}
		out.List = append(out.List, l)
	}
	return out, nil
}

// OrdersText returns a list of firing orders as text for a terminal.
func OrdersText(l OrderList, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead("Firing orders of " + l.Name)
	switch {
	case !l.Complete:
		s.paragraph("", fmt.Sprintf("With %d cylinders the crank allows %d schedules; only the most even one was computed.", l.Cylinders, l.Schedules))
	case l.Cylinders == 1:
		s.paragraph("", "One cylinder has one order.")
	default:
		s.paragraph("", fmt.Sprintf("The crank allows %s, %d of them even. All %d ways to spread the firings over the cycle were looked at. Best first: the most even, then the fewest neighbours in succession, then the fewest in one bank.",
			counted(l.Orders, "firing order", "firing orders"), l.EvenCount, l.Schedules))
	}
	s.blank()
	s.orderTable(l)
	s.blank()
	if n := len(l.List); l.Complete && n < l.Orders {
		s.paragraph("", fmt.Sprintf("%d of %d are shown; --all shows every one.", n, l.Orders))
	}
	if !l.hasOwn() {
		s.paragraph("", "The engine as it stands fires "+l.Own+", which is not among those shown.")
	}
	s.paragraph("", "> is the order of the engine as it stands. Neighbours: successive firings next to each other in one bank. Exhaust gap: shortest interval between two pulses of one exhaust group.")
	s.heading("Even firing")
	for _, line := range l.Even.Sentences {
		s.paragraph("  ", line)
	}
	s.estimated(l.Estimates)
	return s.String()
}

func (l OrderList) hasOwn() bool {
	return slices.ContainsFunc(l.List, func(o ListedOrder) bool { return o.Own })
}

func (s *sheet) orderTable(l OrderList) {
	heads := []column{
		{left: true},
		{head: []string{"order"}, left: true},
		{head: []string{"evenness"}},
		{head: []string{"longest", "interval"}},
		{head: []string{"shortest", "interval"}},
		{head: []string{"neigh-", "bours"}},
		{head: []string{"same", "bank"}},
		{head: []string{"exhaust", "gap"}},
		{head: []string{"intervals"}, left: true},
	}
	var rows [][]cell
	for _, o := range l.List {
		mark := ""
		if o.Own {
			mark = ">"
		}
		text := ""
		for i, a := range o.IntervalsDeg {
			if i > 0 {
				text += " "
			}
			text += plain(math.Round(100*a) / 100)
		}
		if o.LongestDeg-o.ShortestDeg < firing.EvenTolerance.Deg() {
			text = "even"
		}
		row := []cell{
			{text: mark},
			{text: o.Label, style: bold},
			{text: scale{factor: 1, decimals: 3}.show(o.Evenness)},
			{text: plain(math.Round(100*o.LongestDeg)/100) + "°"},
			{text: plain(math.Round(100*o.ShortestDeg)/100) + "°"},
			{text: fmt.Sprint(o.Neighbours)},
			{text: fmt.Sprint(o.SameBank)},
			{text: plain(math.Round(100*o.ExhaustGapDeg)/100) + "°"},
			{text: text},
		}
		rows = append(rows, row)
	}
	// the intervals are left out where they would not fit beside the rest
	if used := tableWidth(heads, rows); used > s.width() {
		heads = heads[:len(heads)-1]
		for i := range rows {
			rows[i] = rows[i][:len(rows[i])-1]
		}
	}
	s.table(heads, rows)
}
