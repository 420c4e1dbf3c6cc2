package main

import (
	"crankwright/analysis"
	"crankwright/mechanics/parts"
	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

func (a *app) partsVerb() *cobra.Command {
	var speed string
	var strict bool
	var as form
	c := &cobra.Command{
		Use:   "parts FILE",
		Short: "count what the engine is made of, what each part rubs, how it is reached and cooled",
		Long: `Parts counts what an engine needs from its cylinders, banks, throws and rods: heads, camshafts and what
turns them with the length of chain or belt, valves, castings, bearings, rods, machined faces, balance
shafts, manifolds with their pipes, seals; each row says from what it was counted. It splits the friction of
the engine over the parts that rub, lists the routine jobs with their places and what must come off first,
and says which cylinder is placed worst for cooling.

The section making of the file says how the engine is made; what it leaves out is assumed and listed. Rules
are common practice, scores are stated indicators. 'crankwright cost' puts points to the parts.`,
		Example: `  crankwright parts examples/vee-six-60-split.engine.yaml
  crankwright parts engine.yaml --json
  crankwright parts engine.yaml --csv > parts.csv`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			if err := as.check(); err != nil {
				return err
			}
			ω, err := speedOf(speed)
			if err != nil {
				return err
			}
			r, err := a.result(args[0], strict, analysis.Options{Speed: ω, Drive: true, Parts: true}, analysis.OfParts, analysis.OfGas)
			if err != nil {
				return err
			}
			return give(a, as, report.NewPartsDoc(r, r.Parts), report.PartsCSV, report.PartsText)
		}),
	}
	f := c.Flags()
	f.StringVar(&speed, "speed", "", "crank speed at which friction is split, such as '3000 rpm' (default: the rated speed)")
	strictFlag(f, &strict)
	as.flags(c, "the parts list", "")
	return c
}

func (a *app) costVerb() *cobra.Command {
	var table string
	var strict bool
	var as form
	c := &cobra.Command{
		Use:   "cost FILE...",
		Short: "put points to the parts of engines, and say what makes one dearer than another",
		Long: `Cost puts points to what 'crankwright parts' counts: for each piece, machined face and metre, and for each
kilogram where a mass is known. The index is the points over the reference of the price table. With several
engines it says what makes each dearer or cheaper than the first.

The prices are invented. 'crankwright new --prices -o my.prices.yaml' writes them as a file to edit, and
--prices takes it.`,
		Example: `  crankwright cost examples/inline-four-flat.engine.yaml examples/vee-four-72.engine.yaml
  crankwright cost engine.yaml --prices my.prices.yaml --json`,
		Args:              someFiles,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			if err := as.check(); err != nil {
				return err
			}
			prices := parts.UsualPrices()
			if table != "" {
				var err error
				if prices, err = spec.ReadPricesFile(table); err != nil {
					return inputError{err}
				}
			}
			rs, err := a.results(args, strict, analysis.Options{}, analysis.OfCost)
			if err != nil {
				return err
			}
			for i, r := range rs {
				if r.Parts = analysis.NewParts(r, analysis.PartsOptions{Prices: &prices}); r.Parts.Cost == nil {
					return usagef("%s: %s", args[i], r.Parts.NoCost)
				}
			}
			return give(a, as, report.NewCostsDoc(rs), report.CostCSV, report.CostText)
		}),
	}
	f := c.Flags()
	f.StringVar(&table, "prices", "", "price table, such as my.prices.yaml (default: the invented one)")
	strictFlag(f, &strict)
	as.flags(c, "the points of every part", "")
	return c
}
