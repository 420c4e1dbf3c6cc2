package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestListIsUpToDate fails where something that the program is built of has come, gone or changed since docs/licences.md was
// written, and where a licence is not permissive.
func TestListIsUpToDate(t *testing.T) {
	want, err := list("../..")
	if err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile("../../" + listFile)
	if err != nil || string(got) != string(want) {
		t.Errorf("%s is not up to date: make licences (%v)", listFile, err)
	}
	if n := strings.Count(string(want), "\n| "); n < 40 {
		t.Errorf("only %d parts were found", n)
	}
}

// TestLicencesOfPackages holds the licences of the lock file against the files of the packages, which make installs.
func TestLicencesOfPackages(t *testing.T) {
	if _, err := os.Stat("../../web/node_modules/svelte"); err != nil {
		t.Fatal("the packages of the front end are not installed: cd web && npm ci")
	}
	packages, err := packagesOf("../..")
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range packages {
		dir := filepath.Join("../../web/node_modules", filepath.FromSlash(p.name))
		read := part{}
		if err := read.read(dir, dir); err != nil {
			t.Error(err)
			continue
		}
		if len(read.files) > 0 && !slices.Equal(read.licences, p.licences) {
			t.Errorf("%s: the lock file says %v, %v say %v", p.name, p.licences, read.files, read.licences)
		}
	}
}

func TestLicencesIn(t *testing.T) {
	for text, want := range map[string]string{
		"MIT License\n\nPermission is hereby granted, free of\ncharge, to any person obtaining a copy of this software":           "MIT",
		"Redistribution and use in source and binary forms, with or without modification":                                         "BSD-2-Clause",
		"Redistribution and use in source and binary forms … its contributors may be used to endorse or promote products derived": "BSD-3-Clause",
		" *                                 Apache License\n *                           Version 2.0, January 2004":               "Apache-2.0",
		"// Permission to use, copy, modify, and/or distribute this software for any\n// purpose with or without fee is hereby":   "ISC",
		"GNU LESSER GENERAL PUBLIC LICENSE\nVersion 3":                                                                            "LGPL",
		"This program comes with the GNU General Public License, see COPYING":                                                     "GPL",
		"Licensed under the Business Source License 1.1":                                                                          "BUSL",
		"Mozilla Public License Version 2.0\n====":                                                                                "MPL-2.0",
		"All rights reserved.": "",
	} {
		if got := strings.Join(licencesIn(text), " "); got != want {
			t.Errorf("%.40q: %s, want %s", text, got, want)
		}
	}
	for _, p := range []part{{name: "x"}, {name: "x", licences: []string{"GPL"}}, {name: "x", licences: []string{"MIT", "AGPL"}}, {name: "x", licences: []string{"MPL-2.0"}}} {
		if objection(p) == "" {
			t.Errorf("%v is taken", p)
		}
	}
	for _, p := range []part{{name: "x", licences: []string{"MIT", "Apache-2.0"}}, {name: "mediabunny", licences: []string{"MPL-2.0"}}} {
		if what := objection(p); what != "" {
			t.Errorf("%v: %s", p, what)
		}
	}
}
