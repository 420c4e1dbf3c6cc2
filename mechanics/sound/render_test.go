package sound

import (
	"math"
	"math/cmplx"
	"slices"
	"testing"

	"crankwright/mechanics/layout"
	"crankwright/num"
)

func loop(t testing.TB, m Impulses, s Setting) Looped {
	t.Helper()
	l, err := Loop(m, s)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func render(t testing.TB, m Impulses, s Setting) [][]float64 {
	t.Helper()
	x, err := Render(m, s)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// TestLines holds the rendered samples, by fast transform, to the closed form: every line of every order up to three eighths of the
// sampling rate in size and phase, and nothing between the lines.
func TestLines(t *testing.T) {
	for name, c := range map[string]struct {
		m Impulses
		s Setting
	}{
		"flat four":          {impulses(t, flatFour(), nil), Setting{Speed: 3000 * rpm, Load: 1, Seconds: 0.5}},
		"a cylinder off":     {impulses(t, flatFour(), off(4, 2)), Setting{Speed: 1234 * rpm, Load: 0.3, Seconds: 1}},
		"vee eight, unequal": {impulses(t, crossVee(), nil), Setting{Speed: 5230 * rpm, Load: 0.7, Seconds: 0.4, Delays: []float64{0.001, 0.0042}}},
		"twin, coarse":       {impulses(t, vee65Twin(), nil), Setting{Speed: 11111 * rpm, Load: 1, Seconds: 0.3, Rate: 8000}},
		"slow":               {impulses(t, vee65Twin(), nil), Setting{Speed: 90 * rpm, Load: 1, Seconds: 3}},
	} {
		l := loop(t, c.m, c.s)
		rate := c.s.Rate
		if rate == 0 {
			rate = UsualRate
		}
		x := l.Channels[0]
		if math.Abs(l.Speed/c.s.Speed-1) > 1/float64(len(x)) {
			t.Errorf("%s: the speed is %g instead of %g", name, l.Speed, c.s.Speed)
		}
		at := c.s
		at.Speed = l.Speed
		orders := map[int]Order{}
		for _, o := range spectrum(t, c.m, at, MostOrders) {
			if o.Frequency < 0.375*float64(rate) {
				orders[o.K*l.Cycles] = o // index of its line: cycles in the loop times orders per cycle
			}
		}
		spec := lines(x)
		most, best := 0.0, 0
		for j, o := range orders {
			if size(o.Sum) > most {
				most, best = size(o.Sum), j
			}
		}
		factor := spec[best] / orders[best].Sum // one size for all, and no turn
		if math.Abs(cmplx.Phase(factor)) > 1e-4 {
			t.Errorf("%s: the samples are turned by %g rad", name, cmplx.Phase(factor))
		}
		worst, between := 0.0, 0.0
		for j := range spec {
			got := spec[j] / factor
			if o, ok := orders[j]; ok {
				gap := size(got-o.Sum) / most
				worst = max(worst, gap)
				if gap > 1e-5 {
					t.Errorf("%s: order %g: %v, want %v", name, float64(o.K)/2, got, o.Sum)
					break
				}
				continue
			}
			if j%l.Cycles != 0 || float64(j)*float64(rate)/float64(len(x)) > 0.5*float64(rate) {
				between = max(between, size(got)/most)
			}
		}
		if between > 1e-5 {
			t.Errorf("%s: %.2g of the largest line lies between the lines", name, between)
		}
		t.Logf("%s: %d orders, worst gap %.2g, between the lines %.2g of the largest", name, len(orders), worst, between)
	}
}

// TestRenderRepeatsTheLoop: at one speed, away from the fades, a stretch of sound is the loop over and over.
func TestRenderRepeatsTheLoop(t *testing.T) {
	m := impulses(t, crossVee(), off(8, 3))
	s := Setting{Speed: 3000 * rpm, Load: 0.8, Seconds: 0.6, Stereo: true} // a cycle is 1920 samples
	l, x := loop(t, m, s), render(t, m, s)
	if len(l.Channels) != 2 || len(x) != 2 {
		t.Fatalf("%d and %d channels", len(l.Channels), len(x))
	}
	factor := 0.0
	for ch := range x {
		for i := 2400; i < len(x[ch])-2400; i++ {
			v := l.Channels[ch][i%len(l.Channels[ch])]
			if factor == 0 {
				factor = x[ch][i] / v
			}
			if math.Abs(x[ch][i]-factor*v) > 2e-5 {
				t.Fatalf("channel %d, sample %d: %g, want %g", ch, i, x[ch][i], factor*v)
			}
		}
	}
	if slices.Equal(x[0], x[1]) {
		t.Error("the two channels of two banks are the same")
	}
}

// TestSafeLoudness: no sample passes the stated peak, no mean, soft ends, no seam.
func TestSafeLoudness(t *testing.T) {
	if Peak(1) > 0.2513 || Peak(0) > 0.0503 {
		t.Errorf("the peaks are %g and %g", Peak(1), Peak(0))
	}
	for name, m := range map[string]Impulses{
		"four": impulses(t, flatFour(), nil), "lame four": impulses(t, flatFour(), off(4, 0)), "eight": impulses(t, crossVee(), nil), "twin": impulses(t, vee65Twin(), nil),
	} {
		for _, s := range []Setting{
			{Speed: 800 * rpm, Load: 0, Seconds: 1, Scatter: UsualScatter},
			{Speed: 6000 * rpm, Load: 1, Seconds: 1, Stereo: true, Scatter: 0.3, Seed: 7},
			{Speed: 1000 * rpm, To: 6000 * rpm, Load: 0.6, Seconds: 2, Scatter: UsualScatter},
			{Speed: 5000 * rpm, To: 900 * rpm, Load: 1, Seconds: 0.2, Rate: 22050},
		} {
			x, l := render(t, m, s), loop(t, m, s)
			for what, y := range map[string][][]float64{"render": x, "loop": l.Channels} {
				if p := peakOf(y); p > Peak(s.Load)*(1+1e-12) || p < 0.999*Peak(s.Load) {
					t.Errorf("%s, %s: peak %g, want %g", name, what, p, Peak(s.Load))
				}
				for _, ch := range y {
					if a := math.Abs(mean(ch)); a > 1e-12 {
						t.Errorf("%s, %s: mean %g", name, what, a)
					}
					if r := rms(ch) / Peak(s.Load); r < 0.03 || r > 0.6 {
						t.Errorf("%s, %s: the root mean square is %.3g of the peak", name, what, r)
					}
				}
			}
			rate := s.Rate
			if rate == 0 {
				rate = UsualRate
			}
			for _, ch := range x {
				n := len(ch)
				if math.Abs(ch[0]) > 1e-9 || math.Abs(ch[n-1]) > 1e-9 {
					t.Errorf("%s: the ends are %g and %g", name, ch[0], ch[n-1])
				}
				for i := range rate / 200 { // 5 ms of 40 ms
					if limit := 0.04 * Peak(s.Load); math.Abs(ch[i]) > limit || math.Abs(ch[n-1-i]) > limit {
						t.Errorf("%s: %d samples from the ends: %g and %g", name, i, ch[i], ch[n-1-i])
						break
					}
				}
			}
			for _, ch := range l.Channels { // the step over the seam is one of those within
				most := 0.0
				for i := 1; i < len(ch); i++ {
					most = max(most, math.Abs(ch[i]-ch[i-1]))
				}
				if seam := math.Abs(ch[0] - ch[len(ch)-1]); seam > most*1.0001 {
					t.Errorf("%s: the seam steps by %g, within are %g", name, seam, most)
				}
			}
		}
	}
}

// TestLoad: less load is quieter and duller.
func TestLoad(t *testing.T) {
	m := impulses(t, flatFour(), nil)
	bright := func(load float64) float64 {
		o := spectrum(t, m, Setting{Speed: 3000 * rpm, Load: load}, 80)
		return size(o[79].Sum) / size(o[3].Sum)
	}
	if !(bright(1) > 1.5*bright(0)) {
		t.Errorf("order 40 over the firing order: %g at full load, %g without", bright(1), bright(0))
	}
	if !(peakOf(render(t, m, Setting{Speed: 300, Load: 0.2, Seconds: 0.3})) < 0.5*peakOf(render(t, m, Setting{Speed: 300, Load: 1, Seconds: 0.3}))) {
		t.Error("part load is not quieter")
	}
}

// TestRamp follows the firing order through a ramp: where the samples are turned back by the crank angle of the exact law, the
// firing order stands still, with the phase of the closed form at the speed of the moment.
func TestRamp(t *testing.T) {
	for _, ends := range [][2]float64{{1000, 5000}, {5000, 1000}} {
		m := impulses(t, flatFour(), off(4, 1))
		s := Setting{Speed: ends[0] * rpm, To: ends[1] * rpm, Load: 1, Seconds: 4}
		x := render(t, m, s)[0]
		slope := (s.To - s.Speed) / s.Seconds
		angle := func(i int) float64 { at := float64(i) / UsualRate; return s.Speed*at + slope*at*at/2 }
		worst := 0.0
		for _, k := range []int{1, 2, 4, 8} {
			for _, middle := range []float64{0.5, 1.5, 2.5, 3.5} {
				// over ten whole cycles about the middle, with a soft window that keeps the neighbours out
				i0 := int(middle * UsualRate)
				span := 10 * 4 * math.Pi
				from := angle(i0) - span/2
				sum := complex128(0)
				for i := range x {
					u := (angle(i) - from) / span
					if u < 0 || u > 1 {
						continue
					}
					w := 0.5 - 0.5*math.Cos(2*math.Pi*u)
					sum += complex(w*x[i], 0) * num.Angle(-float64(k)/2*angle(i)).Unit()
				}
				ω := s.Speed + slope*middle
				want := m.Pattern(k, -1) * ShapeAt(ω, 1).Transform(ω*float64(k)/2)
				gap := math.Abs(cmplx.Phase(sum / want))
				worst = max(worst, gap)
				if gap > 0.1 {
					t.Errorf("%v rpm, order %g at %g s: phase off by %.3g rad", ends, float64(k)/2, middle, gap)
				}
			}
		}
		t.Logf("%v rpm: worst phase gap %.3g rad", ends, worst)
	}
}

// TestRampWithoutRamp: a ramp between speeds that hardly differ is the stretch at one speed.
func TestRampWithoutRamp(t *testing.T) {
	m := impulses(t, crossVee(), nil)
	s := Setting{Speed: 3000 * rpm, Load: 1, Seconds: 0.5}
	a := render(t, m, s)[0]
	s.To = s.Speed * (1 + 1e-11)
	b := render(t, m, s)[0]
	for i := range a {
		if math.Abs(a[i]-b[i]) > 1e-6 {
			t.Fatalf("sample %d: %g and %g", i, a[i], b[i])
		}
	}
}

// TestHoles finds the pulses in the samples: a flat four without one cylinder has three and a gap in every cycle.
func TestHoles(t *testing.T) {
	m := impulses(t, flatFour(), off(4, 3))
	l := loop(t, m, Setting{Speed: 1500 * rpm, Load: 1, Seconds: 0.8}) // a cycle is 3840 samples
	x := l.Channels[0]
	var at []int
	for i := range x {
		before, after := x[(i+len(x)-1)%len(x)], x[(i+1)%len(x)]
		if x[i] > 0.6*Peak(1) && x[i] > before && x[i] >= after {
			at = append(at, i)
		}
	}
	if len(at) != 3*l.Cycles {
		t.Fatalf("%d pulses in %d cycles", len(at), l.Cycles)
	}
	var gaps []float64
	for j := range 3 {
		gaps = append(gaps, float64((at[(j+1)%len(at)]-at[j]+len(x))%len(x))*720/3840)
	}
	for _, g := range gaps {
		if math.Abs(g-180) > 0.4 && math.Abs(g-360) > 0.4 {
			t.Errorf("the gaps are %v°", gaps)
		}
	}
	if sum := gaps[0] + gaps[1] + gaps[2]; math.Abs(sum-720) > 0.4 {
		t.Errorf("three gaps are %g°", sum)
	}
}

func TestScatter(t *testing.T) {
	m := impulses(t, flatFour(), nil)
	s := Setting{Speed: 1500 * rpm, Load: 1, Seconds: 1, Scatter: 0.05, Seed: 3}
	a, b := loop(t, m, s), loop(t, m, s)
	if !slices.Equal(a.Channels[0], b.Channels[0]) {
		t.Error("one seed gives two sounds")
	}
	s.Seed++
	if slices.Equal(a.Channels[0], loop(t, m, s).Channels[0]) {
		t.Error("two seeds give one sound")
	}
	// scatter brings what lies between the lines, and little of it
	spec := lines(a.Channels[0])
	most, between := 0.0, 0.0
	for j := range spec {
		if j%a.Cycles == 0 {
			most = max(most, size(spec[j]))
		} else {
			between = max(between, size(spec[j]))
		}
	}
	if r := between / most; r < 1e-3 || r > 0.1 {
		t.Errorf("between the lines lies %.3g of the largest", r)
	}
}

func TestTwoStroke(t *testing.T) {
	train := flatFour()
	train.Cycle = layout.TwoStroke
	m := impulses(t, train, nil)
	for _, o := range spectrum(t, m, Setting{Speed: 300, Load: 1}, 40) {
		if o.K%2 != 0 {
			t.Errorf("a two-stroke engine has order %g", float64(o.K)/2)
		}
		// two pairs at 180°: even orders only
		if _, ok := Level(o.Sum); ok != (o.K%4 == 0) {
			t.Errorf("order %g: %v", float64(o.K)/2, o.Sum)
		}
	}
	l := loop(t, m, Setting{Speed: 3000 * rpm, Load: 1, Seconds: 0.4})
	if l.Cycles != 20 {
		t.Errorf("%d cycles in 0.4 s at 3000 rpm", l.Cycles)
	}
}
