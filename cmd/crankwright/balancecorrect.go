package main

import (
	"errors"

	"crankwright/draw"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

func (a *app) correctVerb() *cobra.Command {
	var figure string
	var asJSON bool
	c := &cobra.Command{
		Use:   "correct JOB",
		Short: "where to drill or add heavy metal so that a measured unbalance disappears",
		Long: `Correct reads a job of the balancing shop: what the machine measured in two planes, what may stay, and the
places where metal may go or come. It finds depths and masses that take the unbalance away with the least
metal, rounds them to what a machine is set to, and says what is left in each plane.

JOB is a YAML file with a unit behind every number; - is standard input. Its keys are

  name         of the rotor
  permissible  grade, mass, speed and, where it is not in the middle of the planes, centre_of_gravity;
               or, in each of the planes instead, permissible: 500 g mm
  planes       two, each with at, unbalance and angle (of the heavy side), and a name
  sites        each with at, angle, radius, a name and way:
               radial hole, axial hole     diameter, deepest, density of the metal that goes
               radial slug, axial slug     diameter, deepest, density by which the slug is heavier
               mass off, mass on           most, the largest mass

Angles count from upright, anticlockwise seen from the drive end; places along the crank as in engine files.`,
		Example: `  crankwright balance correct examples/balancing-shop/harbour-pilot.balance.yaml
  crankwright balance correct job.yaml --figure correction.svg --json`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return errors.New("give one job file")
			}
			return nil
		},
		RunE: a.verb(func(args []string) error {
			write, err := figureFormat(figure, 2)
			if err != nil {
				return err
			}
			job, err := a.balanceJob(args[0])
			if err != nil {
				return err
			}
			doc, solved, err := report.CorrectUnbalance(job.Name, job.Grade, job.Planes, job.Sites)
			if err != nil {
				return inputError{err}
			}
			if figure != "" {
				if err := a.saveFigure(draw.UnbalanceCorrection(job.Name, job.Planes, job.Sites, solved), write, figure); err != nil {
					return err
				}
			}
			if asJSON {
				return a.json(doc)
			}
			return a.text(report.CorrectionText(doc, a.screen()))
		}),
	}
	f := c.Flags()
	f.StringVar(&figure, "figure", "", "draw both planes to this .svg, .png or .pdf file")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

// balanceJob reads a job of the balancing shop; - is standard input.
func (a *app) balanceJob(file string) (*spec.Correction, error) {
	if err := wanted(spec.BalanceSuffix, file); err != nil {
		return nil, err
	}
	name, data, err := a.fileText(file)
	if err != nil {
		return nil, err
	}
	job, err := spec.ReadBalanceJob(name, data)
	if err != nil {
		return nil, inputError{err}
	}
	return job, nil
}
