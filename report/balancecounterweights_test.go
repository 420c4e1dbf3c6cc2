package report

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"crankwright/analysis"
	"crankwright/mechanics/balance"
	"crankwright/spec"
)

// examples returns the results of the example engines and the text of their files.
func counterweightExamples(t *testing.T, f func(name string, data []byte, r *analysis.Result)) {
	t.Helper()
	files, err := filepath.Glob("../examples/*.engine.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		train, _, err := spec.ReadEngine(file, data, spec.Options{})
		if err != nil {
			t.Fatal(err)
		}
		r, err := analysis.Run(train, analysis.Options{})
		if err != nil {
			t.Fatal(err)
		}
		f(filepath.Base(file), data, r)
	}
}

// TestCounterweightEdits puts the proposed counterweights into every example's file and reads it again: it
// must shake as the proposal says.
func TestCounterweightEdits(t *testing.T) {
	counterweightExamples(t, func(name string, data []byte, r *analysis.Result) {
		us := make([]complex128, len(balance.Webs(r.Train)))
		for j := range us {
			us[j] = complex(0.001*float64(j), 0.002)
		}
		factors := make([]float64, len(r.Train.Throws))
		for i := range factors {
			factors[i] = 0.1 * float64(i)
		}
		for _, policy := range balance.Policies() {
			q := balance.Request{Policy: policy, Factors: factors, Unbalance: us}
			if policy == balance.ByFactor {
				q.Factors = []float64{0.6}
			}
			d, err := Counterweights(r, q)
			if err != nil {
				t.Fatalf("%s, %s: %v", name, policy, err)
			}
			var changes []spec.Change
			for _, e := range d.Edits {
				changes = append(changes, spec.Change{Path: e.Path, Text: &e.Text})
			}
			out, err := spec.Edit(data, changes)
			if err != nil {
				t.Fatalf("%s, %s: %v", name, policy, err)
			}
			train, _, err := spec.ReadEngine(name, out, spec.Options{})
			if err != nil {
				t.Fatalf("%s, %s: %v", name, policy, err)
			}
			again, err := analysis.Run(train, analysis.Options{Speed: r.Speed})
			if err != nil {
				t.Fatal(err)
			}
			got := counterweightState(again)
			size := d.Before.PeakForceN + d.After.PeakForceN + (d.Before.PeakMomentNm+d.After.PeakMomentNm)/0.1 + 1e4
			for _, v := range [][2]float64{
				{got.Force.WithN[0], d.After.Force.WithN[0]},
				{got.Force.WithN[1], d.After.Force.WithN[1]},
				{got.Force.AgainstN[0], d.After.Force.AgainstN[0]},
				{got.Moment.WithNm[0], d.After.Moment.WithNm[0]},
				{got.Moment.WithNm[1], d.After.Moment.WithNm[1]},
				{got.PeakForceN, d.After.PeakForceN},
				{got.PeakMomentNm, d.After.PeakMomentNm},
			} {
				if math.Abs(v[0]-v[1]) > 1e-7*size {
					t.Errorf("%s, %s: the changed file gives %g, the proposal %g", name, policy, v[0], v[1])
				}
			}
		}
	})
}

// TestCounterweightText: the JSON object has no number that is none, and the text says the main things.
func TestCounterweightText(t *testing.T) {
	counterweightExamples(t, func(name string, _ []byte, r *analysis.Result) {
		q := balance.Request{
			Policy: balance.ByOptimum, Room: 0.002,
			Cheek: balance.Cheek{Outer: 0.8 * r.Train.Bore, Inner: 0.2 * r.Train.Bore, Thickness: 0.015, Density: 7850},
		}
		d, err := Counterweights(r, q)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if _, err := Encode(d); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		text := CounterweightsText(d, Screen{})
		for _, phrase := range []string{"Webs", "Before and after", "What remains, and why", "out of reach", Caution[:30]} {
			if !strings.Contains(text, phrase) {
				t.Errorf("%s: the text does not say %q:\n%s", name, phrase, text)
			}
		}
		for i, l := range strings.Split(text, "\n") {
			if columns(l) > usualWidth {
				t.Errorf("%s: line %d is %d columns wide: %s", name, i+1, columns(l), l)
			}
		}
		o := d.Optimum
		if o.AfterN > o.BareN*(1+1e-9) || o.AfterN < o.LeastN*(1-1e-9) {
			t.Errorf("%s: measure %g, bare %g, least %g", name, o.AfterN, o.BareN, o.LeastN)
		}
		against := func(s CounterweightState) string {
			c := complex(s.Moment.AgainstNm[0], s.Moment.AgainstNm[1])
			return fmt.Sprintf("%v %.9g", s.Force.AgainstN, cmplx.Abs(c))
		}
		if a, b := against(d.Before), against(d.After); a != b {
			t.Errorf("%s: against the crank before %s, after %s", name, a, b)
		}
	})
}

// TestCounterweightWish: what people write is read as it says, and what cannot be is refused with the name of
// the part.
func TestCounterweightWish(t *testing.T) {
	counterweightExamples(t, func(name string, _ []byte, r *analysis.Result) {
		if name != "vee-twin-90.engine.yaml" {
			return
		}
		w := CounterweightWish{Policy: "per-web", Unbalance: []string{"11 kg mm", "90 g cm @ 170 deg"}, Radius: "70 mm", Density: "17.5 g/cm3"}
		q, err := w.Request(r.Train)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(cmplx.Abs(q.Unbalance[1])-0.0009) > 1e-15 || math.Abs(cmplx.Phase(q.Unbalance[1])*180/math.Pi-170) > 1e-9 || math.Abs(q.Cheek.Density-17500) > 1e-9 || q.Cheek.Outer != 0.07 {
			t.Errorf("read as %+v", q)
		}
		for part, w := range map[string]CounterweightWish{
			"policy":        {Policy: "best"},
			"factor":        {Policy: "factor", Factor: "-1 %"},
			"factors":       {Policy: "per-throw", Factors: []string{""}},
			"unbalance":     {Policy: "per-web", Unbalance: []string{"", ""}},
			"force-weight":  {Policy: "optimum", ForceWeight: "1,nan"},
			"moment-weight": {Policy: "optimum", MomentWeight: "1,-1"},
			"length":        {Policy: "optimum", Length: "0 mm"},
			"limit":         {Policy: "optimum", Limit: "3 mm"},
			"radius":        {Policy: "none", Radius: "-3 mm"},
			"inner":         {Policy: "none", Inner: "3 mm"},
			"skirt":         {Policy: "none", Skirt: "3"},
		} {
			_, err := w.Request(r.Train)
			var wrong *WishError
			if !errors.As(err, &wrong) || wrong.Part != part {
				t.Errorf("%s: %v", part, err)
			}
		}
	})
}
