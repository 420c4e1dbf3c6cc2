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
		Use:   "schema {engine|result|balance|drive|lasting|space|mounts}",
		Short: "print the JSON Schema of engine files, of results, of balancing, of gas and torque, of crank and bearings, or of room and mass",
		Long: `Schema prints the JSON Schema (2020-12) of engine files, with which an editor completes and checks
while typing, or that of what evaluate --json, the verbs of balance, gas, torque, power, flywheel and sound,
room, bearings, strength and torsion, space, or mounts print.`,
		Example: `  crankwright schema engine > engine.schema.json
  crankwright schema result > result.schema.json`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 || !slices.Contains([]string{"engine", "result", "balance", "drive", "lasting", "space", "mounts"}, args[0]) {
				return errors.New("give engine, result, balance, drive, lasting, space or mounts")
			}
			return nil
		},
		ValidArgs: []string{"engine", "result", "balance", "drive", "lasting", "space", "mounts"},
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
			}
			data, err := write()
			if err != nil {
				return err
			}
			return a.print(data)
		}),
	}
}
