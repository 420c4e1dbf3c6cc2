package main

import (
	"crankwright/analysis"
	"crankwright/mechanics/balance"
	"crankwright/report"

	"github.com/spf13/cobra"
)

func (a *app) counterweightsVerb() *cobra.Command {
	var flags report.CounterweightWish
	var speed string
	var strict, write, asJSON bool
	c := &cobra.Command{
		Use:   "counterweights FILE",
		Short: "choose the counterweights of a crank, their metal and their room",
		Long: `Counterweights puts masses on the webs of a crank and says what they take of the free force and moment,
what they leave, and why nothing on the crank can take the rest. The policies are

  none       no counterweights
  factor     one balance factor, the share of the reciprocating mass, for the whole crank (--factor)
  per-throw  a balance factor for each throw (--factors)
  per-web    an unbalance for each web, opposite its pin or at a given angle (--unbalance)
  optimum    the least weighted mean square of force and moment over the cycle (--force-weight, --moment-weight)

With --radius and --thickness it gives every counterweight the form of a sector, its mass and inertia, and the
clearance to the piston skirts at bottom dead centre; what does not fit is said with what would. The optimum
then keeps to what fits. The counterweights of the file are replaced; --write puts the new ones into it.`,
		Example: `  crankwright balance counterweights engine.yaml --policy optimum
  crankwright balance counterweights engine.yaml --policy factor --factor '50 %' --radius '70 mm' --thickness '18 mm'
  crankwright balance counterweights examples/single.engine.yaml --policy per-web --unbalance '11 kg mm, 9 kg mm @ 170 deg'
  crankwright balance counterweights engine.yaml --policy optimum --force-weight 1,4 --write`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			ω, err := speedOf(speed)
			if err != nil {
				return err
			}
			if write && args[0] == "-" {
				return usagef("--write needs a file; standard input cannot be written")
			}
			e, err := a.read(args[0], strict)
			if err != nil {
				return err
			}
			r, err := e.evaluate(analysis.Options{Speed: ω})
			if err != nil {
				return err
			}
			q, err := flags.Request(e.train)
			if err != nil {
				return usagef("--%w", err)
			}
			d, err := report.Counterweights(r, q)
			if err != nil {
				return usagef("%w", err)
			}
			if write {
				if err := a.editEngine(args[0], d.Edits); err != nil {
					return err
				}
			}
			if asJSON {
				return a.json(d)
			}
			return a.text(report.CounterweightsText(d, a.screen()))
		}),
	}
	f := c.Flags()
	f.StringVar(&flags.Policy, "policy", string(balance.ByOptimum), "none, factor, per-throw, per-web or optimum")
	f.StringVar(&flags.Factor, "factor", "", "balance factor of the policy factor (default: 50 %)")
	f.StringSliceVar(&flags.Factors, "factors", nil, "balance factors of the policy per-throw, one for each throw, such as '50 %, 40 %'")
	f.StringSliceVar(&flags.Unbalance, "unbalance", nil, "unbalances of the policy per-web, one for each web along the crank, such as '11 kg mm, 9 kg mm @ 170 deg'")
	f.StringVar(&flags.ForceWeight, "force-weight", "", "optimum: weights of the force across and upright (default: 1,1)")
	f.StringVar(&flags.MomentWeight, "moment-weight", "", "optimum: weights of the moment about y and about z (default: 1,1)")
	f.StringVar(&flags.Length, "length", "", "optimum: length by which moments are divided (default: between the outermost cylinders)")
	f.StringVar(&flags.Limit, "limit", "", "optimum: largest unbalance of a web (default: what fits into the form, else none)")
	f.StringVar(&flags.Radius, "radius", "", "radius limit of the counterweights, such as '70 mm'; asks for their form")
	f.StringVar(&flags.Inner, "inner", "", "inner radius of the counterweights (default: that of the main journal)")
	f.StringVar(&flags.Thickness, "thickness", "", "thickness of the counterweights (default: that of the webs)")
	f.StringVar(&flags.Density, "density", "", "density of the counterweights (default: steel, 7850 kg/m3)")
	f.StringVar(&flags.Skirt, "skirt", "", "how far piston skirts reach below the piston pin (default: 30 % of the bore)")
	f.StringVar(&flags.Clearance, "clearance", "", "clearance wanted between counterweights and skirts (default: 2 mm)")
	f.StringVar(&speed, "speed", "", "crank speed, such as '6000 rpm' (default: the rated speed of the file)")
	f.BoolVar(&write, "write", false, "put the counterweights into the file")
	strictFlag(f, &strict)
	f.BoolVar(&asJSON, "json", false, "print JSON")
	_ = c.RegisterFlagCompletionFunc("policy", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		var names []string
		for _, p := range balance.Policies() {
			names = append(names, string(p))
		}
		return names, cobra.ShellCompDirectiveNoFileComp
	})
	return c
}
