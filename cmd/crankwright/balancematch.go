package main

import (
	"crankwright/analysis"
	"crankwright/mechanics/balance"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

func (a *app) balanceMatchVerb() *cobra.Command {
	var parts, speed, arm, csvFile string
	var orders []string
	var measure balance.MatchMeasure
	var opt balance.MatchOptions
	var strict, asJSON bool
	c := &cobra.Command{
		Use:   "match FILE --parts WEIGHED.csv",
		Short: "say which weighed piston and rod goes into which cylinder",
		Long: `Match reads a list of weighed pistons and rods and says which goes into which cylinder, so that what
remains of the balance is least: the mean square of the force over a revolution, moments counted as forces
at an arm. Up to eight cylinders it is the best of all assignments, proven; beyond, no exchange of two
parts makes it better. It also says what that gains over the order of the list and over chance.

The list is comma-separated values with the columns kind (piston or rod), id, mass, big end and small end:

  kind,id,mass,big end,small end
  piston,P1,412.3 g,,
  rod,R1,,438.2 g,181.0 g

with one piston for each cylinder, or none, and likewise the rods. Rods are weighed at each eye with the other
hung level; the whole mass may stand for one end. A piston weighs with its rings and pin.`,
		Example: `  crankwright balance match examples/vee-eight-90-cross.engine.yaml --parts examples/pilot-boat-weighed.csv
  crankwright balance match engine.yaml --parts weighed.csv --order 1 --moment-weight 0
  crankwright balance match engine.yaml --parts weighed.csv --json`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			if parts == "" {
				return usagef("give the list of weighed parts with --parts")
			}
			if asJSON && csvFile == "-" {
				return usagef("only one of --json and --csv - can go to standard output")
			}
			ω, err := speedOf(speed)
			if err != nil {
				return err
			}
			if measure.Orders, err = twiceOrders(orders); err != nil {
				return err
			}
			if arm != "" {
				if measure.Length, err = quantityOf[spec.Length]("arm", arm); err != nil {
					return err
				}
				if measure.Length <= 0 {
					return usagef("--arm: %s is no arm; it is longer than 0", arm)
				}
			}
			if measure.Force == 0 && measure.Moment == 0 {
				return usagef("--force-weight, --moment-weight: both are 0, so nothing is measured; give at least one of them")
			}
			if opt.Samples < 1 {
				return usagef("--samples: %d is out of range; 1 to %d are possible", opt.Samples, balance.MostSamples)
			}
			if err := balance.CheckMeasure(measure, opt); err != nil {
				return commandError{err}
			}
			r, err := a.result(args[0], strict, analysis.Options{Speed: ω})
			if err != nil {
				return err
			}
			name, data, err := a.fileText(parts)
			if err != nil {
				return err
			}
			pistons, rods, err := spec.ReadWeighed(name, data)
			if err != nil {
				return inputError{err}
			}
			d, err := report.NewMatchDoc(r.Train, r.Speed, pistons, rods, measure, opt)
			if err != nil {
				return inputError{spec.Errors{{File: name, What: err.Error()}}}
			}
			if csvFile != "" {
				data, err := report.MatchCSV(d)
				if err != nil {
					return err
				}
				if err := a.save(csvFile, data); err != nil || csvFile == "-" {
					return err
				}
			}
			if asJSON {
				return a.json(d)
			}
			return a.text(report.MatchText(d, a.screen()))
		}),
	}
	f := c.Flags()
	f.StringVar(&parts, "parts", "", "list of weighed parts, a .csv file")
	f.StringSliceVar(&orders, "order", []string{"1", "2"}, "orders per crank revolution that count, such as 1,2")
	f.Float64Var(&measure.Force, "force-weight", 1, "weight of the force in the measure")
	f.Float64Var(&measure.Moment, "moment-weight", 1, "weight of the moment in the measure")
	f.BoolVar(&measure.FromDrawn, "from-drawn", false, "measure the distance from the engine as drawn, for engines with a large order that no matching takes")
	f.StringVar(&arm, "arm", "", "arm by which moments are divided, such as '150 mm' (default: the radius of gyration of the cylinders' places)")
	f.IntVar(&opt.Samples, "samples", 10_000, "assignments drawn at random to compare with")
	f.Uint64Var(&opt.Seed, "seed", 1, "seed of the random numbers")
	f.StringVar(&speed, "speed", "", "crank speed, such as '6000 rpm' (default: the rated speed of the file)")
	f.StringVar(&csvFile, "csv", "", "write one line for each cylinder to this file; - is standard output")
	strictFlag(f, &strict)
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return c
}
