package server

import (
	"context"
	"errors"
	"math"

	"crankwright/analysis"
	"crankwright/report"
)

// MountsRequest asks how an engine swings on its mounts.
type MountsRequest struct {
	WorkRequest
	Find       bool     `json:"find,omitempty" doc:"look for places and stiffnesses of the mounts"`
	MoveMM     *float64 `json:"move_mm,omitempty" minimum:"0" maximum:"2000" doc:"by how much each mount may move either way along each axis; left out: 60 mm; 0: not at all"`
	LeanDeg    *float64 `json:"lean_deg,omitempty" minimum:"0" maximum:"90" doc:"by how much its axes may lean further; left out: 45 deg; 0: not at all"`
	MostSagMM  float64  `json:"most_sag_mm,omitempty" exclusiveMinimum:"0" maximum:"1000" default:"8" doc:"largest deflection under the weight"`
	Separation float64  `json:"separation_1,omitempty" exclusiveMinimum:"0" maximum:"100" default:"2" doc:"least ratio of the excitation at idle to the fastest mode"`
}

// within puts into a wish how far the mounts may go from where they are.
func (r MountsRequest) within(w *analysis.MountWish) {
	if r.MoveMM != nil {
		move := *r.MoveMM / 1e3
		w.Within.X, w.Within.Y, w.Within.Z = move, move, move
	}
	if r.LeanDeg != nil {
		w.Within.Lean = *r.LeanDeg * math.Pi / 180
	}
}

func (s *Server) mounts(_ context.Context, in *struct{ Body MountsRequest }) (*toolAnswer[*report.MountsDoc], error) {
	return driven(s, in.Body.WorkRequest, func(d *analysis.Driver) (*report.MountsDoc, error) {
		opt := in.Body.options()
		if opt.Light {
			return nil, errors.New("the sweep is found at a load; give one above 0 %")
		}
		r, err := d.Mounts(opt.Load)
		if err != nil {
			return nil, err
		}
		out := report.NewMountsDoc(r, true)
		if !in.Body.Find {
			return out, nil
		}
		w := analysis.UsualWish()
		w.Separation, w.MostSag = in.Body.Separation, in.Body.MostSagMM/1e3
		in.Body.within(&w)
		f, try, err := r.Find(d, w)
		if err != nil {
			return nil, err
		}
		out.Find(r, f, try, w)
		return out, nil
	})
}
