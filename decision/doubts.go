package decision

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"crankwright/analysis"
	"crankwright/estimate"
	"crankwright/mechanics/layout"
	"crankwright/spec"
)

// Candidate is one engine file.
type Candidate struct {
	File string                            // its name in messages
	Data []byte                            // its text
	Read func(name string) ([]byte, error) // returns the measured pressure that it names, to several callers at once; nil where there is none
}

// DoubtOptions say which doubts are looked for, and how.
type DoubtOptions struct {
	Figures  []string           // keys of the figures that matter; nil: all
	Workers  int                // engines that are computed at once; 0: 2
	Progress func(done, of int) // is told of every end that is computed, one call at a time; nil: nobody
}

// Doubts is what the estimates of one engine leave open.
type Doubts struct {
	Figures []analysis.Figure // of the engine as it is estimated, those that matter
	List    []Doubt           // the estimates that change one of them, in the order in which the engine lists them
	Without []string          // keys of the estimates with a scatter that change none
	Chosen  []string          // keys that were assumed and have no scatter: choices, and what the engine does not have
}

// Doubt is one estimate, and the figures at the ends of its scatter.
type Doubt struct {
	Key       string   // such as rod.mass; in the custom form for all throws or cylinders together
	Keys      []string // where it would stand in the file, more than one in the custom form
	Name      string   // in words
	Value     float64  // the estimate in SI; in the custom form that of the first key
	Unit      string   // SI unit, as in layout.Estimate
	Shown     string   // Value as people read it
	Estimated string   // how it was estimated
	Low, High End
	Rule      string // of the scatter, in words
	Source    string // of the scatter
}

// End is an engine whose estimate lies at one end of its scatter.
type End struct {
	Value   float64   // in SI
	Shown   string    // as people read it
	Reached float64   // how far the engine could be moved from the estimate to the end [1]; 0: not at all
	Note    string    // why it could not be moved to the end; empty where it was
	Figures []float64 // at Value, in the order and the units of Doubts.Figures; nil where Reached is 0
}

// halvings is how often an impossible end is moved half way back to the estimate.
const halvings = 4

// DoubtsOf computes the figures of an engine with each of its estimates at the low and at the high end of its scatter, the
// others as they are or following it.
//
// Options say which chapters are computed; those that give no figure that matters are left out. What is estimated is known
// to the program by Key; what the file gives, traces among it, has no doubt here. An end with which the engine is impossible,
// or has no such figures, is moved half way back to the estimate, up to four times, and Note says why. The answer is the same
// whatever the number of workers. It stops at the next engine when ctx ends, with its error; other errors are those of
// the engine as it is.
func DoubtsOf(ctx context.Context, c Candidate, opt analysis.Options, how DoubtOptions) (*Doubts, error) {
	s, err := newSubject(c, opt, how.Figures)
	if err != nil {
		return nil, err
	}
	ends := make([]End, 2*len(s.inputs)) // low and high of each
	if err := s.compute(ctx, ends, how); err != nil {
		return nil, err
	}
	d := &Doubts{Figures: s.figures, Chosen: s.chosen}
	for i := range s.inputs {
		in, low, high := &s.inputs[i], ends[2*i], ends[2*i+1]
		if !s.matters(low) && !s.matters(high) {
			d.Without = append(d.Without, in.key)
			continue
		}
		d.List = append(d.List, Doubt{
			Key: in.key, Keys: in.keys(), Name: in.name, Value: in.at[0].Value, Unit: in.at[0].Unit, Shown: in.at[0].Shown, Estimated: in.at[0].Rule,
			Low: low, High: high, Rule: in.spread.Rule, Source: in.spread.Source,
		})
	}
	return d, nil
}

// compute fills the ends, several at once.
func (s *subject) compute(ctx context.Context, ends []End, how DoubtOptions) error {
	workers := how.Workers
	if workers <= 0 {
		workers = 2
	}
	next := make(chan int)
	var group sync.WaitGroup
	var mu sync.Mutex
	done := 0
	for range min(workers, len(ends)) {
		group.Go(func() {
			for i := range next {
				end, ok := s.end(ctx, &s.inputs[i/2], i%2 == 1)
				if !ok {
					continue
				}
				ends[i] = end
				mu.Lock()
				done++
				if how.Progress != nil {
					how.Progress(done, len(ends))
				}
				mu.Unlock()
			}
		})
	}
	for i := range ends {
		if ctx.Err() != nil {
			break
		}
		select {
		case next <- i:
		case <-ctx.Done():
		}
	}
	close(next)
	group.Wait()
	return ctx.Err()
}

// end computes one end of one input; false where ctx ended before.
func (s *subject) end(ctx context.Context, in *input, high bool) (End, bool) {
	value0 := in.at[0].Value
	goal := in.goal(value0, high)
	if goal == value0 { // such as a share that is whole already
		return End{Value: goal, Shown: in.at[0].Shown, Reached: 1, Figures: s.values()}, true
	}
	first := ""
	for k, share := 0, 1.0; k <= halvings; k, share = k+1, share/2 {
		if ctx.Err() != nil {
			return End{}, false
		}
		value := value0 + share*(goal-value0)
		figures, err := s.with(in, share, high)
		if err == nil {
			e := End{Value: value, Shown: in.shown(value), Reached: share, Figures: figures}
			if first != "" {
				e.Note = fmt.Sprintf("%s; taken at %s instead", first, e.Shown)
			}
			return e, true
		}
		if first == "" {
			first = fmt.Sprintf("not possible at %s: %s", in.shown(value), analysis.Said(err))
		}
	}
	return End{Value: value0, Shown: in.at[0].Shown, Note: first + "; nor nearer to the estimate, so it is left out"}, true
}

// with computes the figures with an input moved a share of the way to one end.
func (s *subject) with(in *input, share float64, high bool) ([]float64, error) {
	t, err := s.moved(in, share, high)
	if err != nil {
		return nil, err
	}
	r, err := analysis.RunLike(t, s.opt, s.result)
	if err != nil {
		return nil, err
	}
	return s.valuesOf(r)
}

// moved returns the train with an input moved a share of the way to one end. What was moved is an estimate still.
func (s *subject) moved(in *input, share float64, high bool) (*layout.Train, error) {
	values, at := make([]spec.Value, 0, len(in.at)+len(in.held)), slices.Clone(in.at)
	for i := range at {
		e := &at[i]
		e.Value += share * (in.goal(e.Value, high) - e.Value)
		e.Shown = in.shown(e.Value)
		values = append(values, spec.Value{Key: e.Key, SI: e.Value})
	}
	if in.mounts {
		return onMounts(s.train, s.result.Mounts, in.key, at[0].Value/in.at[0].Value), nil
	}
	for _, e := range in.held {
		values = append(values, spec.Value{Key: e.Key, SI: e.Value})
	}
	t, err := spec.Vary(s.c.File, s.c.Data, values, s.c.Read)
	if err != nil {
		return nil, err
	}
	if in.assumed {
		t.Assumed = append(t.Assumed, at...)
	} else {
		t.Estimates = append(t.Estimates, at...)
	}
	return t, nil
}

// goal returns the low or the high end of the scatter about an estimate.
func (in *input) goal(value float64, high bool) float64 {
	low, most := in.spread.Ends(value)
	if high {
		return most
	}
	return low
}

// shown returns a value of the input as people read it.
func (in *input) shown(value float64) string {
	if in.mounts && in.at[0].Unit == "N/m" {
		return fmt.Sprintf("%.3g N/mm", value/1e3)
	}
	return estimate.Shown(value, in.at[0].Unit)
}
