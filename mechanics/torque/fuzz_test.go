package torque

import (
	"encoding/binary"
	"math"
	"testing"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// FuzzTorque feeds arbitrary numbers to everything that takes any: nothing panics, and no NaN leaves.
func FuzzTorque(f *testing.F) {
	bits := func(as ...float64) []byte {
		var b []byte
		for _, a := range as {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(a))
		}
		return b
	}
	f.Add(bits(1e5, 60e5, 300, 0.2, 0.02, 0.084, 0.3, 1e5), byte(0))
	f.Add(bits(math.NaN(), math.Inf(1), -1, 0, 1e300, 1e-300, 0, 0), byte(1))
	f.Add(bits(1e308, 1e308, 5e4, 1e-12, 1e-6, 1e-3, 1e5, -1e308), byte(2))
	f.Add(bits(1e9, -1e9, 1, 1e-9, 1, 100, 3000, 1e8), byte(3))
	f.Fuzz(func(t *testing.T, raw []byte, mode byte) {
		var x [12]float64
		for i := range min(len(x), len(raw)/8) {
			x[i] = math.Float64frombits(binary.LittleEndian.Uint64(raw[8*i:]))
		}
		sane := func(what string, vs ...float64) {
			for _, v := range vs {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%s: %v from %v", what, vs, x)
				}
			}
		}
		checkWheels(x, sane)
		checkFriction(x, mode, sane)

		train := pilotBoat([]float64{0, 90, 180}[:1+mode%3], 0)
		train.Cycle = layout.Cycle(mode / 3 % 2)
		s, err := firing.ForTrain(train)
		if err != nil {
			t.Fatal(err)
		}
		damaged := s
		damaged.At = append([]num.Angle{num.Angle(x[5])}, s.At...)[:len(s.At)]
		if mode >= 128 {
			s = damaged
		}
		m, err := NewMechanism(train, s, 64)
		if err != nil {
			return
		}
		p := make([]float64, m.CycleSamples())
		for j := range p {
			p[j] = x[j%3] + x[3]*float64(j%7)
		}
		c, err := m.Curves(nil, [][]float64{p}, x[7], x[2])
		if err != nil {
			_ = err.Error()
			c = &Curves{Parts: Parts{Gas: p, Total: p}}
			for len(c.Gas) < m.Samples() {
				c.Gas = append(c.Gas, c.Gas...)
			}
		} else {
			sane("curves", append(append(c.Gas, c.Inertia...), c.Total...)...)
			sane("work", c.Work, c.Mean)
		}
		if all, err := Shares(c.Orders, m.Torque, x[2:5]); err == nil {
			for _, v := range all {
				sane("shares", v.Gas, v.Inertia, v.Total, v.Ratio)
			}
		}
		if all, err := Orders(c.Orders, m.Torque, x[2]); err == nil {
			for _, o := range all {
				sane("orders", real(o.Total), imag(o.Total), o.Share, o.Equal)
			}
		}
		if all, err := Impulses(c.Total); err == nil {
			for _, i := range all {
				sane("impulses", float64(i.At), i.Peak, i.Work, float64(i.Gap), i.Trough)
			}
		}
		var sp Speed
		if sp.Solve(m.Rotor(x[3]), c.Gas, nil, x[2]) == nil {
			sane("speed", append(sp.At, sp.Acceleration...)...)
			sane("fluctuation", sp.Fluctuation, sp.Excess, sp.Classic, sp.GasExcess, sp.Load)
		}
		if w, err := FindFlywheel(m.Rotor(x[3]), c.Gas, nil, x[2], x[4]); err == nil {
			sane("flywheel", w.Inertia, w.Classic, w.Speed.Fluctuation)
		}
		if e, mean, err := ExcessOf(c.Gas, x[6]); err == nil {
			sane("excess", e, mean)
		}
		if e, err := ExcessOfAreas(x[:]); err == nil {
			sane("areas", e)
		}
	})
}

func checkWheels(x [12]float64, sane func(string, ...float64)) {
	m := Material{Density: x[0], Poisson: x[1]}
	if w, err := RimWheel(x[2], m, x[3], x[4], x[5]); err == nil {
		sane("rim", w.Inner, w.Mass, w.RingStress, w.DiscStress)
	}
	if w, err := DiscWheel(x[2], m, x[3], x[5]); err == nil {
		sane("disc", w.Width, w.Mass, w.RingStress, w.DiscStress)
	}
	if a, b, err := ThinRim(x[2], m, x[3]); err == nil {
		sane("thin rim", a, b)
	}
	if j, err := ClassicInertia(x[0], x[1], x[2]); err == nil {
		sane("classic", j)
	}
	if j, err := GeneratorFluctuation(x[0], x[1]); err == nil {
		sane("generator", j)
	}
}

func checkFriction(x [12]float64, mode byte, sane func(string, ...float64)) {
	if p, err := (Linear{x[0], x[1], x[2], x[3]}).FMEP(x[4], x[5]); err == nil {
		sane("linear", p.Value, p.Low, p.High)
	}
	if p, err := SparkIgnitionMotored(x[0]); err == nil {
		sane("spark", p.Value)
	}
	if p, err := CompressionIgnitionMotored(Chamber(mode), x[0], x[1]); err == nil {
		sane("compression", p.Value)
	}
	r := Rubbing{
		Cylinders: int(mode), Bore: x[0], Stroke: x[1], Mains: Bearings{Count: int(int8(mode)), Diameter: x[2], Width: x[3]},
		Pins: Bearings{Count: 1, Swing: x[7], Diameter: x[4], Width: x[5]}, Valves: 2, Drives: 1, RingGas: x[6],
	}
	k := FrictionConstants{x[6], x[7], x[8], x[9], x[10], x[11], x[0], x[1], x[2], x[3]}
	if l, err := r.FMEP(k, x[2]); err == nil {
		sane("losses", l.Total)
	}
	if p, err := PowerCurve(x[0], layout.FourStroke, x[1:3], x[3:5], x[5:7]); err == nil {
		for _, v := range p {
			sane("power", v.Torque, v.Power, v.Mechanical)
		}
	}
}

func TestRefusals(t *testing.T) {
	train := pilotBoat([]float64{0, 180}, 0)
	s := schedule(t, train)
	refuse := func(what string, err error) {
		t.Helper()
		if err == nil {
			t.Errorf("%s is accepted", what)
		}
	}
	_, err := NewMechanism(nil, s, 0)
	refuse("no train", err)
	_, err = NewMechanism(train, firing.Schedule{}, 0)
	refuse("no firing", err)
	_, err = NewMechanism(train, s, 100)
	refuse("100 angles", err)
	bare := *train
	bare.Bore = 0
	_, err = NewMechanism(&bare, s, 0)
	refuse("no bore", err)
	two := *train
	two.Cycle = layout.TwoStroke
	_, err = NewMechanism(&two, s, 0)
	refuse("a four-stroke firing of a two-stroke engine", err)
	m := prepared(t, train, 0)
	_, err = m.Curves(nil, nil, 0, 1)
	refuse("no curves", err)
	_, err = m.Curves(nil, [][]float64{{1, 2}}, 0, 1)
	refuse("a curve of two values", err)
	bad := make([]float64, 720)
	bad[17] = math.NaN()
	_, err = m.Curves(nil, [][]float64{nil, bad}, 0, 1)
	refuse("NaN", err)
	var sp Speed
	refuse("no inertia", sp.Solve(Rotor{}, make([]float64, 8), nil, 1))
	refuse("a load of another length", sp.Solve(Rotor{Inertia: 1}, make([]float64, 8), make([]float64, 9), 1))
	refuse("energy without torque", sp.Solve(Rotor{Inertia: 1, Energy: make([]float64, 8)}, make([]float64, 8), nil, 1))
	_, err = FindFlywheel(Rotor{}, make([]float64, 8), nil, 1, 0)
	refuse("no coefficient", err)
}
