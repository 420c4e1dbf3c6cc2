package thirdparty

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestLicencesOfPackages holds the licences of the lock file against the files of the packages, which make installs.
func TestLicencesOfPackages(t *testing.T) {
	if _, err := os.Stat("../../web/node_modules/svelte"); err != nil {
		t.Fatal("the packages of the front end are not installed: cd web && npm ci")
	}
	packages, err := Packages("../..")
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range packages {
		dir := filepath.Join("../../web/node_modules", filepath.FromSlash(p.Name))
		read := Part{}
		if err := read.read(dir, dir); err != nil {
			t.Error(err)
			continue
		}
		if len(read.Files) > 0 && !slices.Equal(read.Licences, p.Licences) {
			t.Errorf("%s: the lock file says %v, %v say %v", p.Name, p.Licences, read.Files, read.Licences)
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
	for _, p := range []Part{{Name: "x"}, {Name: "x", Licences: []string{"GPL"}}, {Name: "x", Licences: []string{"MIT", "AGPL"}}, {Name: "x", Licences: []string{"MPL-2.0"}}} {
		if p.Objection() == "" {
			t.Errorf("%v is taken", p)
		}
	}
	for _, p := range []Part{{Name: "x", Licences: []string{"MIT", "Apache-2.0"}}, {Name: "mediabunny", Licences: []string{"MPL-2.0"}}} {
		if what := p.Objection(); what != "" {
			t.Errorf("%v: %s", p, what)
		}
	}
}

// TestTexts holds what goes along with a part: licence and notice, and where to find the source of the one that asks for it.
func TestTexts(t *testing.T) {
	folder := t.TempDir()
	p := Part{Name: "mediabunny", folders: []string{folder}}
	for _, f := range []struct{ name, text string }{{"NOTICE.txt", "by us"}, {"licensing.go", "package x"}, {"LICENSE", "as you like\n"}} {
		if _, err := p.Texts(); err == nil {
			t.Errorf("before %s: a part without a licence may be handed on", f.name)
		}
		if err := os.WriteFile(filepath.Join(folder, f.name), []byte(f.text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	got, err := p.Texts()
	if want := "--- LICENSE\nas you like\n--- NOTICE.txt\nby us\n"; err != nil || !strings.HasSuffix(string(got), want) {
		t.Errorf("%q, %v; want %q at the end", got, err, want)
	}
	if !strings.Contains(string(got), "in the npm package mediabunny of the version above, folder src") {
		t.Errorf("no word on where the source is: %s", got)
	}
}

// TestSourceOfExceptions holds what is said of a part whose licence asks for its source: that the package has it.
func TestSourceOfExceptions(t *testing.T) {
	for _, e := range Exceptions {
		found, err := filepath.Glob(filepath.Join("../../web/node_modules", e.Name, "src", "*.ts"))
		if err != nil || len(found) == 0 {
			t.Errorf("%s: no source in its package (%v)", e.Name, err)
		}
	}
}
