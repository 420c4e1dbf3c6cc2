package main

import (
	"crankwright/analysis"
	"crankwright/report"

	"github.com/spf13/cobra"
)

func (a *app) compareVerb() *cobra.Command {
	var speed, csvFile, htmlFile, baseline, table string
	var asJSON, strict, lasting bool
	c := &cobra.Command{
		Use:   "compare FILE...",
		Short: "set any number of engines side by side",
		Long: `Compare sets any number of engines side by side, one row a figure, and marks the best (*) and the worst
(!) of each row. Each engine is taken at its own rated speed unless --speed gives one for all.

--html and --csv write files beside the table; with - they take its place on standard output.`,
		Example: `  crankwright compare examples/*.engine.yaml
  crankwright compare a.engine.yaml b.engine.yaml --speed '5000 rpm' --baseline 'Inline four'
  crankwright compare examples/*.engine.yaml --html compare.html --csv compare.csv`,
		Args:              someFiles,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			ω, err := speedOf(speed)
			if err != nil {
				return err
			}
			toOutput := 0
			for _, taken := range []bool{asJSON, csvFile == "-", htmlFile == "-"} {
				if taken {
					toOutput++
				}
			}
			if toOutput > 1 {
				return usagef("only one of --json, --csv - and --html - can go to standard output")
			}
			if baseline != "" && toOutput > 0 && !asJSON {
				return usagef("--baseline is for the table and for --json; neither is written with --csv - or --html -")
			}
			by, err := prices(table)
			if err != nil {
				return err
			}
			rs, err := a.results(args, strict, analysis.Options{Speed: ω, Prices: by, Drive: true, Space: true, Parts: true, Lasting: lasting || htmlFile != "", Guided: true})
			if err != nil {
				return err
			}
			base := -1
			if baseline != "" {
				if base, err = report.Find(rs, baseline); err != nil {
					return usagef("--baseline: %w", err)
				}
			}
			if err := a.compareFiles(rs, csvFile, htmlFile); err != nil {
				return err
			}
			if asJSON {
				data, err := report.CompareJSON(rs, base)
				if err != nil {
					return err
				}
				return a.print(data)
			}
			if toOutput > 0 {
				return nil
			}
			return a.text(report.CompareText(rs, base, a.screen()))
		}),
	}
	f := c.Flags()
	pricesFlag(f, &table)
	f.StringVar(&speed, "speed", "", "one crank speed for all, such as '6000 rpm' (default: each engine's rated speed)")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	f.StringVar(&csvFile, "csv", "", "write comma-separated values to this file; - is standard output")
	f.StringVar(&htmlFile, "html", "", "write a self-contained page to this file; - is standard output")
	f.StringVar(&baseline, "baseline", "", "name, or beginning of the name, of the engine that the others are measured against")
	f.BoolVar(&lasting, "lasting", false, "compare bearings, oil films, torsion and strength too (some tenths of a second an engine; a page has them always)")
	strictFlags(f, &strict)
	return c
}

// compareFiles writes the files that were asked for.
func (a *app) compareFiles(rs []*analysis.Result, csvFile, htmlFile string) error {
	if csvFile != "" {
		data, err := report.CSV(rs)
		if err != nil {
			return err
		}
		if err := a.save(csvFile, data); err != nil {
			return err
		}
	}
	if htmlFile != "" {
		data, err := report.CompareHTML(rs)
		if err != nil {
			return err
		}
		return a.save(htmlFile, data)
	}
	return nil
}
