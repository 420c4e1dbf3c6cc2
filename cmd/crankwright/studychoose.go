package main

import (
	"fmt"

	"crankwright/analysis"
	"crankwright/decision"
	"crankwright/report"

	"github.com/spf13/cobra"
)

// mostChosen is how many candidates of a front are judged at most.
const mostChosen = 60

func (a *app) studyChooseVerb() *cobra.Command {
	var o chosenBy
	var as form
	var briefFile string
	c := &cobra.Command{
		Use:   "choose FOLDER",
		Short: "choose among the front of a study for a brief",
		Long: fmt.Sprintf(`Choose judges the candidates of the front by a brief, as 'crankwright choose --certain' judges engines: estimates
are taken as they are, because they are nearly the same for all. The brief is that of the study, unless --brief
gives another. Of a front of more than %d candidates those are judged that are best by each aim, then those that
give up least in all aims together.`, mostChosen),
		Example: `  crankwright study choose vees.results --brief boat.brief.yaml
  crankwright study choose three.results --json`,
		Args:              oneFolder,
		ValidArgsFunction: completeFolders,
		RunE: a.verb(func(args []string) error {
			if err := as.check(); err != nil {
				return err
			}
			made, err := a.chooseOfFront(args[0], briefFile, o)
			if err != nil {
				return err
			}
			return give(a, as, report.NewChoiceDoc(made, o.seed), report.ChoiceCSV, report.ChoiceText)
		}),
	}
	o.certain = true
	f := c.Flags()
	f.StringVar(&briefFile, "brief", "", "judge by this brief (default: that of the study)")
	f.StringVar(&o.speed, "speed", "", "one crank speed for all, such as '6000 rpm' (default: that of the study, else each engine's rated speed)")
	f.IntVar(&o.draws, "draws", 100_000, "how often weights are drawn")
	f.Uint64Var(&o.seed, "seed", 1, "of the draws; the same seed gives the same result")
	as.flags(c, "a line for each engine", "")
	return c
}

// chooseOfFront judges the front of a folder of results.
func (a *app) chooseOfFront(dir, briefFile string, o chosenBy) (*decision.Choice, error) {
	f, p, err := a.openResults(dir)
	if err != nil {
		return nil, err
	}
	d, err := foundDoc(f, p, dir)
	if err != nil {
		return nil, err
	}
	b := p.Brief
	if briefFile != "" {
		if b, _, err = a.brief(briefFile, ""); err != nil {
			return nil, err
		}
	}
	if b == nil || len(b.Priorities) == 0 {
		return nil, usagef("the study has no brief with priorities; give one with --brief, such as --brief boat.brief.yaml")
	}
	if !d.Whole && (d.Evolution == nil || !d.Evolution.Ended) {
		a.note("%s is not finished: this is a choice among what was found so far", dir)
	}
	numbers := d.Telling(mostChosen)
	if len(numbers) == 0 {
		return nil, inputError{fmt.Errorf("%s: no candidate was kept, so there is nothing to choose from", dir)}
	}
	if len(d.Front) > mostChosen {
		a.note("%d of the %d candidates of the front are judged: the best by each aim, then those that give up least in all aims together", mostChosen, len(d.Front))
	}
	var list []decision.Candidate
	for _, n := range numbers {
		c, err := p.Candidate(n)
		if err != nil {
			return nil, inputError{fmt.Errorf("%s: %w", dir, err)}
		}
		files := p.Bundle().Files
		list = append(list, decision.Candidate{File: keptFile(dir, fmt.Sprint(n)), Data: c.Text, Read: func(name string) ([]byte, error) {
			if data, ok := files[name]; ok {
				return data, nil
			}
			return nil, fmt.Errorf("there is no file %q in the results", name)
		}})
	}
	with := analysis.Options{}
	if o.speed == "" {
		with.Speed = p.Study.Speed
	}
	return a.judge(b, list, o, with)
}
