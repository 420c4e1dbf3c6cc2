package sound

import (
	"encoding/binary"
	"math"
	"testing"

	"crankwright/mechanics/firing"
	"crankwright/mechanics/layout"
	"crankwright/num"
)

// FuzzSound feeds arbitrary numbers to everything that takes any: nothing panics, and no NaN leaves.
func FuzzSound(f *testing.F) {
	bits := func(as ...float64) []byte {
		var b []byte
		for _, a := range as {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(a))
		}
		return b
	}
	f.Add(bits(300, 0, 1, 0.3, 0.001, 0.05, 1, 2), byte(0), uint16(48000))
	f.Add(bits(100, 900, 0.5, 0.2, 0, 0, 0, 2), byte(5), uint16(8000))
	f.Add(bits(math.NaN(), math.Inf(1), -1, 1e300, 1e-300, 0, 0, 1), byte(1), uint16(0))
	f.Add(bits(4, 3000, 1, 0.25, 0.1, 0.3, 1, 1e9), byte(2), uint16(9000))
	f.Add(bits(3000, 4, 1, 0.25, 0.1, 0.3, 1, 1e9), byte(18), uint16(9000))
	f.Add(bits(16.2, 0, 0, 0.5, 0, 0, 1e-312, 1e-312), byte(0), uint16(48094)) // strengths of hardly anything
	f.Fuzz(func(t *testing.T, raw []byte, mode byte, rate uint16) {
		var x [8]float64
		for i := range min(len(x), len(raw)/8) {
			x[i] = math.Float64frombits(binary.LittleEndian.Uint64(raw[8*i:]))
		}
		train := pilotBoat([]float64{0, 90, 180}[:1+mode%3], -30, 30)
		train.Cycle = layout.Cycle(mode / 3 % 2)
		sched, err := firing.ForTrain(train)
		if err != nil {
			t.Fatal(err)
		}
		if mode >= 128 {
			sched.At = append([]num.Angle{num.Angle(x[7])}, sched.At[1:]...)
		}
		strength := make([]float64, len(train.Cylinders))
		for c := range strength {
			strength[c] = x[6-c%2]
		}
		m, err := Train(train, sched, strength)
		if err != nil {
			_ = err.Error()
			if m, err = Train(train, sched, nil); err != nil {
				return
			}
		}
		m = m.After(num.Angle(x[7]))
		s := Setting{
			Speed: x[0], To: x[1], Load: x[2], Seconds: math.Min(x[3], 0.5), Rate: int(rate), Stereo: mode%2 == 0,
			Delays: []float64{x[4], 0}, Scatter: x[5], Seed: uint64(mode),
		}
		sane := func(what string, channels [][]float64) {
			for _, c := range channels {
				for _, v := range c {
					if !(math.Abs(v) <= Peak(1)*(1+1e-9)) {
						t.Fatalf("%s: %g from %+v", what, v, s)
					}
				}
			}
			if _, err := WAV(channels, UsualRate); err != nil {
				t.Fatalf("%s: %v", what, err)
			}
		}
		if orders, err := Orders(m, s, 1+int(mode)); err == nil {
			for _, o := range orders {
				if level, _ := Level(o.Sum); math.IsNaN(level) || math.IsInf(level, 0) {
					t.Fatalf("order %d: %g", o.K, level)
				}
			}
			_ = Character(orders, x[3])
		} else {
			_ = err.Error()
		}
		if c, err := Render(m, s); err == nil {
			sane("render", c)
		}
		if l, err := Loop(m, s); err == nil {
			sane("loop", l.Channels)
			if !(l.Speed > 0) || l.Cycles < 1 {
				t.Fatalf("%d cycles at %g", l.Cycles, l.Speed)
			}
		}
	})
}

func TestRefusals(t *testing.T) {
	train := flatFour()
	sched, err := firing.ForTrain(train)
	if err != nil {
		t.Fatal(err)
	}
	refuse := func(what string, err error) {
		t.Helper()
		if err == nil {
			t.Errorf("%s is accepted", what)
		}
	}
	of := func(strength ...float64) error { _, err := Train(train, sched, strength); return err }
	refuse("three strengths", of(1, 1, 1))
	refuse("no firing at all", of(0, 0, 0, 0))
	refuse("a negative strength", of(1, 1, -1, 1))
	refuse("NaN", of(1, 1, math.NaN(), 1))
	_, err = Train(nil, sched, nil)
	refuse("no train", err)
	_, err = Train(train, firing.Schedule{}, nil)
	refuse("no schedule", err)
	two := *train
	two.Cycle = layout.TwoStroke
	_, err = Train(&two, sched, nil)
	refuse("the schedule of a four-stroke for a two-stroke", err)

	m := impulses(t, train, nil)
	good := Setting{Speed: 300, Load: 1, Seconds: 0.2}
	if _, err := Render(m, good); err != nil {
		t.Fatal(err)
	}
	for what, change := range map[string]func(*Setting){
		"no speed":           func(s *Setting) { s.Speed = 0 },
		"too fast":           func(s *Setting) { s.To = 4000 },
		"too much load":      func(s *Setting) { s.Load = 1.01 },
		"too short":          func(s *Setting) { s.Seconds = 0.1 },
		"too long":           func(s *Setting) { s.Seconds = 61 },
		"NaN long":           func(s *Setting) { s.Seconds = math.NaN() },
		"too few samples":    func(s *Setting) { s.Rate = 4000 },
		"too much scatter":   func(s *Setting) { s.Scatter = 0.5 },
		"delays of others":   func(s *Setting) { s.Delays = []float64{0, 0} },
		"a delay backwards":  func(s *Setting) { s.Delays = []float64{-1e-3} },
		"a delay of an hour": func(s *Setting) { s.Delays = []float64{3600} },
	} {
		s := good
		change(&s)
		_, err := Render(m, s)
		refuse(what, err)
	}
	_, err = Loop(Impulses{}, good)
	refuse("no impulses", err)
	_, err = Orders(m, good, 0)
	refuse("no orders", err)
	many := pilotBoat(make([]float64, 28), -30, 30)
	for i := range many.Throws {
		many.Throws[i].Angle = num.Degrees(float64(6 * i))
	}
	_, err = Render(impulses(t, many, nil), Setting{Speed: 3000, Load: 1, Seconds: 60})
	refuse("more pulses than there is time for", err)
}
