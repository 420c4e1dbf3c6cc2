package main

import (
	"fmt"
	"slices"
	"strings"

	"crankwright/report"

	"github.com/spf13/cobra"
)

func (a *app) schemaVerb() *cobra.Command {
	all := report.Schemas()
	var names, lines []string
	for _, s := range all {
		names = append(names, s.Name)
		lines = append(lines, fmt.Sprintf("  %-8s %s", s.Name, s.Of))
	}
	which := func(name string) int {
		return slices.IndexFunc(all, func(s report.Published) bool { return s.Name == name })
	}
	return &cobra.Command{
		Use:   "schema {" + strings.Join(names, "|") + "}",
		Short: "print the JSON Schema of a file that people write, or of what the verbs print",
		Long: `Schema prints a JSON Schema (2020-12). With that of files an editor completes and checks while typing; the others
are of what the verbs print.

` + strings.Join(lines, "\n"),
		Example: `  crankwright schema engine > engine.schema.json
  crankwright schema result > result.schema.json`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 || which(args[0]) < 0 {
				last := len(names) - 1
				return fmt.Errorf("give %s or %s", strings.Join(names[:last], ", "), names[last])
			}
			return nil
		},
		ValidArgs: names,
		RunE: a.verb(func(args []string) error {
			data, err := all[which(args[0])].Write()
			if err != nil {
				return err
			}
			return a.print(data)
		}),
	}
}
