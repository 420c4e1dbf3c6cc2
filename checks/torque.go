package checks

import (
	"fmt"
	"math"
	"math/cmplx"
	"sync"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/torque"
	"crankwright/num"
)

// torques lists what torque, flywheels and friction are held to.
func (l *list) torques() {
	l.turningMoments()
	l.flywheels()
	l.gasHarmonics()
	l.frictionPressures()
}

// The turning moment diagrams of the sources, sampled.
const diagramSteps = 14400

// diagram samples a torque over one period.
func diagram(period float64, of func(θ float64) float64) []float64 {
	x := make([]float64, diagramSteps)
	for j := range x {
		x[j] = of(period * float64(j) / diagramSteps)
	}
	return x
}

// rpm returns a speed that is given in revolutions a minute [rad/s].
func rpm(n float64) float64 { return n * math.Pi / 30 }

// worked adds what a source prints of one example.
func (l *list) worked(base Check, rows ...Check) {
	for _, r := range rows {
		c := base
		c.ID, c.What, c.Unit, c.Printed, c.Ours = base.ID+"/"+r.ID, r.What, r.Unit, r.Printed, r.Ours
		c.Want, c.Tol, c.TolWhy, c.Note = number(r.Printed), r.Tol, r.TolWhy, r.Note
		l.add(c)
	}
}

// turningMoments are the examples whose torque is given over the angle or by areas.
func (l *list) turningMoments() {
	kg := func(example string, seen Seen) Check {
		return Check{ID: "flywheel/kg-" + example, Chapter: "torque", Kind: Published, Source: "KG", Place: "ex. " + example, Seen: seen}
	}
	excess := func(x []float64, period float64) func() (float64, error) {
		return func() (float64, error) { e, _, err := torque.ExcessOf(x, period); return e, err }
	}
	mean := func(x []float64, period float64) func() (float64, error) {
		return func() (float64, error) { _, m, err := torque.ExcessOf(x, period); return m, err }
	}
	times := func(f func() (float64, error), by float64) func() (float64, error) {
		return func() (float64, error) { v, err := f(); return v * by, err }
	}
	fluctuation := func(f func() (float64, error), inertia, ω float64) func() (float64, error) {
		return func() (float64, error) {
			e, err := f()
			if err != nil {
				return 0, err
			}
			return torque.ClassicFluctuation(e, inertia, ω)
		}
	}
	areas := func(scale float64, list ...float64) func() (float64, error) {
		for i := range list {
			list[i] *= scale
		}
		return func() (float64, error) { return torque.ExcessOfAreas(list) }
	}

	four := areas(5*math.Pi/180, 295, -685, 40, -340, 960, -270)
	l.worked(kg("16.4", Memory), Check{
		ID: "fluctuation", What: "coefficient of fluctuation from six areas", Unit: "%", Printed: ".3 %",
		Ours: times(fluctuation(four, 36*0.15*0.15, rpm(1800)), 100),
		Note: "the source adds 285 + 690 where the levels are 295 and -690; both round to .3 %",
	})
	five := areas(600*math.Pi/60, 52, -124, 92, -140, 85, -72, 107)
	l.worked(kg("16.5", Memory), Check{
		ID: "mass", What: "mass of the flywheel at 0.5 m radius", Unit: "kg", Printed: "182 kg", Tol: 0.6, TolWhy: "the source cuts 182.50 off",
		Ours: func() (float64, error) {
			e, err := five()
			if err != nil {
				return 0, err
			}
			j, err := torque.ClassicInertia(e, 0.03, rpm(600))
			return j / 0.25, err
		},
	})

	six := diagram(6*math.Pi, func(θ float64) float64 { // rise, plateau and fall, the slopes π wide
		return 750 + 2250*max(0, min(1, θ/math.Pi, (4*math.Pi-θ)/math.Pi))
	})
	l.worked(
		kg("16.6", Read),
		Check{ID: "power", What: "power of the motor", Unit: "kW", Printed: "49.087 kW", Ours: times(mean(six, 6*math.Pi), rpm(250)/1000)},
		Check{ID: "fluctuation", What: "coefficient of fluctuation", Unit: "1", Printed: ".072", Ours: fluctuation(excess(six, 6*math.Pi), 500*0.36, rpm(250))},
	)

	eight := diagram(2*math.Pi, func(θ float64) float64 {
		sum := 0.0
		for i := range 3 {
			x := math.Mod(θ+float64(i)*2*math.Pi/3, 2*math.Pi)
			sum += 90 * max(0, min(x/(math.Pi/3), (math.Pi-x)/(2*math.Pi/3)))
		}
		return sum
	})
	inertia := 12 * 0.08 * 0.08
	l.worked(
		kg("16.8", Read),
		Check{ID: "power", What: "power of three cylinders with triangular torque", Unit: "kW", Printed: "4.24 kW", Ours: times(mean(eight, 2*math.Pi), rpm(600)/1000)},
		Check{ID: "fluctuation", What: "coefficient of fluctuation", Unit: "%", Printed: "4 %", Ours: times(fluctuation(excess(eight, 2*math.Pi), inertia, rpm(600)), 100)},
		Check{ID: "energy", What: "excess of energy over the work of a revolution", Unit: "%", Printed: "2.78 %", Ours: func() (float64, error) {
			e, m, err := torque.ExcessOf(eight, 2*math.Pi)
			return 100 * e / (m * 2 * math.Pi), err
		}},
		Check{
			ID: "acceleration", What: "largest angular acceleration", Unit: "rad/s²", Printed: "292 rad/s2", Tol: 1, TolWhy: "the source cuts 292.97 off",
			Ours: func() (float64, error) {
				s, err := solvedOver(diagramOver(eight, 2), inertia, rpm(600))
				if err != nil {
					return 0, err
				}
				most := 0.0
				for _, a := range s.Acceleration {
					most = max(most, a)
				}
				return most, nil
			},
		},
	)

	eleven := diagram(2*math.Pi, func(θ float64) float64 { return 20000 + 9500*math.Sin(2*θ) - 5700*math.Cos(2*θ) })
	l.worked(
		kg("16.11", Read),
		Check{ID: "power", What: "power", Unit: "kW", Printed: "377 kW", Ours: times(mean(eleven, 2*math.Pi), rpm(180)/1000)},
		Check{ID: "excess", What: "excess of energy", Unit: "J", Printed: "11078 J", Tol: 1, TolWhy: "the source cuts hypot(9500, 5700) = 11078.8 off", Ours: excess(eleven, 2*math.Pi)},
		Check{
			ID: "inertia", What: "moment of inertia for 1 %, on the exact energy equation", Unit: "kg m²", Printed: "3121 kg m2", Tol: 4, TolWhy: "the source rounds the speed; unrounded 3118.1",
			Ours: func() (float64, error) {
				f, err := torque.FindFlywheel(torque.Rotor{}, diagramOver(eleven, 2), nil, rpm(180), 0.01)
				if err != nil {
					return 0, err
				}
				return f.Inertia, nil
			},
		},
		Check{
			ID: "acceleration", What: "angular acceleration at 45°", Unit: "rad/s²", Printed: "3.044 rad/s2", Tol: 0.001, TolWhy: "the source cuts off 9500/3121 = 3.04390; its moment of inertia is taken",
			Ours: func() (float64, error) {
				s, err := solvedOver(diagramOver(eleven, 2), 3121, rpm(180))
				if err != nil {
					return 0, err
				}
				return s.Acceleration[len(s.Acceleration)/16], nil
			},
		},
	)

	bev := Check{ID: "flywheel/bev-12.10", Chapter: "torque", Kind: Published, Source: "BEV", Place: "ex. 12.10", Seen: Read}
	work := 25 * 33000 / 150.0 // ft lb in a cycle
	expansion := work * 2.3 / 1.3
	peak := 2 * expansion / math.Pi
	net := work - expansion // compression, taken as spread over the other strokes: it must not change the mean
	push := diagram(4*math.Pi, func(θ float64) float64 {
		if θ > math.Pi {
			return net / (3 * math.Pi)
		}
		return peak * min(θ, math.Pi-θ) / (math.Pi / 2)
	})
	l.worked(bev, Check{
		ID: "inertia", What: "moment of inertia for 2 % with a triangular expansion", Unit: "lb ft²", Printed: "13710 lb ft2",
		Ours: func() (float64, error) {
			e, _, err := torque.ExcessOf(push, 4*math.Pi)
			if err != nil {
				return 0, err
			}
			j, err := torque.ClassicInertia(e, 0.02, rpm(300))
			return 32.2 * j, err
		},
	})
}

// diagramOver repeats a diagram and thins it out to 7200 values, the angles of a speed solution.
func diagramOver(x []float64, times int) []float64 {
	out := make([]float64, 7200)
	for j := range out {
		out[j] = x[j*times*len(x)/len(out)%len(x)]
	}
	return out
}

func solvedOver(drive []float64, inertia, ω float64) (*torque.Speed, error) {
	var s torque.Speed
	err := s.Solve(torque.Rotor{Inertia: inertia}, drive, nil, ω)
	return &s, err
}

// flywheels are the examples that start from a given excess of energy.
func (l *list) flywheels() {
	base := Check{Chapter: "torque", Kind: Published, Seen: Read}
	one := func(id, source, place string, c Check) {
		b := base
		b.ID, b.Source, b.Place = id, source, place
		l.worked(b, c)
	}
	one("flywheel/kg-16.3", "KG", "ex. 16.3, p. 574", Check{
		ID: "mass", What: "mass of a flywheel with 2 m radius of gyration", Unit: "kg", Printed: "5628 kg", Tol: 1, TolWhy: "the source cuts 5628.95 off",
		Ours: func() (float64, error) {
			j, err := torque.ClassicInertia(0.1*300e3*60/90, 0.01, rpm(90))
			return j / 4, err
		},
	})
	rim := func() (mass, area float64, err error) {
		j, err := torque.ClassicInertia(0.1*150e3*60/80, 0.04, rpm(80))
		if err != nil {
			return 0, 0, err
		}
		return torque.ThinRim(0.95*j, torque.Material{Density: 7200}, 2)
	}
	one("flywheel/kg-16.15", "KG", "ex. 16.15, p. 594", Check{
		ID: "mass", What: "mass of the rim", Unit: "kg", Printed: "3787 kg", Tol: 21, TolWhy: "the source rounds the speed to 8.4 rad/s; unrounded 3806.97 kg",
		Ours: func() (float64, error) { m, _, err := rim(); return m, err },
	})
	one("flywheel/kg-16.15", "KG", "ex. 16.15, p. 594", Check{
		ID: "area", What: "cross section of the rim", Unit: "m²", Printed: ".084 m2",
		Ours: func() (float64, error) { _, a, err := rim(); return a, err },
	})
	one("flywheel/bev-12.8", "BEV", "ex. 12.8", Check{
		ID: "weight", What: "weight of a flywheel with 3.5 ft radius of gyration", Unit: "ton", Printed: "1.86 tons",
		Ours: func() (float64, error) {
			j, err := torque.ClassicInertia(2500, 0.01, rpm(120))
			return j * 32.2 / (3.5 * 3.5) / 2240, err
		},
	})
	one("flywheel/bev-12.7", "BEV", "ex. 12.7, p. 441", Check{
		ID: "generator", What: "coefficient of fluctuation for 28 poles and 3 impulses", Unit: "1", Printed: ".0179",
		Ours: func() (float64, error) { return torque.GeneratorFluctuation(3, 28) },
	})
}

// heatReleaseEngine is the finite-heat-release example as pressures over p1 by half degrees from top dead
// centre: dp/dθ = (k−1)/V Q dx/dθ − k p/V dV/dθ by Runge and Kutta's rule over the closed revolution, p1 over
// the other. Burning stops after its 40 degrees, with 99.3 % of the heat.
func heatReleaseEngine() []float64 {
	const k, ratio, q, steps = 1.4, 10.0, 20.0, 8 // steps in half a degree
	volume := func(θ float64) float64 { return (1 + (ratio-1)/2*(1-math.Cos(θ))) / ratio }
	start, length := -20*math.Pi/180, 40*math.Pi/180
	slope := func(θ, p float64, burns bool) float64 {
		heat := 0.0
		if burns {
			x := (θ - start) / length
			heat = q * 5 * 3 / length * x * x * math.Exp(-5*x*x*x)
		}
		return ((k-1)*heat - k*p*(ratio-1)/2*math.Sin(θ)/ratio) / volume(θ)
	}
	curve := make([]float64, 1440)
	for j := range curve {
		curve[j] = 1
	}
	p, h := 1.0, math.Pi/360/steps
	for j := range 720 * steps {
		θ := -math.Pi + h*float64(j)
		if j%steps == 0 {
			curve[(j/steps+1080)%1440] = p
		}
		burns := θ+h/2 > start && θ+h/2 < start+length
		k1 := slope(θ, p, burns)
		k2 := slope(θ+h/2, p+h/2*k1, burns)
		k3 := slope(θ+h/2, p+h/2*k2, burns)
		k4 := slope(θ+h, p+h*k3, burns)
		p += h / 6 * (k1 + 2*k2 + 2*k3 + k4)
	}
	return curve
}

// gasHarmonics holds the orders of the gas torque against those computed for the list of checks.
func (l *list) gasHarmonics() {
	train := &layout.Train{
		Name: "one cylinder", Bore: 1e-3,
		Throws: []layout.Throw{{Name: "1", Radius: 1e-3}},
		Cylinders: []layout.Cylinder{{
			Name: "1", Rod: layout.Rod{Length: 1000, CG: 1}, // as good as infinitely long
		}},
	}
	orders := sync.OnceValues(func() (num.Series, error) { // per p1 Vd
		s, err := firing.ForTrain(train)
		if err != nil {
			return nil, err
		}
		m, err := torque.NewMechanism(train, s, 1440)
		if err != nil {
			return nil, err
		}
		c, err := m.Curves(nil, [][]float64{heatReleaseEngine()}, 1, 0)
		if err != nil {
			return nil, err
		}
		for k := range c.Orders {
			c.Orders[k] /= complex(m.Swept, 0)
		}
		return c.Orders, nil
	})
	for k, printed := range []string{
		"1.04696", "2.1974", "2.2689", "2.0674", "1.6849", "1.3311", "1.0836", ".8887", ".7070", ".5552",
		".4529", ".3826", ".3185", ".2595", ".2181", ".1922", ".1679",
	} {
		c := Check{
			ID: fmt.Sprintf("gas-torque/heat-release/order-%g", float64(k)/2), Chapter: "torque", Kind: ClosedForm, Source: "FERGUSON", Seen: Recomputed,
			Place: "ch. 2, finite heat release, engine 1; pressures integrated here, harmonics recomputed", Unit: "p1 Vd",
			What: fmt.Sprintf("amplitude of order %g of the four-stroke gas torque", float64(k)/2), Printed: printed, Want: number(printed),
			Tol: 1e-4, TolWhy: "the recomputation stepped by 0.1 deg over the end of burning, which counts 4e-5 of the heat too much",
			Ours: func() (float64, error) {
				o, err := orders()
				return cmplx.Abs(o.Order(k)), err
			},
		}
		if k == 0 {
			c.What = "mean of the four-stroke gas torque, imep/4π"
		}
		l.add(c)
	}
}

// frictionPressures holds the friction correlations at one point each; the formulas are from memory, the
// values were computed by hand.
func (l *list) frictionPressures() {
	row := func(id, source, printed string, per float64, ours func() (torque.FMEP, error)) {
		l.add(Check{
			ID: "friction/" + id, Chapter: "torque", Kind: ClosedForm, Source: source, Seen: Recomputed,
			Place: "formula from memory, evaluated by hand", What: "friction mean effective pressure",
			Unit: map[float64]string{1e5: "bar", 1e3: "kPa"}[per], Printed: printed, Want: number(printed),
			Ours: func() (float64, error) { p, err := ours(); return p.Value / per, err },
		})
	}
	row("peak-and-speed", "CHENFLYNN", "2.107 bar", 1e5, func() (torque.FMEP, error) { return torque.ChenFlynn().FMEP(70e5, 10) })
	row("spark-3000-rpm", "HEYWOOD", "1.87 bar", 1e5, func() (torque.FMEP, error) { return torque.SparkIgnitionMotored(rpm(3000)) })
	row("compression-2000-rpm", "MILLINGTON", "196.6 kPa", 1e3, func() (torque.FMEP, error) {
		return torque.CompressionIgnitionMotored(torque.DirectInjection, rpm(2000), 8)
	})
}
