package choice

import (
	"cmp"
	"fmt"
	"slices"

	"crankwright/num"
)

// Paragraph says how one alternative stands, in sentences: why it is ruled out, or its place, where its
// points come from, on what it is best and worst, how often it is first, what it would need.
//
//   - i: alternative
//
// Result in words [1]. Definition.
func (d *Decision) Paragraph(i int) []string {
	var out []string
	add := func(text string) {
		if text != "" {
			out = append(out, text)
		}
	}
	if d.Breaches[i] != nil {
		out = d.outText(i)
		add(d.Problem.Alternatives[i].Beside)
		return out
	}
	add(d.placeText(i))
	add(d.sourcesText(i))
	add(d.extremesText(i))
	add(d.dominatedText(i))
	if len(d.Standing) > 1 {
		add(d.acceptedText(i))
		if i != d.Verdict.Leader && d.Places[i] > 1 {
			add(d.valueText(i))
		}
	}
	add(d.riskText(i))
	add(d.Problem.Alternatives[i].Beside)
	return out
}

// outText says why an alternative is ruled out, and how it would have stood.
func (d *Decision) outText(i int) []string {
	var texts, reasons, keeps []string
	for _, b := range d.Breaches[i] {
		l := d.Problem.Limits[b.Limit]
		texts = append(texts, d.BreachText(i, b))
		if l.Why != "" {
			reasons = append(reasons, fmt.Sprintf("The limit of %s: %s", Within(d.Problem.Criteria[l.Criterion].Name), sentence(l.Why)))
		}
		if b.Keeps >= 0.005 {
			keeps = append(keeps, fmt.Sprintf("%s in %s of what its estimates leave possible", Within(d.Problem.Criteria[l.Criterion].Name), Percent(b.Keeps)))
		}
	}
	out := []string{fmt.Sprintf("Ruled out: %s.", num.List(texts, "and"))}
	out = append(out, reasons...)
	if len(keeps) > 0 {
		out = append(out, fmt.Sprintf("It would keep the limit of %s.", num.List(keeps, "and")))
	}
	better := 0
	for _, o := range d.Standing {
		if d.Scores[o].Total > d.Scores[i].Total+same {
			better++
		}
	}
	points := Points(d.Scores[i].Total)
	switch n := len(d.Standing); {
	case n == 1 && better == 0:
		out = append(out, fmt.Sprintf("Without limits it would have %s points of 100, no fewer than the one that stands.", points))
	case n == 1:
		out = append(out, fmt.Sprintf("Without limits it would have %s points of 100, fewer than the one that stands.", points))
	case n > 1:
		out = append(out, fmt.Sprintf("Without limits it would have %s points of 100, more than %s of those that stand.", points, counted(n-better, n)))
	}
	return out
}

// sentence ends a text with a full stop.
func sentence(text string) string {
	if text == "" || text[len(text)-1] == '.' || text[len(text)-1] == '!' || text[len(text)-1] == '?' {
		return text
	}
	return text + "."
}

// counted writes how many of some there are.
func counted(n, of int) string {
	switch n {
	case 0:
		return "none"
	case of:
		return fmt.Sprintf("all %d", of)
	}
	return fmt.Sprintf("%d of the %d", n, of)
}

// placeText says in which place it stands, with how many points.
func (d *Decision) placeText(i int) string {
	n := len(d.Standing)
	points := Points(d.Scores[i].Total)
	band := d.Ranges.Totals[i]
	scatter := ""
	if band.P95-band.P05 > 0.001 {
		scatter = fmt.Sprintf("; nine times of ten between %s and %s", Points(band.P05), Points(band.P95))
	}
	if n == 1 {
		return fmt.Sprintf("The only one that stands, with %s points of 100%s.", points, scatter)
	}
	place := fmt.Sprintf("Place %d of %d", d.Places[i], n)
	shared := 0
	for _, o := range d.Standing {
		if d.Places[o] == d.Places[i] {
			shared++
		}
	}
	if shared > 1 {
		place += fmt.Sprintf(", shared by %d,", shared)
	}
	return fmt.Sprintf("%s with %s points of 100%s.", place, points, scatter)
}

// sourcesText says which aims give it most points, and on which it leaves most.
func (d *Decision) sourcesText(i int) string {
	var order []int // aims
	shares := Shares(d.Weights)
	for k := range d.Problem.Aims {
		if shares[k] > 0 {
			order = append(order, k)
		}
	}
	if len(order) < 2 {
		return ""
	}
	s := d.Scores[i]
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(s.ByAim[b], s.ByAim[a]) })
	var from []string
	for _, k := range order[:2] {
		if s.ByAim[k] > 0.0005 {
			from = append(from, fmt.Sprintf("%s (%s of %s)", Within(d.Problem.Aims[k].Name), Points(s.ByAim[k]), Points(shares[k])))
		}
	}
	away := func(k int) float64 { return shares[k] - s.ByAim[k] }
	lost := slices.MaxFunc(order, func(a, b int) int { return cmp.Compare(away(a), away(b)) })
	leaves := ""
	if away(lost) > 0.0005 {
		leaves = fmt.Sprintf("it leaves most on %s (%s of %s)", Within(d.Problem.Aims[lost].Name), Points(away(lost)), Points(shares[lost]))
	}
	switch {
	case len(from) == 0:
		return "It earns points on nothing."
	case leaves == "":
		return fmt.Sprintf("Most of its points come from %s.", num.List(from, "and"))
	}
	return fmt.Sprintf("Most of its points come from %s; %s.", num.List(from, "and"), leaves)
}

// extremesText says on which criteria it is the best or the worst of those that stand.
func (d *Decision) extremesText(i int) string {
	if len(d.Standing) < 2 {
		return ""
	}
	var best, worst []string
	for _, c := range d.Problem.used() {
		crit := d.Problem.Criteria[c]
		v := d.Problem.Alternatives[i].Values[c]
		ahead, behind, equal := 0, 0, 0
		for _, o := range d.Standing {
			if o == i {
				continue
			}
			w := d.Problem.Alternatives[o].Values[c]
			diff := (v - w) * float64(crit.Better)
			switch near := same * max(v, -v, w, -w); {
			case diff > near:
				ahead++
			case diff < -near:
				behind++
			default:
				equal++
			}
		}
		text := fmt.Sprintf("%s (%s)", Within(crit.Name), crit.Shown(v))
		switch {
		case behind == 0 && equal == 0:
			best = append(best, text)
		case ahead == 0 && equal == 0:
			worst = append(worst, text)
		}
	}
	cut := func(list []string) string {
		if more := len(list) - 3; more > 0 {
			list = append(slices.Clone(list[:3]), fmt.Sprintf("%d more", more))
		}
		return num.List(list, "and")
	}
	switch {
	case len(best) > 0 && len(worst) > 0:
		return fmt.Sprintf("Nothing that stands is better on %s, or worse on %s.", cut(best), cut(worst))
	case len(best) > 0:
		return fmt.Sprintf("Nothing that stands is better on %s.", cut(best))
	case len(worst) > 0:
		return fmt.Sprintf("Nothing that stands is worse on %s.", cut(worst))
	}
	return ""
}

// dominatedText says who is better on everything.
func (d *Decision) dominatedText(i int) string {
	by := d.Dominated[i]
	if len(by) == 0 {
		return ""
	}
	names := []string{}
	for _, j := range by[:min(3, len(by))] {
		names = append(names, d.name(j))
	}
	who, verb := num.List(names, "and"), "is"
	if len(by) > 3 {
		who = fmt.Sprintf("%s and %d more", names[0], len(by)-1)
	}
	if len(by) > 1 {
		verb = "are"
	}
	return fmt.Sprintf("%s %s at least as good on everything that counts and better on something, so no weights make it first as long as the estimates hold.", who, verb)
}

// acceptedText says how often it is first, and for whom.
func (d *Decision) acceptedText(i int) string {
	first := d.Ranges.Rank[i][0]
	three := 0.0
	for r := range min(3, len(d.Standing)) {
		three += d.Ranges.Rank[i][r]
	}
	text := fmt.Sprintf("Within %s it is first in %s", d.open(), Percent(first))
	if len(d.Standing) > 3 {
		text += fmt.Sprintf(" and among the first three in %s", Percent(min(three, 1)))
	}
	text += "."
	if w := d.Any.Central[i]; w != nil && d.Any.Rank[i][0] >= 0.005 {
		text += fmt.Sprintf(" With any priorities it is first for %s of all weights%s.", Percent(d.Any.Rank[i][0]), d.heaviest(w))
	} else if w == nil {
		text += " No weights at all make it first."
	}
	return text
}

// heaviest says which aims central weights stress most.
func (d *Decision) heaviest(w []float64) string {
	order := make([]int, len(w))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(w[b], w[a]) })
	var words []string
	for _, k := range order[:min(2, len(order))] {
		if w[k] > 1.1/float64(len(w)) {
			words = append(words, fmt.Sprintf("%s (%s)", Within(d.Problem.Aims[k].Name), Percent(w[k])))
		}
	}
	if len(words) == 0 {
		return ""
	}
	return ", typically for those who give much to " + num.List(words, "and")
}
