package main

import (
	"context"
	"errors"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"

	"crankwright/analysis"
	"crankwright/brief"
	"crankwright/choice"
	"crankwright/decision"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

// chosenBy are the flags with which engines are judged by a brief.
type chosenBy struct {
	strict, certain bool
	draws           int
	seed            uint64
	speed           string
	prices          string
}

func (o *chosenBy) flags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.speed, "speed", "", "one crank speed for all, such as '6000 rpm' (default: each engine's rated speed)")
	strictFlags(f, &o.strict)
	f.BoolVar(&o.certain, "certain", false, "take estimates as they are; quicker, and the verdict does not know how far they may be off")
	f.IntVar(&o.draws, "draws", 100_000, "how often weights and estimates are drawn")
	f.Uint64Var(&o.seed, "seed", 1, "of the draws; the same seed gives the same result")
	pricesFlag(f, &o.prices)
}

func (o *chosenBy) check() error {
	if o.draws < 1 || o.draws > choice.MostDraws {
		return usagef("--draws: %d is not possible; 1 to %d are", o.draws, choice.MostDraws)
	}
	return nil
}

func (a *app) chooseVerb() *cobra.Command {
	var o chosenBy
	var as form
	c := &cobra.Command{
		Use:   "choose BRIEF ENGINE...",
		Short: "choose among engines for a brief, and say how firm the choice is",
		Long: `Choose judges engines by what an application wants: a brief (*.brief.yaml) with hard limits and priorities
from 0 to 10, or ranges such as [3, 8] where people disagree. Limits rule out, with the margin. The rest is
ranked by weighted value functions, and it is said how firm that is: how often each engine is first over all
weights that the brief leaves open and all values that the estimates leave open, which engines no weights
make first, what would have to change for another to lead (one priority, all priorities, one figure, one
estimated input), and which estimate matters most. Where what is known does not separate engines, it says so.

Each estimated input is moved to the ends of its scatter, which takes most of the time; --certain leaves
that out. 'crankwright new --brief' writes a brief to edit.`,
		Example: `  crankwright choose examples/pilot-boat.brief.yaml examples/*.engine.yaml
  crankwright choose boat.brief.yaml a.engine.yaml b.engine.yaml --certain
  crankwright choose boat.brief.yaml *.engine.yaml --json --seed 7`,
		Args: func(_ *cobra.Command, args []string) error {
			switch {
			case len(args) == 0:
				return errors.New("give a brief and engines, such as boat.brief.yaml a.engine.yaml b.engine.yaml")
			case len(args) == 1:
				return errors.New("give engines to choose from behind the brief")
			}
			return nil
		},
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			if err := as.check(); err != nil {
				return err
			}
			b, _, err := a.brief(args[0], o.prices)
			if err != nil {
				return err
			}
			made, err := a.choice(b, args[1:], o, analysis.Options{})
			if err != nil {
				return err
			}
			return give(a, as, report.NewChoiceDoc(made, o.seed), report.ChoiceCSV, report.ChoiceText)
		}),
	}
	o.flags(c)
	as.flags(c, "a line for each engine", "")
	return c
}

// brief reads a brief with its price table, or another one, and returns both as files of a report too; - is standard input.
func (a *app) brief(file, table string) (*brief.Brief, []report.Input, error) {
	if err := wanted(spec.BriefSuffix, file); err != nil {
		return nil, nil, err
	}
	name, data, err := a.fileText(file)
	if err != nil {
		return nil, nil, err
	}
	b, err := spec.ReadBrief(name, data)
	if err != nil {
		return nil, nil, inputError{err}
	}
	in := []report.Input{{Name: filepath.Base(name), Text: string(data)}}
	if table == "" && b.PricesFile != "" {
		table = filepath.Join(filepath.Dir(file), b.PricesFile)
	}
	if b.Prices, err = prices(table); err != nil || table == "" {
		return b, in, err
	}
	text, err := spec.ReadWhole(table)
	if err != nil {
		return nil, nil, inputError{err}
	}
	return b, append(in, report.Input{Name: filepath.Base(table), Text: string(text)}), nil
}

// choice judges engine files by a brief. Beside what the brief asks for, with is analysed.
func (a *app) choice(b *brief.Brief, files []string, o chosenBy, with analysis.Options) (*decision.Choice, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	if _, err := speedOf(o.speed); err != nil {
		return nil, err
	}
	var list []decision.Candidate
	var wrong []error
	for _, file := range files {
		name, data, err := a.fileText(file)
		var input inputError
		switch {
		case errors.As(err, &input):
			wrong = append(wrong, input.error)
		case err != nil:
			return nil, err
		default:
			list = append(list, decision.Candidate{File: name, Data: data, Read: spec.FilesIn(filepath.Dir(file))})
		}
	}
	return a.judge(b, list, o, with, wrong...)
}

// judge judges engines by a brief; wrong is what is wrong with others already.
func (a *app) judge(b *brief.Brief, list []decision.Candidate, o chosenBy, with analysis.Options, wrong ...error) (*decision.Choice, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	if o.speed != "" {
		var err error
		if with.Speed, err = speedOf(o.speed); err != nil {
			return nil, err
		}
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	var entrants []decision.Entrant
	for i, c := range list {
		opt := decision.EnterOptions{Analysis: with, Certain: o.certain, Strict: o.strict, Progress: func(done, of int) {
			a.progress("%d of %d engines: %d of %d ends of estimates", i+1, len(list), done, of)
		}}
		if o.certain {
			a.progress("%d of %d engines", i+1, len(list))
		}
		e, err := decision.Enter(ctx, b, c, opt)
		switch {
		case ctx.Err() != nil:
			return nil, errors.New("stopped: nothing was chosen, nothing written")
		case err != nil:
			wrong = append(wrong, err)
		default:
			entrants = append(entrants, e)
		}
	}
	a.progress("")
	if len(wrong) > 0 {
		return nil, inputError{errors.Join(wrong...)}
	}
	made, err := decision.Judge(b, entrants, choice.Options{Draws: o.draws, Seed: o.seed})
	if err != nil {
		return nil, inputError{err}
	}
	return made, nil
}
