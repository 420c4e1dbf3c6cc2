package main

import (
	"crankwright/analysis"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

func (a *app) showVerb() *cobra.Command {
	var resolved, strict bool
	var out string
	c := &cobra.Command{
		Use:   "show FILE",
		Short: "show what an engine file says, with everything that follows from it",
		Long: `Show lists the throws, the cylinders and the masses of an engine file as they are understood. With
--resolved it prints the same as a full engine file in custom form, every value explicit and every
estimate marked; reading that file gives the same engine, and --strict finds nothing left out of it.`,
		Example: `  crankwright show examples/vee-six-60-split.engine.yaml
  crankwright show engine.yaml --resolved -o full.engine.yaml`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			e, err := a.read(args[0], strict)
			if err != nil {
				return err
			}
			var data []byte
			if resolved {
				t := e.train
				if on, err := analysis.OnUsualMounts(t); err == nil && len(t.Mounting.Isolators) == 0 {
					t = on
				}
				data = spec.WriteResolved(t, e.src)
			} else {
				data = []byte(report.TrainText(e.train, a.screen()))
			}
			if out != "" {
				return a.save(out, data)
			}
			return a.print(data)
		}),
	}
	c.Flags().BoolVar(&resolved, "resolved", false, "print a full engine file in custom form")
	strictFlag(c.Flags(), &strict)
	c.Flags().StringVarP(&out, "output", "o", "", "write to this file instead of standard output")
	return c
}
