package main

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"crankwright/tools/thirdparty"
)

// list returns the text of docs/licences.md for the repository at a path. The error names every part whose licence is unknown or
// not permissive.
func list(root string) ([]byte, error) {
	modules, err := thirdparty.Modules(root, thirdparty.Platforms...)
	if err != nil {
		return nil, err
	}
	packages, err := thirdparty.Packages(root)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	b.WriteString("# Licences of what the program is built of\n\n" +
		"Written by `make licences`, which reads the files of licences in the module cache; a test holds this list against the modules of\n" +
		"today and fails on a licence that is not permissive. " +
		"Crankwright itself stands under Apache-2.0 ([LICENSE](../LICENSE)).\n\n")
	fmt.Fprintf(&b, "Taken for permissive: %s.\n", strings.Join(thirdparty.Permissive, ", "))
	table(&b, "Go modules in the binary", "For Linux, macOS and Windows together, with the Go standard library.", modules)
	table(&b, "npm packages of the front end", "What the source imports, and what that depends on: the bundle holds a part of it.", packages)
	for _, e := range thirdparty.Exceptions {
		fmt.Fprintf(&b, "\n\\* %s, %s: %s.\n", e.Name, e.Licence, e.Why)
	}
	var bad []error
	for _, p := range slices.Concat(modules, packages) {
		if what := p.Objection(); what != "" {
			bad = append(bad, fmt.Errorf("%s %s: %s", p.Name, p.Version, what))
		}
	}
	return b.Bytes(), errors.Join(bad...)
}

func table(b *bytes.Buffer, title, lead string, parts []thirdparty.Part) {
	fmt.Fprintf(b, "\n## %s\n\n%s\n\n| part | version | licence | read in |\n| --- | --- | --- | --- |\n", title, lead)
	for _, p := range parts {
		mark := ""
		if p.Excepted() {
			mark = " \\*"
		}
		fmt.Fprintf(b, "| %s | %s | %s%s | %s |\n", p.Name, p.Version, strings.Join(p.Licences, ", "), mark, strings.Join(p.Files, ", "))
	}
}
