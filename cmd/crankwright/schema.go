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
		Use:   "schema {engine|prices|result|balance|drive|lasting|space|mounts|parts}",
		Short: "print the JSON Schema of engine files, of price tables, or of what the verbs print",
		Long: `Schema prints the JSON Schema (2020-12) of engine files or of price tables, with which an editor completes
and checks while typing, or that of what evaluate --json, the verbs of balance, gas, torque, power, flywheel
and sound, room, bearings, strength and torsion, space, mounts, or parts and cost print.`,
		Example: `  crankwright schema engine > engine.schema.json
  crankwright schema result > result.schema.json`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 || !slices.Contains([]string{"engine", "prices", "result", "balance", "drive", "lasting", "space", "mounts", "parts"}, args[0]) {
				return errors.New("give engine, prices, result, balance, drive, lasting, space, mounts or parts")
			}
			return nil
		},
		ValidArgs: []string{"engine", "prices", "result", "balance", "drive", "lasting", "space", "mounts", "parts"},
		RunE: a.verb(func(args []string) error {
			write := spec.EngineSchema
			switch args[0] {
			case "result":
				write = report.Schema
			case "balance":
				write = report.BalanceSchema
			case "drive":
				write = report.DriveSchema
			case "lasting":
				write = report.LastingSchema
			case "mounts":
				write = report.MountsSchema
			case "space":
				write = report.SpaceSchema
			case "parts":
				write = report.PartsSchema
			case "prices":
				write = spec.PricesSchema
			}
			data, err := write()
			if err != nil {
				return err
			}
			return a.print(data)
		}),
	}
}
