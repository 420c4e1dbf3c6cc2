package sound

import (
	"encoding/binary"
	"math"
	"testing"
)

// parsed is a sound file that was read back chunk by chunk.
type parsed struct {
	format, channels, align, bits uint16
	rate, bytes                   uint32
	samples                       []int16
}

// parse reads a file as the specification describes it, without what WAV assumes about the sequence of chunks.
func parse(t *testing.T, b []byte) parsed {
	t.Helper()
	le := binary.LittleEndian
	if len(b) < 12 || string(b[:4]) != "RIFF" || string(b[8:12]) != "WAVE" || int(le.Uint32(b[4:]))+8 != len(b) {
		t.Fatalf("no RIFF/WAVE file of its own length: % x", b[:min(12, len(b))])
	}
	var p parsed
	for at := 12; at < len(b); {
		name, size := string(b[at:at+4]), int(le.Uint32(b[at+4:]))
		body := b[at+8 : at+8+size]
		switch name {
		case "fmt ":
			p.format, p.channels, p.rate = le.Uint16(body), le.Uint16(body[2:]), le.Uint32(body[4:])
			p.bytes, p.align, p.bits = le.Uint32(body[8:]), le.Uint16(body[12:]), le.Uint16(body[14:])
		case "data":
			for i := 0; i < size; i += 2 {
				p.samples = append(p.samples, int16(le.Uint16(body[i:])))
			}
		}
		at += 8 + size + size%2
	}
	return p
}

func TestWAV(t *testing.T) {
	left, right := []float64{0, 1, -1, 0.5, 1e-5, -0.25}, []float64{0.1, -0.1, 0, 1. / 3, 0.9999, -1}
	for n, channels := range [][][]float64{{left}, {left, right}, {{}}} {
		b, err := WAV(channels, 44100)
		if err != nil {
			t.Fatal(err)
		}
		p := parse(t, b)
		c := len(channels)
		if p.format != 1 || int(p.channels) != c || p.rate != 44100 || p.bits != 16 || int(p.align) != 2*c || int(p.bytes) != 88200*c {
			t.Errorf("case %d: %+v", n, p)
		}
		if len(p.samples) != c*len(channels[0]) {
			t.Fatalf("case %d: %d samples", n, len(p.samples))
		}
		for i, v := range p.samples {
			if want := 32767 * channels[i%c][i/c]; math.Abs(float64(v)-want) > 0.5+1e-9 {
				t.Errorf("case %d: sample %d is %d, want %g", n, i, v, want)
			}
		}
	}
	for what, channels := range map[string][][]float64{
		"no channel": nil, "three channels": {left, left, left}, "unequal": {left, right[:2]}, "too loud": {{1.001}}, "no number": {{math.NaN()}}, "infinite": {{math.Inf(-1)}},
	} {
		if _, err := WAV(channels, 48000); err == nil {
			t.Errorf("%s is accepted", what)
		}
	}
	if _, err := WAV([][]float64{left}, 0); err == nil {
		t.Error("no sampling rate is accepted")
	}
}
