package main

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"runtime"
	"time"

	"crankwright/report"
	"crankwright/results"
	"crankwright/search"
	"crankwright/spec"
	"crankwright/study"

	"github.com/spf13/cobra"
)

// studyVerb holds the verbs of the search.
func (a *app) studyVerb() *cobra.Command {
	c := &cobra.Command{
		Use:   "study",
		Short: "search every layout that a study allows, and say which no other beats",
		Long: `Study looks at every candidate of a study file (*.study.yaml): an engine file in which some keys take many
values, such as bank angles, all distinct crank phasings and all firing orders. It counts them before anything
runs, leaves out what does not keep the limits, with a certificate that nothing was passed over, and finds the
front: the candidates that no other is better than in one aim and as good as in the rest.

Results stay in a folder beside the study. What is stopped goes on where it was. Any candidate can be taken out
of it as an engine file.`,
		Example: `  crankwright new 'vee-4 65deg 84x90' -o my.engine.yaml
  crankwright new --study -o vees.study.yaml
  crankwright study size vees.study.yaml
  crankwright study run vees.study.yaml
  crankwright study query vees.results 'free_force_order_2 < 2 kN and bank_angle = 90 deg'
  crankwright study keep vees.results 12`,
		Args: cobra.ArbitraryArgs,
	}
	c.RunE = a.verb(func(args []string) error {
		if len(args) > 0 {
			return usagef("there is no verb %q of study; crankwright study --help lists them", args[0])
		}
		return c.Help()
	})
	c.AddCommand(a.studySizeVerb(), a.studyRunVerb(), a.studyShowVerb(), a.studyQueryVerb(), a.studyKeepVerb(), a.studyChooseVerb(),
		a.studyRefineVerb(), a.studyEvolveVerb(), a.studyWorkerVerb(), a.studyWatchVerb())
	return c
}

func (a *app) studySizeVerb() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "size FILE",
		Short: "say how many candidates a study has, and why, before anything runs",
		Long: `Size counts the candidates of a study by the shape of the engine and by what varies; says how the distinct
phasings of a crank were counted, which twins count as one and why not the others, with the number that
Burnside's lemma gives; which shapes cannot be built; what has to be computed; and about how long it takes.`,
		Example: `  crankwright study size examples/pilot-boat-vee-four.study.yaml
  crankwright study size vees.study.yaml --json`,
		Args:              oneStudy,
		ValidArgsFunction: completeStudies,
		RunE: a.verb(func(args []string) error {
			p, err := a.study(args[0])
			if err != nil {
				return err
			}
			rate, err := trial(p)
			if err != nil {
				return err
			}
			d := report.NewStudySizesDoc(p, rate, runtime.GOMAXPROCS(0))
			if asJSON {
				return a.json(d)
			}
			return a.text(report.StudySizeText(d, a.screen()))
		}),
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

func oneStudy(_ *cobra.Command, args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("give one study, such as vees%s; there are %d", spec.StudySuffix, len(args))
	}
	return nil
}

func oneFolder(_ *cobra.Command, args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("give one folder of results, such as vees%s; there are %d", results.Suffix, len(args))
	}
	return nil
}

// completeStudies completes the names of studies.
func completeStudies(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return []string{"study.yaml", "yaml"}, cobra.ShellCompDirectiveFilterFileExt
}

// completeFolders completes the names of folders of results.
func completeFolders(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return nil, cobra.ShellCompDirectiveFilterDirs
}

// study reads a study with the files that it names.
func (a *app) study(file string) (*search.Problem, error) {
	if file == "-" {
		return nil, usagef("a study is a file in the folder of its engine; it cannot be standard input")
	}
	if err := wanted(spec.StudySuffix, file); err != nil {
		return nil, err
	}
	folder := filepath.Dir(file)
	read := func(name string) ([]byte, error) {
		data, err := spec.FilesIn(folder)(name)
		if errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("%s: there is no such file", filepath.Join(folder, filepath.FromSlash(name)))
		}
		return data, err
	}
	b, err := search.Gather(filepath.Base(file), read)
	if err != nil {
		return nil, inputError{inFolder(folder, err)}
	}
	p, err := search.Open(b)
	if err != nil {
		return nil, inputError{inFolder(folder, err)}
	}
	return p, nil
}

// inFolder names the files of errors as they are reached from here.
func inFolder(folder string, err error) error {
	var list spec.Errors
	if !errors.As(err, &list) {
		return err
	}
	out := append(spec.Errors{}, list...)
	for i := range out {
		if out[i].File != "" {
			out[i].File = filepath.Join(folder, out[i].File)
		}
	}
	return out
}

// trialTime is how long a trial lasts at each of its places.
const trialTime = 150 * time.Millisecond

// trial measures how many candidates a second a processor of this machine does, at three places of the space.
func trial(p study.Problem) (float64, error) {
	size, err := p.Space().Size()
	if err != nil || size == 0 {
		return 0, err
	}
	e := p.Evaluator()
	kept, left := study.NewBatch(len(p.Columns())), make([]study.Count, len(p.Rules()))
	done, took := uint64(0), time.Duration(0)
	for k := range uint64(3) {
		kept.Reset()
		clear(left)
		begun := time.Now()
		err := e.Evaluate(study.Shard{From: k * (size / 3), To: size}, kept, left, func() bool { return time.Since(begun) > trialTime })
		if err != nil && !errors.Is(err, study.ErrStopped) {
			return 0, err
		}
		took += time.Since(begun)
		done += uint64(kept.Len())
		for _, c := range left {
			done += c.N
		}
	}
	return float64(done) / took.Seconds(), nil
}

// resultsOf is the folder of results of a study, unless another is given.
func resultsOf(file, given string) string {
	if given != "" {
		return given
	}
	return results.Beside(file)
}

// openResults opens a folder of results and the study that it holds.
func (a *app) openResults(dir string) (*results.Folder, *search.Problem, error) {
	f, err := results.Open(dir)
	if err != nil {
		return nil, nil, inputError{err}
	}
	b, err := f.Bundle()
	if err != nil {
		return nil, nil, inputError{err}
	}
	p, err := search.Open(b)
	if err != nil {
		return nil, nil, inputError{fmt.Errorf("%s: %w", dir, err)}
	}
	if p.Digest() != f.Digest() {
		return nil, nil, inputError{fmt.Errorf("%s: these results were found by another version of the program or on another kind of processor; run the study again into another folder", dir)}
	}
	return f, p, nil
}
