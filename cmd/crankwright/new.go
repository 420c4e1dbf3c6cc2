package main

import (
	"errors"
	"strings"

	"crankwright/mechanics/parts"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

func (a *app) newVerb() *cobra.Command {
	var out string
	var force, prices, asBrief, asStudy bool
	var c *cobra.Command
	c = &cobra.Command{
		Use:   "new SHORTHAND",
		Short: "write an engine file from a one-line shorthand",
		Long: "New writes a commented engine file from a one-line shorthand, in one argument or in several. What the\n" +
			"shorthand leaves out stands in the file as a comment with its estimate.\n\nA shorthand is made of\n\n" +
			indented(spec.ShorthandHelp),
		Example: `  crankwright new 'inline-4 84x90 flat-plane' -o mine.engine.yaml
  crankwright new vee-6 60deg 84x75 split 60
  crankwright new 'opposed-4 96x70 own-pins' | crankwright evaluate -
  crankwright new --prices -o my.prices.yaml
  crankwright new --brief -o my.brief.yaml
  crankwright new --study -o my.study.yaml`,
		Args: func(_ *cobra.Command, args []string) error {
			asked := 0
			for _, is := range []bool{prices, asBrief, asStudy} {
				if is {
					asked++
				}
			}
			switch {
			case asked > 1:
				return errors.New("--prices, --brief and --study exclude each other")
			case asked > 0 && len(args) > 0:
				return errors.New("--prices, --brief and --study take no shorthand")
			case asked > 0:
				return nil
			}
			if len(args) == 0 {
				return errors.New("give a shorthand, such as 'inline-4 84x90 flat-plane'")
			}
			return nil
		},
		RunE: a.verb(func(args []string) error {
			data := spec.WritePrices(parts.UsualPrices())
			switch {
			case asBrief:
				data = spec.NewBrief()
			case asStudy:
				data = spec.NewStudy()
			case !prices:
				var err error
				if data, err = spec.NewEngine(strings.Join(args, " ")); err != nil {
					return inputError{err}
				}
			}
			if err := needs(c, "output", "force"); err != nil {
				return err
			}
			if out == "" {
				return a.print(data)
			}
			if err := free(out, force); err != nil {
				return err
			}
			return a.save(out, data)
		}),
	}
	c.Flags().StringVarP(&out, "output", "o", "", "write to this file instead of standard output")
	c.Flags().BoolVar(&force, "force", false, "write over a file that exists")
	c.Flags().BoolVar(&prices, "prices", false, "write the invented price table of 'crankwright cost' instead, to be edited")
	c.Flags().BoolVar(&asBrief, "brief", false, "write a brief for 'crankwright choose' instead, to be edited")
	c.Flags().BoolVar(&asStudy, "study", false, "write a study for 'crankwright study' instead, to be edited")
	return c
}

func indented(text string) string { return "  " + strings.ReplaceAll(text, "\n", "\n  ") }
