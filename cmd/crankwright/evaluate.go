package main

import (
	"crankwright/analysis"
	"crankwright/report"

	"github.com/spf13/cobra"
)

func (a *app) evaluateVerb() *cobra.Command {
	var speed, speeds string
	var asJSON, asCSV, curves, contributions, twoMass, strict bool
	var load, table string
	var c *cobra.Command
	c = &cobra.Command{
		Use:   "evaluate FILE",
		Short: "say how one engine shakes, fires and pushes",
		Long: `Evaluate says how one engine shakes, fires and pushes: free force, free moment, inertia torque and roll moment
by order, each split into what turns with the crank and what turns against it; the largest values
over the cycle; the firing order and its measures; torque and friction at --load; and what was estimated.

--json prints everything as one JSON object with the unit in each key ('crankwright schema result' is
its schema), --csv the figures by which engines are compared as one line.`,
		Example: `  crankwright evaluate examples/inline-four-flat.engine.yaml
  crankwright evaluate engine.yaml --speed '4000 rpm' --json
  crankwright evaluate engine.yaml --speeds '1000..6000:500 rpm'
  crankwright evaluate engine.yaml --curves --csv > curves.csv`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			ω, err := speedOf(speed)
			if err != nil {
				return err
			}
			sweep, err := speedsOf(speeds)
			switch {
			case err != nil:
				return err
			case asJSON && asCSV:
				return usagef("--json and --csv exclude each other")
			case curves && !asJSON && !asCSV:
				return usagef("--curves needs --json or --csv")
			case contributions && !asJSON:
				return usagef("--contributions needs --json")
			case curves && asCSV && sweep != nil:
				return usagef("--curves and --speeds exclude each other with --csv")
			}
			if !asJSON {
				if err := apart(c, "; --json gives both", "speeds", "speed", "load"); err != nil {
					return err
				}
			}
			opt := analysis.Options{Speed: ω, TwoMass: twoMass, Drive: sweep == nil || asJSON, Lasting: sweep == nil || asJSON, Space: true, Parts: asJSON, Guided: sweep == nil || asJSON}
			if opt.Load, opt.Light, err = loadOf(load); err != nil {
				return err
			}
			if opt.Prices, err = prices(table); err != nil {
				return err
			}
			if table != "" && !asJSON {
				return usagef("--prices needs --json, which has the cost; 'crankwright cost' prints it")
			}
			r, err := a.result(args[0], strict, opt)
			if err != nil {
				return err
			}
			if asJSON {
				return a.json(report.NewDocument(r, report.Detail{Curves: curves, Push: curves, Contributions: contributions, Sweep: sweep}))
			}
			if asCSV {
				return a.evaluateCSV(r, curves, sweep)
			}
			if sweep != nil {
				return a.text(report.SweepText(r, sweep, a.screen()))
			}
			return a.text(report.Text(r, a.screen()))
		}),
	}
	f := c.Flags()
	pricesFlag(f, &table)
	f.StringVar(&speed, "speed", "", "crank speed, such as '6000 rpm' (default: the rated speed of the file)")
	f.StringVar(&speeds, "speeds", "", "crank speeds of a sweep, such as '1000..6000:500 rpm'")
	f.StringVar(&load, "load", "", "load of the torque, such as '60 %', or light (default: full load)")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	f.BoolVar(&asCSV, "csv", false, "print comma-separated values")
	f.BoolVar(&curves, "curves", false, "with --json or --csv: add the curves over two revolutions")
	f.BoolVar(&contributions, "contributions", false, "with --json: add what each part of the engine contributes to each order")
	f.BoolVar(&twoMass, "two-mass", false, "replace each rod by a mass at each eye instead of a rigid body")
	strictFlags(f, &strict)
	return c
}

func (a *app) evaluateCSV(r *analysis.Result, curves bool, sweep []float64) error {
	var data []byte
	var err error
	switch {
	case curves:
		data, err = report.CurvesCSV(r)
	case sweep != nil:
		data, err = report.SweepCSV(r.Sweep(sweep))
	default:
		data, err = report.CSV([]*analysis.Result{r})
	}
	if err != nil {
		return err
	}
	return a.print(data)
}
