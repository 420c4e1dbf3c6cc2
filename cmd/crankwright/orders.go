package main

import (
	"crankwright/analysis"
	"crankwright/report"

	"github.com/spf13/cobra"
)

// usualOrders is how many firing orders are shown where nobody says how many.
const usualOrders = 20

func (a *app) ordersVerb() *cobra.Command {
	var limit int
	var all, variants, strict, asJSON bool
	var c *cobra.Command
	c = &cobra.Command{
		Use:   "orders FILE",
		Short: "list every firing order that a crank allows",
		Long: `Orders lists the firing orders that the crank of an engine allows, best first, each with its measures:
evenness, longest and shortest interval, neighbours and cylinders of one bank in succession, and the
shortest interval in one exhaust pipe. Then it says what would make the engine fire evenly, if it
cannot.`,
		Example: `  crankwright orders examples/vee-six-90.engine.yaml
  crankwright orders engine.yaml --all
  crankwright orders engine.yaml --limit 5 --json`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			if err := apart(c, "", "all", "limit"); err != nil {
				return err
			}
			switch {
			case limit < 1:
				return usagef("--limit: %d is too few; 1 is the least", limit)
			case all:
				limit = 0
			}
			r, err := a.result(args[0], strict, analysis.Options{})
			if err != nil {
				return err
			}
			list, err := report.Orders(r, limit, variants)
			if err != nil {
				return err
			}
			if asJSON {
				return a.json(list)
			}
			return a.text(report.OrdersText(list, a.screen()))
		}),
	}
	f := c.Flags()
	f.IntVar(&limit, "limit", usualOrders, "how many orders to list")
	f.BoolVar(&all, "all", false, "list every order (8192 at most)")
	f.BoolVar(&variants, "variants", false, "list every schedule, also those that a firing order alone cannot name")
	strictFlag(f, &strict)
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return c
}
