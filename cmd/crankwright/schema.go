package main

import (
	"errors"
	"slices"

	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
)

func (a *app) schemaVerb() *cobra.Command {
	return &cobra.Command{
		Use:   "schema {engine|result|balance|drive}",
		Short: "print the JSON Schema of engine files, of results, of balancing or of gas and torque",
		Long: `Schema prints the JSON Schema (2020-12) of engine files, with which an editor completes and checks
while typing, or that of what evaluate --json, the verbs of balance, or gas, torque, power, flywheel and
sound print.`,
		Example: `  crankwright schema engine > engine.schema.json
  crankwright schema result > result.schema.json`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 || !slices.Contains([]string{"engine", "result", "balance", "drive"}, args[0]) {
				return errors.New("give engine, result, balance or drive")
			}
			return nil
		},
		ValidArgs: []string{"engine", "result", "balance", "drive"},
		RunE: a.verb(func(args []string) error {
			write := spec.EngineSchema
			switch args[0] {
			case "result":
				write = report.Schema
			case "balance":
				write = report.BalanceSchema
			case "drive":
				write = report.DriveSchema
			}
			data, err := write()
			if err != nil {
				return err
			}
			return a.print(data)
		}),
	}
}
