package server

import (
	"context"
	"errors"
	"math"

	"crankwright/analysis"
	"crankwright/mechanics/mount"
	"crankwright/report"
)

// MountsRequest asks how an engine swings on its mounts.
type MountsRequest struct {
	WorkRequest
	Find       bool    `json:"find,omitempty" doc:"look for places and stiffnesses of the mounts"`
	MoveMM     float64 `json:"move_mm,omitempty" minimum:"0" maximum:"2000" doc:"by how much each mount may move either way along each axis; 0: 60 mm"`
	LeanDeg    float64 `json:"lean_deg,omitempty" minimum:"0" maximum:"90" doc:"by how much its axes may lean further; 0: 45 deg"`
	MostSagMM  float64 `json:"most_sag_mm,omitempty" minimum:"0" maximum:"1000" doc:"largest deflection under the weight; 0: 8 mm"`
	Separation float64 `json:"separation_1,omitempty" minimum:"0" maximum:"100" doc:"least ratio of the excitation at idle to the fastest mode; 0: 2"`
}

func (s *Server) mounts(_ context.Context, in *struct{ Body MountsRequest }) (*toolAnswer[*report.MountsDoc], error) {
	var out *report.MountsDoc
	err := s.driver(in.Body.WorkRequest, func(d *analysis.Driver) error {
		opt := in.Body.options()
		if opt.Light {
			return errors.New("the sweep is found at a load; give one above 0 %")
		}
		r, err := d.Mounts(opt.Load)
		if err != nil {
			return err
		}
		out = report.NewMountsDoc(r, true)
		if !in.Body.Find {
			return nil
		}
		w := analysis.MountWish{Separation: in.Body.Separation, MostSag: in.Body.MostSagMM / 1e3, Within: mount.Freedoms{X: 0.06, Y: 0.06, Z: 0.06, Softest: 0.25, Stiffest: 3, Lean: math.Pi / 4}}
		if m := in.Body.MoveMM / 1e3; m > 0 {
			w.Within.X, w.Within.Y, w.Within.Z = m, m, m
		}
		if in.Body.LeanDeg > 0 {
			w.Within.Lean = in.Body.LeanDeg * math.Pi / 180
		}
		f, try, err := r.Find(d, w)
		if err != nil {
			return err
		}
		out.Find(r, f, try, w)
		return nil
	})
	if err != nil {
		return nil, err
	}
	return &toolAnswer[*report.MountsDoc]{out}, nil
}
