package balance

import (
	"strings"
	"testing"
)

// TestRemains: what is left of well-known cranks (design notes, section 2: a 90° vee twin leaves nothing of the
// first order, a single and an inline three half of it, turning against the crank).
func TestRemains(t *testing.T) {
	for name, c := range map[string]struct {
		pins, axes []float64
		says, not  []string
	}{
		"vee twin 90": {[]float64{0}, []float64{-45, 45}, []string{"Order 2: a force"}, []string{"Order 1:"}},
		"single":      {[]float64{0}, []float64{0}, []string{"Order 1: a force", "against the crank. Seen from the crank", "turns against the crank at crank speed would"}, []string{"moment", "turns with the crank. Counter"}},
		"inline three": {
			[]float64{0, 240, 120},
			[]float64{0},
			[]string{"Order 1: a moment", "a balance shaft with two opposite masses that turns against", "Order 2: a moment", "two balance shafts with two opposite masses each that turn opposite ways at twice the crank speed"},
			[]string{"a force"},
		},
		"inline four flat": {[]float64{0, 180, 180, 0}, []float64{0}, []string{"Order 2: a force", "Nothing on the crank turns twice as fast"}, []string{"Order 1", "a moment"}},
		"inline six":       {[]float64{0, 120, 240, 240, 120, 0}, []float64{0}, []string{"Hardly any free force or free moment is left"}, []string{"Order"}},
	} {
		train := crankOf(c.pins, c.axes...)
		r, err := Optimum(train, EqualMeasure(), 0)
		if err != nil {
			t.Fatal(err)
		}
		train.Counterweights = placed(r.Webs, r.Unbalance)
		text := strings.Join(Remains(train, solved(t, train, train.Counterweights), 600), "\n")
		for _, s := range c.says {
			if !strings.Contains(text, s) {
				t.Errorf("%s: it does not say %q:\n%s", name, s, text)
			}
		}
		for _, s := range c.not {
			if strings.Contains(text, s) {
				t.Errorf("%s: it says %q:\n%s", name, s, text)
			}
		}
	}
	// half of what could be taken stays, and it says so
	train := crankOf([]float64{0}, 0)
	if text := strings.Join(Remains(train, solved(t, train, nil), 600), "\n"); !strings.Contains(text, "Counterweights could take it; these do not.") {
		t.Error(text)
	}
}
