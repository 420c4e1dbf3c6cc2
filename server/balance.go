package server

import (
	"context"
	"fmt"
	"math/cmplx"
	"net/http"

	"crankwright/analysis"
	"crankwright/mechanics/balance"
	"crankwright/num"
	"crankwright/report"
)

// The tools of balancing answer about a draft, so that they follow while an input is dragged. Each is the
// same call as its verb of the command, and answers with the same object.

// result evaluates a draft; an engine that cannot be evaluated is refused with all that is wrong.
func (s *Server) result(d Draft) (*analysis.Result, error) {
	data, _, err := s.drafted(d)
	if err != nil {
		return nil, err
	}
	v := s.evaluate(d.File, data, optionsAt(d.SpeedRPM, false))
	if v.result == nil {
		p := failure(http.StatusUnprocessableEntity, fmt.Sprintf("the engine cannot be evaluated: %d problems", len(v.problems)))
		if len(v.problems) > 0 {
			p.Detail = "the engine cannot be evaluated: " + v.problems[0].What
		}
		p.Type, p.Problems = typeInvalid, v.problems
		return nil, p
	}
	return v.result, nil
}

type toolAnswer[T any] struct{ Body T }

// answered wraps what a tool says; what it refuses is a mistake of the request.
func answered[T any](doc T, err error) (*toolAnswer[T], error) {
	if err != nil {
		return nil, badField("body", err.Error())
	}
	return &toolAnswer[T]{doc}, nil
}

// CounterweightsRequest asks what counterweights do.
type CounterweightsRequest struct {
	Draft
	Policy         string     `json:"policy,omitempty" enum:"none,factor,per-throw,per-web,optimum" default:"optimum"`
	FactorsPercent []float64  `json:"factors_percent,omitempty" maxItems:"56" doc:"balance factor: one for the policy factor (left out: 50), one for each throw for per-throw"`
	UnbalanceKgmm  []float64  `json:"unbalance_kgmm,omitempty" maxItems:"112" doc:"policy per-web: one for each web along the crank, opposite its pin"`
	ForceWeight    [2]float64 `json:"force_weight_y_z,omitempty" doc:"optimum: weights of the force across and upright; all four weights 0: all 1"`
	MomentWeight   [2]float64 `json:"moment_weight_y_z,omitempty" doc:"optimum: weights of the moment about y and about z"`
	LengthMM       float64    `json:"length_mm,omitempty" minimum:"0" doc:"optimum: length by which moments are divided; 0: between the outermost cylinders"`
	LimitKgmm      float64    `json:"limit_kgmm,omitempty" minimum:"0" doc:"optimum: largest unbalance of a web; 0: what fits into the form, else none"`
	RadiusMM       float64    `json:"radius_mm,omitempty" minimum:"0" doc:"radius limit of the counterweights; 0: no form is worked out"`
	ThicknessMM    float64    `json:"thickness_mm,omitempty" minimum:"0" doc:"0: that of the webs"`
	DensityKgPerM3 float64    `json:"density_kg_per_m3,omitempty" minimum:"0" doc:"0: steel, 7850"`
	SkirtMM        float64    `json:"skirt_mm,omitempty" minimum:"0" doc:"how far piston skirts reach below the piston pin; 0: a usual share of the bore"`
	ClearanceMM    float64    `json:"clearance_mm,omitempty" minimum:"0" doc:"wanted between counterweights and skirts; 0: 2"`
}

func (s *Server) counterweights(_ context.Context, in *struct{ Body CounterweightsRequest }) (*toolAnswer[*report.CounterweightsDoc], error) {
	b := in.Body
	r, err := s.result(b.Draft)
	if err != nil {
		return nil, err
	}
	q := balance.Request{
		Policy: balance.Policy(b.Policy), Skirt: b.SkirtMM / 1e3, Room: balance.UsualRoom, Limit: b.LimitKgmm / 1e3,
		Measure: balance.Measure{
			ForceY: b.ForceWeight[0], ForceZ: b.ForceWeight[1], MomentY: b.MomentWeight[0], MomentZ: b.MomentWeight[1], Length: b.LengthMM / 1e3,
		},
	}
	if b.ClearanceMM > 0 {
		q.Room = b.ClearanceMM / 1e3
	}
	for _, f := range b.FactorsPercent {
		q.Factors = append(q.Factors, f/100)
	}
	if q.Policy == balance.ByFactor && len(q.Factors) == 0 {
		q.Factors = []float64{0.5}
	}
	webs := balance.Webs(r.Train)
	for j, u := range b.UnbalanceKgmm {
		var opposite num.Angle
		if j < len(webs) {
			opposite = webs[j].Opposite
		}
		q.Unbalance = append(q.Unbalance, cmplx.Rect(u/1e3, float64(opposite)))
	}
	if b.RadiusMM > 0 {
		q.Cheek = balance.Cheek{
			Outer: b.RadiusMM / 1e3, Inner: r.Train.Crank.MainJournal.Diameter / 2,
			Thickness: r.Train.Crank.Web.Thickness, Density: balance.Steel,
		}
		if b.ThicknessMM > 0 {
			q.Cheek.Thickness = b.ThicknessMM / 1e3
		}
		if b.DensityKgPerM3 > 0 {
			q.Cheek.Density = b.DensityKgPerM3
		}
	}
	return answered(report.Counterweights(r, q))
}
