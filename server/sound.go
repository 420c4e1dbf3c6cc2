package server

import (
	"context"
	"math"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/sound"
	"crankwright/report"
)

// SoundRequest says at which speed and load an engine is heard.
type SoundRequest struct {
	Draft
	LoadPercent *float64  `json:"load_percent,omitempty" minimum:"0" maximum:"100" doc:"share of the full load; left out: 100"`
	Off         []string  `json:"off,omitempty" maxItems:"56" doc:"cylinders that do not fire, besides those of the file"`
	DelaysMS    []float64 `json:"delays_ms,omitempty" maxItems:"56" doc:"how much later the sound of each exhaust group arrives, by a longer pipe"`
	Stereo      bool      `json:"stereo,omitempty" doc:"two channels: odd groups left, even groups right"`
	Seconds     float64   `json:"seconds,omitempty" minimum:"0" maximum:"20" doc:"about the length of the loop; 0: 2"`
}

// heard returns what the library needs of a request.
func (s *Server) heard(b SoundRequest) (*analysis.Result, sound.Setting, []float64, error) {
	r, err := s.result(b.Draft)
	if err != nil {
		return nil, sound.Setting{}, nil, err
	}
	set := sound.Setting{Speed: r.Speed, Load: 1, Rate: sound.UsualRate, Stereo: b.Stereo, Scatter: sound.UsualScatter, Seed: 1, Seconds: b.Seconds}
	if set.Seconds == 0 {
		set.Seconds = 2
	}
	if b.LoadPercent != nil {
		set.Load = *b.LoadPercent / 100
	}
	for _, ms := range b.DelaysMS {
		set.Delays = append(set.Delays, ms/1e3)
	}
	off, err := offOf(r.Train, b.Off)
	return r, set, strengthsOf(r.Train, off), err
}

func strengthsOf(t *layout.Train, off []int) []float64 {
	out := make([]float64, len(t.Cylinders))
	for i := range out {
		out[i] = 1
	}
	for _, i := range off {
		out[i] = 0
	}
	return out
}

func (s *Server) sound(_ context.Context, in *struct{ Body SoundRequest }) (*toolAnswer[*report.SoundDoc], error) {
	r, set, strength, err := s.heard(in.Body)
	if err != nil {
		return nil, err
	}
	return answered(report.NewSoundDoc(r.Train, r.Firing, set, strength))
}

// LoopAnswer is a sound that repeats without a seam.
type LoopAnswer struct {
	ContentType string  `header:"Content-Type"`
	SpeedRPM    float64 `header:"Crank-Speed" doc:"crank speed of the loop [rpm], changed a little so that whole cycles fill it"`
	Body        []byte
}

// soundLoop returns whole cycles as a WAV file that can be repeated without a seam.
func (s *Server) soundLoop(_ context.Context, in *struct{ Body SoundRequest }) (*LoopAnswer, error) {
	r, set, strength, err := s.heard(in.Body)
	if err != nil {
		return nil, err
	}
	m, err := sound.Train(r.Train, r.Firing, strength)
	if err != nil {
		return nil, badField("body", err.Error())
	}
	loop, err := sound.Loop(m, set)
	if err != nil {
		return nil, badField("body", err.Error())
	}
	data, err := sound.WAV(loop.Channels, set.Rate)
	if err != nil {
		return nil, err
	}
	return &LoopAnswer{ContentType: "audio/wav", SpeedRPM: loop.Speed * 30 / math.Pi, Body: data}, nil
}
