package sound

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
)

// A table is the sound of one pulse without anything above half the sampling rate, sampled so finely that a
// pulse can be put between two samples.
//
//	b(t) = 1/2π ∫ H(Ω) W(Ω) e^{iΩt} dΩ
//
// W is 1 up to three eighths of the sampling rate and falls to 0 at one half by a raised cosine. The integral is a
// sum over a length after which the pulse has died away, by fast transform.
type table struct {
	values []float64 // in steps of a fine-th of a sample, from ahead samples before the opening; one more before, two after
}

const (
	fine      = 16  // values between two samples
	ahead     = 256 // samples that the band limit rings before the opening
	fallTimes = 16  // time constants of the fall until the pulse counts as over: e^−16 is −139 dB
)

// newTable prepares the pulse of a shape. It takes over the plan of a transform where its length fits, and returns the
// one that it used.
func newTable(s Shape, rate int, plan *fourier.FFT) (*table, *fourier.FFT) {
	n := 1024
	for n < 2*ahead+int(fallTimes*s.Fall*float64(rate)) {
		n *= 2
	}
	// the spectrum at the lines that n samples resolve; the finer grid has the same lines and zeros above
	lines := make([]complex128, n*fine/2+1)
	step := 2 * math.Pi * float64(rate) / float64(n)
	for k := 1; k < n/2; k++ {
		Ω := step * float64(k)
		turn := math.Mod(float64(k)*ahead, float64(n)) / float64(n)
		sin, cos := math.Sincos(-2 * math.Pi * turn)
		lines[k] = s.Transform(Ω) * complex(window(float64(k)/float64(n))*float64(rate)/float64(n), 0) * complex(cos, sin)
	}
	if plan == nil || plan.Len() != n*fine {
		plan = fourier.NewFFT(n * fine)
	}
	v := plan.Sequence(nil, lines)
	values := append(make([]float64, 0, len(v)+3), v[len(v)-1])
	values = append(values, v...)
	return &table{append(values, v[0], v[1])}, plan
}

// window is W at a frequency given as a share of the sampling rate.
func window(f float64) float64 {
	switch {
	case f <= 0.375:
		return 1
	case f >= 0.5:
		return 0
	}
	return 0.5 + 0.5*math.Cos(math.Pi*(f-0.375)/0.125)
}

// add puts a pulse that begins at a time [samples] into a buffer. A buffer that goes round takes what passes its end
// at its beginning; otherwise that is lost. Between the values of the table a cubic runs.
func (p *table) add(dst []float64, at, strength float64, round bool) {
	first := math.Ceil(at)
	place := (first - at) * fine // of the sample dst[first − ahead] after the beginning of the table
	whole := int(place)
	u := place - float64(whole)
	w0 := -u * (u - 1) * (u - 2) / 6 * strength
	w1 := (u + 1) * (u - 1) * (u - 2) / 2 * strength
	w2 := -(u + 1) * u * (u - 2) / 2 * strength
	w3 := (u + 1) * u * (u - 1) / 6 * strength
	j := int(first) - ahead
	if round {
		if j %= len(dst); j < 0 {
			j += len(dst)
		}
	}
	for k := whole; k+3 < len(p.values); k += fine {
		if j >= len(dst) {
			if !round {
				return
			}
			j = 0
		}
		if j >= 0 {
			v := p.values[k : k+4]
			dst[j] += w0*v[0] + w1*v[1] + w2*v[2] + w3*v[3]
		}
		j++
	}
}
