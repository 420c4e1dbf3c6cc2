package choice

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/num"
)

// Points writes a worth as points of 100, with one decimal.
//
//   - worth: 0 to 1
//
// Result in words [points]. Definition.
func Points(worth float64) string { return fmt.Sprintf("%.1f", 100*worth) }

// Percent writes a share in whole percent, never 0 % for what occurs nor 100 % for what does not always.
//
//   - share: 0 to 1
//
// Result in words [%]. Definition.
func Percent(share float64) string {
	switch p := math.Round(100 * share); {
	case share <= 0:
		return "0 %"
	case p < 1:
		return "less than 1 %"
	case share >= 1:
		return "100 %"
	case p > 99:
		return "more than 99 %"
	default:
		return fmt.Sprintf("%.0f %%", p)
	}
}

// Shown writes a value of a criterion with its unit.
//
//   - v: in the unit of the criterion
//
// Result in words [1]. Definition.
func (c Criterion) Shown(v float64) string {
	text := "0"
	if math.Abs(v) >= 1e-9 {
		text = strings.Replace(num.Digits(v, cmp.Or(c.digits, 4)), "-", "−", 1)
	}
	if c.Unit == "1" || c.Unit == "" {
		return text
	}
	return text + " " + c.Unit
}

// BreachText says how far an alternative lies on the wrong side of a limit, such as "38 mm too long (658 mm,
// at most 620 mm)".
//
//   - i: alternative
//   - b: one of its breaches
//
// Result in words [1]. Definition.
func (d *Decision) BreachText(i int, b Breach) string {
	l := d.Problem.Limits[b.Limit]
	c := d.Problem.Criteria[l.Criterion]
	side, what := "at least", c.Under
	if l.AtMost {
		side, what = "at most", c.Over
	}
	if what == "" {
		what = "below the limit of " + Within(c.Name)
		if l.AtMost {
			what = "over the limit of " + Within(c.Name)
		}
	}
	margin := c
	margin.digits = 2
	if b.Margin >= 100 {
		margin.digits = 3
	}
	return fmt.Sprintf("%s %s (%s, %s %s)", margin.Shown(b.Margin), what, c.Shown(d.Problem.Alternatives[i].Values[l.Criterion]), side, c.Shown(l.Bound))
}

// Within begins a name with a small letter, as it stands within a sentence.
//
//   - name: of a criterion, an aim or an input
//
// Result in words [1]. Definition.
func Within(name string) string {
	if len(name) > 1 && name[1] >= 'A' && name[1] <= 'Z' {
		return name
	}
	return strings.ToLower(name[:min(1, len(name))]) + name[min(1, len(name)):]
}

// open says what was drawn.
func (d *Decision) open() string {
	if d.doubtful() {
		return "what the priorities and the estimates leave possible"
	}
	return "what the priorities leave possible"
}

// doubtful tells whether any input is in doubt.
func (d *Decision) doubtful() bool {
	return slices.ContainsFunc(d.Problem.Alternatives, func(a Alternative) bool { return len(a.Doubts) > 0 })
}

func (d *Decision) name(i int) string { return d.Problem.Alternatives[i].Name }

// VerdictText says what the numbers say, in sentences: who is first and how firmly, why, what would
// change it, which doubtful input matters most.
//
// Result in words [1]. Definition.
func (d *Decision) VerdictText() []string {
	v := d.Verdict
	var out []string
	add := func(text string) {
		if text != "" {
			out = append(out, text)
		}
	}
	add(d.first())
	add(d.better())
	if v.Second < 0 {
		return append(out, d.besides()...)
	}
	if v.Standing != Alike {
		add(d.against(v.Leader, v.Second))
		if v.Standing != Certain {
			add(d.anybody())
			if len(d.firsts()) == 1 { // else the least change of anything is enough
				add(d.weightFlipText())
				add(d.jointText())
			}
		}
		if d.Places[v.Second] > 1 {
			add(d.valueText(v.Second))
		}
		add(d.doubtText())
	}
	add(d.frontText())
	add(d.riskText(v.Leader))
	return append(out, d.besides()...)
}

// besides says what else should be known of the first.
func (d *Decision) besides() []string {
	var out []string
	for _, o := range d.Order {
		if text := d.Problem.Alternatives[o].Beside; text != "" && d.Places[o] == 1 {
			out = append(out, text)
		}
	}
	return out
}

// first says who is first and how firmly.
func (d *Decision) first() string {
	v := d.Verdict
	all, left := len(d.Problem.Alternatives), len(d.Standing)
	outs := ""
	if all > left {
		outs = fmt.Sprintf(" The limits rule out %d of %d.", all-left, all)
	}
	if v.Standing == NoneLeft {
		return d.none()
	}
	name := d.name(v.Leader)
	if v.Standing == OnlyOne {
		if all == 1 {
			return name + " is the only one to judge, and it keeps every limit."
		}
		return name + " is the only one that keeps every limit." + outs
	}
	points := Points(d.Scores[v.Leader].Total)
	second := fmt.Sprintf("%s (%s points)", d.name(v.Second), Points(d.Scores[v.Second].Total))
	against := Percent(d.Ranges.Beats[v.Second][v.Leader])
	firsts := d.firsts()
	share := ""
	if len(firsts) > 1 {
		share = fmt.Sprintf("%s share the first place with %s points of 100. ", num.List(firsts, "and"), points)
	}
	switch v.Standing {
	case Alike:
		return fmt.Sprintf("%s share the first place with %s points of 100: what counts here is the same of them.%s", num.List(firsts, "and"), points, outs)
	case Certain:
		return fmt.Sprintf("%s is first with %s points of 100, before %s. It is at least as good as every other on everything that counts and better on something, so no weights change that.%s", name, points, second, outs)
	case Clear:
		return fmt.Sprintf("%s is first, clearly, with %s points of 100, before %s, which is worth more in %s of %s.%s", name, points, second, against, d.open(), outs)
	case Likely:
		if share != "" {
			return fmt.Sprintf("%s%s is likely the better of them, but not surely: %s is worth more in %s of %s.%s", share, name, second, against, d.open(), outs)
		}
		return fmt.Sprintf("%s is likely the best choice with %s points of 100, but not surely: %s is worth more in %s of %s.%s", name, points, second, against, d.open(), outs)
	}
	var rivals []string
	for _, o := range v.Beats {
		rivals = append(rivals, fmt.Sprintf("%s (%s points, worth more in %s of what is possible)", d.name(o), Points(d.Scores[o].Total), Percent(d.Ranges.Beats[o][v.Leader])))
	}
	if share != "" {
		return fmt.Sprintf("%s%s is not separable with what is known from %s.%s", share, name, num.List(rivals, "and"), outs)
	}
	return fmt.Sprintf("%s has the most points, %s of 100, but it is not separable with what is known from %s.%s", name, points, num.List(rivals, "and"), outs)
}

// firsts names the alternatives in the first place, the leader first.
func (d *Decision) firsts() []string {
	var names []string
	for _, o := range d.Order {
		if d.Places[o] == 1 {
			names = append(names, d.name(o))
		}
	}
	return names
}

// mostBeaten is how many that are beaten a sentence names.
const mostBeaten = 3

// frontText says which of those that stand no other beats on everything that counts, and who beats the rest.
func (d *Decision) frontText() string {
	n := len(d.Standing)
	if n < 2 || d.Verdict.Standing == Certain { // which says it
		return ""
	}
	var beaten []string
	for _, o := range d.Order {
		if len(d.Dominated[o]) > 0 {
			beaten = append(beaten, fmt.Sprintf("%s by %s", d.name(o), d.name(d.beater(o))))
		}
	}
	switch more := len(beaten) - mostBeaten; {
	case len(beaten) == 0:
		return fmt.Sprintf("The front holds all %d that stand: none is at least as good as another on everything that counts and better on something.", n)
	case more > 0:
		beaten = append(beaten[:mostBeaten], fmt.Sprintf("%d more", more))
	}
	return fmt.Sprintf("The front holds %d of the %d that stand; beaten on everything that counts: %s.", len(d.Front), n, num.List(beaten, "and"))
}

// beater returns the best placed of those that beat an alternative on everything.
func (d *Decision) beater(o int) int {
	best := d.Dominated[o][0]
	for _, j := range d.Dominated[o] {
		if d.Places[j] < d.Places[best] {
			best = j
		}
	}
	return best
}

// better says which alternative would lead but for the limits.
func (d *Decision) better() string {
	v := d.Verdict
	best := v.Leader
	if best < 0 {
		return ""
	}
	for i, bs := range d.Breaches {
		if bs != nil && d.Scores[i].Total > d.Scores[best].Total+same {
			best = i
		}
	}
	if best == v.Leader {
		return ""
	}
	var texts []string
	for _, b := range d.Breaches[best] {
		texts = append(texts, d.BreachText(best, b))
	}
	return fmt.Sprintf("But for the limits %s would lead with %s points: it is %s.", d.name(best), Points(d.Scores[best].Total), num.List(texts, "and"))
}

// none says what comes nearest where the limits rule out everything.
func (d *Decision) none() string {
	best, worst := -1, math.Inf(1)
	for i, bs := range d.Breaches {
		most := 0.0
		for _, b := range bs {
			l := d.Problem.Limits[b.Limit]
			most = math.Max(most, b.Margin/math.Max(math.Abs(l.Bound), same))
		}
		if most < worst {
			best, worst = i, most
		}
	}
	var texts []string
	for _, b := range d.Breaches[best] {
		texts = append(texts, d.BreachText(best, b))
	}
	n := len(d.Problem.Alternatives)
	if n == 1 {
		return fmt.Sprintf("%s is ruled out: %s. There is nothing else to choose.", d.name(best), num.List(texts, "and"))
	}
	return fmt.Sprintf("The limits rule out all %d. The nearest is %s: %s.", n, d.name(best), num.List(texts, "and"))
}

// against says on which aims one alternative gains and loses points against another.
func (d *Decision) against(a, b int) string {
	type gain struct {
		name string
		by   float64
	}
	var gains, losses []gain
	for k, aim := range d.Problem.Aims {
		by := d.Scores[a].ByAim[k] - d.Scores[b].ByAim[k]
		switch {
		case by >= 0.0005:
			gains = append(gains, gain{aim.Name, by})
		case by <= -0.0005:
			losses = append(losses, gain{aim.Name, -by})
		}
	}
	most := func(list []gain) string {
		slices.SortStableFunc(list, func(x, y gain) int { return cmp.Compare(y.by, x.by) })
		var words []string
		for _, g := range list[:min(3, len(list))] {
			words = append(words, fmt.Sprintf("%s (%s)", Within(g.name), Points(g.by)))
		}
		return num.List(words, "and")
	}
	won, lost := most(gains), most(losses)
	switch {
	case won == "" && lost == "":
		return fmt.Sprintf("No priority tells it from %s.", d.name(b))
	case lost == "":
		return fmt.Sprintf("Against %s it gains points on %s and loses none.", d.name(b), won)
	case won == "":
		return fmt.Sprintf("Against %s it loses points on %s and gains none.", d.name(b), lost)
	}
	return fmt.Sprintf("Against %s it gains points on %s, and loses on %s.", d.name(b), won, lost)
}

// anybody says how it stands if nothing were known of the priorities.
func (d *Decision) anybody() string {
	v := d.Verdict
	best := v.Leader
	for _, i := range d.Standing {
		if d.Any.Rank[i][0] > d.Any.Rank[best][0]+0.005 {
			best = i
		}
	}
	own := Percent(d.Any.Rank[v.Leader][0])
	if best == v.Leader {
		for _, i := range d.Standing {
			if i != best && d.Any.Rank[i][0] > d.Any.Rank[best][0]-0.005 {
				return fmt.Sprintf("If nothing were known of the priorities it would be first for %s of all weights, about as often as %s.", own, d.name(i))
			}
		}
		return fmt.Sprintf("If nothing were known of the priorities it would be first for %s of all weights, more than any other.", own)
	}
	return fmt.Sprintf("If nothing were known of the priorities it would be first for %s of all weights, and %s for %s.", own, d.name(best), Percent(d.Any.Rank[best][0]))
}

// weightFlipText says which priority, moved alone, changes the first place soonest.
func (d *Decision) weightFlipText() string {
	var best *Turn
	var of WeightFlip
	for _, f := range d.Flips {
		for _, t := range []*Turn{f.Down, f.Up} {
			if t != nil && (best == nil || math.Abs(t.At-f.Now) < math.Abs(best.At-of.Now)) {
				best, of = t, f
			}
		}
	}
	if best == nil {
		return "No priority, moved alone between 0 and 10, changes the first place."
	}
	inside := ""
	if best.At >= of.Spread.Low-same && best.At <= of.Spread.High+same {
		inside = ", which lies within what the brief leaves open"
	}
	return fmt.Sprintf("Of the priorities, %s moved alone changes the first place soonest: at %s instead of %s %s draws level%s.",
		Within(d.Problem.Aims[of.Aim].Name), num.Digits(best.At, 3), num.Digits(of.Now, 3), d.name(best.Leader), inside)
}

// jointText says how far all priorities together must move.
func (d *Decision) jointText() string {
	if len(d.Joints) == 0 {
		return ""
	}
	j := d.Joints[0]
	if !j.Possible {
		return "No priorities between 0 and 10 make another lead."
	}
	if j.By < 0.005 {
		return ""
	}
	return fmt.Sprintf("Were every priority off by %s points, each in favour of %s, that would draw level.", num.Digits(j.By, 2), d.name(j.Other))
}

// valueText says what an alternative would have to be to draw level.
func (d *Decision) valueText(o int) string {
	flips := d.Values
	if o != d.Verdict.Second {
		flips = d.Problem.ValueFlips(d.Weights, d.Verdict.Leader, o)
	}
	var words []string
	for _, f := range flips {
		c := d.Problem.Criteria[f.Criterion]
		if !f.Possible || len(words) == 3 || f.Needs == f.Now {
			break
		}
		words = append(words, fmt.Sprintf("%s %s instead of %s", Within(c.Name), c.Shown(f.Needs), c.Shown(f.Now)))
	}
	if len(words) == 0 {
		return fmt.Sprintf("No single figure of %s, at its best, would bring it level.", d.name(o))
	}
	return fmt.Sprintf("%s would draw level with %s.", d.name(o), num.List(words, "or"))
}

// doubtText says which doubtful input matters most.
func (d *Decision) doubtText() string {
	if len(d.Matters) == 0 {
		return ""
	}
	m := d.Matters[0]
	if m.Share < 0.005 {
		return "None of the estimates moves the lead noticeably."
	}
	text := fmt.Sprintf("Of the estimates, %s of %s matters most: it makes %s of what the estimates leave open of the lead.", Within(m.Name), d.name(m.Alternative), Percent(m.Share))
	n := 0
	for _, o := range d.Matters {
		if o.Flips != nil {
			n++
		}
	}
	switch {
	case len(d.firsts()) > 1:
		return text
	case n == 0:
		return text + " None of them alone changes the first place."
	case m.Flips != nil:
		return text + " " + d.flipAt(m) + "."
	}
	return text + fmt.Sprintf(" Alone it does not change the first place; %d of the others would.", n)
}

// flipAt says where one input changes the first place.
func (d *Decision) flipAt(m Matter) string {
	return fmt.Sprintf("At %s %s leads", d.InputText(m.Alternative, m.Key, m.Flips.At), d.name(m.Flips.Leader))
}

// InputText says where a doubtful input lies, in its own unit where that is known.
//
//   - i: alternative whose input it is
//   - key: of the doubt
//   - z: −1 the low end, 0 the estimate, 1 the high end
//
// Result in words [1]. Definition.
func (d *Decision) InputText(i int, key string, z float64) string {
	for _, o := range d.Problem.Alternatives[i].Doubts {
		if o.Key == key && o.Input != nil {
			return fmt.Sprintf("%s instead of %s", o.Input(z), o.Input(0))
		}
	}
	if z < 0 {
		return fmt.Sprintf("%.0f %% of the way to the low end", -100*z)
	}
	return fmt.Sprintf("%.0f %% of the way to the high end", 100*z)
}

// riskText says which limits an alternative keeps only if its estimates are right.
func (d *Decision) riskText(i int) string {
	var words []string
	for l, risk := range d.Risks[i] {
		if risk < 0.005 || d.Breaches[i] != nil {
			continue
		}
		c := d.Problem.Criteria[d.Problem.Limits[l].Criterion]
		words = append(words, fmt.Sprintf("%s (%s, limit %s) in %s of what its estimates leave possible", Within(c.Name),
			c.Shown(d.Problem.Alternatives[i].Values[d.Problem.Limits[l].Criterion]), c.Shown(d.Problem.Limits[l].Bound), Percent(risk)))
	}
	if len(words) == 0 {
		return ""
	}
	return fmt.Sprintf("%s keeps its limits as it is estimated, but would break that of %s.", d.name(i), num.List(words, "and"))
}
