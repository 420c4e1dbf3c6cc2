package main

import (
	"crankwright/analysis"
	"crankwright/report"

	"github.com/spf13/cobra"
)

// explainedUpTo is twice the highest order that is explained where nobody says which.
const explainedUpTo = 8

func (a *app) explainVerb() *cobra.Command {
	var speed, figure string
	var orders []string
	var asJSON, strict bool
	c := &cobra.Command{
		Use:   "explain FILE",
		Short: "say why an order cancels or adds, and what can take the rest",
		Long: `Explain says why an order of the free force and moment cancels or adds: which cylinders' vectors point
where, which of them close to a polygon, what remains, whether a counterweight can take it or a shaft
is needed, turning which way and how fast. Without --order it explains orders 0.5 to 4 and the firing.`,
		Example: `  crankwright explain examples/inline-four-flat.engine.yaml --order 2
  crankwright explain engine.yaml --order 1,2 --json
  crankwright explain engine.yaml --order 2 --figure star.svg`,
		Args:              oneFile,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			ω, err := speedOf(speed)
			if err != nil {
				return err
			}
			ks, err := twiceOrders(orders)
			if err != nil {
				return err
			}
			if figure != "" && len(ks) != 1 {
				return usagef("--figure shows one order: give it with --order")
			}
			r, err := a.result(args[0], strict, analysis.Options{Speed: ω})
			if err != nil {
				return err
			}
			firing := len(ks) == 0
			if firing {
				ks = withContent(r)
			}
			if figure != "" {
				if err := a.orderFigure(r, ks[0], figure); err != nil {
					return err
				}
			}
			e := report.Explain(r, ks, firing)
			if asJSON {
				return a.json(e)
			}
			return a.text(report.ExplainText(r, e, a.screen()))
		}),
	}
	f := c.Flags()
	f.StringSliceVar(&orders, "order", nil, "order per crank revolution, such as 2; several with commas (default: 0.5 to 4, and the firing)")
	f.StringVar(&speed, "speed", "", "crank speed, such as '6000 rpm' (default: the rated speed of the file)")
	f.StringVar(&figure, "figure", "", "write the vectors of the order as a figure to this .svg, .png or .pdf file")
	strictFlag(f, &strict)
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

// withContent lists the orders up to 4 in which any part shakes, even if all cancel, as twice the order.
func withContent(r *analysis.Result) []int {
	var ks []int
	for k := 1; k <= explainedUpTo; k++ {
		o := r.Order(k)
		content := o.Torque != 0 || o.Roll != 0
		for _, c := range r.Contributions(k) {
			content = content || c.With != 0 || c.Against != 0
		}
		if content {
			ks = append(ks, k)
		}
	}
	return ks
}
