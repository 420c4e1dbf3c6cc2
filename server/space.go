package server

import (
	"context"

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
	v, err := s.soundDraft(in.Body.Draft)
	if err != nil {
		return nil, err
	}
	found, err := analysis.Space(v.train)
	if err != nil {
		return nil, lacking(v.src, "block", err)
	}
	d := report.NewSpaceDoc(v.train, found, true)
	if in.Body.BoreStroke {
		b, err := envelope.OverBore(v.train, envelope.UsualRatios())
		if err != nil {
			return nil, lacking(v.src, "block", err)
		}
		d.AddBoreStroke(b)
	}
	return &toolAnswer[*report.SpaceDoc]{d}, nil
}
