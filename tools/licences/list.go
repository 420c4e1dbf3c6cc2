package main

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// permissive are the licences that ask for no more than to be named.
var permissive = []string{"0BSD", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "BlueOak-1.0.0", "CC0-1.0", "ISC", "MIT", "Unlicense", "public domain"}

// exceptions are packages under another licence, with the reason why they may be part of the program.
var exceptions = map[string]struct{ licence, why string }{
	"mediabunny": {"MPL-2.0", "asks that changes of its own files are published; it is taken as it is, unchanged, and its source is in the package of that version"},
}

// part is something that the program is built of.
type part struct {
	name, version string
	licences      []string
	files         []string // in which they stand, within the part
}

// list returns the text of docs/licences.md for the repository at a path. The error names every part whose licence is unknown or
// not permissive.
func list(root string) ([]byte, error) {
	modules, err := modulesOf(root)
	if err != nil {
		return nil, err
	}
	packages, err := packagesOf(root)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	b.WriteString("# Licences of what the program is built of\n\n" +
		"Written by `make licences`, which reads the files of licences in the module cache; a test holds this list against the modules of\n" +
		"today and fails on a licence that is not permissive. " +
		"Crankwright itself stands under Apache-2.0 ([LICENSE](../LICENSE)).\n\n")
	fmt.Fprintf(&b, "Taken for permissive: %s.\n", strings.Join(permissive, ", "))
	table(&b, "Go modules in the binary", "For Linux, macOS and Windows together, with the Go standard library.", modules)
	table(&b, "npm packages of the front end", "What the source imports, and what that depends on: the bundle holds a part of it.", packages)
	for _, name := range slices.Sorted(func(yield func(string) bool) {
		for name := range exceptions {
			if !yield(name) {
				return
			}
		}
	}) {
		fmt.Fprintf(&b, "\n\\* %s, %s: %s.\n", name, exceptions[name].licence, exceptions[name].why)
	}
	var bad []error
	for _, p := range slices.Concat(modules, packages) {
		if what := objection(p); what != "" {
			bad = append(bad, fmt.Errorf("%s %s: %s", p.name, p.version, what))
		}
	}
	return b.Bytes(), errors.Join(bad...)
}

// objection says why a part may not be used; empty: it may.
func objection(p part) string {
	if len(p.licences) == 0 {
		return "no licence was found; look for it, and take another part if there is none"
	}
	for _, l := range p.licences {
		if !slices.Contains(permissive, l) && exceptions[p.name].licence != l {
			return l + " is not on the list of permissive licences; take another part, or name it as an exception with the reason"
		}
	}
	return ""
}

func table(b *bytes.Buffer, title, lead string, parts []part) {
	fmt.Fprintf(b, "\n## %s\n\n%s\n\n| part | version | licence | read in |\n| --- | --- | --- | --- |\n", title, lead)
	for _, p := range parts {
		mark := ""
		if _, is := exceptions[p.name]; is {
			mark = " \\*"
		}
		fmt.Fprintf(b, "| %s | %s | %s%s | %s |\n", p.name, p.version, strings.Join(p.licences, ", "), mark, strings.Join(p.files, ", "))
	}
}

// phrases stand in a licence and in no other.
var phrases = []struct {
	licence string
	words   []string
}{
	{"Apache-2.0", []string{"apache license", "version 2.0, january 2004"}},
	{"MIT", []string{"permission is hereby granted, free of charge, to any person obtaining a copy"}},
	{"BSD-3-Clause", []string{"redistribution and use in source and binary forms", "may be used to endorse or promote products"}},
	{"BSD-2-Clause", []string{"redistribution and use in source and binary forms"}},
	{"ISC", []string{"permission to use, copy, modify, and/or distribute this software for any purpose with or without fee"}},
	{"ISC", []string{"permission to use, copy, modify, and distribute this software for any purpose with or without fee"}},
	{"Unlicense", []string{"this is free and unencumbered software released into the public domain"}},
	{"CC0-1.0", []string{"cc0 1.0 universal"}},
	{"public domain", []string{"the author disclaims copyright to this source code"}},
	{"public domain", []string{"has been dedicated to the public domain by the authors"}},
	{"MPL-2.0", []string{"mozilla public license version 2.0"}},
	{"MPL-2.0", []string{"mozilla public license, version 2.0"}},
	{"GPL", []string{"gnu general public license"}},
	{"LGPL", []string{"gnu lesser general public license"}},
	{"AGPL", []string{"gnu affero general public license"}},
	{"SSPL", []string{"server side public license"}},
	{"BUSL", []string{"business source license"}},
	{"Commons Clause", []string{"commons clause"}},
	{"CC-BY", []string{"creative commons attribution"}},
	{"EPL", []string{"eclipse public license"}},
}

// licencesIn returns the licences whose unmistakable phrases stand in a text.
func licencesIn(text string) []string {
	flat := strings.ToLower(strings.Join(strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" \t\r\n*/#>", r) }), " "))
	var out []string
	for _, p := range phrases {
		all := true
		for _, w := range p.words {
			all = all && strings.Contains(flat, strings.Join(strings.FieldsFunc(w, func(r rune) bool { return strings.ContainsRune(" /", r) }), " "))
		}
		if all && !slices.Contains(out, p.licence) && (p.licence != "BSD-2-Clause" || !slices.Contains(out, "BSD-3-Clause")) {
			out = append(out, p.licence)
		}
	}
	if slices.Contains(out, "MPL-2.0") { // its text names these as licences that may be taken in its place
		out = slices.DeleteFunc(out, func(l string) bool { return strings.HasSuffix(l, "GPL") })
	}
	slices.Sort(out)
	return out
}
