package report_test

import (
	"bytes"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"crankwright/report"
	"crankwright/search"
	"crankwright/study"
)

// bred is a search of the shapes in 40 generations: it ended after the number of candidates that it was given, was stopped by
// a front that stayed, or goes on.
func bred(p *search.Problem, o *study.Outcome, looked uint64, e report.EvolutionDoc) *report.StudyDoc {
	part := *o
	part.Looked = looked
	e.Generations, e.Size, e.Seed = 40, 50, 7
	for i := range 40 {
		step := report.EvolutionStepDoc{Looked: uint64(50 * (i + 1)), Kept: uint64(20 * i), Front: min(i, 9), Best: []any{nil, nil, nil}}
		if i > 0 {
			step.Best = []any{9000 - 100*math.Floor(float64(min(i, 24))/4), 12.5, min(1, 0.5+float64(i)/60)}
		}
		e.Course = append(e.Course, step)
	}
	return report.NewEvolvedDoc(p, &part, "a.results", e)
}

// A report says how an evolutionary search went and why it ended, and never more than it knows.
func TestEvolvedReport(t *testing.T) {
	p, o := studied(t, shapes)
	total := p.Size().Total
	const all = "nothing was passed over"
	for name, c := range map[string]struct {
		looked   uint64
		e        report.EvolutionDoc
		has, not []string
	}{
		"growing": {2000, report.EvolutionDoc{Most: 2000, MostStill: 20, Ended: true}, []string{
			"2000 of them were looked at, chosen by an evolutionary search with seed 7", "may be better", "no other that was looked at beats",
			"as many candidates as it was given, while the front was still growing", "0 generations: the last one changed it", "12 of 40, spread evenly",
			"The last gain by any aim came when 1550 of 2000 candidates were looked at",
		}, []string{all, "so far,"}},
		"still": {2000, report.EvolutionDoc{Most: 5000, MostStill: 20, Still: 20, Ended: true}, []string{
			"It ended because the front has stayed as it is for 20 generations", "may be better",
		}, []string{all, "as it was given"}},
		"going on": {2000, report.EvolutionDoc{Most: 5000, MostStill: 20, Still: 3}, []string{
			"2000 of them were looked at so far", "It has not ended; the front has stayed as it is for 3 generations.",
		}, []string{all, "It ended"}},
		"all": {total, report.EvolutionDoc{Most: 2 * total, MostStill: 1000, Still: 1, Ended: true}, []string{
			"All of them were looked at, chosen by", all, "It ended because every candidate was looked at", "that no other beats",
		}, []string{"may be better", "probably not"}},
	} {
		d := bred(p, o, c.looked, c.e)
		validates(t, map[string]any{"evolve": d})
		rep := report.Report{Study: d, Version: "test"}
		for face, write := range map[string]func() ([]byte, error){"html": rep.HTML, "md": rep.Markdown, "pdf": rep.PDF, "csv": rep.CSV} {
			text, err := write()
			if err != nil {
				t.Fatalf("%s, %s: %v", name, face, err)
			}
			if again, err := write(); err != nil || !bytes.Equal(text, again) {
				t.Errorf("%s, %s: not the same twice, %v", name, face, err)
			}
			if face == "pdf" || face == "csv" {
				continue
			}
			for _, want := range append(c.has, "How the search went", "Firing evenness", "the last gain after 1550 candidates") {
				if !strings.Contains(string(text), want) {
					t.Errorf("%s, %s lacks %q", name, face, want)
				}
			}
			for _, no := range append(c.not, "NaN") {
				if strings.Contains(string(text), no) {
					t.Errorf("%s, %s says %q", name, face, no)
				}
			}
		}
	}
}

// The terminal has a few generations, within its width; a search without gain has none, and says so.
func TestEvolvedText(t *testing.T) {
	p, o := studied(t, shapes)
	d := bred(p, o, 2000, report.EvolutionDoc{Most: 2000, MostStill: 20, Ended: true})
	for _, width := range []int{60, 80, 140} {
		text := report.StudyText(d, report.Screen{Width: width})
		for _, line := range strings.Split(text, "\n") {
			if n := utf8.RuneCountInString(line); n > width {
				t.Errorf("at %d columns a line has %d: %s", width, n, line)
			}
		}
		_, after, _ := strings.Cut(text, "How the search went\n")
		went, _, _ := strings.Cut(after, "The front: ")
		if n := strings.Count(went, "\n"); n < 10 || n > 24 || !strings.Contains(went, "1550") && width > 60 {
			t.Errorf("at %d columns: %s", width, after)
		}
	}
	flat := report.NewEvolvedDoc(p, o, "", report.EvolutionDoc{Course: []report.EvolutionStepDoc{
		{Looked: 10, Best: []any{nil, nil, nil}}, {Looked: 20, Kept: 1, Front: 1, Best: []any{1.0, 2.0, 3.0}}, {Looked: 30, Kept: 2, Front: 1, Best: []any{1.0, 2.0, 3.0}},
	}})
	if text := report.StudyText(flat, report.Screen{Width: 100}); !strings.Contains(text, "By no aim has it found a better candidate since") || strings.Contains(text, "looked at  front") {
		t.Error(text)
	}
	none := report.NewEvolvedDoc(p, study.NewOutcome(p), "", report.EvolutionDoc{})
	if text := report.StudyText(none, report.Screen{Width: 100}); strings.Contains(text, "How the search went") || !strings.Contains(text, "so there is no front yet") {
		t.Error(text)
	}
	for _, name := range append(none.Figures(), d.Figures()...) {
		if _, err := d.Figure(name); err != nil {
			t.Error(err)
		}
		if _, err := none.Figure(name); err != nil {
			t.Error(err)
		}
	}
}
