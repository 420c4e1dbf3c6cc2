package sound

import (
	"fmt"
	"math"
)

// Setting is at which speed and load an engine is heard, and for how long.
type Setting struct {
	Speed float64 // crank speed [rad/s], 30 to 30 000 rpm
	To    float64 // crank speed at the end of a ramp [rad/s]; 0: the speed stays. Loop and Orders do not read it
	Load  float64 // share of the full load [1], 0 to 1: louder and with a sharper edge

	Seconds float64 // length [s], 0.2 to 60
	Rate    int     // samples a second [1/s], 8000 to 96 000; 0: UsualRate
	Stereo  bool    // two channels: odd groups left, even groups right, each softer in the other ear

	// Delays is how much later the sound of each group arrives [s], 0 to 0.1: the longer pipe over the
	// speed of sound in it. Nil: all pipes are equal.
	Delays []float64
	// Scatter is how much the strength of a pulse varies from cycle to cycle, as a standard deviation [1], 0 to 0.3.
	// UsualScatter sounds like an engine, 0 like a machine.
	Scatter float64
	Seed    uint64 // of the scatter
}

// What a setting can be.
const (
	UsualRate    = 48000             // samples a second [1/s]
	UsualScatter = 0.03              // [1]; common practice: the work of a cycle scatters by a few per cent
	LeastSpeed   = 30 * math.Pi / 30 // [rad/s]
	MostSpeed    = 30000 * math.Pi / 30
	LeastSeconds = 0.2
	MostSeconds  = 60.0
	MostDelay    = 0.1 // [s]
)

// Peak returns the largest value that a preview takes.
//
//	peak = 10^(−12/20) (0.2 + 0.8 load)
//
// with
//   - load: share of the full load [1], 0 to 1
//
// Result [1] of full scale: −12 dB at full load, −26 dB without load, so that the playback of a preview is never
// loud by surprise. Definition.
func Peak(load float64) float64 { return math.Pow(10, -12./20) * (0.2 + 0.8*load) }

// check holds a setting and the impulses to what is possible.
func (s *Setting) check(m *Impulses) error {
	const rpm = 30 / math.Pi
	if s.Rate == 0 {
		s.Rate = UsualRate
	}
	if s.To == 0 {
		s.To = s.Speed
	}
	for _, ω := range []float64{s.Speed, s.To} {
		if !(ω >= LeastSpeed*(1-1e-9) && ω <= MostSpeed*(1+1e-9)) {
			return fmt.Errorf("sound: the speed is %.4g rpm; it lies from 30 to 30000 rpm", ω*rpm)
		}
	}
	switch {
	case len(m.Pulses) == 0:
		return fmt.Errorf("sound: there are no exhaust pulses; make them with Train")
	case !(s.Load >= 0 && s.Load <= 1):
		return fmt.Errorf("sound: the load is %.4g %%; it lies from 0 to 100 %%", 100*s.Load)
	case s.Delays != nil && len(s.Delays) != len(m.Groups):
		return fmt.Errorf("sound: there are %d delays; one for each of the %d exhaust groups is needed", len(s.Delays), len(m.Groups))
	}
	for g, d := range s.Delays {
		if !(d >= 0 && d <= MostDelay) {
			return fmt.Errorf("sound: the delay of exhaust group %s is %.4g s; it lies from 0 to %g s", m.Groups[g].Name, d, MostDelay)
		}
	}
	return nil
}

// checkLength holds what only rendering reads to what is possible.
func (s *Setting) checkLength() error {
	switch {
	case !(s.Seconds >= LeastSeconds && s.Seconds <= MostSeconds):
		return fmt.Errorf("sound: the length is %.4g s; it lies from %g to %g s", s.Seconds, LeastSeconds, MostSeconds)
	case s.Rate < 8000 || s.Rate > 96000:
		return fmt.Errorf("sound: there are %d samples a second; 8000 to 96000 are possible", s.Rate)
	case !(s.Scatter >= 0 && s.Scatter <= 0.3):
		return fmt.Errorf("sound: the scatter is %.4g; it lies from 0 to 0.3", s.Scatter)
	}
	return nil
}

func (s *Setting) delay(group int) float64 {
	if s.Delays == nil {
		return 0
	}
	return s.Delays[group]
}
