package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"crankwright/report"
	"crankwright/results"
	"crankwright/search"
	"crankwright/spec"
	"crankwright/study"

	"github.com/spf13/cobra"
)

func (a *app) studyKeepVerb() *cobra.Command {
	var out string
	var force, asJSON bool
	c := &cobra.Command{
		Use:   "keep FOLDER NUMBER...",
		Short: "write candidates of a study as engine files",
		Long: `Keep writes candidates as engine files: the text of the base, with its comments, in which the keys that the study
varies are set, and what was designed for the candidate. They stand beside the folder of results, named after it and
the number, unless --output gives another name. It says what each sets in the base.`,
		Example: `  crankwright study keep vees.results 12
  crankwright study keep vees.results 12 -o best.engine.yaml
  crankwright study keep vees.results 12 -o - | crankwright evaluate -`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) < 2 {
				return errors.New("give a folder of results and numbers of candidates, such as vees" + results.Suffix + " 12")
			}
			if len(args) > 2 && out != "" {
				return errors.New("--output names the file of one candidate; leave it out for several")
			}
			return nil
		},
		ValidArgsFunction: completeFolders,
		RunE: a.verb(func(args []string) error {
			if out == "-" && asJSON {
				return usagef("--json and --output - exclude each other")
			}
			_, p, err := a.openResults(args[0])
			if err != nil {
				return err
			}
			return a.keep(p, args[0], args[1:], out, force, asJSON)
		}),
	}
	f := c.Flags()
	f.StringVarP(&out, "output", "o", "", "write the candidate to this file; - is standard output")
	f.BoolVar(&force, "force", false, "write over a file that exists")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

// candidateOf reads the number of a candidate.
func candidateOf(text string) (uint64, error) {
	n, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		return 0, usagef("%q is no number of a candidate; it is a whole number from 0 on, such as 12", text)
	}
	return n, nil
}

// numbersOf reads numbers of candidates, each once.
func numbersOf(texts []string) ([]uint64, error) {
	var list []uint64
	for _, text := range texts {
		n, err := candidateOf(strings.TrimSpace(text))
		if err != nil {
			return nil, err
		}
		if !slices.Contains(list, n) {
			list = append(list, n)
		}
	}
	return list, nil
}

// keep writes candidates as files and says what they set.
func (a *app) keep(p *search.Problem, dir string, numbers []string, out string, force, asJSON bool) error {
	d := &report.StudyKeptDoc{Base: p.Study.Base, Candidates: []report.StudyKeptOneDoc{}}
	var files []string
	var list []*search.Candidate
	for _, text := range numbers {
		n, err := candidateOf(text)
		if err != nil {
			return err
		}
		c, err := p.Candidate(n)
		if err != nil {
			return inputError{fmt.Errorf("%s: %w", dir, err)}
		}
		file := out
		if file == "" {
			file = keptFile(dir, text)
		}
		if err := free(file, force); err != nil {
			return err
		}
		left, err := leftOut(p, n)
		if err != nil {
			return err
		}
		files, list = append(files, file), append(list, c)
		d.Candidates = append(d.Candidates, report.NewStudyKeptOneDoc(c, file, left))
	}
	if out == "-" {
		return a.print(list[0].Text)
	}
	for i, c := range list {
		if err := a.save(files[i], c.Text); err != nil {
			return err
		}
	}
	if asJSON {
		return a.json(d)
	}
	return a.text(report.StudyKeptText(d, a.screen()))
}

// leftOut returns the rule that leaves a candidate out; empty: it is kept.
func leftOut(p *search.Problem, number uint64) (string, error) {
	kept, left := study.NewBatch(len(p.Columns())), make([]study.Count, len(p.Rules()))
	err := p.Evaluator().Evaluate(study.Shard{From: number, To: number + 1}, kept, left, func() bool { return false })
	for i, c := range left {
		if c.N > 0 {
			return p.Rules()[i], err
		}
	}
	return "", err
}

// keptFile proposes the name of a candidate's file: beside the folder of results, where its base stands too.
func keptFile(dir, number string) string {
	dir = filepath.Clean(dir)
	return filepath.Join(filepath.Dir(dir), strings.TrimSuffix(filepath.Base(dir), results.Suffix)+"-"+number+spec.EngineSuffix)
}

// free refuses to write over a file unless that is wanted.
func free(file string, force bool) error {
	if file == "-" || force {
		return nil
	}
	if _, err := os.Stat(file); err == nil {
		return usagef("%s exists; --force writes over it", file)
	}
	return nil
}
