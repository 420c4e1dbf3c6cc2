package decision

import (
	"fmt"
	"slices"
	"strings"

	"crankwright/analysis"
	"crankwright/estimate"
	"crankwright/mechanics/layout"
	"crankwright/spec"
)

// subject is one engine whose estimates are moved.
type subject struct {
	c       Candidate
	train   *layout.Train    // as estimated
	result  *analysis.Result // of it
	opt     analysis.Options
	figures []analysis.Figure
	scale   map[string]float64 // of the figures by unit, for what counts as no change
	inputs  []input
	chosen  []string
}

// input is one estimate with a scatter.
type input struct {
	key     string // by which its scatter goes
	name    string
	spread  estimate.Spread
	at      []layout.Estimate // where it stands: one, or one for each throw or cylinder of a custom form
	held    []layout.Estimate // what keeps its estimate while this moves
	assumed bool              // of Train.Assumed
	mounts  bool              // of Mounts.Assumed
}

// keys returns where the input would stand in the file.
func (in *input) keys() []string {
	list := make([]string, len(in.at))
	for i, e := range in.at {
		list[i] = e.Key
	}
	return list
}

// newSubject reads the engine as it is and finds its figures and its estimates.
func newSubject(c Candidate, opt analysis.Options, wanted []string) (*subject, error) {
	t, e, err := spec.ReadEngine(c.File, c.Data, spec.Options{})
	if err != nil {
		return nil, err
	}
	if c.Read != nil {
		if err := e.ReadMeasured(t, "", c.Read); err != nil {
			return nil, err
		}
	}
	s := &subject{c: c, train: t, opt: opt}
	r, err := s.base(wanted)
	if err != nil {
		return nil, err
	}
	s.result = r
	s.find(t.Estimates, false)
	s.find(t.Assumed, true)
	if r.Mounts != nil {
		s.find(r.Mounts.Assumed, true)
	}
	s.name(spec.Fields(e, t))
	s.hold()
	return s, nil
}

// onMountsKey tells whether package analysis assumes a key of the mounts themselves.
func onMountsKey(key string) bool { return strings.HasPrefix(key, "mounts.isolators.") }

// find adds the estimates of a list to the inputs.
func (s *subject) find(list []layout.Estimate, assumed bool) {
	for _, e := range list {
		key := estimate.CommonKey(e.Key)
		if s.follows(e.Key) {
			continue
		}
		spread, ok := estimate.Scatter(key)
		if !ok {
			s.chosen = append(s.chosen, e.Key)
			continue
		}
		if low, high := spread.Ends(e.Value); low == high {
			s.chosen = append(s.chosen, e.Key) // there is none of it, such as coolant in an engine that air cools
			continue
		}
		i := slices.IndexFunc(s.inputs, func(in input) bool { return in.key == key })
		if i < 0 {
			i = len(s.inputs)
			s.inputs = append(s.inputs, input{key: key, spread: spread, assumed: assumed, mounts: onMountsKey(key)})
		}
		s.inputs[i].at = append(s.inputs[i].at, e)
	}
}

// follows tells whether an estimate is the length of a linked rod of the custom form, which follows its master's.
func (s *subject) follows(path string) bool {
	for i := range s.train.Cylinders {
		if s.train.Cylinders[i].Rod.Linked && path == fmt.Sprintf("layout.cylinders[%d].rod.length", i) {
			return true
		}
	}
	return false
}

// name gives the inputs their names in words.
func (s *subject) name(fields []spec.Field) {
	labels := map[string]string{
		"mounts.isolators.stiffness.z": "Stiffness of a mount", "mounts.isolators.loss_factor": "Loss factor of the mounts",
	}
	for _, f := range fields {
		labels[f.Path] = f.Label
	}
	for i := range s.inputs {
		in := &s.inputs[i]
		in.name = labels[in.key]
		if in.name == "" {
			in.name = labels[in.at[0].Key]
		}
		if in.name == "" {
			in.name = in.key
		}
	}
}

// hold finds the estimates that would follow an input backwards and shall not: a rod that is more inert need not be heavier.
func (s *subject) hold() {
	for i := range s.inputs {
		for _, e := range slices.Concat(s.train.Estimates, s.train.Assumed) {
			if slices.Contains(s.inputs[i].spread.Holds, estimate.CommonKey(e.Key)) {
				s.inputs[i].held = append(s.inputs[i].held, e)
			}
		}
	}
}

// onMounts returns the train on the mounts that were assumed for it, their stiffness or loss multiplied.
func onMounts(t *layout.Train, m *analysis.Mounts, key string, factor float64) *layout.Train {
	u := *t
	u.Mounting.Isolators = nil
	for _, at := range m.System.Mounts {
		i := layout.Isolator{Name: at.Name, X: at.At.X, Y: at.At.Y, Z: at.At.Z, Stiffness: at.Stiffness, Loss: at.Loss}
		if strings.HasSuffix(key, ".loss_factor") {
			i.Loss *= factor
		} else {
			for a := range i.Stiffness {
				i.Stiffness[a] *= factor
			}
		}
		u.Mounting.Isolators = append(u.Mounting.Isolators, i)
	}
	return &u
}
