package decision

import (
	"math"
	"os"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/spec"
)

// TestRecut: what a crank with other widths bears is what the edited file says when it is evaluated whole.
func TestRecut(t *testing.T) {
	c := candidate(t, "../examples/vee-four-72.engine.yaml")
	r, err := NewRecut(c, analysis.DriveOptions{})
	if err != nil {
		t.Fatal(err)
	}
	w := Widths{Longer: -0.001, Stagger: 0.019, Main: 0.0225, Web: 0.0195, Pin: 0.039}
	got, err := r.With(w)
	if err != nil {
		t.Fatal(err)
	}
	var changes []spec.Change
	for key, text := range map[string]string{
		"layout.cylinder_spacing": "102 mm", "layout.bank_stagger": "19 mm",
		"crank.main_journal.width": "22.5 mm", "crank.web.thickness": "19.5 mm", "crank.crankpin.width": "39 mm",
	} {
		changes = append(changes, spec.Change{Path: key, Text: &text})
	}
	data, err := spec.Edit(c.Data, changes)
	if err != nil {
		t.Fatal(err)
	}
	train, _, err := spec.ReadEngine("edited", data, spec.Options{})
	if err != nil {
		t.Fatal(err)
	}
	whole, err := analysis.Run(train, analysis.Options{Drive: true, Lasting: true})
	if err != nil {
		t.Fatal(err)
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9*math.Abs(want) || want == 0 {
			t.Errorf("%s: %g, the edited file has %g", what, got, want)
		}
	}
	main, pin, film := 0.0, 0.0, math.Inf(1)
	for _, b := range whole.Lasting.Bearings.Mains {
		main, film = max(main, b.Specific.Peak), min(film, b.Film.MinFilm)
	}
	for _, b := range whole.Lasting.Bearings.BigEnds {
		pin, film = max(pin, b.Specific.Peak), min(film, b.Film.MinFilm)
	}
	near("mains", got.Main.Specific.Peak, main)
	near("big ends", got.BigEnd.Specific.Peak, pin)
	near("film", got.Thin.Film.MinFilm, film)
	near("acceptability factor", got.Weakest.Assessment.Worst().Q, whole.Lasting.Strength.Worst().Assessment.Worst().Q)
	if again, _ := r.With(w); again != got {
		t.Error("the same widths are computed twice")
	}
	if as := r.AsItIs(); !(as.BigEnd.Specific.Peak < pin) {
		t.Errorf("narrower pins: %g MPa, before %g MPa", pin/1e6, as.BigEnd.Specific.Peak/1e6)
	}
}

// TestRecutSaysWhatItCannot: a custom file has no spacing, and widths that the crank has no room for are refused.
func TestRecutSaysWhatItCannot(t *testing.T) {
	data, err := os.ReadFile("../examples/offset-pair.engine.yaml")
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(string(data), "crank:\n", "crank:\n  main_journal: {diameter: 60 mm, width: 24 mm}\n  crankpin: {diameter: 50 mm, width: 24 mm}\n  web: {thickness: 18 mm, width: 90 mm}\n  fillet_radius: 2.5 mm\n", 1)
	r, err := NewRecut(Candidate{File: "pair", Data: []byte(text)}, analysis.DriveOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := r.With(Widths{Longer: 0.001, Main: 0.024, Web: 0.018, Pin: 0.024}); err == nil || !strings.Contains(err.Error(), "one by one") {
		t.Errorf("another spacing of a custom file: %v", err)
	}
	if _, err := r.With(Widths{Main: 0.024, Web: 0.018, Pin: 0.022}); err != nil {
		t.Errorf("a narrower pin: %v", err)
	}
	if _, err := r.With(Widths{Main: 0.024, Web: 0.018, Pin: 3}); err == nil {
		t.Error("a pin of 3 m is accepted")
	}
}
