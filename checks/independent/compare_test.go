package independent

import (
	"math"
	"testing"

	"crankwright/mechanics/inertia"
	"crankwright/num"
)

// Ours agrees with what both programs printed. go test -v shows how well.
func TestOursAgrees(t *testing.T) {
	for _, e := range Engines() {
		for _, source := range []Source{Simbody, Numeric} {
			deviations, err := e.Against(source)
			if err != nil {
				t.Error(err)
				continue
			}
			for _, d := range deviations {
				t.Logf("%-18s %-7s %-6s %.1e of %10.4f %s", e.Stem, source, d.Quantity, d.Relative(), d.Scale(), d.Unit)
				if !(d.Most <= source.Limit(d)) {
					t.Errorf("%s: %s differs from %s by %.3g %s, %.2g of %.6g %s; %.2g %s is accepted",
						e.Stem, d.Quantity, source, d.Most, d.Unit, d.Relative(), d.Scale(), d.Unit, source.Limit(d), d.Unit)
				}
			}
		}
	}
}

// The raw output agrees with itself: force, torque and roll are the rates of the momentum, energy and
// angular momentum in its other columns, differentiated here by their harmonics.
func TestRawIsConsistent(t *testing.T) {
	for _, e := range Engines() {
		for source, tolerance := range map[Source]float64{Simbody: Tolerance, Numeric: NumericTolerance} {
			raw, err := Committed(e.Stem, source)
			if err != nil {
				t.Error(err)
				continue
			}
			g, turns := e.Gross(), float64(e.Turns())
			sense := 1.0
			if e.Train.Rotation != 0 {
				sense = -1
			}
			check := func(name string, curve, integral []float64, factor, gross float64) {
				rate := slope(integral, turns)
				most := 0.0
				for j := range curve {
					most = math.Max(most, math.Abs(curve[j]-factor*rate[j]))
				}
				if !(most <= tolerance*gross) {
					t.Errorf("%s of %s: the column %s is %.3g off the derivative of its integral, of %.3g", e.Stem, source, name, most, gross)
				}
			}
			check("force_y", raw.ForceY, raw.MomentumY, -e.Speed, g.Force)
			check("force_z", raw.ForceZ, raw.MomentumZ, -e.Speed, g.Force)
			check("torque", raw.Torque, raw.Energy, -1, g.Torque)
			rollAndTorque := make([]float64, len(raw.Roll))
			for j := range rollAndTorque {
				rollAndTorque[j] = raw.Roll[j] + sense*raw.Torque[j]
			}
			check("roll", rollAndTorque, raw.MomentumAboutX, -e.Speed, g.Torque)
		}
	}
}

// slope differentiates samples over a number of turns by crank angle, harmonic by harmonic.
func slope(x []float64, turns float64) []float64 {
	n := len(x)
	out := make([]float64, n)
	for k := 1; k < n/2; k++ {
		var a, b float64
		for j, v := range x {
			s, c := math.Sincos(2 * math.Pi * float64(k*j%n) / float64(n))
			a, b = a+v*c*2/float64(n), b+v*s*2/float64(n)
		}
		for j := range out {
			s, c := math.Sincos(2 * math.Pi * float64(k*j%n) / float64(n))
			out[j] += float64(k) / turns * (b*c - a*s)
		}
	}
	return out
}

// The comparison sees mistakes: a tenth of a gram, a hundredth of a degree, a micrometre.
func TestComparisonSeesSmallMistakes(t *testing.T) {
	spoil := map[string]func(*Engine){
		"piston mass":    func(e *Engine) { e.Train.Cylinders[0].Piston.Mass += 1e-4 },
		"rod inertia":    func(e *Engine) { e.Train.Cylinders[1].Rod.Inertia += 1e-7 },
		"throw angle":    func(e *Engine) { e.Train.Throws[0].Angle += num.Degrees(0.01) },
		"offset":         func(e *Engine) { e.Train.Cylinders[1].Offset += 1e-6 },
		"pin offset":     func(e *Engine) { e.Train.Cylinders[1].Piston.PinOffset -= 1e-6 },
		"knuckle angle":  func(e *Engine) { e.Train.Cylinders[3].Rod.KnuckleAngle += num.Degrees(0.01) },
		"knuckle radius": func(e *Engine) { e.Train.Cylinders[3].Rod.KnuckleRadius += 1e-6 },
		"counterweight":  func(e *Engine) { e.Train.Counterweights[1].Amount *= 1.0001 },
		"shaft place":    func(e *Engine) { e.Train.Shafts[0].Z += 1e-6 },
		"place":          func(e *Engine) { e.Train.Cylinders[2].At += 1e-6 },
	}
	for name, change := range spoil {
		e := oddEngine(t)
		change(&e)
		deviations, err := e.Against(Simbody)
		if err != nil {
			t.Fatal(err)
		}
		worst := 0.0
		for _, d := range deviations {
			worst = math.Max(worst, d.Relative())
		}
		if worst < 100*Tolerance {
			t.Errorf("%s: the change is not seen, worst deviation %.2g", name, worst)
		}
	}
}

// The two-mass shortcut is no rigid body, and the comparison says so.
func TestTwoMassShortcutDisagrees(t *testing.T) {
	e := oddEngine(t)
	raw, err := Committed(e.Stem, Simbody)
	if err != nil {
		t.Fatal(err)
	}
	var s inertia.Solver
	b, err := s.Solve(nil, &e.Train, inertia.Options{TwoMass: true})
	if err != nil {
		t.Fatal(err)
	}
	c := s.Curves(nil, b, num.NewGrid(2*SamplesPerTurn), e.Speed)
	for _, d := range Compare(c, &raw.Curves, e.Gross()) {
		exact := d.Quantity == "force" || d.Quantity == "moment"
		if agrees := d.Relative() <= Tolerance; agrees != exact {
			t.Errorf("%s: deviation %.2g", d.Quantity, d.Relative())
		}
	}
}

func oddEngine(t *testing.T) Engine {
	t.Helper()
	for _, e := range Engines() {
		if e.Stem == "odd-custom" {
			return e
		}
	}
	t.Fatal("no odd-custom")
	return Engine{}
}
