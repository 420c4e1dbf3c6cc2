// Package thirdparty knows what the program is built of that others made: Go modules and npm packages and their versions, and under
// which licences they stand.
package thirdparty

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// Permissive are the licences that ask for no more than to be named.
var Permissive = []string{"0BSD", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "BlueOak-1.0.0", "CC0-1.0", "ISC", "MIT", "Unlicense", "public domain"}

// Exception is a part under a licence that asks for more.
type Exception struct{ Name, Licence, Why string }

// Exceptions are the parts under another licence than the permissive ones, and how what they ask for is met.
var Exceptions = []Exception{{
	Name: "mediabunny", Licence: "MPL-2.0",
	Why: "It is part of the front end, which writes films with it. Its licence goes file by file: whoever hands the program on must say how to get " +
		"the source of these files, and publish changes of them; the rest of the program is not concerned. Nothing in them is changed. " +
		"Their source is in the npm package mediabunny of the version above, folder src; the licence and this note are in every archive that " +
		"`make release` writes. Accepted",
}}

// exception finds the exception for a part; its name is empty where there is none.
func exception(name string) Exception {
	if i := slices.IndexFunc(Exceptions, func(e Exception) bool { return e.Name == name }); i >= 0 {
		return Exceptions[i]
	}
	return Exception{}
}

// Part is something that the program is built of.
type Part struct {
	Name, Version string
	Licences      []string
	Files         []string // in which they stand, within the part
	folders       []string // in which such files can be
}

// Excepted says whether a part stands under a licence that is not permissive, with a reason.
func (p Part) Excepted() bool { return exception(p.Name).Name != "" }

// Objection says why a part may not be used; empty: it may.
func (p Part) Objection() string {
	if len(p.Licences) == 0 {
		return "no licence was found; look for it, and take another part if there is none"
	}
	for _, l := range p.Licences {
		if !slices.Contains(Permissive, l) && exception(p.Name).Licence != l {
			return l + " is not on the list of permissive licences; take another part, or name it as an exception with the reason"
		}
	}
	return ""
}

// thirdParty is in the name of a file that collects the licences of a whole repository, with its tests and tools. It is named in
// docs/security.md instead of being read.
const thirdParty = "3rd-party"

var (
	licenceFile = regexp.MustCompile(`(?i)^(un)?licen[cs]e|^copying`)
	noticeFile  = regexp.MustCompile(`(?i)^(notice|patents)`)
)

// read takes in the files of licences of one folder of a part.
func (p *Part) read(top, dir string) error {
	if slices.Contains(p.folders, dir) {
		return nil
	}
	p.folders = append(p.folders, dir)
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		rel, err := filepath.Rel(top, filepath.Join(dir, e.Name()))
		if err != nil {
			return err
		}
		if !isText(e, licenceFile) || strings.Contains(strings.ToLower(e.Name()), thirdParty) {
			continue
		}
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			return err
		}
		p.Files = append(p.Files, filepath.ToSlash(rel))
		for _, l := range licencesIn(string(text)) {
			if !slices.Contains(p.Licences, l) {
				p.Licences = append(p.Licences, l)
			}
		}
	}
	return nil
}

func isText(e os.DirEntry, name *regexp.Regexp) bool {
	return e.Type().IsRegular() && name.MatchString(e.Name()) && !strings.HasSuffix(e.Name(), ".go")
}

// Texts joins what must go along with a part that is handed on: its licences and notices, and how an exception is met. A part
// without a licence is an error.
func (p Part) Texts() ([]byte, error) {
	var out bytes.Buffer
	if e := exception(p.Name); e.Name != "" {
		fmt.Fprintf(&out, "%s: %s.\n", e.Licence, e.Why)
	}
	licensed := false
	for _, dir := range slices.Sorted(slices.Values(p.folders)) {
		entries, err := os.ReadDir(dir)
		if err != nil {
			return nil, err
		}
		for _, e := range entries {
			is := isText(e, licenceFile)
			if !is && !isText(e, noticeFile) {
				continue
			}
			text, err := os.ReadFile(filepath.Join(dir, e.Name()))
			if err != nil {
				return nil, err
			}
			licensed = licensed || is
			fmt.Fprintf(&out, "--- %s\n%s\n", e.Name(), bytes.TrimSpace(text))
		}
	}
	if !licensed {
		return nil, fmt.Errorf("%s %s: there is no licence in %v; it may not be handed on without one", p.Name, p.Version, p.folders)
	}
	return out.Bytes(), nil
}
