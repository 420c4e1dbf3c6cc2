package report

import (
	"strings"

	"crankwright/brief"
	"crankwright/choice"
	"crankwright/decision"
	"crankwright/explain"
	"crankwright/spec"
)

// ChoiceDoc is a choice among engines for a brief: what the verb choose prints with --json. Shares and probabilities are
// from 0 to 1; points are of 100.
type ChoiceDoc struct {
	Brief    BriefDoc         `json:"brief" jsonschema_description:"what is wanted, as the brief says it"`
	Criteria []CriterionDoc   `json:"criteria" jsonschema_description:"in the sequence of the values of the engines"`
	Engines  []ChosenDoc      `json:"engines" jsonschema_description:"in the sequence in which they were given; every index of an engine is one of these"`
	Verdict  VerdictDoc       `json:"verdict" jsonschema_description:"what the numbers say of the leader"`
	Weights  []WeightFlipDoc  `json:"weight_flips" jsonschema_description:"by priority: where its weight, moved alone, makes another engine lead"`
	Joint    []JointDoc       `json:"joint_flips" jsonschema_description:"by rival, the nearest first: how far all weights together must move"`
	Values   []ValueFlipDoc   `json:"value_flips" jsonschema_description:"what the second would have to be, on one criterion alone, to draw level; empty where it shares the first place"`
	Inputs   []MatterDoc      `json:"inputs" jsonschema_description:"estimated inputs, the one that matters most for the lead first"`
	Left     []LeftDoc        `json:"left_out" jsonschema_description:"engines that cannot be judged"`
	Draws    int              `json:"draws" jsonschema_description:"how often weights and estimates were drawn"`
	Seed     uint64           `json:"seed" jsonschema_description:"of the random draws; the same seed gives the same result"`
	Certain  bool             `json:"estimates_certain" jsonschema_description:"estimates were taken as they are"`
	Notes    []string         `json:"notes" jsonschema_description:"how it was found"`
	Caution  string           `json:"caution" jsonschema_description:"what the numbers are not good for"`
	decision *choice.Decision // for figures and words
}

// BriefDoc is a brief.
type BriefDoc struct {
	Name        string        `json:"name" jsonschema_description:"of the brief, as its file gives it"`
	Application string        `json:"application,omitempty" jsonschema_description:"what the engine is for; left out: the brief does not say"`
	Prices      string        `json:"prices,omitempty" jsonschema_description:"price table of the cost index that the brief names, a file beside it; left out: the invented prices"`
	Limits      []LimitDoc    `json:"limits" jsonschema_description:"that an engine must keep to stand"`
	Priorities  []PriorityDoc `json:"priorities" jsonschema_description:"what is good, and how much it counts"`
}

// LimitDoc is a limit of a brief.
type LimitDoc struct {
	Measure string  `json:"measure" jsonschema_description:"key of the figure"`
	Name    string  `json:"name" jsonschema_description:"the figure in words"`
	Unit    string  `json:"unit" jsonschema_description:"of the figure; 1: none"`
	Side    string  `json:"side" jsonschema:"enum=at most,enum=at least" jsonschema_description:"on which side of the bound the figure must lie"`
	Bound   float64 `json:"bound" jsonschema_description:"in the unit"`
	Shown   string  `json:"shown" jsonschema_description:"the bound with its unit, as people read it"`
	Why     string  `json:"why,omitempty" jsonschema_description:"reason that the brief gives; left out: none"`
}

// PriorityDoc is a priority of a brief.
type PriorityDoc struct {
	Key   string       `json:"key" jsonschema_description:"such as smooth, as the brief names it"`
	Name  string       `json:"name" jsonschema_description:"in words"`
	Means string       `json:"means" jsonschema_description:"what is good"`
	Low   float64      `json:"low_points" jsonschema_description:"as the brief gives it, 0 to 10"`
	High  float64      `json:"high_points" jsonschema_description:"upper end of that range; as low_points where it is a single number"`
	From  float64      `json:"drawn_from_points" jsonschema_description:"the range in which it is drawn: half a point around a single number"`
	To    float64      `json:"drawn_to_points" jsonschema_description:"upper end of the range in which it is drawn"`
	Why   string       `json:"why,omitempty" jsonschema_description:"reason that the brief gives; left out: none"`
	Own   bool         `json:"own" jsonschema_description:"the brief says what it is made of"`
	Parts []AimPartDoc `json:"parts" jsonschema_description:"figures that make it up"`
}

// AimPartDoc is what a measure adds to a priority.
type AimPartDoc struct {
	Measure string  `json:"measure" jsonschema_description:"key of the figure"`
	Name    string  `json:"name" jsonschema_description:"the figure in words"`
	Share   float64 `json:"share_1" jsonschema_description:"of the priority"`
}

// CriterionDoc is a criterion with its value function.
type CriterionDoc struct {
	Key    string          `json:"key" jsonschema_description:"of the figure"`
	Name   string          `json:"name" jsonschema_description:"in words"`
	Unit   string          `json:"unit" jsonschema_description:"of its values; 1: none"`
	Better string          `json:"better" jsonschema:"enum=less,enum=more,enum=neither" jsonschema_description:"which way is better"`
	Own    bool            `json:"own" jsonschema_description:"the brief gives its value function"`
	Worth  []WorthPointDoc `json:"worth" jsonschema_description:"straight lines between these points, level beyond; empty where it is only a limit"`
}

// WorthPointDoc is a point of a value function.
type WorthPointDoc struct {
	At    float64 `json:"at" jsonschema_description:"in the unit of the criterion"`
	Worth float64 `json:"worth_1" jsonschema_description:"from 0 to 1"`
}

// ChosenDoc is how one engine stands.
type ChosenDoc struct {
	Name       string      `json:"name" jsonschema_description:"name of the engine"`
	File       string      `json:"file" jsonschema_description:"its file"`
	Values     []float64   `json:"values" jsonschema_description:"by criterion, in its unit"`
	Low        []float64   `json:"low" jsonschema_description:"by criterion: where the estimates leave nearly all of it"`
	High       []float64   `json:"high" jsonschema_description:"by criterion: the upper end of that"`
	Out        []BreachDoc `json:"out" jsonschema_description:"limits that it does not keep; empty: it stands"`
	Place      int         `json:"place" jsonschema_description:"from 1; 0: ruled out"`
	Points     float64     `json:"points" jsonschema_description:"of 100, with the weights of the brief and the estimates as they are"`
	ByPriority []float64   `json:"points_by_priority" jsonschema_description:"by priority: what it adds to the points"`
	Worths     []float64   `json:"worth_by_priority_1" jsonschema_description:"by priority: what the engine is worth on it alone, from 0 to 1"`
	Band       BandDoc     `json:"band" jsonschema_description:"where the points lie over what priorities and estimates leave open"`
	Front      bool        `json:"front" jsonschema_description:"no other that stands is at least as good on everything and better on something"`
	Dominated  []int       `json:"dominated_by" jsonschema_description:"indices of engines that stand, are at least as good on everything and better on something"`
	Rank       []float64   `json:"rank_1" jsonschema_description:"by place: how often it takes it, over what priorities and estimates leave open"`
	RankAny    []float64   `json:"rank_any_1" jsonschema_description:"the same over all priorities that there are"`
	Central    []float64   `json:"central_1" jsonschema_description:"by priority: mean share of the weights with which it is first, over the ranges of the brief; empty where it never is"`
	CentralAny []float64   `json:"central_any_1" jsonschema_description:"the same over all priorities"`
	Confidence float64     `json:"confidence_1" jsonschema_description:"how often it is first with the weights central_any_1"`
	Beats      []float64   `json:"beats_1" jsonschema_description:"by engine: how often it is worth more"`
	Risks      []RiskDoc   `json:"risks" jsonschema_description:"limits that it keeps only if its estimates hold"`
	Guidance   []string    `json:"guidance" jsonschema_description:"guidance that the program knows and the engine misses, in words; nothing is ranked by it"`
	Words      []string    `json:"words" jsonschema_description:"how it stands, in sentences"`
	Doubts     []DoubtDoc  `json:"doubts" jsonschema_description:"estimates that move a criterion"`
}

// BandDoc is where the points lie.
type BandDoc struct {
	P05 float64 `json:"p05_points" jsonschema_description:"5 % of the draws give fewer"`
	P25 float64 `json:"p25_points" jsonschema_description:"25 % of the draws give fewer"`
	P50 float64 `json:"p50_points" jsonschema_description:"half of the draws give fewer"`
	P75 float64 `json:"p75_points" jsonschema_description:"75 % of the draws give fewer"`
	P95 float64 `json:"p95_points" jsonschema_description:"95 % of the draws give fewer"`
}

// BreachDoc is a limit that is not kept.
type BreachDoc struct {
	Measure string  `json:"measure" jsonschema_description:"key of the figure that is limited"`
	Margin  float64 `json:"margin" jsonschema_description:"how far it lies on the wrong side, in the unit of the measure"`
	Keeps   float64 `json:"keeps_1" jsonschema_description:"how often it would keep the limit within what its estimates leave possible"`
	Text    string  `json:"text" jsonschema_description:"the same in words"`
}

// RiskDoc is a limit that is kept with a risk.
type RiskDoc struct {
	Measure string  `json:"measure" jsonschema_description:"key of the figure that is limited"`
	Risk    float64 `json:"risk_1" jsonschema_description:"how often it would break the limit within what its estimates leave possible"`
}

// DoubtDoc is an estimate and how far it may be off.
type DoubtDoc struct {
	Key   string `json:"key" jsonschema_description:"of the input, such as rod.mass"`
	Name  string `json:"name" jsonschema_description:"the input in words"`
	Shown string `json:"shown" jsonschema_description:"the estimate, as people read it"`
	Low   string `json:"low_shown" jsonschema_description:"low end of its scatter, as people read it"`
	High  string `json:"high_shown" jsonschema_description:"high end of its scatter, as people read it"`
	Rule  string `json:"rule" jsonschema_description:"of the scatter"`
	Note  string `json:"note,omitempty" jsonschema_description:"why an end could not be reached in full; left out: both were"`
}

// VerdictDoc is what the numbers say.
type VerdictDoc struct {
	Standing string   `json:"standing" jsonschema:"enum=none left,enum=only one,enum=alike,enum=not separable,enum=likely,enum=clear,enum=certain" jsonschema_description:"how firm the lead is, from nobody left to certain"`
	Leader   int      `json:"leader" jsonschema_description:"index; -1: none"`
	Second   int      `json:"second" jsonschema_description:"the strongest rival; -1: none"`
	Rivals   []int    `json:"rivals" jsonschema_description:"engines that the leader cannot be told from"`
	Words    []string `json:"words" jsonschema_description:"the same in sentences"`
}

// WeightFlipDoc is where one weight makes another engine lead.
type WeightFlipDoc struct {
	Key  string       `json:"key" jsonschema_description:"of the priority"`
	Now  float64      `json:"now_points" jsonschema_description:"its weight in the brief"`
	From float64      `json:"drawn_from_points" jsonschema_description:"lower end of the range in which it is drawn"`
	To   float64      `json:"drawn_to_points" jsonschema_description:"upper end of the range in which it is drawn"`
	Down *LeadTurnDoc `json:"down,omitempty" jsonschema_description:"at a smaller weight, or at this one where it is level already; left out: nowhere down to 0"`
	Up   *LeadTurnDoc `json:"up,omitempty" jsonschema_description:"at a larger weight, or at this one where it is level already; left out: nowhere up to 10"`
}

// LeadTurnDoc is where another engine takes the lead.
type LeadTurnDoc struct {
	At     float64 `json:"at" jsonschema_description:"weight there, in points"`
	Leader int     `json:"leader" jsonschema_description:"index of the engine that leads from there on"`
}

// JointDoc is how far all weights must move.
type JointDoc struct {
	Other    int       `json:"other" jsonschema_description:"index of the rival"`
	Possible bool      `json:"possible" jsonschema_description:"weights from 0 to 10 points with which it leads exist"`
	By       float64   `json:"by_points" jsonschema_description:"how far every weight moves in the other's favour"`
	Weights  []float64 `json:"weights_points" jsonschema_description:"with which both are level"`
}

// ValueFlipDoc is what an engine would have to be.
type ValueFlipDoc struct {
	Criterion string  `json:"criterion" jsonschema_description:"its key"`
	Now       float64 `json:"now" jsonschema_description:"in the unit of the criterion"`
	Needs     float64 `json:"needs" jsonschema_description:"value that draws level, in the unit of the criterion; 0 where it is not possible"`
	Possible  bool    `json:"possible" jsonschema_description:"some value draws level; otherwise not even the best one does"`
}

// MatterDoc is what one estimate does to the lead.
type MatterDoc struct {
	Key    string  `json:"key" jsonschema_description:"of the input, such as rod.mass"`
	Name   string  `json:"name" jsonschema_description:"the input in words"`
	Engine int     `json:"engine" jsonschema_description:"index of the engine whose input it is"`
	Share  float64 `json:"share_1" jsonschema_description:"of what all estimates together leave open of the lead over the second"`
	Low    float64 `json:"low_points" jsonschema_description:"change of the lead with the input at its low end"`
	High   float64 `json:"high_points" jsonschema_description:"change of the lead with the input at its high end"`
	Flips  bool    `json:"flips" jsonschema_description:"another engine leads with the input somewhere between its ends"`
	At     string  `json:"flips_at,omitempty" jsonschema_description:"value at which another leads"`
	Way    float64 `json:"flips_way_1,omitempty" jsonschema_description:"how far that lies from the estimate towards the low end (-1) or the high end (1)"`
	Leader int     `json:"flips_leader" jsonschema_description:"who leads then; -1: nobody else"`
}

// LeftDoc is an engine that cannot be judged.
type LeftDoc struct {
	File string `json:"file" jsonschema_description:"of the engine"`
	Name string `json:"name" jsonschema_description:"of the engine"`
	Why  string `json:"why" jsonschema_description:"it cannot be judged, in words"`
}

// NewBriefDoc describes a brief.
func NewBriefDoc(b *brief.Brief) BriefDoc {
	d := BriefDoc{Name: b.Name, Application: b.Application, Prices: b.PricesFile, Limits: []LimitDoc{}, Priorities: []PriorityDoc{}}
	for _, l := range b.Limits {
		m, _ := brief.MeasureOf(l.Measure)
		side := "at least"
		if l.AtMost {
			side = "at most"
		}
		d.Limits = append(d.Limits, LimitDoc{l.Measure, b.NameOf(l.Measure), m.Unit, side, l.Bound, spec.MeasureShown(l.Measure, l.Bound), l.Why})
	}
	for _, p := range b.Priorities {
		a := p.Aim()
		r := brief.Drawn(p.Weight)
		doc := PriorityDoc{
			Key: p.Key, Name: a.Name, Means: a.Means, Low: p.Weight.Low, High: p.Weight.High, From: r.Low, To: r.High,
			Why: p.Why, Own: p.Parts != nil, Parts: []AimPartDoc{},
		}
		sum := 0.0
		for _, part := range a.Parts {
			sum += part.Share
		}
		for _, part := range a.Parts {
			doc.Parts = append(doc.Parts, AimPartDoc{part.Measure, b.NameOf(part.Measure), part.Share / sum})
		}
		d.Priorities = append(d.Priorities, doc)
	}
	return d
}

// NewChoiceDoc describes a choice that was drawn with a seed.
func NewChoiceDoc(c *decision.Choice, seed uint64) *ChoiceDoc {
	d := c.Decision
	p := d.Problem
	doc := &ChoiceDoc{
		Brief: NewBriefDoc(c.Brief), Criteria: []CriterionDoc{}, Engines: []ChosenDoc{}, Draws: d.Ranges.Draws, Seed: seed,
		Weights: []WeightFlipDoc{}, Joint: []JointDoc{}, Values: []ValueFlipDoc{}, Inputs: []MatterDoc{}, Left: []LeftDoc{},
		Notes: choiceNotes(c), Caution: Caution, Certain: true, decision: d,
	}
	for _, k := range p.Criteria {
		row := CriterionDoc{Key: k.Key, Name: k.Name, Unit: k.Unit, Better: betterWord(k.Better), Own: c.Brief.Worths[k.Key] != nil, Worth: []WorthPointDoc{}}
		for _, w := range k.Worth {
			row.Worth = append(row.Worth, WorthPointDoc{w.At, w.Worth})
		}
		doc.Criteria = append(doc.Criteria, row)
	}
	for i, e := range c.Entrants {
		doc.Certain = doc.Certain && e.Doubts == nil
		doc.Engines = append(doc.Engines, chosenDoc(c, i))
	}
	v := d.Verdict
	doc.Verdict = VerdictDoc{string(v.Standing), v.Leader, v.Second, append([]int{}, v.Beats...), d.VerdictText()}
	doc.flips()
	for _, l := range c.Left {
		doc.Left = append(doc.Left, LeftDoc(l))
	}
	return doc
}

func (d *ChoiceDoc) flips() {
	from := d.decision
	p := from.Problem
	turn := func(t *choice.Turn) *LeadTurnDoc {
		if t == nil {
			return nil
		}
		return &LeadTurnDoc{t.At, t.Leader}
	}
	for _, f := range from.Flips {
		d.Weights = append(d.Weights, WeightFlipDoc{p.Aims[f.Aim].Key, f.Now, f.Spread.Low, f.Spread.High, turn(f.Down), turn(f.Up)})
	}
	for _, j := range from.Joints {
		d.Joint = append(d.Joint, JointDoc{j.Other, j.Possible, j.By, append([]float64{}, j.Weights...)})
	}
	for _, f := range from.Values {
		d.Values = append(d.Values, ValueFlipDoc{p.Criteria[f.Criterion].Key, f.Now, f.Needs, f.Possible})
	}
	for _, m := range from.Matters {
		row := MatterDoc{Key: m.Key, Name: m.Name, Engine: m.Alternative, Share: m.Share, Low: 100 * m.Low, High: 100 * m.High, Leader: -1}
		if f := m.Flips; f != nil {
			row.Flips, row.Way, row.Leader, row.At = true, f.At, f.Leader, from.InputText(m.Alternative, m.Key, f.At)
		}
		d.Inputs = append(d.Inputs, row)
	}
}

func chosenDoc(c *decision.Choice, i int) ChosenDoc {
	d := c.Decision
	a := d.Problem.Alternatives[i]
	low, high := a.Reach()
	s := d.Scores[i]
	b := d.Ranges.Totals[i]
	row := ChosenDoc{
		Name: a.Name, File: c.Entrants[i].File, Values: a.Values, Low: low, High: high, Out: []BreachDoc{}, Place: d.Places[i], Points: 100 * s.Total,
		ByPriority: scaled(s.ByAim, 100), Worths: s.Worths, Band: BandDoc{100 * b.P05, 100 * b.P25, 100 * b.P50, 100 * b.P75, 100 * b.P95},
		Front: d.Breaches[i] == nil && len(d.Dominated[i]) == 0, Dominated: append([]int{}, d.Dominated[i]...),
		Rank: d.Ranges.Rank[i], RankAny: d.Any.Rank[i], Central: append([]float64{}, d.Ranges.Central[i]...),
		CentralAny: append([]float64{}, d.Any.Central[i]...), Confidence: d.Any.Confidence[i], Beats: d.Ranges.Beats[i],
		Risks: []RiskDoc{}, Guidance: explain.Guidance(c.Entrants[i].Guidance), Words: d.Paragraph(i), Doubts: []DoubtDoc{},
	}
	if above := aboveLimit(c.Entrants[i].Result); above != "" {
		row.Words = append(row.Words, "It is judged at "+rpmOf(c.Entrants[i].Result.Speed)+" rpm, "+above+".")
	}
	for _, x := range d.Breaches[i] {
		row.Out = append(row.Out, BreachDoc{d.Problem.Criteria[d.Problem.Limits[x.Limit].Criterion].Key, x.Margin, x.Keeps, d.BreachText(i, x)})
	}
	for l, r := range d.Risks[i] {
		if d.Breaches[i] == nil && r > 0 {
			row.Risks = append(row.Risks, RiskDoc{d.Problem.Criteria[d.Problem.Limits[l].Criterion].Key, r})
		}
	}
	if of := c.Entrants[i].Doubts; of != nil {
		for _, x := range of.List {
			note := x.Low.Note
			if note == "" {
				note = x.High.Note
			}
			row.Doubts = append(row.Doubts, DoubtDoc{x.Key, x.Name, x.Shown, x.Low.Shown, x.High.Shown, x.Rule + " (" + cited(x.Source) + ")", note})
		}
	}
	return row
}

func scaled(values []float64, by float64) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = by * v
	}
	return out
}

// choiceNotes says how a choice was found.
func choiceNotes(c *decision.Choice) []string {
	notes := []string{
		"Points: each figure is worth 0 to 1 by its value function; a priority is the mean of its figures; points are the mean of the priorities, weighted, of 100.",
		"A value function that the brief does not give is a straight line between the worst and the best of the engines that stand, or from the worst to the best that can be where there is one, such as no free force or an evenness of 1; a difference too small to matter counts little.",
		"A priority given as one number is drawn within half a point of it, one given as a range within the range, all alike likely. “Any priorities” are drawn alike likely over all that there are.",
	}
	var certain []string
	for _, e := range c.Entrants {
		if e.Doubts == nil {
			certain = append(certain, e.Result.Train.Name)
		}
	}
	if len(certain) < len(c.Entrants) {
		notes = append(notes, "Estimated inputs are drawn around their estimates, the ends of their scatter two standard deviations away; half of the variance of an error is common to the engines that use the same rule. What the files give is taken as certain.")
	}
	switch {
	case len(certain) == len(c.Entrants):
		notes = append(notes, "Estimated inputs are taken as they are: how far they may be off was not looked at, so the choice may be less firm than it says.")
	case len(certain) > 0:
		notes = append(notes, "How far the estimates may be off was not looked at for "+strings.Join(certain, "; ")+": they are taken as they are, so the choice may be less firm than it says.")
	}
	return append(notes, "Clear: better in 95 % of the draws, and weights that are all off by half a point would not turn it; likely: better in 80 %; not separable: in fewer. The draws are the same for the same seed.")
}
