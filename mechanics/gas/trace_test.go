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

// TestIndicateRefuses gives what cannot be, and wants a reason.
func TestIndicateRefuses(t *testing.T) {
	m := pilotModel(t, layout.FourStroke)
	good := m.trace(1, 0, 0, 0, 1)
	hole := m.trace(1, 0, 0, 0, 1)
	hole.Angles, hole.Pressures[0] = append(hole.Angles[:300:300], hole.Angles[330:]...), append(hole.Pressures[0][:300:300], hole.Pressures[0][330:]...)
	for _, e := range []struct {
		m    *layout.Trace
		o    Indication
		want string
	}{
		{nil, Indication{}, "the trace has no curve 1"},
		{&layout.Trace{Pressures: [][]float64{nil}}, Indication{}, "at least 36"},
		{good, Indication{Samples: 7}, "90 to 65536 are allowed"},
		{good, Indication{Pegging: layout.PegIntake}, "intake pressure of 0 bar"},
		{good, Indication{Exponent: 3}, "between 1 and 1.7"},
		{good, Indication{From: -1, To: -0.99}, "10 deg long"},
		{good, Indication{Shift: num.Angle(math.NaN())}, "a shift of NaN"},
		{hole, Indication{}, "no pressures from -61 to -30 deg"},
	} {
		if _, err := Indicate(e.m, 0, m.c, layout.FourStroke, e.o); err == nil || !strings.Contains(err.Error(), e.want) {
			t.Errorf("want %q: %v", e.want, err)
		}
	}
}

// TestIndicatePegging finds the zero in each of the ways.
func TestIndicatePegging(t *testing.T) {
	m := pilotModel(t, layout.FourStroke)
	for _, e := range []struct {
		o        Indication
		absolute bool
		want     float64
		warning  string
	}{
		{Indication{Pegging: layout.PegIntake, Intake: m.intake}, false, 0.6e5, ""},
		{Indication{Pegging: layout.PegPolytropic, Exponent: m.n}, false, 0.6e5, ""},
		{Indication{Pegging: layout.PegNone}, false, 101325, "count from the atmosphere"},
		{Indication{}, true, 0, "the zero of the pressure looks wrong"},
	} {
		tr := m.trace(0.5, 0, 0.6e5, 0.01e5, 5)
		tr.Absolute = e.absolute
		r, err := Indicate(tr, 0, m.c, layout.FourStroke, e.o)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "offset", r.Offset, e.want, 0.01e5)
		if all := strings.Join(r.Warnings, "\n"); e.warning == "" && all != "" || !strings.Contains(all, e.warning) {
			t.Errorf("%+v: %q", e.o, r.Warnings)
		}
	}
}

// TestIndicateHalf has only the revolution about firing top dead centre: the rest is bridged and said.
func TestIndicateHalf(t *testing.T) {
	m := pilotModel(t, layout.FourStroke)
	_, gross := m.imep()
	tr := m.trace(0.5, 0, 1e5, 0, 1)
	tr.Angles, tr.Pressures[0] = tr.Angles[360:1081], tr.Pressures[0][360:1081]
	r, err := Indicate(tr, 0, m.c, layout.FourStroke, Indication{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "gross", r.Gross, gross, 2e-3*gross)
	near(t, "pumping", r.Pumping, 0, 0.05e5)
	if len(r.Warnings) != 1 || !strings.Contains(r.Warnings[0], "the work of those strokes is not measured") {
		t.Errorf("%q", r.Warnings)
	}
}

// TestIndicateArbitrary holds any trace against two promises: an error, or a result of finite numbers.
func TestIndicateArbitrary(t *testing.T) {
	m := pilotModel(t, layout.FourStroke)
	rapid.Check(t, func(t *rapid.T) {
		cycle := layout.Cycle(rapid.IntRange(0, 1).Draw(t, "cycle"))
		n := rapid.IntRange(0, 300).Draw(t, "samples")
		seed := rapid.Uint64().Draw(t, "seed")
		rough := rapid.Float64Range(0, 1).Draw(t, "rough")
		size := math.Pow(10, rapid.Float64Range(-3, 9).Draw(t, "size"))
		rnd := rand.New(rand.NewPCG(seed, 2))
		tr := &layout.Trace{Pressures: make([][]float64, 1), Absolute: seed%2 == 0}
		for i := range n {
			a := num.Angle(float64(i)/float64(n)+0.01*rough*rnd.NormFloat64()) * cycle.Period()
			tr.Angles = append(tr.Angles, a)
			p := (1-rough)*m.at(a)*size/1e6 + rough*size*(rnd.Float64()-0.5)
			tr.Pressures[0] = append(tr.Pressures[0], min(1e9, max(-1e9, p)))
		}
		o := Indication{
			Samples: rapid.SampledFrom([]int{0, 90, 361, 1440}).Draw(t, "wanted"),
			Shift:   num.Angle(rapid.Float64Range(-0.5, 0.5).Draw(t, "shift")),
			Pegging: layout.Pegging(rapid.IntRange(0, 3).Draw(t, "pegging")), Intake: 1e5,
		}
		r, err := Indicate(tr, 0, m.c, cycle, o)
		if err != nil {
			return
		}
		for _, v := range append([]float64{
			r.Offset, r.Exponent, float64(r.TDCError), float64(r.TDCSpread), r.IMEP, r.Gross, r.Pumping,
			r.PeakPressure, float64(r.PeakAngle), float64(r.From), float64(r.To),
		}, r.Pressure...) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("not finite: %+v", r)
			}
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

// TestIndicateTellsAForeignZero takes a trace whose crank angles count from elsewhere: no shift is proposed that the
// search merely ended at.
func TestIndicateTellsAForeignZero(t *testing.T) {
	m := pilotModel(t, layout.FourStroke)
	for _, wrong := range []float64{-40, 40} {
		r, err := Indicate(m.trace(0.5, num.Degrees(wrong), 1e5, 0, 1), 0, m.c, layout.FourStroke, Indication{})
		if err != nil {
			t.Logf("%g: %v", wrong, err)
			continue
		}
		said := strings.Join(r.Warnings, "\n")
		t.Logf("%g: TDC %.2f: %s", wrong, r.TDCError.Deg(), said)
		if strings.Contains(said, "set trace_shift") || len(r.Warnings) == 0 {
			t.Errorf("angles wrong by %g deg: %s", wrong, said)
		}
	}
}
