package main

import (
	"errors"

	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

func (a *app) schemaVerb() *cobra.Command {
	return &cobra.Command{
		Use:   "schema {engine|result}",
		Short: "print the JSON Schema of engine files or of results",
		Long: `Schema prints the JSON Schema (2020-12) of engine files, with which an editor completes and checks
while typing, or that of what evaluate --json prints.`,
		Example: `  crankwright schema engine > engine.schema.json
  crankwright schema result > result.schema.json`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 || args[0] != "engine" && args[0] != "result" {
				return errors.New("give engine or result")
			}
			return nil
		},
		ValidArgs: []string{"engine", "result"},
		RunE: a.verb(func(args []string) error {
			write := spec.EngineSchema
			if args[0] == "result" {
				write = report.Schema
			}
			data, err := write()
			if err != nil {
				return err
			}
			return a.print(data)
		}),
	}
}
