// Command schema writes the JSON Schemas to the schema folder: those of the files that people write, and those of
// results. It runs from anywhere inside the module:
//
//	go run ./tools/schema
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"crankwright/report"
	"crankwright/spec"
	"crankwright/tools/root"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "schema:", err)
		os.Exit(1)
	}
}

func run() error {
	dir, err := root.Find()
	if err != nil {
		return err
	}
	folder := filepath.Join(dir, "schema")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	for _, schema := range report.Schemas() {
		text, err := schema.Write()
		if err != nil {
			return err
		}
		if err := spec.WriteFileAtomic(filepath.Join(folder, schema.File()), text); err != nil {
			return err
		}
	}
	return nil
}
