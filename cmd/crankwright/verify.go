package main

import (
	"fmt"
	"slices"
	"strings"

	"crankwright/checks"
	"crankwright/report"

	"github.com/spf13/cobra"
)

func (a *app) verifyVerb() *cobra.Command {
	var asJSON bool
	var chapter string
	c := &cobra.Command{
		Use:   "verify",
		Short: "hold our values against published ones",
		Long: `Verify computes every value of the registry of published checks and shows what the source prints, what
we compute, the gap and the source. It ends with 3 where a check fails.`,
		Example: `  crankwright verify
  crankwright verify --chapter firing
  crankwright verify --json`,
		Args: cobra.NoArgs,
		RunE: a.verb(func([]string) error {
			var outcomes []checks.Outcome
			var chapters []string
			for _, c := range checks.All() {
				if !slices.Contains(chapters, c.Chapter) {
					chapters = append(chapters, c.Chapter)
				}
				if chapter == "" || c.Chapter == chapter {
					outcomes = append(outcomes, checks.Run(c))
				}
			}
			if len(outcomes) == 0 {
				return usagef("--chapter: no check is of chapter %q; there are %s", chapter, strings.Join(chapters, ", "))
			}
			v := report.Verify(outcomes)
			var err error
			if asJSON {
				err = a.json(v)
			} else {
				err = a.text(report.VerifyText(v, a.screen()))
			}
			if err == nil && v.Fail > 0 {
				err = fmt.Errorf("%d of %d checks fail", v.Fail, v.Checks)
			}
			return err
		}),
	}
	c.Flags().StringVar(&chapter, "chapter", "", "only the checks of one chapter, such as firing")
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return c
}
