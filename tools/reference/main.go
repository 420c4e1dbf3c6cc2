// Command reference writes the pages of docs/reference that follow from the program: the keys of files, the measures
// of an engine, the HTTP interface, the Go packages. The page of commands is written by the
// tests of the command itself, that of tables by hand. It runs from anywhere inside the module:
//
//	go run ./tools/reference
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"crankwright/spec"
	"crankwright/tools/root"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "reference:", err)
		os.Exit(1)
	}
}

func run() error {
	dir, err := root.Find()
	if err != nil {
		return err
	}
	pages, err := pages(dir)
	if err != nil {
		return err
	}
	for name, text := range pages {
		if err := spec.WriteFileAtomic(filepath.Join(dir, "docs", "reference", name), []byte(text)); err != nil {
			return err
		}
	}
	return nil
}

// pages returns every page by its file name.
func pages(root string) (map[string]string, error) {
	out := map[string]string{}
	for name, write := range map[string]func(root string) (string, error){
		"engine-file.md": engineFile,
		"other-files.md": otherFiles,
		"measures.md":    measures,
		"api.md":         api,
		"go.md":          goPackages,
	} {
		text, err := write(root)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		out[name] = text
	}
	return out, nil
}
