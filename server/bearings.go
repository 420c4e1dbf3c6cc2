package server

import (
	"context"
	"errors"
	"math"

	"crankwright/analysis"
	"crankwright/decision"
	"crankwright/mechanics/bearing"
	"crankwright/report"
)

func (s *Server) bearings(_ context.Context, in *struct{ Body WorkRequest }) (*toolAnswer[*report.BearingsDoc], error) {
	return driven(s, in.Body, func(d *analysis.Driver) (*report.BearingsDoc, error) {
		r, err := d.At(in.Body.options())
		if err != nil {
			return nil, err
		}
		b, err := d.Bearings(r, analysis.BearingOptions{Films: true, Others: true})
		if err != nil {
			return nil, err
		}
		return report.NewBearingsDoc(b, true)
	})
}

// RoomRequest asks what stands along a crank.
type RoomRequest struct {
	Draft
	SpacingMM float64 `json:"spacing_mm,omitempty" minimum:"0" maximum:"1e5" doc:"what another distance of the mains of a bay would do; 0: not asked for"`
	StaggerMM float64 `json:"stagger_mm,omitempty" minimum:"0" maximum:"1e5" doc:"what another stagger of the cylinders of a bay would do; 0: not asked for"`
}

func (s *Server) room(_ context.Context, in *struct{ Body RoomRequest }) (*toolAnswer[*report.RoomDoc], error) {
	v, err := s.soundDraft(in.Body.Draft)
	if err != nil {
		return nil, err
	}
	budget, bays, err := analysis.Room(v.train, bearing.Needs{})
	if err != nil {
		return nil, lacking(v.src, "crank", err)
	}
	wish := report.RoomWish{Spacing: in.Body.SpacingMM / 1e3, Stagger: in.Body.StaggerMM / 1e3}
	if wish.Spacing > 0 || wish.Stagger > 0 {
		of := decision.Candidate{File: in.Body.File, Data: []byte(v.src.Whole()), Read: s.folder.named}
		if wish.Engine, err = decision.NewRecut(of, analysis.DriveOptions{Speed: in.Body.SpeedRPM * math.Pi / 30}); err != nil {
			wish.Engine, wish.NoEngine = nil, analysis.Said(err)
		}
	}
	d, err := report.NewRoomDoc(v.train, budget, bays, wish)
	if err != nil {
		return nil, badField("body", analysis.Said(err))
	}
	return &toolAnswer[*report.RoomDoc]{d}, nil
}

func (s *Server) torsion(_ context.Context, in *struct{ Body WorkRequest }) (*toolAnswer[*report.TorsionDoc], error) {
	return driven(s, in.Body, func(d *analysis.Driver) (*report.TorsionDoc, error) {
		opt := in.Body.options()
		if opt.Light {
			return nil, errors.New("torsional vibration is found at a load; give one above 0 %")
		}
		r, err := d.Torsion(opt.Load)
		if err != nil {
			return nil, err
		}
		return report.NewTorsionDoc(r, true), nil
	})
}

// StrengthRequest asks whether a crank lasts.
type StrengthRequest struct {
	WorkRequest
	Beyond bool `json:"beyond,omitempty" doc:"hold ratios outside the range of the rule at its end and label the result, instead of refusing it"`
	Stiff  bool `json:"stiff,omitempty" doc:"take the torques of this speed as if the shaft were stiff, instead of the torsional vibration over the speeds that are run"`
}

func (s *Server) strength(_ context.Context, in *struct{ Body StrengthRequest }) (*toolAnswer[*report.StrengthDoc], error) {
	return driven(s, in.Body.WorkRequest, func(d *analysis.Driver) (*report.StrengthDoc, error) {
		opt := in.Body.options()
		r, err := d.At(opt)
		if err != nil {
			return nil, err
		}
		set := analysis.StrengthOptions{Beyond: in.Body.Beyond}
		if !in.Body.Stiff && !opt.Light {
			if set.Torsion, err = d.Torsion(opt.Load); err != nil {
				return nil, err
			}
		}
		found, err := d.Strength(r, set)
		if err != nil {
			return nil, err
		}
		return report.NewStrengthDoc(found), nil
	})
}
