package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"crankwright/draw"
)

// ChoiceFigures are the names of the figures of a choice, in the sequence of a report.
func ChoiceFigures() []string {
	return []string{"worths", "acceptability", "acceptability-any", "trade-off", "central-weights", "flips", "value-function"}
}

// Figure draws a figure of a choice.
//
//   - name: one of ChoiceFigures
//   - x, y: keys of the criteria of a trade-off; x that of a value function; empty: the first ones that tell the engines apart
//
// Errors: an unknown name or criterion.
func (d *ChoiceDoc) Figure(name, x, y string) (draw.Figure, error) {
	switch name {
	case "worths":
		return d.worthsFigure(), nil
	case "acceptability":
		return d.ranksFigure(d.Brief.Name, func(e ChosenDoc) []float64 { return e.Rank }), nil
	case "acceptability-any":
		return d.ranksFigure("with any priorities at all", func(e ChosenDoc) []float64 { return e.RankAny }), nil
	case "trade-off":
		return d.tradeOff(x, y)
	case "central-weights":
		return d.centralFigure(), nil
	case "flips":
		return d.flipsFigure(), nil
	case "value-function":
		return d.valueFunction(x)
	}
	return draw.Figure{}, fmt.Errorf("there is no figure %q of a choice; there are %s", name, strings.Join(ChoiceFigures(), ", "))
}

// ruledOut says why an engine is ruled out.
func (e ChosenDoc) ruledOut() string {
	var texts []string
	for _, o := range e.Out {
		texts = append(texts, o.Text)
	}
	return strings.Join(texts, "; ")
}

func (d *ChoiceDoc) worthsFigure() draw.Figure {
	var aims []string
	for _, p := range d.Brief.Priorities {
		aims = append(aims, p.Name)
	}
	var list []draw.ScoreParts
	for _, i := range d.order() {
		e := d.Engines[i]
		s := draw.ScoreParts{Name: e.Name, Parts: e.ByPriority, Total: draw.Spread{Value: e.Points}, RuledOut: e.ruledOut()}
		if len(e.Out) == 0 {
			s.Total.Low, s.Total.High = e.Band.P05, e.Band.P95
		}
		list = append(list, s)
	}
	return draw.Worths(d.Brief.Name, aims, list, 100)
}

func (d *ChoiceDoc) ranksFigure(of string, ranks func(ChosenDoc) []float64) draw.Figure {
	stand := len(d.decision.Order)
	var list []draw.RankShares
	for _, i := range d.order() {
		e := d.Engines[i]
		r := draw.RankShares{Name: e.Name, RuledOut: e.ruledOut()}
		if len(e.Out) == 0 {
			r.Shares = ranks(e)[:stand]
		}
		list = append(list, r)
	}
	return draw.RankAcceptability(of, list)
}

// criterionAt returns the index of a criterion of an aim; an empty key is the given one of those that tell engines apart.
func (d *ChoiceDoc) criterionAt(key string, nth int) (int, error) {
	if key != "" {
		i := slices.IndexFunc(d.Criteria, func(c CriterionDoc) bool { return c.Key == key })
		switch {
		case i < 0:
			return 0, fmt.Errorf("there is no criterion %q of this choice", key)
		case d.Criteria[i].Better == "neither":
			return 0, fmt.Errorf("%s is a limit: neither more nor less of it is better", d.Criteria[i].Name)
		}
		return i, nil
	}
	heavy := d.heaviest()
	if nth >= len(heavy) {
		return 0, fmt.Errorf("there are fewer than %d criteria with a better side in this choice", nth+1)
	}
	return heavy[nth], nil
}

// heaviest lists the criteria with a better side by what they weigh, those that tell engines apart first, one of each
// priority before the second of any.
func (d *ChoiceDoc) heaviest() []int {
	type weighed struct {
		at     int
		weight float64
		rank   int // among those of its priority
		same   bool
	}
	var list []weighed
	for i, c := range d.Criteria {
		if c.Better != "neither" {
			w := weighed{at: i, same: !d.differ(i), rank: len(d.Criteria)}
			for _, p := range d.Brief.Priorities {
				for n, part := range p.Parts {
					if part.Measure == c.Key {
						w.weight += (p.From + p.To) / 2 * part.Share
						w.rank = min(w.rank, n)
					}
				}
			}
			list = append(list, w)
		}
	}
	slices.SortStableFunc(list, func(a, b weighed) int {
		if a.same != b.same {
			if b.same {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(b.weight, a.weight))
	})
	out := make([]int, len(list))
	for i, w := range list {
		out[i] = w.at
	}
	return out
}

// differ tells whether engines have different values of a criterion.
func (d *ChoiceDoc) differ(i int) bool {
	for _, e := range d.Engines {
		if e.Values[i] != d.Engines[0].Values[i] {
			return true
		}
	}
	return false
}

// drawn is a criterion for a figure, with the limits of the brief.
func (d *ChoiceDoc) drawn(i int) draw.Criterion {
	c := d.Criteria[i]
	out := draw.Criterion{Name: c.Name, Unit: unitShown(c.Unit), LowerIsBetter: c.Better == "less"}
	for _, l := range d.Brief.Limits {
		if l.Measure == c.Key {
			out.Limits = append(out.Limits, draw.Bound{Value: l.Bound, AtMost: l.Side == "at most"})
		}
	}
	return out
}

func (d *ChoiceDoc) tradeOff(x, y string) (draw.Figure, error) {
	i, err := d.criterionAt(x, 0)
	if err != nil {
		return draw.Figure{}, err
	}
	j, err := d.criterionAt(y, 1)
	if err != nil {
		return draw.Figure{}, err
	}
	var list []draw.TradePoint
	spread := func(e ChosenDoc, c int) draw.Spread {
		return draw.Spread{Value: e.Values[c], Low: e.Low[c], High: e.High[c]}
	}
	for _, n := range d.order() {
		e := d.Engines[n]
		list = append(list, draw.TradePoint{Name: e.Name, X: spread(e, i), Y: spread(e, j), RuledOut: e.ruledOut()})
	}
	return draw.TradeOff(d.Brief.Name, d.drawn(i), d.drawn(j), list), nil
}

func (d *ChoiceDoc) centralFigure() draw.Figure {
	lows, highs := 0.0, 0.0
	for _, p := range d.Brief.Priorities {
		lows += p.From
		highs += p.To
	}
	var aims []draw.AimRange
	for _, p := range d.Brief.Priorities { // as a share: least where the others weigh most
		low, high := 0.0, 0.0
		if p.From > 0 {
			low = p.From / (p.From + highs - p.To)
		}
		if p.To > 0 {
			high = p.To / (p.To + lows - p.From)
		}
		aims = append(aims, draw.AimRange{Name: p.Name, Low: low, High: high})
	}
	var list []draw.CentralWeight
	for _, i := range d.decision.Order {
		if e := d.Engines[i]; len(e.CentralAny) > 0 {
			list = append(list, draw.CentralWeight{Name: e.Name, First: e.RankAny[0], Weights: e.CentralAny})
		}
	}
	slices.SortStableFunc(list, func(a, b draw.CentralWeight) int {
		switch {
		case a.First > b.First:
			return -1
		case a.First < b.First:
			return 1
		}
		return 0
	})
	return draw.CentralWeights("with any priorities at all; the bars are the range of the brief", aims, list)
}

func (d *ChoiceDoc) flipsFigure() draw.Figure {
	var list []draw.Flip
	for k, f := range d.Weights {
		row := draw.Flip{Name: d.Brief.Priorities[k].Name, Unit: "points", Now: f.Now, Low: 0, High: 10, BriefLow: f.From, BriefHigh: f.To}
		for _, t := range []*LeadTurnDoc{f.Down, f.Up} {
			if t != nil {
				row.At = append(row.At, draw.Lead{Value: t.At, Who: d.Engines[t.Leader].Name})
			}
		}
		list = append(list, row)
	}
	leader := "nobody"
	if d.Verdict.Leader >= 0 {
		leader = d.Engines[d.Verdict.Leader].Name
	}
	return draw.Flips(leader, list)
}

func (d *ChoiceDoc) valueFunction(key string) (draw.Figure, error) {
	i, err := d.criterionAt(key, 0)
	if err != nil {
		return draw.Figure{}, err
	}
	if len(d.Criteria[i].Worth) == 0 {
		return draw.Figure{}, fmt.Errorf("%s is only a limit of this brief, so nothing says what it is worth", d.Criteria[i].Name)
	}
	var corners, list []draw.WorthAt
	for _, w := range d.Criteria[i].Worth {
		corners = append(corners, draw.WorthAt{Value: w.At, Worth: w.Worth})
	}
	worth := d.decision.Problem.Criteria[i].Worth
	for _, n := range d.decision.Order {
		e := d.Engines[n]
		list = append(list, draw.WorthAt{Name: e.Name, Value: e.Values[i], Worth: worth.Of(e.Values[i])})
	}
	return draw.ValueFunction(d.drawn(i), corners, list), nil
}
