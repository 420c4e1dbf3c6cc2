package strength

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/num"
)

// sample is the chain of checks/strength.go: an invented throw of a medium-speed engine.
func sample() (Throw, Loads, Steel) {
	return Throw{Pin: 0.2, Journal: 0.22, Radius: 0.16, Web: 0.08, WebWidth: 0.32, PinFillet: 0.01, JournalFillet: 0.01, OilBore: 0.02},
		Loads{Bending: 20e3, Radial: 150e3, OilBore: 18e3, PinTorque: 25e3, JournalTorque: 25e3}, Steel{Tensile: 900e6, Factor: 1.05}
}

func q(t testing.TB, throw Throw, l Loads, s Steel) float64 {
	t.Helper()
	a, err := Assess(throw, l, s, Setting{})
	if err != nil {
		t.Fatal(err)
	}
	return a.Worst().Q
}

// The trends of the trade (common practice): more web, wider web, thicker pin, larger fillet and stronger steel last longer;
// more load does not; forged grain beats cast steel; the additional bending of a crosshead engine costs.
func TestTrends(t *testing.T) {
	throw, l, s := sample()
	base := q(t, throw, l, s)
	for name, change := range map[string]func(*Throw, *Loads, *Steel) bool{
		"thicker web":    func(t *Throw, _ *Loads, _ *Steel) bool { t.Web *= 1.1; return true },
		"wider web":      func(t *Throw, _ *Loads, _ *Steel) bool { t.WebWidth *= 1.05; return true },
		"larger fillets": func(t *Throw, _ *Loads, _ *Steel) bool { t.PinFillet *= 1.2; t.JournalFillet *= 1.2; return true },
		"stronger steel": func(_ *Throw, _ *Loads, s *Steel) bool { s.Tensile *= 1.05; return true },
		"cast steel":     func(_ *Throw, _ *Loads, s *Steel) bool { s.Factor = 0.93; return false },
		"more bending":   func(_ *Throw, l *Loads, _ *Steel) bool { l.Bending *= 1.1; return false },
		"more torque":    func(_ *Throw, l *Loads, _ *Steel) bool { l.JournalTorque *= 1.5; return false },
		"recess":         func(t *Throw, _ *Loads, _ *Steel) bool { t.JournalRecess = 0.004; return false },
		"longer throw":   func(t *Throw, _ *Loads, _ *Steel) bool { t.Radius *= 1.1; return false },
	} {
		u, m, n := throw, l, s
		better := change(&u, &m, &n)
		if got := q(t, u, m, n); (got > base) != better {
			t.Errorf("%s: Q %.4f after %.4f", name, got, base)
		}
	}
	crosshead, err := Assess(throw, l, s, Setting{Crosshead: true})
	if err != nil {
		t.Fatal(err)
	}
	two, err := Assess(throw, l, s, Setting{TwoStroke: true})
	if err != nil {
		t.Fatal(err)
	}
	if !(crosshead.Worst().Q < base) || !(two.Worst().Q > base) {
		t.Errorf("crosshead %g, two-stroke %g, base %g", crosshead.Worst().Q, two.Worst().Q, base)
	}
}

// Outside its range the rule is refused, naming ratio, value and range; asked for, it is held at the end of the range.
func TestOutside(t *testing.T) {
	throw, l, s := sample()
	throw.PinFillet = 0.002
	_, err := Assess(throw, l, s, Setting{})
	var r *RangeError
	if !errors.As(err, &r) || len(r.Outside) != 1 || !strings.Contains(err.Error(), "fillet radius of the pin over the pin's diameter is 0.01, and the rule holds from 0.03 to 0.13") {
		t.Fatalf("%v", err)
	}
	a, err := Assess(throw, l, s, Setting{Beyond: true})
	if err != nil || len(a.Outside) != 1 {
		t.Fatalf("%v %+v", err, a)
	}
	edge := throw
	edge.PinFillet = 0.03 * throw.Pin
	b, err := Assess(edge, l, s, Setting{})
	if err != nil || math.Abs(a.Factors.PinBending-b.Factors.PinBending) > 1e-12 {
		t.Errorf("%v: held %g, at the edge %g", err, a.Factors.PinBending, b.Factors.PinBending)
	}
	// overlap beyond 0.5: shown as "up to"
	throw, _, _ = sample()
	throw.Radius = 0.1
	if out := throw.Outside(); len(out) != 1 || !strings.Contains(out[0].String(), "holds up to 0.5") {
		t.Errorf("%v", out)
	}
}

func TestRefusals(t *testing.T) {
	throw, l, s := sample()
	for name, spoil := range map[string]func(*Throw, *Loads, *Steel){
		"pin":         func(t *Throw, _ *Loads, _ *Steel) { t.Pin = 0 },
		"bore":        func(t *Throw, _ *Loads, _ *Steel) { t.PinBore = t.Pin },
		"fillet":      func(t *Throw, _ *Loads, _ *Steel) { t.JournalFillet = math.NaN() },
		"oil":         func(t *Throw, _ *Loads, _ *Steel) { t.OilBore = 1 },
		"load":        func(_ *Throw, l *Loads, _ *Steel) { l.Bending = -1 },
		"no number":   func(_ *Throw, l *Loads, _ *Steel) { l.PinTorque = math.NaN() },
		"no steel":    func(_ *Throw, _ *Loads, s *Steel) { s.Tensile = 850 },
		"no factor":   func(_ *Throw, _ *Loads, s *Steel) { s.Factor = 0 },
		"huge recess": func(t *Throw, _ *Loads, _ *Steel) { t.PinRecess = 11 },
	} {
		u, m, n := throw, l, s
		spoil(&u, &m, &n)
		if _, err := Assess(u, m, n, Setting{}); err == nil {
			t.Errorf("%s is accepted", name)
		}
	}
	if _, err := ContinuousStress(600e6, 0.3, 1, 1.2); err == nil {
		t.Error("a shaft at 1.2 of its rated speed is accepted")
	}
	if _, err := TransientStress(600e6, 0.3, 1, 0.9); err == nil {
		t.Error("a barred range at 0.9 is accepted")
	}
	if _, err := ShaftDiameter(0, 1, 600e6, 1); err == nil {
		t.Error("no power is accepted")
	}
}

// A throw between two mains by hand: force F amid the bay, half to each main.
func TestLoadsByHand(t *testing.T) {
	b := Bay{
		From: 0, To: 0.4, Webs: [2]float64{0.12, 0.28}, Pins: []Pin{{Radius: 0.1, At: 0.2}},
		Forces: []Force{{At: 0.2, Of: []complex128{100, -300, 200i}}}, Torque: []float64{7, 7, 7},
	}
	h, err := b.Load()
	if err != nil {
		t.Fatal(err)
	}
	want := func(what string, got []float64, list ...float64) {
		t.Helper()
		for i := range list {
			if math.Abs(got[i]-list[i]) > 1e-9 {
				t.Errorf("%s is %v, not %v", what, got, list)
				return
			}
		}
	}
	want("radial", h.Radial[0], 50, -150, 0)
	want("radial", h.Radial[1], 50, -150, 0)
	want("bending", h.Bending[0], 6, -18, 0)
	want("bending", h.Bending[1], 6, -18, 0)
	want("after", h.After, 7, 7, 27)
	want("pin", h.Pin[0], 7, 7, 17)
	want("oil bore", h.OilBore[0], 10, -30, 0)
	b.Pins[0].Oil = math.Pi / 2
	if h, err = b.Load(); err != nil {
		t.Fatal(err)
	}
	want("oil bore across", h.OilBore[0], 0, 0, 20)
	if a, mean := Alternating(h.Bending[0]); math.Abs(a-12) > 1e-9 || math.Abs(mean+6) > 1e-9 {
		t.Errorf("alternating %g about %g", a, mean)
	}
	for _, spoil := range []func(*Bay){
		func(b *Bay) { b.To = 0.2 }, func(b *Bay) { b.Pins = nil }, func(b *Bay) { b.Forces[0].At = 1 }, func(b *Bay) { b.Forces[0].Pin = 3 },
		func(b *Bay) { b.Torque = []float64{1} }, func(b *Bay) { b.Pins[0].At = math.NaN() },
	} {
		c := b
		c.Pins, c.Forces = append([]Pin(nil), b.Pins...), append([]Force(nil), b.Forces...)
		spoil(&c)
		if _, err := c.Load(); err == nil {
			t.Errorf("accepted: %+v", c)
		}
	}
}

// Turning a bay about the crank's axis turns nothing in it; doubling the forces doubles its loads; two rods share a pin as one
// rod of their sum amid them where they push alike.
func TestLoadProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		n := 8
		history := func() []complex128 {
			out := make([]complex128, n)
			for j := range out {
				out[j] = complex(f("radial", -1e5, 1e5), f("ahead", -1e5, 1e5))
			}
			return out
		}
		b := Bay{From: 0, To: f("length", 0.1, 1)}
		b.Webs = [2]float64{0.25 * b.To, 0.75 * b.To}
		b.Pins = []Pin{{Radius: f("throw", 0.01, 0.2), At: b.To * f("at", 0.4, 0.6), Oil: 1}}
		off := b.To * f("off", 0.01, 0.1)
		h := history()
		b.Forces = []Force{{At: b.Pins[0].At - off, Of: h}, {At: b.Pins[0].At + off, Of: h}}
		one := b
		double := make([]complex128, n)
		for j := range h {
			double[j] = 2 * h[j]
		}
		one.Forces = []Force{{At: b.Pins[0].At, Of: double}}
		x, err := b.Load()
		if err != nil {
			t.Fatal(err)
		}
		y, err := one.Load()
		if err != nil {
			t.Fatal(err)
		}
		near := func(what string, a, b []float64, scale float64) {
			for j := range a {
				if math.Abs(a[j]-b[j]) > 1e-9*scale {
					t.Fatalf("%s: %g and %g", what, a[j], b[j])
				}
			}
		}
		near("bending", x.Bending[0], y.Bending[0], 1e5)
		near("radial", x.Radial[1], y.Radial[1], 1e5)
		near("torque", x.After, y.After, 1e5)
		turned := b
		by := f("turn", -3, 3)
		turned.Pins = []Pin{b.Pins[0]}
		turned.Pins[0].Angle += num.Angle(by)
		sin, cos := math.Sincos(by)
		moved := make([]complex128, n)
		for j := range h {
			moved[j] = h[j] * complex(cos, sin)
		}
		turned.Forces = []Force{{At: b.Forces[0].At, Of: moved}, {At: b.Forces[1].At, Of: moved}}
		z, err := turned.Load()
		if err != nil {
			t.Fatal(err)
		}
		near("turned", x.Bending[1], z.Bending[1], 1e5)
		near("turned bore", x.OilBore[0], z.OilBore[0], 1e5)
		near("turned pin", x.Pin[0], z.Pin[0], 1e5)
	})
}

// What a millimetre buys agrees with assessing again, and the least change reaches the rule's limit.
func TestChanges(t *testing.T) {
	throw, l, s := sample()
	l.Bending, l.Radial = 1.6*l.Bending, 1.6*l.Radial
	base := q(t, throw, l, s)
	if base >= Required {
		t.Fatalf("the throw is strong enough: %g", base)
	}
	list, err := Changes(throw, l, s, Setting{}, 1e-3)
	if err != nil {
		t.Fatal(err)
	}
	reached := 0
	for _, c := range list {
		u := throw
		*c.Size.Of(&u) += 1e-3
		if c.Q != 0 && math.Abs(q(t, u, l, s)-c.Q) > 1e-12 {
			t.Errorf("%s: %g and %g", c.Size, q(t, u, l, s), c.Q)
		}
		if c.Reaches {
			reached++
			u = throw
			*c.Size.Of(&u) += c.Least
			if got := q(t, u, l, s); math.Abs(got-Required) > 1e-3 {
				t.Errorf("%s %+.3g mm: Q %g", c.Size, 1e3*c.Least, got)
			}
		}
	}
	if reached == 0 || len(list) != len(Sizes()) {
		t.Errorf("%d sizes, %d reach", len(list), reached)
	}
	solid := throw
	solid.OilBore = 0
	if list, err = Changes(solid, l, s, Setting{}, 1e-3); err != nil || len(list) != len(Sizes())-1 {
		t.Errorf("without oil bore: %v %d", err, len(list))
	}
}

// FuzzAssess: whatever the numbers, an error or a finite result.
func FuzzAssess(f *testing.F) {
	f.Add(0.2, 0.22, 0.16, 0.08, 0.32, 0.01, 0.01, 0.02, 0.0, 20e3, 25e3, 900e6, true)
	f.Add(0.0, math.Inf(1), -1.0, 1e-300, 1e300, 0.0, math.NaN(), 0.5, 0.4, -1.0, 1e12, 1e9, false)
	f.Fuzz(func(t *testing.T, pin, journal, radius, web, width, fillet, other, oil, bore, bending, torque, tensile float64, beyond bool) {
		throw := Throw{Pin: pin, Journal: journal, Radius: radius, Web: web, WebWidth: width, PinFillet: fillet, JournalFillet: other, OilBore: oil, PinBore: bore}
		a, err := Assess(throw, Loads{Bending: bending, Radial: bending, OilBore: bending, PinTorque: torque, JournalTorque: torque}, Steel{tensile, 1}, Setting{Beyond: beyond})
		if err != nil {
			return
		}
		for _, p := range a.Points {
			if math.IsNaN(p.Q) || math.IsNaN(p.Equivalent) || !(p.Fatigue > 0) {
				t.Fatalf("%+v of %+v", p, throw)
			}
		}
		if _, err := Changes(throw, Loads{Bending: bending}, Steel{tensile, 1}, Setting{Beyond: beyond}, 1e-3); err != nil && bending >= 0 {
			t.Fatal(err)
		}
	})
}

func BenchmarkAssess(b *testing.B) {
	throw, l, s := sample()
	for b.Loop() {
		if _, err := Assess(throw, l, s, Setting{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkChanges(b *testing.B) {
	throw, l, s := sample()
	l.Bending *= 1.6
	for b.Loop() {
		if _, err := Changes(throw, l, s, Setting{}, 1e-3); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkBayLoads720(b *testing.B) {
	h := make([]complex128, 720)
	for j := range h {
		h[j] = complex(math.Cos(float64(j)/50), math.Sin(float64(j)/70))
	}
	bay := Bay{From: 0, To: 0.1, Webs: [2]float64{0.03, 0.07}, Pins: []Pin{{Radius: 0.04, At: 0.05}}, Forces: []Force{{At: 0.04, Of: h}, {At: 0.06, Of: h}}}
	for b.Loop() {
		if _, err := bay.Load(); err != nil {
			b.Fatal(err)
		}
	}
}

// TestShearNeverStrengthens: at any overlap the shear factor of the journal is not negative, and where pin and journal are
// further apart than the rule knows, a longer throw with the loads that it has lasts no longer.
func TestShearNeverStrengthens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		r := Ratios{S: f("s", -20, 0.5), W: f("w", 0.2, 0.8), B: f("b", 1.1, 2.2), RH: f("r", 0.03, 0.13), RG: f("rG", 0.03, 0.13), DH: f("dH", 0, 0.8), DG: f("dG", 0, 0.8)}
		if q := FactorsOf(r).JournalShear; !(q >= 0) {
			t.Fatalf("β_Q %g at %+v", q, r)
		}
	})
	throw := Throw{Pin: 0.04, Journal: 0.042, Web: 0.014, WebWidth: 0.06, PinFillet: 0.002, JournalFillet: 0.002, OilBore: 0.004}
	l := Loads{Bending: 180, Radial: 9000, OilBore: 250, PinTorque: 120, JournalTorque: 120}
	last := math.Inf(1)
	for stroke := 0.122; stroke < 0.3; stroke += 0.005 {
		throw.Radius = stroke / 2
		now := q(t, throw, l, Steel{Tensile: 850e6, Factor: 1.05})
		if now > last*(1+1e-12) {
			t.Errorf("stroke %g mm: Q %g after %g", 1e3*stroke, now, last)
		}
		last = now
	}
}

// TestTorsionShare: torsion alone is never more than the whole, all of it where nothing bends an oil bore.
func TestTorsionShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		throw, _, s := sample()
		f := func(name string) float64 { return rapid.Float64Range(0, 1e6).Draw(t, name) }
		a, err := Assess(throw, Loads{Bending: f("bending"), Radial: f("radial"), OilBore: f("bore"), PinTorque: f("pin"), JournalTorque: f("journal")}, s, Setting{})
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range a.Points {
			if share := p.TorsionShare(); !(share >= 0 && share <= 1+1e-12) {
				t.Fatalf("%s: share %g", p.Name, share)
			}
		}
	})
	throw, _, s := sample()
	a, err := Assess(throw, Loads{PinTorque: 1e4}, s, Setting{})
	if err != nil {
		t.Fatal(err)
	}
	if share := a.Points[2].TorsionShare(); math.Abs(share-1) > 1e-12 {
		t.Errorf("an oil bore in torsion alone: share %g", share)
	}
}

// TestSpare: with the metal taken away that is to spare, the rule is just met, or its range ends there.
func TestSpare(t *testing.T) {
	throw, l, s := sample()
	list, err := Changes(throw, l, s, Setting{}, 1e-3)
	if err != nil {
		t.Fatal(err)
	}
	bound := 0
	for _, c := range list {
		u := throw
		*c.Size.Of(&u) -= c.Spare
		less := u
		*c.Size.Of(&less) -= 2e-6
		_, beyond := Assess(less, l, s, Setting{})
		switch got := q(t, u, l, s); {
		case c.Size == OilBoreSize:
			if c.Spare != 0 {
				t.Errorf("%s: %g to spare", c.Size, c.Spare)
			}
		case got < Required-1e-9:
			t.Errorf("%s: Q %g is left", c.Size, got)
		case c.Bound:
			bound++
			if q(t, less, l, s) >= Required {
				t.Errorf("%s: more could go than %g mm", c.Size, 1e3*c.Spare)
			}
		case beyond == nil:
			t.Errorf("%s: the range does not end at %g mm less", c.Size, 1e3*c.Spare)
		}
	}
	if bound == 0 {
		t.Error("no size is bound by the factor")
	}
}
