package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/signal"
	"syscall"

	"crankwright/report"
	"crankwright/results"
	"crankwright/search"
	"crankwright/study"

	"github.com/spf13/cobra"
)

// studyFlags say how a study is run.
type studyFlags struct {
	form
	meetAt
	out        string
	processors int
	quiet      bool
}

func (a *app) studyRunVerb() *cobra.Command {
	var o studyFlags
	c := &cobra.Command{
		Use:   "run FILE",
		Short: "look at every candidate of a study, or go on where it was stopped",
		Long: `Run looks at every candidate of a study and keeps what it finds in a folder, by default beside the study: the
candidates that are kept, as Parquet files with columns.md that says what they hold, the exact front and the best
by each aim, and a certificate. Ctrl-C keeps what is done, and the next run goes on. The bytes of the results depend
on the study alone: not on what was stopped, nor on the number of processors or machines.

With --share or --at it leads: workers that 'crankwright study worker' starts, here or elsewhere, do the work.
docs/many-machines.md says how.`,
		Example: `  crankwright study run examples/pilot-boat-six.study.yaml -o six.results
  crankwright study run vees.study.yaml --processors 2
  crankwright study run vees.study.yaml --share 0.0.0.0:4222 --token-file token
  crankwright study run vees.study.yaml --json --quiet`,
		Args:              oneStudy,
		ValidArgsFunction: completeStudies,
		RunE: a.verb(func(args []string) error {
			if err := errors.Join(o.form.check(), o.meetAt.check()); err != nil {
				return err
			}
			if o.processors < 0 {
				return usagef("--processors: %d; give 1 or more", o.processors)
			}
			p, err := a.study(args[0])
			if err != nil {
				return err
			}
			return a.runStudy(p, resultsOf(args[0], o.out), o)
		}),
	}
	f := c.Flags()
	f.StringVarP(&o.out, "output", "o", "", "folder of the results (default: the name of the study with "+results.Suffix+", beside it)")
	f.IntVar(&o.processors, "processors", 0, "how many processors work (default: all; with --share: none here, all of the workers)")
	f.BoolVar(&o.quiet, "quiet", false, "do not say how far it is")
	o.meetAt.flags(c, "lead workers on many machines")
	o.form.flags(c, "the front", "")
	return c
}

// runStudy does what a folder lacks and says what was found.
func (a *app) runStudy(p *search.Problem, dir string, o studyFlags) (err error) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	f, err := begun(results.Create(dir, p, p.Bundle()))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	total := f.Progress().Total
	switch missing := f.Missing(); {
	case o.quiet:
	case len(missing) == 0:
		a.note("%s is whole already: nothing is evaluated again", dir)
	case len(missing) < f.Progress().Of:
		a.note("going on with %s: %d of %d candidates are done", dir, f.Progress().Done, total)
	}
	tell, end := a.studyProgress(p, o.quiet || o.json || o.form.csv)
	if o.given() && len(f.Missing()) > 0 {
		err = a.lead(ctx, f, &o, tell)
	} else {
		err = results.Run(ctx, p, f, results.Options{Processors: o.processors, Tell: tell})
	}
	end()
	switch {
	case ctx.Err() != nil:
		now := f.Progress()
		return fmt.Errorf("stopped: %d of %d candidates are done and kept in %s; run the study again to go on", now.Done, now.Total, dir)
	case errors.Is(err, study.ErrStopped):
		return fmt.Errorf("stopped")
	case err != nil:
		return err
	}
	d, err := foundDoc(f, p, dir)
	if err != nil {
		return err
	}
	return a.giveStudy(o.form, d)
}

// begun tells a folder that is refused, which is a mistake of the user's, from a disk that fails.
func begun(f *results.Folder, err error) (*results.Folder, error) {
	var disk *fs.PathError
	if err == nil || errors.As(err, &disk) {
		return f, err
	}
	return nil, inputError{err}
}

// giveStudy writes what a study found.
func (a *app) giveStudy(o form, d *report.StudyDoc) error {
	return give(a, o, d, report.StudyCSV, report.StudyText)
}
