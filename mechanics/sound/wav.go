package sound

import (
	"encoding/binary"
	"fmt"
	"math"
)

// MostSamples is how many samples a channel of a file can have [1].
const MostSamples = 1 << 24

// WAV returns samples as a sound file: RIFF/WAVE, integers of 16 bits.
//
//	integer = round(32767 x)
//
// with
//   - channels: one or two channels of equal length [1], each value from −1 to 1
//   - rate: samples a second [1/s], 1000 to 384 000
//
// Result [byte]. Rounding alone lies 98 dB below full scale; there is no dither, so that equal samples give equal files.
// Errors: no or too many channels or samples, unequal lengths, values out of range. Source: RIFFWAVE.
func WAV(channels [][]float64, rate int) ([]byte, error) {
	if len(channels) < 1 || len(channels) > 2 {
		return nil, fmt.Errorf("sound: there are %d channels; 1 or 2 are possible", len(channels))
	}
	n := len(channels[0])
	switch {
	case n > MostSamples:
		return nil, fmt.Errorf("sound: there are %d samples; %d are the most", n, MostSamples)
	case len(channels) == 2 && len(channels[1]) != n:
		return nil, fmt.Errorf("sound: the channels have %d and %d samples; they must be equally long", n, len(channels[1]))
	case rate < 1000 || rate > 384_000:
		return nil, fmt.Errorf("sound: there are %d samples a second; 1000 to 384000 are possible", rate)
	}
	const header = 44
	frame := 2 * len(channels) // bytes of all channels at one time
	size := n * frame
	b := make([]byte, 0, header+size)
	le := binary.LittleEndian
	b = append(b, "RIFF"...)
	b = le.AppendUint32(b, uint32(header-8+size)) //nolint:gosec // at most 4 × 2^24
	b = append(b, "WAVEfmt "...)
	b = le.AppendUint32(b, 16)                    // bytes of the chunk
	b = le.AppendUint16(b, 1)                     // integers
	b = le.AppendUint16(b, uint16(len(channels))) //nolint:gosec // 1 or 2
	b = le.AppendUint32(b, uint32(rate))          //nolint:gosec // in range
	b = le.AppendUint32(b, uint32(rate*frame))    //nolint:gosec // in range
	b = le.AppendUint16(b, uint16(frame))         //nolint:gosec // 2 or 4
	b = le.AppendUint16(b, 16)                    // bits of a sample
	b = append(b, "data"...)
	b = le.AppendUint32(b, uint32(size)) //nolint:gosec // at most 4 × 2^24
	for i := range n {
		for _, x := range channels {
			if !(math.Abs(x[i]) <= 1) {
				return nil, fmt.Errorf("sound: sample %d is %g; samples lie from -1 to 1", i, x[i])
			}
			b = le.AppendUint16(b, uint16(int16(math.Round(32767*x[i])))) //nolint:gosec // in range
		}
	}
	return b, nil
}
