package choice_test

import (
	"slices"
	"strings"
	"testing"

	"crankwright/choice"
)

// boats are three alternatives with a limit each can break: cost [1] and length [mm].
func boats(cost, length [3]float64) *choice.Problem {
	p := &choice.Problem{
		Criteria: []choice.Criterion{
			{Key: "cost", Name: "Cost index", Unit: "1", Better: -1, Worth: choice.Linear(2, 0), Over: "too dear"},
			{Key: "length", Name: "Length", Unit: "mm", Better: -1, Worth: choice.Linear(1000, 0), Over: "too long"},
		},
		Aims: []choice.Aim{
			{Key: "cost", Name: "Cost", Weight: choice.Range{Low: 4, High: 6}, Parts: []choice.Part{{Criterion: 0, Share: 1}}},
			{Key: "short", Name: "Compactness", Weight: choice.Range{Low: 4, High: 6}, Parts: []choice.Part{{Criterion: 1, Share: 1}}},
		},
	}
	for i, name := range []string{"North", "East", "South"} {
		p.Alternatives = append(p.Alternatives, choice.Alternative{Name: name, Values: []float64{cost[i], length[i]}})
	}
	return p
}

func decided(t *testing.T, p *choice.Problem) *choice.Decision {
	t.Helper()
	d, err := choice.Decide(p, choice.Options{Draws: 20_000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestVerdicts(t *testing.T) {
	limited := func(p *choice.Problem, mm float64) *choice.Problem {
		p.Limits = []choice.Limit{{Criterion: 1, AtMost: true, Bound: mm, Why: "the bulkhead"}}
		return p
	}
	narrow := func(p *choice.Problem) *choice.Problem {
		for k := range p.Aims {
			p.Aims[k].Weight = choice.Range{Low: 4.9, High: 5.1}
		}
		return p
	}
	doubtful := func(p *choice.Problem) *choice.Problem {
		for i := range p.Alternatives {
			a := &p.Alternatives[i]
			low, high := slices.Clone(a.Values), slices.Clone(a.Values)
			low[1], high[1] = low[1]-80, high[1]+80
			a.Doubts = []choice.Doubt{{Key: "wall", Name: "Wall thickness", Low: low, High: high}}
		}
		return p
	}
	for _, c := range []struct {
		name     string
		p        *choice.Problem
		standing choice.Standing
		leader   string
		says     []string
		not      []string
	}{
		{
			"best on everything", boats([3]float64{1, 1.2, 1.4}, [3]float64{400, 500, 600}), choice.Certain, "North",
			[]string{"North is first with 55.0 points of 100, before East (45.0 points). It is at least as good as every other on everything", "gains points on cost (5.0) and compactness (5.0) and loses none", "East would draw level with cost index 0.8 instead of 1.2 or length 300 mm instead of 500 mm."},
			[]string{"separable", "moved alone"},
		},
		{
			"clear", boats([3]float64{0.4, 1.2, 1.4}, [3]float64{500, 450, 600}), choice.Clear, "North",
			[]string{"North is first, clearly, with 65.0 points of 100, before East (47.5 points), which is worth more in 0 % of what the priorities leave possible.", "it gains points on cost (20.0), and loses on compactness (2.5)", "East would draw level with cost index 0.5 instead of 1.2 or length 100 mm instead of 450 mm.", "Of the priorities, cost moved alone changes the first place soonest: at 0.625 instead of 5 East draws level.", "Were every priority off by 3.9 points, each in favour of East"},
			[]string{"estimate", "within what the brief leaves open"},
		},
		{
			"likely", boats([3]float64{1, 1.1, 1.9}, [3]float64{500, 460, 900}), choice.Likely, "North",
			[]string{"North is likely the best choice with 50.0 points of 100, but not surely: East (49.5 points) is worth more in 1", "which lies within what the brief leaves open"},
			[]string{"clearly"},
		},
		{
			"nearly level, whatever the draws say", narrow(boats([3]float64{1, 1.1, 1.9}, [3]float64{500, 457, 900})), choice.Likely, "North",
			[]string{"North is likely the best choice", "worth more in 0 % of", "Were every priority off by 0.38 points, each in favour of East"},
			[]string{"clearly"},
		},
		{
			"a close call", boats([3]float64{1, 1.1, 1.9}, [3]float64{500, 451, 900}), choice.NotSeparable, "North",
			[]string{"North has the most points, 50.0 of 100, but it is not separable with what is known from East (49.9 points, worth more in 4", "The front holds 2 of the 3 that stand; beaten on everything that counts: South by North."},
			[]string{"from South", "clearly"},
		},
		{
			"alike", boats([3]float64{1, 1, 1.4}, [3]float64{500, 500, 600}), choice.Alike, "North",
			[]string{"North and East share the first place with 50.0 points of 100: what counts here is the same of them."},
			[]string{"gains", "level", "first for"},
		},
		{
			"clear but for the estimates", doubtful(boats([3]float64{1, 1, 1.4}, [3]float64{480, 500, 900})), choice.NotSeparable, "North",
			[]string{"not separable with what is known from East", "wall thickness of", "makes 50 % of what the estimates leave open of the lead"},
			nil,
		},
		{
			"only one left", limited(boats([3]float64{1, 1.2, 1.4}, [3]float64{500, 700, 638}), 600), choice.OnlyOne, "North",
			[]string{"North is the only one that keeps every limit. The limits rule out 2 of 3."},
			[]string{"priorities"},
		},
		{
			"the best is ruled out", limited(boats([3]float64{1.4, 0.4, 1.3}, [3]float64{500, 638, 590}), 600), choice.Clear, "North",
			[]string{"But for the limits East would lead with 58.1 points: it is 38 mm too long (638 mm, at most 600 mm).", "The limits rule out 1 of 3."},
			nil,
		},
		{
			"none left", limited(boats([3]float64{1.4, 0.4, 1.5}, [3]float64{700, 638, 690}), 600), choice.NoneLeft, "",
			[]string{"The limits rule out all 3. The nearest is East: 38 mm too long (638 mm, at most 600 mm)."},
			[]string{"first"},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := decided(t, c.p)
			text := strings.Join(d.VerdictText(), " ")
			t.Log(text)
			if d.Verdict.Standing != c.standing {
				t.Errorf("standing %q, want %q", d.Verdict.Standing, c.standing)
			}
			if c.leader != "" && (d.Verdict.Leader < 0 || c.p.Alternatives[d.Verdict.Leader].Name != c.leader) {
				t.Errorf("leader %d", d.Verdict.Leader)
			}
			for _, want := range c.says {
				if !strings.Contains(text, want) {
					t.Errorf("does not say %q", want)
				}
			}
			for _, no := range c.not {
				if strings.Contains(text, no) {
					t.Errorf("says %q", no)
				}
			}
		})
	}
}

func TestParagraphs(t *testing.T) {
	p := boats([3]float64{0.4, 1.2, 1.4}, [3]float64{500, 450, 638})
	p.Limits = []choice.Limit{{Criterion: 1, AtMost: true, Bound: 600, Why: "the bulkhead"}}
	p.Alternatives[2].Doubts = []choice.Doubt{{Key: "wall", Name: "Wall thickness", Low: []float64{1.4, 580}, High: []float64{1.4, 700}}}
	d := decided(t, p)
	for i, wants := range [][]string{
		{"Place 1 of 2 with 65.0 points of 100", "Most of its points come from cost (40.0 of 50.0) and compactness (25.0 of 50.0); it leaves most on compactness (25.0 of 50.0).", "Nothing that stands is better on cost index (0.4), or worse on length (500 mm).", "it is first in 100 %"},
		{"Place 2 of 2", "it is first in 0 %", "East would draw level with"},
		{"Ruled out: 38 mm too long (638 mm, at most 600 mm).", "The limit of length: the bulkhead.", "It would keep the limit of length in ", "Without limits it would have"},
	} {
		text := strings.Join(d.Paragraph(i), " ")
		t.Log(text)
		for _, want := range wants {
			if !strings.Contains(text, want) {
				t.Errorf("alternative %d does not say %q", i, want)
			}
		}
	}
}

func TestProblemsThatCannotBe(t *testing.T) {
	good := func() *choice.Problem { return boats([3]float64{1, 1.2, 1.4}, [3]float64{400, 500, 600}) }
	for want, spoil := range map[string]func(*choice.Problem){
		"nothing to choose from":                    func(p *choice.Problem) { p.Alternatives = nil },
		"there are no aims":                         func(p *choice.Problem) { p.Aims = nil },
		"every weight is 0":                         func(p *choice.Problem) { p.Aims[0].Weight, p.Aims[1].Weight = choice.Range{}, choice.Range{} },
		"weights lie between 0 and 10":              func(p *choice.Problem) { p.Aims[0].Weight.High = 11 },
		"it has no criterion":                       func(p *choice.Problem) { p.Aims[0].Parts = nil },
		"there is no criterion 7":                   func(p *choice.Problem) { p.Aims[0].Parts[0].Criterion = 7 },
		"shares are above 0":                        func(p *choice.Problem) { p.Aims[0].Parts[0].Share = 0 },
		"neither that more nor that less is better": func(p *choice.Problem) { p.Criteria[0].Better = 0 },
		"but less is better":                        func(p *choice.Problem) { p.Criteria[0].Worth = choice.Linear(0, 2) },
		"give two or more":                          func(p *choice.Problem) { p.Criteria[0].Worth = nil },
		"it decides nothing":                        func(p *choice.Problem) { p.Criteria[0].Worth = choice.Worth{{At: 0, Worth: 0.5}, {At: 1, Worth: 0.5}} },
		"it has 1 values for 2 criteria":            func(p *choice.Problem) { p.Alternatives[0].Values = []float64{1} },
		"give a number":                             func(p *choice.Problem) { p.Alternatives[0].Values[0] = nan() },
		"limit: there is no criterion 9":            func(p *choice.Problem) { p.Limits = []choice.Limit{{Criterion: 9}} },
	} {
		p := good()
		spoil(p)
		if _, err := choice.Decide(p, choice.Options{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	if _, err := choice.Decide(good(), choice.Options{Draws: -1}); err == nil {
		t.Error("draws of −1 are taken")
	}
}

func nan() float64 { zero := 0.0; return zero / zero }
