package main

import (
	"errors"
	"fmt"

	"crankwright/analysis"
	"crankwright/brief"
	"crankwright/mechanics/parts"
	"crankwright/search"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

// checked is what check --json says of one file.
type checked struct {
	File      string    `json:"file"`
	OK        bool      `json:"ok"`
	Name      string    `json:"name,omitempty"`
	Estimates int       `json:"estimates"`
	Assumed   int       `json:"assumed"`
	Problems  []problem `json:"problems"`
}

// problem is one thing that is wrong in a file.
type problem struct {
	File    string `json:"file"` // which another may name, as a study does its engine
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	What    string `json:"what"`
	Allowed string `json:"allowed,omitempty"`
}

func (a *app) checkVerb() *cobra.Command {
	var strict, asJSON bool
	c := &cobra.Command{
		Use:   "check FILE...",
		Short: "say everything that is wrong in engine files, briefs, studies, price tables and balancing jobs",
		Long: `Check reads files and says everything that is wrong in all of them, one problem a line, as
file:line:column: what is wrong; what is allowed. It ends with 1 where anything is wrong.

The ending of a name says what the file is: .brief.yaml, .study.yaml, .prices.yaml and .balance.yaml; every other
file is an engine. A study is checked with the engine and the brief that it names, a measured pressure (.csv) with
the engine that names it.`,
		Example: `  crankwright check examples/*.engine.yaml
  crankwright check examples/*.brief.yaml examples/pilot-boat-six.study.yaml
  crankwright check examples/balancing-shop/harbour-pilot.balance.yaml
  crankwright check full.engine.yaml --strict
  crankwright check engine.yaml --json`,
		Args:              someFiles,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			var list []checked
			var wrong []error
			for _, file := range args {
				c, err := a.check(file, strict)
				var input inputError
				if err != nil && !errors.As(err, &input) {
					return err
				}
				if err != nil {
					wrong = append(wrong, input.error)
				}
				list = append(list, c)
			}
			if err := a.sayChecked(list, asJSON); err != nil {
				return err
			}
			if len(wrong) > 0 {
				return inputError{errors.Join(wrong...)}
			}
			return nil
		}),
	}
	c.Flags().BoolVar(&strict, "strict", false, "a value that would be estimated or assumed is a problem")
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

// check reads one file, and evaluates it where it is an engine.
func (a *app) check(file string, strict bool) (checked, error) {
	c := checked{File: file, Problems: []problem{}}
	var err error
	switch kindOf(file).ending {
	case spec.BriefSuffix:
		var b *brief.Brief
		if b, _, err = a.brief(file, ""); err == nil {
			c.Name = b.Name
		}
	case spec.StudySuffix:
		var p *search.Problem
		if p, err = a.study(file); err == nil {
			c.Name = p.Study.Name
		}
	case spec.PricesSuffix:
		var prices parts.Prices
		if prices, err = spec.ReadPricesFile(file); err != nil {
			err = inputError{err}
		}
		c.Name = prices.Name
	case spec.BalanceSuffix:
		var job *spec.Correction
		if job, err = a.balanceJob(file); err == nil {
			c.Name = job.Name
		}
	case tableSuffix:
		err = inputError{fmt.Errorf("%s: a table is checked with the engine that it belongs to; %s", file, kindOf(file).takes)}
	default:
		err = a.checkEngine(&c, strict)
	}
	if err == nil {
		c.OK = true
		return c, nil
	}
	var list spec.Errors
	if errors.As(err, &list) {
		for _, e := range list {
			in := e.File
			if in == "" {
				in = file
			}
			c.Problems = append(c.Problems, problem{in, e.Line, e.Column, e.What, e.Allowed})
		}
	} else {
		c.Problems = append(c.Problems, problem{File: file, What: err.Error()})
	}
	return c, err
}

// checkEngine reads an engine file and evaluates it.
func (a *app) checkEngine(c *checked, strict bool) error {
	e, err := a.read(c.File, strict)
	if err != nil {
		return err
	}
	c.Name, c.Estimates, c.Assumed = e.train.Name, len(e.train.Estimates), len(analysis.Assumed(e.train, analysis.Chapters()...))
	opt := analysis.Options{Samples: 8}
	if e.train.Speeds.Rated == 0 {
		opt.Speed = 100 // whether it can be evaluated does not depend on the speed
	}
	if _, err = e.evaluate(opt); err != nil {
		return err
	}
	return e.given(analysis.Chapters()...)
}

func (a *app) sayChecked(list []checked, asJSON bool) error {
	if asJSON {
		return a.json(map[string]any{"files": list})
	}
	for _, c := range list {
		if !c.OK {
			continue
		}
		if end := kindOf(c.File).ending; end != "" && end != spec.EngineSuffix {
			if err := a.text(c.File + ": good\n"); err != nil {
				return err
			}
			continue
		}
		note := "no value is estimated"
		switch c.Estimates {
		case 0:
		case 1:
			note = "1 value is estimated"
		default:
			note = fmt.Sprintf("%d values are estimated", c.Estimates)
		}
		if c.Assumed > 0 {
			note += fmt.Sprintf(", %d more assumed beyond the crank train", c.Assumed)
		}
		if err := a.text(fmt.Sprintf("%s: good; %s\n", c.File, note)); err != nil {
			return err
		}
	}
	return nil
}
