package main

import (
	"crankwright/analysis"
	"crankwright/mechanics/envelope"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

func (a *app) spaceVerb() *cobra.Command {
	var as form
	var strict, boreStroke bool
	c := &cobra.Command{
		Use:   "space FILE",
		Short: "say how large and heavy the engine is, and what comes near to what",
		Long: `Space builds the engine from solids: block, heads, sump, crank, flywheel and what hangs on them, from the
crank train, from the section block of the file and from proportions of common practice. It writes length,
width and height, mass and centre by part, the inertia of the whole, where parts come nearest over a cycle,
and whether bores or crank set the length.

--bore-stroke asks what bore against stroke does to length, width and height at the same displacement, with
the widths of the crank held: an inline's pitches grow with its bores, a vee's are set by its crank.

Masses that nobody weighed scatter by a fifth. Give the metals, the sizes you have, and dry_mass where the
engine was weighed: the estimated parts are scaled to it.`,
		Example: `  crankwright space examples/inline-four-flat.engine.yaml
  crankwright space engine.yaml --bore-stroke
  crankwright space engine.yaml --csv > parts.csv`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			if err := as.check(); err != nil {
				return err
			}
			e, err := a.read(args[0], strict)
			if err != nil {
				return err
			}
			if err := e.given(analysis.OfSpace); err != nil {
				return err
			}
			found, err := analysis.Space(e.train)
			if err != nil {
				return inputError{spec.Errors{e.src.ErrorAt("block", analysis.Said(err), "")}}
			}
			d := report.NewSpaceDoc(e.train, found, as.json)
			if boreStroke {
				b, err := envelope.OverBore(e.train, envelope.UsualRatios())
				if err != nil {
					return inputError{spec.Errors{e.src.ErrorAt("block", analysis.Said(err), "")}}
				}
				d.AddBoreStroke(b)
			}
			return give(a, as, d, report.SpaceCSV, report.SpaceText)
		}),
	}
	f := c.Flags()
	f.BoolVar(&boreStroke, "bore-stroke", false, "add what bore against stroke does at the same displacement")
	strictFlag(f, &strict)
	as.flags(c, "mass and inertia by part, or the study", "")
	return c
}
