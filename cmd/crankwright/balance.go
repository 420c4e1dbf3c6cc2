package main

import (
	"github.com/spf13/cobra"
)

// balanceVerb holds the verbs of the balancing shop.
func (a *app) balanceVerb() *cobra.Command {
	c := &cobra.Command{
		Use:   "balance",
		Short: "what counterweights, balance shafts and the balancing shop can do",
		Long: `Balance says what can be done about what shakes and what it costs: counterweights on the crank, balance
shafts, bobweights for the balancing machine, the permissible residual unbalance and its correction, what
tolerances leave, and which piston goes where.`,
		Args: cobra.ArbitraryArgs,
	}
	c.RunE = a.verb(func(args []string) error {
		if len(args) > 0 {
			return usagef("there is no verb %q of balance; crankwright balance --help lists them", args[0])
		}
		return c.Help()
	})
	c.AddCommand(
		a.counterweightsVerb(), a.balanceShaftsVerb(), a.bobweightVerb(), a.gradeVerb(), a.correctVerb(),
		a.balanceTolerancesVerb(), a.balanceMatchVerb(),
	)
	return c
}
