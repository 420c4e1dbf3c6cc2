package decision

import (
	"fmt"
	"math"
	"slices"

	"crankwright/analysis"
	"crankwright/brief"
)

// base computes the engine as it is, keeps its figures that matter and leaves out the chapters that give none of them.
func (s *subject) base(wanted []string) (*analysis.Result, error) {
	r, err := analysis.Run(s.train, s.opt)
	if err != nil {
		return nil, err
	}
	all := r.Figures()
	s.figures = all
	if wanted != nil {
		s.figures = nil
		for _, f := range all {
			if slices.Contains(wanted, f.Key) {
				s.figures = append(s.figures, f)
			}
		}
		for _, key := range wanted {
			if !slices.ContainsFunc(all, func(f analysis.Figure) bool { return f.Key == key }) {
				return nil, s.without(key, r)
			}
		}
		r = s.lighten(r)
	}
	s.scale = map[string]float64{}
	for _, f := range all {
		s.scale[f.Unit] = math.Max(s.scale[f.Unit], math.Abs(f.Value))
	}
	return r, nil
}

// without is the error for a figure that an engine does not have.
func (s *subject) without(key string, r *analysis.Result) error {
	why := brief.WhyMissing(key, r)
	if why != "" {
		why = ": " + why
	}
	return fmt.Errorf("%s: there is no figure %q of this engine%s", s.c.File, key, why)
}

// lighten leaves out the chapters without which the figures that matter are the same.
func (s *subject) lighten(r *analysis.Result) *analysis.Result {
	for _, leave := range []func(*analysis.Options){
		func(o *analysis.Options) { o.Lasting = false },
		func(o *analysis.Options) { o.Parts = false },
		func(o *analysis.Options) { o.Space = false },
		func(o *analysis.Options) { o.Drive, o.Lasting = false, false },
	} {
		opt := s.opt
		if leave(&opt); opt == s.opt {
			continue
		}
		less, err := analysis.Run(s.train, opt)
		if err != nil {
			continue
		}
		if values, err := s.valuesOf(less); err == nil && slices.Equal(values, s.values()) {
			s.opt, r = opt, less
		}
	}
	return r
}

// values are those of the engine as it is.
func (s *subject) values() []float64 {
	list := make([]float64, len(s.figures))
	for i, f := range s.figures {
		list[i] = f.Value
	}
	return list
}

// valuesOf returns the figures that matter of another result, in the same order.
func (s *subject) valuesOf(r *analysis.Result) ([]float64, error) {
	of := map[string]float64{}
	for _, f := range r.Figures() {
		of[f.Key] = f.Value
	}
	list := make([]float64, len(s.figures))
	for i, f := range s.figures {
		v, ok := of[f.Key]
		if !ok {
			return nil, s.without(f.Key, r)
		}
		list[i] = v
	}
	return list, nil
}

// noChange is the part of the largest figure of a unit below which a change is dust of the arithmetic [1].
const noChange = 1e-9

// matters tells whether an end changes a figure, or could not be computed.
func (s *subject) matters(e End) bool {
	if e.Figures == nil {
		return true
	}
	for i, f := range s.figures {
		if math.Abs(e.Figures[i]-f.Value) > noChange*math.Max(s.scale[f.Unit], math.Abs(e.Figures[i])) {
			return true
		}
	}
	return false
}
