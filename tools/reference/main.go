// Command reference writes the pages of docs/reference that follow from the program: the keys of files, the HTTP interface,
// the Go packages. The page of commands is written by the tests of the command itself. It runs from anywhere inside the
// module:
//
//	go run ./tools/reference
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"crankwright/spec"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "reference:", err)
		os.Exit(1)
	}
}

func run() error {
	root, err := moduleRoot()
	if err != nil {
		return err
	}
	pages, err := pages(root)
	if err != nil {
		return err
	}
	for name, text := range pages {
		if err := spec.WriteFileAtomic(filepath.Join(root, "docs", "reference", name), []byte(text)); err != nil {
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

// moduleRoot returns the nearest folder upwards that has a go.mod.
func moduleRoot() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", fmt.Errorf("no go.mod upwards from here")
		}
		dir = up
	}
}
