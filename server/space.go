package server

import (
	"context"
	"net/http"

	"crankwright/analysis"
	"crankwright/mechanics/envelope"
	"crankwright/report"
)

// SpaceRequest asks how large and heavy an engine is.
type SpaceRequest struct {
	Draft
	BoreStroke bool `json:"bore_stroke,omitempty" doc:"add what bore against stroke does at the same displacement"`
}

func (s *Server) space(_ context.Context, in *struct{ Body SpaceRequest }) (*toolAnswer[*report.SpaceDoc], error) {
	data, _, err := s.drafted(in.Body.Draft)
	if err != nil {
		return nil, err
	}
	v := s.evaluate(in.Body.File, data, optionsFor(in.Body.SpeedRPM))
	if v.result == nil {
		return nil, notEvaluated(v)
	}
	fail := func(err error) error {
		e := v.src.ErrorAt("block", analysis.Said(err), "")
		p := failure(http.StatusUnprocessableEntity, "room and mass cannot be found: "+analysis.Said(err))
		p.Type, p.Problems = typeInvalid, []Problem{{Line: e.Line, Column: e.Column, Path: "block", What: analysis.Said(err)}}
		return p
	}
	found, err := analysis.Space(v.train)
	if err != nil {
		return nil, fail(err)
	}
	d := report.NewSpaceDoc(v.train, found, true)
	if in.Body.BoreStroke {
		b, err := envelope.OverBore(v.train, envelope.UsualRatios())
		if err != nil {
			return nil, fail(err)
		}
		d.AddBoreStroke(b)
	}
	return &toolAnswer[*report.SpaceDoc]{d}, nil
}
