package report

import (
	"crankwright/analysis"
	"crankwright/explain"
	"crankwright/num"
)

// Explanation is why an engine shakes as it does: the JSON object that explain --json prints.
type Explanation struct {
	Name     string           `json:"name"`
	SpeedRPM float64          `json:"speed_rpm"`
	Summary  []string         `json:"summary"`
	Orders   []ExplainedOrder `json:"orders"`
	Firing   []string         `json:"firing,omitempty"`
	Estimated
	Caution string `json:"caution"`
}

// ExplainedOrder is one order in words, with what each part adds to it.
type ExplainedOrder struct {
	Order         float64           `json:"order"`
	Sections      []ExplainedPart   `json:"sections"`
	Contributions []ContributionDoc `json:"contributions"`
}

// ExplainedPart is a heading with its sentences.
type ExplainedPart struct {
	Heading string   `json:"heading"`
	Lines   []string `json:"lines"`
}

// Explain collects the explanations of some orders, given as twice the order, and of the firing.
func Explain(r *analysis.Result, ks []int, firing bool) Explanation {
	e := Explanation{Name: r.Train.Name, SpeedRPM: rpm(r.Speed), Summary: explain.Engine(r), Orders: []ExplainedOrder{}, Estimated: estimatedOf(r.Train), Caution: Caution}
	for _, k := range ks {
		o := ExplainedOrder{Order: float64(k) / 2, Contributions: contributionDocs(r, k)}
		for _, section := range explain.Order(r, k) {
			o.Sections = append(o.Sections, ExplainedPart(section))
		}
		e.Orders = append(e.Orders, o)
	}
	if firing {
		e.Firing = explain.Firing(r)
	}
	return e
}

// ExplainText returns an explanation as text for a terminal.
func ExplainText(r *analysis.Result, e Explanation, screen Screen) string {
	s := &sheet{Screen: screen}
	s.lead(e.Name)
	s.paragraph("", kindOf(r)+", at "+num.Digits(e.SpeedRPM, 5)+" rpm. Directions are angles from upright at crank angle 0, counted in the sense of rotation as in the engine file.")
	s.blank()
	for _, line := range e.Summary {
		s.paragraph("- ", line)
	}
	for _, o := range e.Orders {
		for _, section := range o.Sections {
			s.heading(section.Heading)
			for _, line := range section.Lines {
				s.paragraph("  - ", line)
			}
		}
	}
	if len(e.Firing) > 0 {
		s.heading("Firing")
		for _, line := range e.Firing {
			s.paragraph("  - ", line)
		}
	}
	s.estimated(e.Estimates)
	s.caution()
	return s.String()
}
