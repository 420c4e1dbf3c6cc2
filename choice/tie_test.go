package choice_test

import (
	"strings"
	"testing"

	"crankwright/choice"
)

// Two that differ share the first place: what gives the lead to the second is said on the right side, and nothing else is.
func TestTieForFirst(t *testing.T) {
	p := boats([3]float64{1, 1.2, 1.9}, [3]float64{500, 400, 900})
	d := decided(t, p)
	text := strings.Join(d.VerdictText(), " ")
	t.Log(text)
	if d.Places[0] != 1 || d.Places[1] != 1 || d.Verdict.Leader != 0 {
		t.Fatalf("places %v, leader %d", d.Places, d.Verdict.Leader)
	}
	if !strings.HasPrefix(text, "North and East share the first place with 50.0 points of 100. North is not separable with what is known from East (50.0 points, worth more in ") {
		t.Error("does not say that both are first")
	}
	for _, no := range []string{"most points", "single figure", "draw level", "draws level", "moved alone", "more than any other"} {
		if strings.Contains(text, no) {
			t.Errorf("says %q", no)
		}
	}
	if len(d.Values) > 0 {
		t.Errorf("it would need %v to be where it is", d.Values)
	}
	for k, f := range d.Flips { // of cost North is worth more, of compactness East
		down := k == 0
		if (f.Down != nil && f.Down.Leader == 1 && f.Down.At == 5) != down || (f.Up != nil && f.Up.Leader == 1 && f.Up.At == 5) == down {
			t.Errorf("aim %d: down to %v, up to %v", k, f.Down, f.Up)
		}
		for _, by := range []float64{-0.1, 0.1} { // just beyond East leads, on the other side North
			w := []float64{5, 5}
			w[k] += by
			s := p.Scores(w)
			if east := s[1].Total > s[0].Total; east != (by < 0 == down) {
				t.Errorf("aim %d at %g: %g and %g", k, w[k], s[0].Total, s[1].Total)
			}
		}
	}
}

// What should be known beside the ranking is said of the first, and of each in its words; it changes nothing.
func TestBeside(t *testing.T) {
	p := boats([3]float64{0.4, 1.2, 1.4}, [3]float64{500, 450, 638})
	p.Limits = []choice.Limit{{Criterion: 1, AtMost: true, Bound: 600}}
	plain := decided(t, p)
	for i := range p.Alternatives {
		p.Alternatives[i].Beside = p.Alternatives[i].Name + " leaks."
	}
	d := decided(t, p)
	if text := strings.Join(d.VerdictText(), " "); !strings.HasSuffix(text, " North leaks.") || strings.Contains(text, "East leaks") {
		t.Error(text)
	}
	for i, a := range p.Alternatives {
		if text := strings.Join(d.Paragraph(i), " "); !strings.HasSuffix(text, " "+a.Beside) {
			t.Error(text)
		}
		if d.Places[i] != plain.Places[i] || d.Scores[i].Total != plain.Scores[i].Total {
			t.Errorf("%s is ranked by it", a.Name)
		}
	}
}
