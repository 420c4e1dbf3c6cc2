package independent

import (
	"math"
	"strings"
	"testing"

	"crankwright/choice"
)

// choiceErrors is how many standard errors our drawn shares may be from the exact ones: of the hundred and fifty shares and
// weights that are compared, one in a thousand times one would be further off by chance.
const choiceErrors = 4.5

// choiceDraws makes the standard error of a share 0.0005 at most.
const choiceDraws = 1_000_000

// The committed inputs are what DescribeChoice writes.
func TestChoiceInputs(t *testing.T) {
	described := map[string][]byte{}
	for _, c := range Choices() {
		described[c.Stem] = DescribeChoice(c)
	}
	sameInputs(t, "choices", "choice", described)
}

// The exact shares sum to one over ranks, alternatives and both of a pair.
func TestExactChoicesSum(t *testing.T) {
	for _, c := range Choices() {
		raw, err := CommittedChoice(c.Stem)
		if err != nil {
			t.Error(err)
			continue
		}
		n := len(c.Problem.Alternatives)
		one := func(what string, sum float64) {
			if math.Abs(sum-1) > 1e-9 {
				t.Errorf("%s: %s sum to %.12g", c.Stem, what, sum)
			}
		}
		for i := range n {
			row, column := 0.0, 0.0
			for r := range n {
				row += raw.Rank[[2]int{i, r}]
				column += raw.Rank[[2]int{r, i}]
				if r != i {
					one("the shares of a pair", raw.Beats[[2]int{i, r}]+raw.Beats[[2]int{r, i}])
				}
			}
			one("the ranks of an alternative", row)
			one("the alternatives of a rank", column)
		}
	}
}

// Rank acceptabilities, pairs and central weights are the exact ones within the error of drawing, and a spoilt problem is seen.
func TestChoicesAgree(t *testing.T) {
	for n, c := range Choices() {
		raw, err := CommittedChoice(c.Stem)
		if err != nil {
			t.Error(err)
			continue
		}
		gap, err := CompareChoice(c, raw, choiceDraws, 1)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %.2f standard errors", c.Stem, gap)
		if !(gap <= choiceErrors) {
			t.Errorf("%s: %.2f standard errors apart, %g are accepted", c.Stem, gap, choiceErrors)
		}
		for name, spoil := range map[string]func(*choice.Problem){
			"a hundredth of a value's range": func(p *choice.Problem) {
				w := p.Criteria[0].Worth
				p.Alternatives[0].Values[0] -= (w[len(w)-1].At - w[0].At) / 100
			},
			"another alternative's value": func(p *choice.Problem) { p.Alternatives[2].Values[2] = p.Alternatives[1].Values[2] },
			"a bend of 0.02": func(p *choice.Problem) {
				w := p.Criteria[1].Worth
				p.Criteria[1].Worth = choice.Worth{w[0], {At: (w[0].At + w[1].At) / 2, Worth: (w[0].Worth+w[1].Worth)/2 + 0.02}, w[1]}
			},
			"two alternatives in each other's place": func(p *choice.Problem) {
				a := p.Alternatives
				a[0], a[1] = a[1], a[0]
			},
		} {
			s := Choices()[n]
			spoil(&s.Problem)
			if gap, err := CompareChoice(s, raw, choiceDraws/4, 1); err == nil && gap <= choiceErrors {
				t.Errorf("%s: %s is not seen: %.2f standard errors", c.Stem, name, gap)
			}
		}
	}
}

// Shares and ranges that are off are seen too.
func TestSpoiltAimsAreSeen(t *testing.T) {
	all := Choices()
	for name, spoil := range map[string]struct {
		problem int
		by      func(*Chosen)
	}{
		"a share":       {2, func(c *Chosen) { c.Problem.Aims[1].Parts[1].Share *= 1.1 }},
		"a range":       {3, func(c *Chosen) { c.Problem.Aims[0].Weight.High -= 0.1 }},
		"a fixed point": {3, func(c *Chosen) { c.Problem.Aims[2].Weight = choice.Range{Low: 5.1, High: 5.1} }},
		"all weights":   {3, func(c *Chosen) { c.Any = true }},
	} {
		c := all[spoil.problem]
		raw, err := CommittedChoice(c.Stem)
		if err != nil {
			t.Fatal(err)
		}
		c = Choices()[spoil.problem]
		spoil.by(&c)
		if gap, err := CompareChoice(c, raw, choiceDraws, 1); err == nil && gap <= choiceErrors {
			t.Errorf("%s of %s is not seen: %.2f standard errors", name, c.Stem, gap)
		}
	}
}

// The committed output is what choices.py prints today; CRANKWRIGHT_NO_SCIPY=1 leaves it out.
func TestChoicesRunAgain(t *testing.T) {
	printed := recomputed(t, "choice", "CRANKWRIGHT_NO_SCIPY")
	for _, c := range Choices() {
		again, err := ParseChoice(printed(c.Stem))
		if err != nil {
			t.Fatal(err)
		}
		committed, err := CommittedChoice(c.Stem)
		if err != nil {
			t.Fatal(err)
		}
		if len(again.Rank) != len(committed.Rank) || len(again.Beats) != len(committed.Beats) || len(again.Central) != len(committed.Central) {
			t.Fatalf("%s: it prints other lines than the committed ones", c.Stem)
		}
		gap := 0.0
		for k, v := range committed.Rank {
			gap = max(gap, math.Abs(again.Rank[k]-v))
		}
		for k, v := range committed.Beats {
			gap = max(gap, math.Abs(again.Beats[k]-v))
		}
		for k, v := range committed.Central {
			gap = max(gap, math.Abs(again.Central[k][0]-v[0]), math.Abs(again.Central[k][1]-v[1]))
		}
		if !(gap <= 1e-8) {
			t.Errorf("%s: %.2g off the committed output", c.Stem, gap)
		}
	}
}

func TestParseChoiceNamesTheLine(t *testing.T) {
	for text, want := range map[string]string{
		"# h\nrank 0 0 x\n": "line 2", "rank 0 1\n": "line 1", "central 0 0 0.5\n": "line 1", "# h\n": "missing", "rank 0 0 NaN\n": "no finite number",
	} {
		if _, err := ParseChoice(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}
