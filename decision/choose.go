package decision

import (
	"context"
	"fmt"
	"slices"

	"crankwright/analysis"
	"crankwright/brief"
	"crankwright/choice"
	"crankwright/estimate"
	"crankwright/explain"
	"crankwright/spec"
)

// Entrant is an engine that stands for a choice.
type Entrant struct {
	File   string
	Text   string           // of the file
	Result *analysis.Result // with the chapters that the brief asks for
	Doubts *Doubts          // of the figures that the brief names; nil: its estimates are taken as they are

	Guidance *analysis.Guidance // that it misses, which is said and counts for nothing; nil: not looked at
}

// Left is an engine that cannot be judged.
type Left struct{ File, Name, Why string }

// Choice is the choice among engines for a brief.
type Choice struct {
	Brief    *brief.Brief // without priorities of 0 that cannot be looked at, see brief.Brief.Among
	Entrants []Entrant    // those that are judged, in the sequence of the decision's alternatives
	Decision *choice.Decision
	Left     []Left
}

// EnterOptions say how an engine is evaluated for a brief. The zero value is the usual choice.
type EnterOptions struct {
	Analysis analysis.Options   // beside the chapters that the brief asks for
	Certain  bool               // take estimates as they are
	Strict   bool               // estimate nothing: what the file leaves out is an error
	Workers  int                // engines that are computed at once; 0: 2
	Progress func(done, of int) // is told of every end of a doubt
}

// Enter evaluates an engine for a brief: its figures, and what its estimates leave open of them. Errors are those of the
// file and of the analysis, placed in the file, or that of ctx.
func Enter(ctx context.Context, b *brief.Brief, c Candidate, opt EnterOptions) (Entrant, error) {
	t, src, err := spec.ReadEngine(c.File, c.Data, spec.Options{Strict: opt.Strict})
	if err == nil && c.Read != nil {
		err = src.ReadMeasured(t, "", c.Read)
	}
	if err != nil {
		return Entrant{File: c.File}, err
	}
	o, needs := opt.Analysis, b.Options()
	o.Space, o.Parts = o.Space || needs.Space, o.Parts || needs.Parts
	o.Drive, o.Lasting = o.Drive || needs.Drive, o.Lasting || needs.Lasting
	o.Guided = true
	o.Strict = o.Strict || opt.Strict
	if needs.Prices != nil {
		o.Prices = needs.Prices
	}
	e := Entrant{File: c.File, Text: string(c.Data)}
	if e.Result, err = analysis.Run(t, o); err != nil {
		return e, src.Placed(err)
	}
	e.Guidance = e.Result.Guidance
	if opt.Certain || b.Missing(e.Result) != "" {
		return e, nil
	}
	needs.Speed, needs.Load, needs.Light, needs.TwoMass = o.Speed, o.Load, o.Light, o.TwoMass
	keys := slices.DeleteFunc(b.Keys(), func(k string) bool { return k == brief.Speed })
	e.Doubts, err = DoubtsOf(ctx, c, needs, DoubtOptions{Figures: keys, Workers: opt.Workers, Progress: opt.Progress})
	return e, err
}

// Judge chooses among engines for a brief. An engine that lacks a figure which the brief needs is left out, and it is said.
//
// Errors: no engine can be judged, or those of choice.Decide.
func Judge(b *brief.Brief, entrants []Entrant, opt choice.Options) (*Choice, error) {
	c := &Choice{}
	var names []string
	var values []brief.Values
	for _, e := range entrants {
		if why := b.Missing(e.Result); why != "" {
			c.Left = append(c.Left, Left{e.File, e.Result.Train.Name, why})
			continue
		}
		c.Entrants = append(c.Entrants, e)
		names = append(names, e.Result.Train.Name)
		values = append(values, brief.ValuesOf(e.Result))
	}
	if len(c.Entrants) == 0 {
		if len(c.Left) > 0 {
			return nil, fmt.Errorf("no engine can be judged by this brief: %s: %s", c.Left[0].Name, c.Left[0].Why)
		}
		return nil, fmt.Errorf("there is no engine to choose from")
	}
	c.Brief = b.Among(values)
	p, err := c.Brief.Problem(names, values)
	if err != nil {
		return nil, err
	}
	for i, e := range c.Entrants {
		p.Alternatives[i].Beside = explain.GuidanceSentence(names[i], e.Guidance)
		if e.Doubts != nil {
			p.Alternatives[i].Doubts = doubtsFor(p, p.Alternatives[i].Values, e.Doubts)
		}
	}
	c.Decision, err = choice.Decide(p, opt)
	return c, err
}

// doubtsFor puts what estimates leave open into the columns of a problem.
func doubtsFor(p *choice.Problem, values []float64, of *Doubts) []choice.Doubt {
	column := make([]int, len(of.Figures)) // of each figure in the problem, or −1
	for i, f := range of.Figures {
		column[i] = slices.IndexFunc(p.Criteria, func(c choice.Criterion) bool { return c.Key == f.Key })
	}
	row := func(e End) []float64 {
		out := slices.Clone(values)
		for i, v := range e.Figures {
			if column[i] >= 0 {
				out[column[i]] = v
			}
		}
		return out
	}
	var out []choice.Doubt
	for _, d := range of.List {
		out = append(out, choice.Doubt{Key: d.Key, Name: d.Name, Low: row(d.Low), High: row(d.High), Input: func(z float64) string {
			end := d.High
			if z < 0 {
				z, end = -z, d.Low
			}
			return estimate.Shown(d.Value+z*(end.Value-d.Value), d.Unit)
		}})
	}
	return out
}
