package gas

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// model is a cycle in closed form, which knows nothing of the program's own: polytropes, and heat that raises the
// pressure as a Wiebe function, p = p_c(θ) + rise · x(θ) · (V_c/V)^n. The exchange strokes run at two pressures.
type model struct {
	c        Chamber
	cycle    layout.Cycle
	intake   float64
	n        float64
	rise     float64   // [Pa]
	start    num.Angle // of combustion
	duration num.Angle
	loss     num.Angle // by which a motored pressure leads: the gas loses
}

func pilotModel(t testing.TB, cycle layout.Cycle) model {
	t.Helper()
	c, err := NewChamber(motion.Linkage{Radius: 0.045, Length: 0.145}, 0.084, 10.5)
	if err != nil {
		t.Fatal(err)
	}
	return model{c: c, cycle: cycle, intake: 0.92e5, n: 1.33, rise: 42e5, start: num.Degrees(-12), duration: num.Degrees(50)}
}

// at is the pressure at an angle from firing top dead centre.
func (m model) at(θ num.Angle) float64 {
	period := m.cycle.Period()
	θ = (θ + period/2).Wrap(period) - period/2
	v, _ := m.c.Volume(θ)
	top, _ := m.c.Volume(0)
	bottom, _ := m.c.Volume(math.Pi)
	closed := m.intake*math.Pow(bottom/v, m.n) + m.rise*(1-math.Exp(-5*math.Pow(math.Max(0, float64((θ-m.start)/m.duration)), 3)))*math.Pow(top/v, m.n)
	blend := func(from, to float64) float64 { // 0 … 1, smooth
		u := math.Min(1, math.Max(0, (θ.Deg()-from)/(to-from)))
		return u * u * (3 - 2*u)
	}
	exhaust := 1.06e5
	if m.cycle == layout.TwoStroke {
		// blows down from 100 degrees on, and is scavenged
		open := blend(100, 140)
		if θ < -math.Pi/2 {
			open = 1 - blend(-130, -100)
		}
		return closed*(1-open) + m.intake*open
	}
	switch {
	case θ < -math.Pi: // suction
		b := blend(-360, -340)
		return exhaust*(1-b) + m.intake*b
	case θ > 130*math.Pi/180:
		b := blend(130, 190)
		return closed*(1-b) + exhaust*b
	}
	return closed
}

// imep is that of the model, from a fine midpoint rule.
func (m model) imep() (net, gross float64) {
	const n = 200000
	period := m.cycle.Period()
	h := period / n
	for j := range n {
		θ := -period/2 + h*(num.Angle(j)+0.5)
		_, dv := m.c.Volume(θ)
		dw := m.at(θ) * dv * float64(h) / m.c.Displacement()
		net += dw
		if math.Abs(float64(θ)) < math.Pi {
			gross += dw
		}
	}
	return net, gross
}

// trace writes the model as it might be measured: each angle reads error too small, pressures lack offset.
func (m model) trace(step float64, wrong num.Angle, offset, noise float64, seed uint64) *layout.Trace {
	period := m.cycle.Period()
	rnd := rand.New(rand.NewPCG(seed, 1))
	t := &layout.Trace{Pressures: make([][]float64, 1)}
	for θ := -period.Deg() / 2; θ < period.Deg()/2-1e-9; θ += step {
		a := num.Degrees(θ)
		t.Angles = append(t.Angles, a)
		t.Pressures[0] = append(t.Pressures[0], m.at(a+wrong)-offset+noise*rnd.NormFloat64())
	}
	return t
}

// TestIndicateRecovers writes a model out with another zero, noise and sampling, and finds it again.
func TestIndicateRecovers(t *testing.T) {
	for _, cycle := range []layout.Cycle{layout.FourStroke, layout.TwoStroke} {
		m := pilotModel(t, cycle)
		net, gross := m.imep()
		for _, e := range []struct {
			step, offset, noise float64
			samples             int
		}{{0.5, 1e5, 0, 0}, {0.1, -3e5, 0.02e5, 0}, {0.1, 1e5, 0.05e5, 360}, {1, 0.5e5, 0.01e5, 0}, {0.5, 1e5, 0.03e5, 1440}, {0.7, 1e5, 0, 0}, {0.25, 12e5, 0.02e5, 977}} {
			r, err := Indicate(m.trace(e.step, 0, e.offset, e.noise, 7), 0, m.c, cycle, Indication{Samples: e.samples})
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%v %+v: imep gap %.5f %%, pumping gap %.5f bar, offset gap %.4f bar, n %.4f, to %.1f, TDC %.3f ± %.3f, peak %.3f at %.2f", cycle, e, 100*(r.IMEP/net-1), (r.Pumping-(net-gross))/1e5, (r.Offset-e.offset)/1e5,
				r.Exponent, r.To.Deg(), r.TDCError.Deg(), r.TDCSpread.Deg(), r.PeakPressure/1e5, r.PeakAngle.Deg())
			near(t, "imep", r.IMEP, net, 1e-3*net)
			near(t, "offset", r.Offset, e.offset, 0.02e5)
			near(t, "exponent", r.Exponent, m.n, 0.01)
			if len(r.Warnings) > 0 {
				t.Errorf("%+v: %q", e, r.Warnings)
			}
		}
	}
}

// TestIndicateFindsTDC moves the angles and wants to be told.
func TestIndicateFindsTDC(t *testing.T) {
	for _, cycle := range []layout.Cycle{layout.FourStroke, layout.TwoStroke} {
		for _, motored := range []bool{false, true} {
			m := pilotModel(t, cycle)
			if motored {
				m.rise = 0
			}
			net, _ := m.imep()
			for _, wrong := range []float64{-2, -1, 0, 1, 2} {
				for seed := range uint64(6) {
					noise := 0.02e5 * float64(seed%3) / 2
					tr := m.trace(0.5, num.Degrees(wrong), 1e5, noise, seed)
					r, err := Indicate(tr, 0, m.c, cycle, Indication{})
					if err != nil {
						t.Fatal(err)
					}
					if seed < 3 {
						t.Logf("%v motored %v (%v) wrong %g noise %g: TDC %.3f ± %.3f, n %.3f, to %.1f, offset %.3f", cycle, motored, r.Motored, wrong, noise/1e5, r.TDCError.Deg(), r.TDCSpread.Deg(), r.Exponent, r.To.Deg(), r.Offset/1e5)
					}
					near(t, "suspected error", r.TDCError.Deg(), wrong, 0.3)
					said := strings.Contains(strings.Join(r.Warnings, "\n"), "top dead centre looks wrong")
					if said != (wrong != 0) || r.Motored != motored {
						t.Errorf("wrong by %g, motored %v: %q", wrong, r.Motored, r.Warnings)
					}
					r, err = Indicate(tr, 0, m.c, cycle, Indication{Shift: num.Degrees(wrong)})
					if err != nil {
						t.Fatal(err)
					}
					near(t, "corrected", r.IMEP, net, max(1e-3*net, 0.01e5))
				}
			}
		}
	}
}

// TestResamplingKeepsWork is a property of any curve of a few harmonics.
func TestResamplingKeepsWork(t *testing.T) {
	m := pilotModel(t, layout.FourStroke)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(360, 2000).Draw(t, "measured")
		to := rapid.IntRange(leastSamples, 3000).Draw(t, "wanted")
		tr := &layout.Trace{Pressures: make([][]float64, 1)}
		var a, b [12]float64
		for k := range a {
			a[k] = rapid.Float64Range(-1e5, 1e5).Draw(t, "a")
			b[k] = rapid.Float64Range(-1e5, 1e5).Draw(t, "b")
		}
		shift := rapid.Float64Range(-3, 3).Draw(t, "shift")
		p := func(θ float64) float64 {
			sum := 0.0
			for k := range a {
				sin, cos := math.Sincos(float64(k) * θ / 2)
				sum += a[k]*cos + b[k]*sin
			}
			return sum
		}
		want, size := 0.0, 0.0
		for i := range n {
			θ := 4*math.Pi*float64(i)/float64(n) + shift
			tr.Angles, tr.Pressures[0] = append(tr.Angles, num.Angle(θ)), append(tr.Pressures[0], p(θ))
			_, dv := m.c.Volume(num.Angle(θ))
			want += p(θ) * dv / float64(n)
			size += math.Abs(p(θ)*dv) / float64(n)
		}
		s, err := sampled(tr.Angles, tr.Pressures[0], 0, layout.FourStroke.Period())
		if err != nil {
			t.Fatal(err)
		}
		x := s.resample(to)
		got := 0.0
		for j := range x {
			_, dv := m.c.Volume(num.Angle(4 * math.Pi * float64(j) / float64(to)))
			got += x[j] * dv / float64(to)
		}
		if math.Abs(got-want) > 2e-3*size {
			t.Fatalf("work %g of the samples is %g after resampling, of %g in all", want, got, size)
		}
	})
}

func BenchmarkIndicate(b *testing.B) {
	m := pilotModel(b, layout.FourStroke)
	tr := m.trace(0.5, 0, 1e5, 0.02e5, 1)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Indicate(tr, 0, m.c, layout.FourStroke, Indication{}); err != nil {
			b.Fatal(err)
		}
	}
}
