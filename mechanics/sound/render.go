package sound

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/dsp/fourier"
)

// fade is the length of the fades at both ends of a preview [s].
const fade = 0.04

// across is how much softer the ear on the other side hears a group of a stereo preview [1]: −8 dB. Definition.
const across = 0.4

// tableStep is the ratio of two speeds between which the pulse of a ramp is blended [1].
const tableStep = 1.05

// MostPulses is how many pulses one preview can have [1].
const MostPulses = 400_000

// Render returns a stretch of sound at one speed, or over a ramp of speed.
//
//	y(t) = Σ_j s_j b(t − t_j − τ)      θ(t) = ω t + ½ (ω₂ − ω) t²/T
//
// with
//   - m: exhaust pulses
//   - s: speed ω and, where it is a ramp, ω₂ [rad/s]; length T [s]; load, scatter [1]; delays τ [s]; samples a second
//
// The pulses stand at the times at which the crank passes their angles, to a small part of a sample; b is the
// pulse without what lies above half the sampling rate, so nothing is folded back, and its lines are those of
// Orders up to three eighths of it. Over a ramp the phase runs on and b follows the speed.
//
// Result [1]: one channel, or two with Stereo. The largest value of all is Peak(load); the mean is zero; both ends fade
// from and to silence within 40 ms. The same setting gives the same samples. Errors: input that is impossible, more
// than 400 000 pulses. Definition.
func Render(m Impulses, s Setting) ([][]float64, error) {
	if err := s.checkAll(&m); err != nil {
		return nil, err
	}
	n := int(math.Round(s.Seconds * float64(s.Rate)))
	T := float64(n) / float64(s.Rate)
	slope := (s.To - s.Speed) / T
	cycle := float64(m.Cycle.Period())
	ringing := float64(ahead) / float64(s.Rate)
	longest := ShapeAt(min(s.Speed, s.To), s.Load).Fall*fallTimes + MostDelay
	first := -int(math.Ceil(longest*s.Speed/cycle)) - 1
	last := int(math.Ceil((s.Speed + s.To) / 2 * T / cycle))
	if err := s.checkCount(&m, last-first); err != nil {
		return nil, err
	}
	p := newPlayer(&m, &s, n, false)
	random := s.random()
	for c := first; c <= last; c++ {
		for _, pulse := range m.Pulses {
			strength := pulse.Strength * s.scatter(random)
			t := timeAt(float64(pulse.At)+cycle*float64(c), s.Speed, slope, T)
			if t > T+ringing || t < -longest {
				continue
			}
			p.put(pulse.Group, t, strength, s.Speed+slope*min(max(t, 0), T))
		}
	}
	out := p.channels()
	samples := int(math.Round(fade * float64(s.Rate)))
	for _, x := range out {
		settle(x, func(i int) float64 { return rise(i, samples) * rise(n-1-i, samples) })
	}
	scale(out, Peak(s.Load))
	return out, nil
}

// timeAt returns when the crank passes an angle [s]. Before the beginning and after the end the speed stays.
func timeAt(θ, ω, slope, length float64) float64 {
	if θ <= 0 {
		return θ / ω
	}
	if whole := (ω + slope*length/2) * length; θ > whole {
		return length + (θ-whole)/(ω+slope*length)
	}
	return 2 * θ / (ω + math.Sqrt(max(0, ω*ω+2*slope*θ)))
}

// Looped is a stretch of sound that can be repeated without a seam.
type Looped struct {
	Channels [][]float64 // [1]
	Cycles   int         // whole working cycles in it
	Speed    float64     // crank speed that it has [rad/s]
}

// Loop returns whole cycles of sound that can be repeated without a seam.
//
//	cycles = round(seconds/T)      samples = round(cycles T rate)      T = cycle/ω
//
// with
//   - m: exhaust pulses
//   - s: as in Render; To is not read
//
// Result [1]: about the length asked for, one cycle at least. What rings beyond the end goes on at the beginning, so that there is
// neither seam nor fade: who starts and stops it should fade. The speed is changed a little, so that the cycles
// fill a whole number of samples: by less than one part in the number of samples. Peak and mean as in Render. Errors: as Render.
// Definition.
func Loop(m Impulses, s Setting) (Looped, error) {
	s.To = 0
	if err := s.checkAll(&m); err != nil {
		return Looped{}, err
	}
	period := float64(m.Cycle.Period())
	l := Looped{Cycles: max(1, int(math.Round(s.Seconds*s.Speed/period)))}
	if err := s.checkCount(&m, l.Cycles); err != nil {
		return Looped{}, err
	}
	n := int(math.Round(float64(l.Cycles) * period / s.Speed * float64(s.Rate)))
	l.Speed = float64(l.Cycles) * period * float64(s.Rate) / float64(n)
	p := newPlayer(&m, &s, n, true)
	random := s.random()
	for c := range l.Cycles {
		for _, pulse := range m.Pulses {
			θ := float64(pulse.At) + period*float64(c)
			p.put(pulse.Group, θ/l.Speed, pulse.Strength*s.scatter(random), l.Speed)
		}
	}
	l.Channels = p.channels()
	for _, x := range l.Channels {
		settle(x, func(int) float64 { return 1 })
	}
	scale(l.Channels, Peak(s.Load))
	return l, nil
}

func (s *Setting) checkAll(m *Impulses) error {
	if err := s.check(m); err != nil {
		return err
	}
	return s.checkLength()
}

func (s *Setting) checkCount(m *Impulses, cycles int) error {
	if n := len(m.Pulses) * (cycles + 1); n > MostPulses {
		return fmt.Errorf("sound: %g s have about %d exhaust pulses; %d are the most: make it shorter", s.Seconds, n, MostPulses)
	}
	return nil
}

func (s *Setting) random() *rand.Rand {
	return rand.New(rand.NewPCG(s.Seed, 0x736f756e64)) //nolint:gosec // repeatable on purpose
}

// scatter draws how strong a pulse is, within three standard deviations.
func (s *Setting) scatter(random *rand.Rand) float64 {
	if s.Scatter == 0 {
		return 1
	}
	return 1 + s.Scatter*min(max(random.NormFloat64(), -3), 3)
}

// player puts pulses into one buffer a group, or one for all.
type player struct {
	m       *Impulses
	s       *Setting
	round   bool
	buffers [][]float64
	tables  map[int]*table // by step of the speed
	fft     *fourier.FFT   // of the last table
}

func newPlayer(m *Impulses, s *Setting, n int, round bool) *player {
	p := &player{m: m, s: s, round: round, tables: map[int]*table{}}
	for range s.channelCount() {
		p.buffers = append(p.buffers, make([]float64, n))
	}
	return p
}

func (s *Setting) channelCount() int {
	if s.Stereo {
		return 2
	}
	return 1
}

// put adds one pulse.
func (p *player) put(group int, t, strength, ω float64) {
	at := (t + p.s.delay(group)) * float64(p.s.Rate)
	dst := p.buffers[group%len(p.buffers)]
	if p.s.To == p.s.Speed {
		p.table(0, ω).add(dst, at, strength, p.round)
		return
	}
	step := math.Log(ω/p.s.Speed) / math.Log(tableStep)
	low := int(math.Floor(step))
	share := step - float64(low)
	for i, w := range [2]float64{1 - share, share} {
		if w > 1e-9 {
			p.table(low+i, p.s.Speed*math.Pow(tableStep, float64(low+i))).add(dst, at, strength*w, p.round)
		}
	}
}

// table returns the pulse at a step of the speed. Pulses come in the sequence of their times, so that two tables are enough;
// the others are dropped.
func (p *player) table(step int, ω float64) *table {
	found, ok := p.tables[step]
	if !ok {
		for old := range p.tables {
			if old < step-1 || old > step+1 {
				delete(p.tables, old)
			}
		}
		found, p.fft = newTable(ShapeAt(ω, p.s.Load), p.s.Rate, p.fft)
		p.tables[step] = found
	}
	return found
}

// channels mixes the buffers: every ear hears its own side, and the other softer.
func (p *player) channels() [][]float64 {
	if len(p.buffers) == 1 {
		return p.buffers
	}
	left, right := p.buffers[0], p.buffers[1]
	if len(p.m.Groups) == 1 { // one outlet stands in the middle
		copy(right, left)
		return p.buffers
	}
	for i := range left {
		l, r := left[i], right[i]
		left[i], right[i] = l+across*r, r+across*l
	}
	return p.buffers
}

// settle multiplies samples by a window and takes the mean away in the form of that window.
func settle(x []float64, window func(i int) float64) {
	sum, all := 0.0, 0.0
	for i := range x {
		w := window(i)
		x[i] *= w
		sum, all = sum+x[i], all+w
	}
	for i := range x {
		x[i] -= window(i) * sum / all
	}
}

// rise goes from 0 to 1 over some samples by a raised cosine.
func rise(i, samples int) float64 {
	if i >= samples {
		return 1
	}
	return 0.5 - 0.5*math.Cos(math.Pi*float64(i)/float64(samples))
}

// scale makes the largest value of all channels the peak.
func scale(channels [][]float64, peak float64) {
	most := 0.0
	for _, x := range channels {
		for _, v := range x {
			most = max(most, math.Abs(v))
		}
	}
	if !(most > 0) {
		return
	}
	for _, x := range channels {
		for i := range x {
			x[i] *= peak / most
		}
	}
}
