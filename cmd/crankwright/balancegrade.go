package main

import (
	"fmt"
	"strings"

	"crankwright/mechanics/balance"
	"crankwright/mechanics/layout"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

func (a *app) gradeVerb() *cobra.Command {
	var grade, mass, speed, planes, found string
	var strict, asJSON bool
	c := &cobra.Command{
		Use:   "grade [FILE]",
		Short: "the residual unbalance that a balance quality grade allows",
		Long: `Grade says how much unbalance a balance quality grade of ISO 21940-11 allows a rotor of a mass at its
highest speed, and how it is split over two planes by the distances of the centre of gravity from them.
With FILE the speed is the limit of that engine, or its rated speed where the file has no limit. The grades
are

` + gradeList(),
		Example: `  crankwright balance grade --grade G16 --mass '20 kg' --speed '3000 rpm'
  crankwright balance grade --grade G16 --mass '20 kg' --speed '3000 rpm' --planes '150 mm, 250 mm' --found '600 g mm, 400 g mm'
  crankwright balance grade engine.yaml --grade G40 --mass '21 kg' --json`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return fmt.Errorf("give one engine file or none; there are %d", len(args))
			}
			return nil
		},
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			g, err := balance.GradeNamed(grade)
			if err != nil {
				return usagef("--grade: %w", err)
			}
			if mass == "" {
				return usagef("--mass is missing; give the mass of the rotor, such as '20 kg'")
			}
			m, err := quantityOf[spec.Mass]("mass", mass)
			if err != nil {
				return err
			}
			distances, err := listOf[spec.Length]("planes", planes, "'150 mm, 250 mm'")
			if err != nil {
				return err
			}
			residuals, err := listOf[spec.Moment]("found", found, "'300 g mm, 420 g mm'")
			if err != nil {
				return err
			}
			ω, err := speedOf(speed)
			if err != nil {
				return err
			}
			var left []layout.Estimate
			if ω == 0 {
				if ω, left, err = a.highestSpeed(args, strict); err != nil {
					return err
				}
			}
			doc, err := report.ResidualUnbalance(g, m, ω, distances, residuals)
			if err != nil {
				return usagef("%w", err)
			}
			doc.Estimates = report.EstimateDocs(left)
			if asJSON {
				return a.json(doc)
			}
			return a.text(report.ResidualText(doc, a.screen()))
		}),
	}
	f := c.Flags()
	f.StringVar(&grade, "grade", "G16", "balance quality grade, such as G16")
	f.StringVar(&mass, "mass", "", "mass of the rotor, such as '20 kg'")
	f.StringVar(&speed, "speed", "", "highest speed in service, such as '3000 rpm' (default: that of FILE)")
	f.StringVar(&planes, "planes", "", "distances of the centre of gravity from two planes, such as '150 mm, 250 mm'")
	f.StringVar(&found, "found", "", "what was found: of the whole rotor, such as '300 g mm', or of two planes with a comma")
	strictFlag(f, &strict)
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

// highestSpeed is the highest speed of the engine file that was given, and what of the file's speeds was estimated.
func (a *app) highestSpeed(args []string, strict bool) (float64, []layout.Estimate, error) {
	if len(args) == 0 {
		return 0, nil, usagef("--speed is missing; give the highest speed in service, such as '3000 rpm', or an engine file")
	}
	e, err := a.read(args[0], strict)
	if err != nil {
		return 0, nil, err
	}
	ω := max(e.train.Speeds.Limit, e.train.Speeds.Rated)
	if ω == 0 {
		return 0, nil, inputError{spec.Errors{e.src.ErrorAt("speeds", "no speed: neither speeds.limit nor speeds.rated is given", "give one in the file, or give --speed")}}
	}
	var left []layout.Estimate
	for _, est := range e.train.Estimates {
		if est.Key == "speeds.limit" || est.Key == "speeds.rated" {
			left = append(left, est)
		}
	}
	return ω, left, nil
}

// listOf reads quantities with commas between them.
func listOf[D spec.Dimension](flag, text, example string) ([]float64, error) {
	if text == "" {
		return nil, nil
	}
	var out []float64
	for p := range strings.SplitSeq(text, ",") {
		q, err := spec.ParseQuantity[D](p)
		if err != nil {
			return nil, usagef("--%s: %w; write it as %s", flag, err, example)
		}
		out = append(out, q.SI)
	}
	return out, nil
}

func gradeList() string {
	var b strings.Builder
	for _, g := range balance.Grades() {
		fmt.Fprintf(&b, "  %-6s %s\n", g.Name, g.For)
	}
	return b.String()
}
