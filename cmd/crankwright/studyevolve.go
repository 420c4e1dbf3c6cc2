package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"os/signal"
	"syscall"

	"crankwright/report"
	"crankwright/results"
	"crankwright/search"

	"github.com/spf13/cobra"
)

func (a *app) studyEvolveVerb() *cobra.Command {
	var by results.Evolution
	var as form
	var out string
	var processors int
	var quiet bool
	c := &cobra.Command{
		Use:   "evolve FILE",
		Short: "search a part of a study that is too large to be looked at whole, or go on where it was stopped",
		Long: `Evolve breeds candidates of a study, generation by generation (NSGA-II), where there are too many to look at each.
Its front is that of the candidates that it has looked at, so it may miss some, and it says how many there were. The
same seed gives the same results, whatever the number of processors.

Every generation is kept in a folder, as those of 'crankwright study run' are, and all that reads such a folder reads
this one. Ctrl-C keeps the generations that are done, and the next run goes on. One that has ended goes on with more
--evaluations, or a larger --still.`,
		Example: `  crankwright study evolve vees.study.yaml --evaluations 5000
  crankwright study evolve vees.study.yaml --seed 7 -o vees-7.results --csv > front.csv`,
		Args:              oneStudy,
		ValidArgsFunction: completeStudies,
		RunE: a.verb(func(args []string) (err error) {
			if err := as.check(); err != nil {
				return err
			}
			if by.Still < 1 || by.Size < 1 || processors < 0 {
				return usagef("--still, --generation and --processors are whole numbers from 1 on")
			}
			p, err := a.study(args[0])
			if err != nil {
				return err
			}
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			dir := resultsOf(args[0], out)
			f, err := begun(results.CreateEvolution(dir, p, p.Bundle(), by))
			if err != nil {
				return err
			}
			defer func() { err = errors.Join(err, f.Close()) }()
			if now := f.Progress(); now.Shards > 0 && !quiet {
				a.note("going on with %s: generation %d; %d candidates are done", dir, now.Shards+1, now.Done)
			}
			tell, end := a.studyProgress(p, quiet || as.json || as.csv)
			err = results.Run(ctx, p, f, results.Options{Processors: processors, Tell: tell})
			end()
			switch {
			case ctx.Err() != nil:
				now := f.Progress()
				return fmt.Errorf("stopped: %d of %d candidates are done and kept in %s; run it again to go on", now.Done, now.Total, dir)
			case err != nil:
				return err
			}
			d, err := foundDoc(f, p, dir)
			if err != nil {
				return err
			}
			return a.giveStudy(as, d)
		}),
	}
	f := c.Flags()
	f.StringVarP(&out, "output", "o", "", "folder of the results (default: the name of the study with "+results.Suffix+", beside it)")
	f.Uint64Var(&by.Evaluations, "evaluations", 0, "end with the generation in which so many candidates were looked at (default: a tenth of the study, at least 2000, at most 100000)")
	f.Uint64Var(&by.Seed, "seed", 1, "of the random numbers; the same seed gives the same results")
	f.IntVar(&by.Size, "generation", 100, "candidates of a generation")
	f.IntVar(&by.Still, "still", 20, "also end when the front stays as it is for so many generations")
	f.IntVar(&processors, "processors", 0, "how many processors work (default: all)")
	f.BoolVar(&quiet, "quiet", false, "do not say how far it is")
	as.flags(c, "the front", "")
	return c
}

// foundDoc says what a folder of results holds so far.
func foundDoc(f *results.Folder, p *search.Problem, dir string) (*report.StudyDoc, error) {
	o, whole, err := f.Outcome()
	if err != nil {
		return nil, inputError{err}
	}
	by, bred := f.Evolution()
	if !bred {
		return report.NewStudyDoc(p, o, dir, whole), nil
	}
	e := report.EvolutionDoc{Most: by.Evaluations, Size: by.Size, Seed: by.Seed, MostStill: by.Still, Ended: whole}
	for _, s := range f.Course() {
		step := report.EvolutionStepDoc{Looked: s.Looked, Kept: s.Kept, Front: s.Front}
		for _, v := range s.Best {
			if math.IsNaN(v) {
				step.Best = append(step.Best, nil)
			} else {
				step.Best = append(step.Best, v)
			}
		}
		e.Course, e.Still, e.Generations = append(e.Course, step), s.Still, e.Generations+1
	}
	return report.NewEvolvedDoc(p, o, dir, e), nil
}
