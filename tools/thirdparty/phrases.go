package thirdparty

import (
	"slices"
	"strings"
)

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
