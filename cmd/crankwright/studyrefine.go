package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"crankwright/report"
	"crankwright/results"
	"crankwright/search"
	"crankwright/study"

	"github.com/spf13/cobra"
)

func (a *app) studyRefineVerb() *cobra.Command {
	var opt search.RefineOptions
	var out string
	var force, asJSON bool
	var c *cobra.Command
	c = &cobra.Command{
		Use:   "refine FOLDER NUMBER",
		Short: "move a candidate between the steps of its study, so that it gets better and nothing gets worse",
		Long: `Refine moves the numbers that a study varies in steps, from a candidate on, anywhere between their least and largest
values, by the simplex method of Nelder and Mead: so that some aim gets better, none gets worse, and everything that
is required is kept. With --toward one aim is improved, the others being limits. Every step is the whole analysis of
an engine. With --output the result is written as an engine file.`,
		Example: `  crankwright study refine vees.results 12
  crankwright study refine vees.results 12 --toward length -o refined.engine.yaml`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return errors.New("give a folder of results and the number of a candidate, such as vees" + results.Suffix + " 12")
			}
			return nil
		},
		ValidArgsFunction: completeFolders,
		RunE: a.verb(func(args []string) error {
			if err := needs(c, "output", "force"); err != nil {
				return err
			}
			n, err := candidateOf(args[1])
			if err != nil {
				return err
			}
			if opt.Evaluations < 0 {
				return usagef("--evaluations: %d; give 1 or more", opt.Evaluations)
			}
			f, p, err := a.openResults(args[0])
			if err != nil {
				return err
			}
			if out != "" {
				if err := free(out, force); err != nil {
					return err
				}
			}
			o, _, err := f.Outcome()
			if err != nil {
				return inputError{err}
			}
			opt.Front = o.Front
			r, err := a.refine(p, args[0], n, opt)
			if err != nil {
				return err
			}
			if out == "-" {
				return a.print(r.Text)
			}
			d := report.NewStudyRefinedDoc(p, r)
			if out != "" {
				if err := a.save(out, r.Text); err != nil {
					return err
				}
				d.File = out
			}
			if asJSON {
				return a.json(d)
			}
			return a.text(report.StudyRefinedText(d, a.screen()))
		}),
	}
	f := c.Flags()
	f.StringVar(&opt.Toward, "toward", "", "key of the aim to improve while no other gets worse (default: all together)")
	f.IntVar(&opt.Evaluations, "evaluations", search.RefineEvaluations, "engines to analyse at most")
	f.StringVarP(&out, "output", "o", "", "write the refined engine to this file; - is standard output")
	f.BoolVar(&force, "force", false, "write over a file that exists")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

// refine refines a candidate of a folder of results, and says on a terminal how far it is.
func (a *app) refine(p *search.Problem, folder string, number uint64, opt search.RefineOptions) (*search.Refined, error) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	opt.Tell = func(done int) {
		a.progress("refining candidate %d: %d engines of at most %d", number, done, cmp.Or(opt.Evaluations, search.RefineEvaluations))
	}
	r, err := p.Refine(number, opt, func() bool { return ctx.Err() != nil })
	a.progress("")
	switch {
	case errors.Is(err, study.ErrStopped):
		return nil, errors.New("stopped: nothing was refined")
	case err != nil:
		return nil, inputError{fmt.Errorf("%s: %w", folder, err)}
	}
	return r, nil
}
