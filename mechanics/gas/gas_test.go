package gas

import (
	"math"
	"testing"

	"crankwright/mechanics/layout"
	"crankwright/mechanics/motion"
	"crankwright/num"
)

// textbook is a cylinder without losses, with constant specific heats, an infinite rod and the ideal exchange.
func textbook(t testing.TB, ratio, k, p1, t1, heat float64, release Release) Setting {
	t.Helper()
	c, err := InfiniteRod(0.2, 0.3, ratio)
	if err != nil {
		t.Fatal(err)
	}
	s := Setting{
		Chamber: c, Speed: 100, Intake: p1, Temperature: t1, Exhaust: p1,
		Fluid: Fluid{K: k}, Fuel: Fuel{Heat: 1, Premixed: true}, Release: release,
	}
	v1 := c.Displacement() * ratio / (ratio - 1)
	s.Fuel.Heat = heat * p1 * v1
	return s
}

// TestFiniteHeatRelease is the textbook example of finite heat release (checks.md 6.4).
func TestFiniteHeatRelease(t *testing.T) {
	for _, e := range []struct{ start, peak, at, work, efficiency, imep float64 }{
		{-20, 87.782, 10.8, 11.8408, 0.59204, 13.1564},
		{0, 53.533, 27.7, 11.0362, 0.55181, 12.2624},
	} {
		s := textbook(t, 10, 1.4, 1e5, 300, 20, SparkRelease(num.Degrees(e.start), num.Degrees(40)))
		r := solved(t, s)
		v1 := s.Chamber.Displacement() / 0.9
		t.Logf("start %g: p %.5f at %.3f, W %.5f, η %.6f, imep %.5f, first law %.2g", e.start,
			r.PeakPressure/1e5, r.PeakAngle.Deg(), r.Work/1e5/v1, r.Efficiency, r.IMEP/1e5, r.Balance.Share)
		near(t, "peak", r.PeakPressure/1e5, e.peak, 1e-4*e.peak)
		near(t, "angle", r.PeakAngle.Deg(), e.at, 0.1) // printed on a grid of 0.1 degree
		near(t, "work", r.Work/1e5/v1, e.work, 1e-4*e.work)
		near(t, "efficiency", r.Efficiency, e.efficiency, 1e-4*e.efficiency)
		near(t, "imep", r.IMEP/1e5, e.imep, 1e-4*e.imep)
	}
}

// TestOttoLimit lets the heat come ever faster: the model goes to the closed form.
func TestOttoLimit(t *testing.T) {
	last := 1.0
	for _, duration := range []float64{4, 1, 0.25, 0.05} {
		s := textbook(t, 8, 1.4, 1e5, 300, 10, Release{{Share: 1, Start: num.Degrees(-duration / 2), Duration: num.Degrees(duration), A: 20, M: 2}})
		r := solved(t, s)
		α := 1 + 10*0.4/math.Pow(8, 0.4)
		c := AirStandard{Ratio: 8, K: 1.4, P1: 1e5, T1: 300, Pressure: α, Cutoff: 1}
		η, err := c.Efficiency()
		if err != nil {
			t.Fatal(err)
		}
		mep, _ := c.MEP()
		points, _ := c.Points()
		gap := math.Abs(r.Efficiency - η)
		t.Logf("%g deg: η %.9f, closed form %.9f; imep %.9g, %.9g; peak %.8g, %.8g", duration, r.Efficiency, η, r.IMEP, mep, r.PeakPressure, points[2].P)
		if gap > last {
			t.Errorf("%g deg: the gap grows to %g", duration, gap)
		}
		last = gap
		if duration == 0.05 {
			near(t, "efficiency", r.Efficiency, η, 1e-7)
			near(t, "mep", r.IMEP, mep, 1e-6*mep)
			near(t, "pressure", r.PeakPressure, points[2].P, 1e-4*points[2].P)
			near(t, "end of expansion", r.Temperature[359], points[4].T, 1e-3*points[4].T)
		}
	}
}

// constantPressure is a release in many parts that keeps the pressure: heat in proportion to the volume gained. With
// a small a and m = 0 each part burns nearly evenly but only the share 1 − e^−a; the shares and the heat make up for it.
func constantPressure(s *Setting, first, cutoff float64, parts int) {
	const a = 0.1
	vc, _ := s.Chamber.Volume(0)
	angle := func(v float64) num.Angle { // of the infinite rod
		return num.Angle(math.Acos(1 - 2*(v-vc)/s.Chamber.Displacement()))
	}
	s.Release = nil
	if first > 0 {
		s.Release = append(s.Release, Wiebe{Share: first, Start: -2e-4, Duration: 4e-4, A: 20, M: 2})
	}
	for i := range parts {
		// even steps of the angle: the heat of each in proportion to the volume it covers
		end := angle(vc * cutoff)
		from, to := end*num.Angle(i)/num.Angle(parts), end*num.Angle(i+1)/num.Angle(parts)
		va, _ := s.Chamber.Volume(from)
		vb, _ := s.Chamber.Volume(to)
		share := (1 - first) * (vb - va) / (vc * (cutoff - 1)) / -math.Expm1(-a)
		s.Release = append(s.Release, Wiebe{Share: share, Start: from, Duration: to - from, A: a})
	}
	all := 0.0
	for _, w := range s.Release {
		all += w.Share
	}
	for i := range s.Release {
		s.Release[i].Share /= all
	}
	s.Fuel.Heat *= all
}

// TestDieselAndDualLimit feeds the heat so that the pressure stays: Diesel 2.4 and dual 2.8 of GUP.
func TestDieselAndDualLimit(t *testing.T) {
	for _, e := range []struct {
		name           string
		ratio, α, β, η float64
	}{
		{"Diesel", 16, 1, 2.2, 0.604202},
		{"dual", 15, 1200.0 / 886.25, 1312.07 / 1200.0, 0.65943},
	} {
		c := AirStandard{Ratio: e.ratio, K: 1.4, P1: 1e5, T1: 300, Pressure: e.α, Cutoff: e.β}
		want, err := c.Efficiency()
		if err != nil {
			t.Fatal(err)
		}
		near(t, e.name+" closed form", want, e.η, 1e-5)
		atVolume := e.α - 1
		all := atVolume + 1.4*e.α*(e.β-1)
		heat := math.Pow(e.ratio, 0.4) * all / 0.4
		s := textbook(t, e.ratio, 1.4, 1e5, 300, heat, nil)
		constantPressure(&s, atVolume/all, e.β, 200)
		r := solved(t, s)
		η := r.Work / r.Balance.Released
		points, _ := c.Points()
		t.Logf("%s: η %.7f, closed form %.7f; peak %.6g, %.6g", e.name, η, want, r.PeakPressure, points[3].P)
		near(t, e.name, η, want, 1e-5)
		near(t, e.name+" peak", r.PeakPressure, points[3].P, 2e-3*points[3].P)
	}
}

// TestWiebePoints holds the function to checks.md 6.2.
func TestWiebePoints(t *testing.T) {
	for _, e := range []struct{ a, m, half, p10, p50, p90 float64 }{
		{5, 2, 0.46474, 0.27621, 0.51755, 0.77223},
		{6.908, 2, 0.57832, 0.24799, 0.46468, 0.69335},
		{5, 3, 0.26838, 0.38100, 0.61019, 0.82378},
	} {
		r := Release{{Share: 1, Start: -0.1, Duration: 1, A: e.a, M: e.m}}
		near(t, "half", r.Burned(0.4), e.half, 5e-6)
		for share, want := range map[float64]float64{0.1: e.p10, 0.5: e.p50, 0.9: e.p90} {
			θ, ok := r.Reaches(share)
			if !ok {
				t.Fatal("never reached")
			}
			near(t, "share", float64(θ)+0.1, want, 5e-6)
		}
	}
	near(t, "end", SparkRelease(0, 1).Burned(2), 0.99326, 5e-6)
	moved, err := DieselRelease(0, 0.2, 0.1, 1).Phased(0.3)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "phased", moved.Burned(0.3), 0.5, 1e-12)
	// the rate is the derivative of the share
	w := Wiebe{Share: 1, Start: 0.1, Duration: 0.7, A: 6, M: 1.3}
	for θ := num.Angle(0.15); θ < 0.8; θ += 0.05 {
		near(t, "rate", w.rate(θ), (w.Burned(θ+1e-6)-w.Burned(θ-1e-6))/2e-6, 1e-8)
	}
}

func TestWoschni(t *testing.T) {
	near(t, "h", Woschni(0.1, 1e6, 1200, WoschniSpeed(false, 10, 0)), 320.64, 0.005)
	near(t, "exchange", WoschniSpeed(true, 10, 99), 61.8, 1e-12)
	near(t, "burning", WoschniSpeed(false, 10, 1000), 26.04, 1e-12)
}

// TestFluid holds the properties to their derivatives and to the tables of air, from memory.
func TestFluid(t *testing.T) {
	var f Fluid
	for _, T := range []float64{250, 600, 1400, 2300, 3000, 4000} {
		for _, φ := range []float64{0, 0.4, 1} {
			_, cv, uφ := f.Energy(T, φ)
			u1, _, _ := f.Energy(T+0.01, φ)
			u0, _, _ := f.Energy(T-0.01, φ)
			near(t, "cv", cv, (u1-u0)/0.02, 1e-4)
			u1, _, _ = f.Energy(T, φ+1e-5)
			u0, _, _ = f.Energy(T, φ-1e-5)
			near(t, "uφ", uφ, (u1-u0)/2e-5, 1e-2)
			if k := f.Ratio(T, φ); !(k > 1.1 && k < 1.41) {
				t.Errorf("κ = %g at %g K, φ = %g", k, T, φ)
			}
		}
	}
	for T, want := range map[float64]float64{300: 718, 1000: 855, 2000: 963} { // air
		_, cv, _ := f.Energy(T, 0)
		near(t, "air", cv, want, 0.015*want)
	}
}

// TestFlow holds the nozzle to the choked closed form and to its continuity.
func TestFlow(t *testing.T) {
	choked := 1e5 / math.Sqrt(GasConstant*300) * math.Sqrt(1.4) * math.Pow(2/2.4, 2.4/0.8)
	near(t, "choked", Flow(1, 1e5, 300, 1.4, 0.2e5), choked, 1e-9*choked)
	near(t, "just choked", Flow(1, 1e5, 300, 1.4, 0.5282e5), choked, 1e-6*choked)
	near(t, "equal", Flow(1, 1e5, 300, 1.4, 1e5), 0, 0)
	a, b := Flow(1, 1e5, 300, 1.4, 0.995000001e5), Flow(1, 1e5, 300, 1.4, 0.994999999e5)
	near(t, "joint", a, b, 1e-6*b)
}

// TestVolume holds the chamber to the geometry and to its derivative.
func TestVolume(t *testing.T) {
	c, err := NewChamber(motion.Linkage{Radius: 0.045, Length: 0.145, Offset: 0.01}, 0.09, 11)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "stroke", c.Stroke(), 0.09023792, 5e-9) // checks.md 1.2
	bottom := num.Degrees(180 + 5.73917 - 3.01696)  // likewise
	v0, d0 := c.Volume(0)
	v1, d1 := c.Volume(bottom)
	near(t, "ratio", v1/v0, 11, 1e-9)
	near(t, "top", d0, 0, 1e-15)
	near(t, "bottom", d1, 0, 1e-10)
	for θ := num.Angle(-7); θ < 7; θ += 0.37 {
		a, _ := c.Volume(θ - 1e-6)
		b, _ := c.Volume(θ + 1e-6)
		_, dv := c.Volume(θ)
		near(t, "derivative", dv, (b-a)/2e-6, 1e-10)
	}
	long, err := NewChamber(motion.Linkage{Radius: 0.045, Length: 900}, 0.09, 11)
	if err != nil {
		t.Fatal(err)
	}
	flat, err := InfiniteRod(0.09, 0.09, 11)
	if err != nil {
		t.Fatal(err)
	}
	a, _ := long.Volume(1)
	b, _ := flat.Volume(1)
	near(t, "infinite rod", a, b, 1e-4*b)
}

// TestFirstLaw closes the balance of engines that breathe, fire, miss, idle and run with ports.
func TestFirstLaw(t *testing.T) {
	idle := launchPetrol(t)
	idle.Intake, idle.Speed = 0.35e5, 800*math.Pi/30
	fast := launchPetrol(t)
	fast.Speed = 9000 * math.Pi / 30
	rich := launchPetrol(t)
	rich.Fuel = Petrol(0.85)
	closed := pilotDiesel(t)
	closed.Valves = nil
	scavenged := outboard(t)
	scavenged.Valves = nil
	for name, s := range map[string]Setting{
		"diesel": pilotDiesel(t), "petrol": launchPetrol(t), "ports": outboard(t), "idle": idle, "fast": fast, "rich": rich,
		"ideal exchange": closed, "ideal two-stroke": scavenged,
	} {
		for _, motored := range []bool{false, true} {
			s.Motored = motored
			r := solved(t, s)
			b := r.Balance
			t.Logf("%s, motored %v: first law %.2g in %d cycles; imep %.4g bar, pumping %.3g bar, peak %.4g bar at %.3g deg, η %.3f, residual gas %.3f, exhaust %.0f K, to the walls %.3f",
				name, motored, b.Share, r.Cycles, r.IMEP/1e5, r.Pumping/1e5, r.PeakPressure/1e5, r.PeakAngle.Deg(), r.Efficiency, r.Residual, r.ExhaustT, b.Wall/max(1, b.Released))
			if !(b.Share < 1e-6) {
				t.Errorf("%s: the first law closes to %g only", name, b.Share)
			}
			// the samples are the same cycle: their area is the work, but for the jump where the ideal exchange has one
			near(t, name+": ∮ p dV", area(&s, r), r.Work, 2e-5*max(b.Released, math.Abs(r.Work)))
			// and the heat of the curves is that of the balance
			sum := 0.0
			for _, q := range r.WallRate {
				sum += q * float64(r.Period) / float64(len(r.WallRate))
			}
			if s.Valves != nil {
				near(t, name+": wall", sum, b.Wall, 2e-4*max(100, b.Released))
			}
			if motored && !(r.IMEP <= 0) {
				t.Errorf("%s: a motored cylinder gives work", name)
			}
		}
	}
}

// TestOrderOfAccuracy cuts the steps in four: the work changes by little more than a millionth.
func TestOrderOfAccuracy(t *testing.T) {
	for name, s := range map[string]Setting{"diesel": pilotDiesel(t), "petrol": launchPetrol(t), "ports": outboard(t)} {
		a := solved(t, s)
		s.Samples = 4 * len(a.Pressure)
		b := solved(t, s)
		t.Logf("%s: work %.10g, a quarter of the step %.10g; peak %.8g, %.8g", name, a.Work, b.Work, a.PeakPressure, b.PeakPressure)
		near(t, name, a.Work, b.Work, 3e-6*b.Work)
		near(t, name+" peak", a.PeakPressure, b.PeakPressure, 3e-6*b.PeakPressure)
	}
}

// TestFirstLawIsNoIdentity: where the march itself keeps energy whatever its steps (constant specific heats, nothing
// flows), the balance still sees the error of long steps, and sees it fall with the fourth power.
func TestFirstLawIsNoIdentity(t *testing.T) {
	s := textbook(t, 20, 1.4, 1e5, 300, 20, nil)
	s.Motored = true
	var share [2]float64
	for i, samples := range []int{360, 1440} {
		s.Samples = samples
		share[i] = solved(t, s).Balance.Share
	}
	t.Logf("first law %.2g, a quarter of the steps %.2g", share[0], share[1])
	if !(share[0] > 1e-10 && share[1] < share[0]/100) {
		t.Errorf("first law %g, a quarter of the steps %g", share[0], share[1])
	}
}

// TestSteepRelease burns with slopes that no step follows: the heat is still all there.
func TestSteepRelease(t *testing.T) {
	for _, m := range []float64{0, 0.2, 0.5, 6, 20} {
		s := pilotDiesel(t)
		s.Release = Release{{Share: 1, Start: -0.1, Duration: 0.9, A: 6.908, M: m}}
		r := solved(t, s)
		sum := 0.0
		for _, q := range r.ReleaseRate {
			sum += q * float64(r.Period) / float64(len(r.ReleaseRate))
		}
		t.Logf("m = %g: first law %.2g, work %.6g", m, r.Balance.Share, r.Work)
		near(t, "heat of the samples", sum, r.Balance.Released, 5e-3*r.Balance.Released)
	}
}

// TestSense checks what must grow and what must fall.
func TestSense(t *testing.T) {
	base := launchPetrol(t)
	r := solved(t, base)
	throttled := base
	throttled.Intake = 0.5e5
	// the loop grows by less than the 0.45 bar of the throttle: the thinner charge passes the valves more easily
	if q := solved(t, throttled); !(q.IMEP < 0.6*r.IMEP && q.Pumping < r.Pumping-0.25e5 && q.Residual > r.Residual) {
		t.Errorf("throttled: imep %g, pumping %g, residual %g", q.IMEP, q.Pumping, q.Residual)
	}
	boosted := base
	boosted.Intake, boosted.Exhaust = 1.8e5, 1.3e5
	boosted.Speed = 800 * math.Pi / 30 // at 3000 rpm the valves and the blow-down take the 0.5 bar
	if q := solved(t, boosted); !(q.Pumping > 0 && q.IMEP > 1.5*r.IMEP) {
		t.Errorf("boosted: imep %g, pumping %g", q.IMEP, q.Pumping)
	}
	cold := base
	cold.Wall = nil
	if q := solved(t, cold); !(q.Efficiency > r.Efficiency && q.Balance.Wall == 0) {
		t.Errorf("without walls: efficiency %g against %g", q.Efficiency, r.Efficiency)
	}
	late := base
	late.Release = SparkRelease(num.Degrees(5), num.Degrees(55))
	if q := solved(t, late); !(q.PeakPressure < r.PeakPressure && q.ExhaustT > r.ExhaustT && q.Efficiency < r.Efficiency) {
		t.Errorf("late: peak %g, exhaust %g, efficiency %g", q.PeakPressure, q.ExhaustT, q.Efficiency)
	}
}

// TestTarget meets mean effective pressures by both levers and says where it cannot.
func TestTarget(t *testing.T) {
	for _, imep := range []float64{2.5e5, 6e5, 11e5, 18e5} {
		r, s, err := SolveIMEP(launchPetrol(t), imep, ByIntake)
		if err != nil {
			t.Fatal(err)
		}
		again := solved(t, s)
		t.Logf("petrol %.3g bar: intake %.4g bar, λ %.3g", imep/1e5, s.Intake/1e5, r.Lambda)
		near(t, "petrol", again.IMEP, imep, 3e-6*imep)
		if d, s, err := SolveIMEP(pilotDiesel(t), imep, ByFuel); err != nil {
			t.Error(err)
		} else {
			t.Logf("diesel %.3g bar: λ %.4g", imep/1e5, s.Fuel.Lambda)
			near(t, "diesel", d.IMEP, imep, 2e-6*imep)
		}
	}
	if LeverOf(Petrol(1)) != ByIntake || LeverOf(DieselFuel(2)) != ByFuel {
		t.Error("levers")
	}
	blown := pilotDiesel(t) // by so much boost that it gives work without fuel
	blown.Intake, blown.Exhaust, blown.Speed = 5e5, 1e5, 60
	for _, imep := range []float64{60e5, 1000, math.NaN(), -1} {
		s := pilotDiesel(t)
		if imep == 1000 {
			s = blown
		}
		if _, _, err := SolveIMEP(s, imep, ByFuel); err == nil {
			t.Errorf("%g Pa is reached", imep)
		} else {
			t.Log(err)
		}
	}
	ideal := pilotDiesel(t)
	ideal.Valves, ideal.Fuel.Heat = nil, 1000
	r, s, err := SolveIMEP(ideal, 9e5, ByFuel)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "heat", r.IMEP, 9e5, 1)
	near(t, "heat given", r.Balance.Fuel, s.Fuel.Heat, 1e-9*s.Fuel.Heat)
}

// TestSolveFresh meets fresh charges of a throttled and of a two-stroke cylinder and says where it cannot.
func TestSolveFresh(t *testing.T) {
	petrol := launchPetrol(t)
	full := solved(t, petrol)
	for _, share := range []float64{0.25, 1, 1.6} {
		r, s, err := SolveFresh(petrol, share*full.Fresh)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "fresh charge", solved(t, s).Fresh, share*full.Fresh, 3e-6*share*full.Fresh)
		near(t, "volumetric efficiency", r.Volumetric, r.Fresh*GasConstant*s.Temperature/(s.Intake*s.Chamber.Displacement()), 1e-12)
	}
	for _, mass := range []float64{0, -1, math.NaN(), 1e6, 100, 1e-9} {
		if _, _, err := SolveFresh(petrol, mass); err == nil {
			t.Errorf("%g kg come in", mass)
		} else {
			t.Log(err)
		}
	}
}

// TestClockwise: the mirror image of a train has the same gas.
func TestClockwise(t *testing.T) {
	train := &layout.Train{
		Bore: 0.1, Gas: layout.Gas{CompressionRatio: 12},
		Throws:    []layout.Throw{{Name: "1", Radius: 0.05}},
		Banks:     []layout.Bank{{Name: "a"}},
		Cylinders: []layout.Cylinder{{Name: "1", Offset: 0.008, Rod: layout.Rod{Length: 0.17}, Piston: layout.Piston{PinOffset: 0.001}}},
	}
	a, err := ChamberOf(train, 0)
	if err != nil {
		t.Fatal(err)
	}
	train.Rotation = layout.Clockwise
	b, err := ChamberOf(train, 0)
	if err != nil {
		t.Fatal(err)
	}
	va, _ := a.Volume(0.7)
	vb, _ := b.Volume(0.7)
	near(t, "volume", va, vb, 0)
	if _, err := ChamberOf(train, 1); err == nil {
		t.Error("there is no second cylinder")
	}
}
