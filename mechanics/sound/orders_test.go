package sound

import (
	"math"
	"math/cmplx"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

func TestIntervals(t *testing.T) {
	four := impulses(t, flatFour(), nil)
	if got := degs(four.Intervals); !slices.Equal(got, []float64{180, 180, 180, 180}) {
		t.Errorf("flat four: %v", got)
	}
	// one cylinder that does not fire leaves one gap of two intervals
	lame := impulses(t, flatFour(), off(4, 2))
	if got := degs(lame.Intervals); !turned(got, []float64{180, 180, 360}) {
		t.Errorf("flat four without cylinder 3: %v", got)
	}
	if !slices.Equal(lame.Silent, []int{2}) || !slices.Equal(lame.Groups[0].Cylinders, []int{0, 1, 3}) && len(lame.Groups[0].Cylinders) != 3 {
		t.Errorf("silent %v, group %v", lame.Silent, lame.Groups[0].Cylinders)
	}
	// cross-plane vee eight: even together, 90-180-270-180 in each bank (common practice)
	eight := impulses(t, crossVee(), nil)
	if got := degs(eight.Intervals); !slices.Equal(got, []float64{90, 90, 90, 90, 90, 90, 90, 90}) {
		t.Errorf("vee eight: %v", got)
	}
	for _, g := range eight.Groups {
		if got := degs(g.Intervals); !turned(got, []float64{90, 180, 270, 180}) && !turned(got, []float64{180, 270, 180, 90}) {
			t.Errorf("%s: %v", g.Name, got)
		}
	}
	// a shared pin at 65°: 360 ± 65 (by the geometry)
	twin := impulses(t, vee65Twin(), nil)
	if got := degs(twin.Intervals); !turned(got, []float64{425, 295}) && !turned(got, []float64{65, 655}) {
		t.Errorf("65° twin: %v", got)
	}
	two := flatFour()
	two.Cycle = layout.TwoStroke
	if got := degs(impulses(t, two, nil).Intervals); !turned(got, []float64{0, 180, 0, 180}) {
		t.Errorf("two-stroke with pairs of pins: %v", got)
	}
}

// TestLag moves every pulse and no interval.
func TestLag(t *testing.T) {
	m := impulses(t, crossVee(), nil)
	if got := m.Pulses[0]; m.Lag != UsualLag(layout.FourStroke) || got.At < 0 {
		t.Fatalf("%+v, lag %v", got, m.Lag)
	}
	train := crossVee()
	s, err := firing.ForTrain(train)
	if err != nil {
		t.Fatal(err)
	}
	o := m.After(num.Degrees(110))
	for _, p := range o.Pulses {
		at, _ := s.FiringAngle(p.Cylinder)
		if want := (at + num.Degrees(110)).Wrap(2 * num.Turn); math.Abs(float64(p.At-want)) > 1e-9 {
			t.Errorf("cylinder %d: %.6g°, want %.6g°", p.Cylinder, p.At.Deg(), want.Deg())
		}
	}
	if !turned(degs(o.Groups[0].Intervals), degs(m.Groups[0].Intervals)) {
		t.Error("the lag changes the intervals")
	}
}

// TestPattern holds the closed form to the discrete transform of impulses on a grid, and to Parseval.
func TestPattern(t *testing.T) {
	const grid = 1440 // half degrees
	worst := 0.0
	for name, train := range map[string]*layout.Train{"four": flatFour(), "eight": crossVee(), "twin": vee65Twin()} {
		strength := make([]float64, len(train.Cylinders))
		for c := range strength {
			strength[c] = 1 + 0.25*float64(c%3)
		}
		m := impulses(t, train, strength)
		for g := -1; g < len(m.Groups); g++ {
			x, squares := make([]float64, grid), 0.0
			for _, p := range m.Pulses {
				if g < 0 || p.Group == g {
					x[int(math.Round(p.At.Deg()*2))%grid] += p.Strength
					squares += p.Strength * p.Strength
				}
			}
			power := 0.0
			for k := range grid {
				power += real(m.Pattern(k, g) * cmplx.Conj(m.Pattern(k, g)))
			}
			if math.Abs(power-grid*squares) > 1e-8*power {
				t.Errorf("%s: Parseval: %g, want %g", name, power, grid*squares)
			}
			for k, want := range lines(x) {
				gap := size(m.Pattern(k, g) - want)
				worst = max(worst, gap)
				if gap > 1e-9 {
					t.Errorf("%s, group %d, order %g: %v, want %v", name, g, float64(k)/2, m.Pattern(k, g), want)
				}
			}
		}
	}
	t.Logf("worst gap of the pattern: %.2g of one pulse", worst)
}

// TestShape holds the closed transform to the integral of the pulse.
func TestShape(t *testing.T) {
	worst := 0.0
	for _, ω := range []float64{100 * rpm, 900 * rpm, 6000 * rpm} {
		for _, load := range []float64{0, 0.5, 1} {
			s := ShapeAt(ω, load)
			if !(s.Rise > 0 && s.Rise < s.Fall) {
				t.Fatalf("%+v", s)
			}
			for _, Ω := range []float64{ω / 2, 4 * ω, 1 / s.Fall, 1 / math.Sqrt(s.Rise*s.Fall), 1 / s.Rise} {
				const n = 400_000
				h := 40 * s.Fall / n
				sum := complex128(0)
				for j := 0; j <= n; j++ { // Simpson
					w := 2.0
					if j%2 == 1 {
						w = 4
					}
					if j == 0 || j == n {
						w = 1
					}
					at := h * float64(j)
					sum += complex(w*s.Flow(at), 0) * num.Angle(-Ω*at).Unit()
				}
				want := sum * complex(h/3, 0) * complex(0, Ω)
				gap := size(s.Transform(Ω)-want) / size(want)
				worst = max(worst, gap)
				if gap > 1e-6 {
					t.Errorf("%+v at %g rad/s: %v, want %v", s, Ω, s.Transform(Ω), want)
				}
			}
		}
	}
	t.Logf("worst gap of the transform: %.2g", worst)
	if a, b := ShapeAt(300, 1), ShapeAt(300, 0.2); !(a.Rise < b.Rise) {
		t.Error("more load does not steepen the edge")
	}
}

func spectrum(t testing.TB, m Impulses, s Setting, most int) []Order {
	t.Helper()
	o, err := Orders(m, s, most)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func TestOrders(t *testing.T) {
	at := Setting{Speed: 3000 * rpm, Load: 1}
	four := impulses(t, flatFour(), nil)
	for _, o := range spectrum(t, four, at, 48) {
		level, ok := Level(o.Sum)
		if o.K%4 != 0 && ok || o.K%4 == 0 && !ok {
			t.Errorf("flat four, order %g: %.3g dB", float64(o.K)/2, level)
		}
		if o.K == 4 && math.Abs(level) > 1e-9 {
			t.Errorf("the firing order of an even engine lies at %g dB", level)
		}
		if want := float64(o.K) / 2 * 50; math.Abs(o.Frequency-want) > 1e-9 {
			t.Errorf("order %g lies at %g Hz, want %g Hz", float64(o.K)/2, o.Frequency, want)
		}
	}
	// without one cylinder every order that cancelled is left with that cylinder's share, one quarter
	for _, o := range spectrum(t, impulses(t, flatFour(), off(4, 1)), at, 48) {
		shape := ShapeAt(at.Speed, 1)
		h := size(shape.Transform(float64(o.K)/2*at.Speed)) / size(shape.Transform(2*at.Speed))
		want := h / 4
		if o.K%4 == 0 {
			want = 3 * h / 4
		}
		if math.Abs(size(o.Sum)-want) > 1e-12 {
			t.Errorf("one cylinder off, order %g: %g, want %g", float64(o.K)/2, size(o.Sum), want)
		}
	}
	// cross-plane vee eight: half orders in each bank, none at the ear where the pipes are equal
	eight := impulses(t, crossVee(), nil)
	half := 0
	for _, o := range spectrum(t, eight, at, 16) {
		if _, ok := Level(o.Sum); ok != (o.K%8 == 0) {
			t.Errorf("vee eight at the ear, order %g: %v", float64(o.K)/2, o.Sum)
		}
		for g := range o.Groups {
			if level, ok := Level(o.Groups[g]); ok && level > -30 && o.K%2 == 1 {
				half++
			}
		}
	}
	if half < 6 {
		t.Errorf("the banks of a cross-plane vee eight have only %d half orders", half)
	}
	// unequal pipes bring them back: the sum is that of the delayed groups, and the firing order is turned as the delay says
	at.Delays = []float64{0, 2e-3}
	for _, o := range spectrum(t, eight, at, 16) {
		Ω := float64(o.K) / 2 * at.Speed
		if want := o.Groups[0] + o.Groups[1]*cmplx.Exp(complex(0, -Ω*2e-3)); size(o.Sum-want) > 1e-12 {
			t.Errorf("order %g: %v, want %v", float64(o.K)/2, o.Sum, want)
		}
		if level, ok := Level(o.Sum); o.K == 5 && (!ok || level < -40) {
			t.Errorf("unequal pipes leave order 2.5 at %g dB", level)
		}
	}
	if got := Character(spectrum(t, four, Setting{Speed: 3000 * rpm, Load: 1}, 24), 3); len(got) == 0 || got[0]%4 != 0 {
		t.Errorf("a flat four is carried by %v", got)
	}
}

// anyImpulses draws a train with any pins and strengths.
func anyImpulses(t *rapid.T) (Impulses, *layout.Train) {
	pins := make([]float64, rapid.IntRange(1, 4).Draw(t, "throws"))
	for i := range pins {
		pins[i] = rapid.Float64Range(0, 360).Draw(t, "pin")
	}
	train := pilotBoat(pins, -30, 30)
	train.Cycle = layout.Cycle(rapid.IntRange(0, 1).Draw(t, "cycle"))
	s, err := firing.ForTrain(train)
	if err != nil {
		t.Fatal(err)
	}
	strength := make([]float64, len(train.Cylinders))
	for c := range strength {
		strength[c] = rapid.Float64Range(0.1, 2).Draw(t, "strength")
	}
	m, err := Train(train, s, strength)
	if err != nil {
		t.Fatal(err)
	}
	return m, train
}

// TestIdentities: turning all firings, or mirroring them, changes no level; intervals fill the cycle.
func TestIdentities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, train := anyImpulses(t)
		turn := num.Angle(rapid.Float64Range(-20, 20).Draw(t, "turn"))
		mirrored := m
		mirrored.Pulses = slices.Clone(m.Pulses)
		for j := range mirrored.Pulses {
			mirrored.Pulses[j].At = (-mirrored.Pulses[j].At).Wrap(train.Cycle.Period())
		}
		mirrored = mirrored.After(m.Lag)
		for name, o := range map[string]Impulses{"turned": m.After(m.Lag + turn), "mirrored": mirrored} {
			sum := num.Angle(0)
			for _, a := range o.Intervals {
				sum += a
			}
			if math.Abs(float64(sum-train.Cycle.Period())) > 1e-9 {
				t.Fatalf("%s: the intervals add up to %g°", name, sum.Deg())
			}
			for k := 1; k < 60; k++ {
				for g := -1; g < len(m.Groups); g++ {
					if a, b := size(m.Pattern(k, g)), size(o.Pattern(k, g)); math.Abs(a-b) > 1e-6 {
						t.Fatalf("%s, k %d, group %d: %g, was %g", name, k, g, b, a)
					}
				}
			}
		}
	})
}
