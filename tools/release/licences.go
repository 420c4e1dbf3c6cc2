package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// licenceFile matches the files in which a package says on what terms it may be handed on.
var licenceFile = regexp.MustCompile(`(?i)^(licen[cs]e|copying|copyright|notice|patents)([-._].*)?$`)

// part is a package that the program is built from, and the folder that it is in.
type part struct{ name, folder string }

// licences is the text of the licences of everything that a binary is built from: Go's own library, Go modules, npm packages.
func (r *release) licences(ctx context.Context, p platform) ([]byte, error) {
	parts, err := r.parts(ctx, p)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	fmt.Fprintf(&out, "Crankwright is built from these packages, on the terms that follow each.\n")
	for _, p := range parts {
		texts, err := licenceTexts(p.folder)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", p.name, err)
		}
		fmt.Fprintf(&out, "\n%s\n%s\n\n", strings.Repeat("=", 100), p.name)
		out.Write(texts)
	}
	return out.Bytes(), nil
}

// parts lists what a binary is built from, by kind and name.
func (r *release) parts(ctx context.Context, p platform) ([]part, error) {
	root, err := r.said(ctx, nil, "go", "env", "GOROOT")
	if err != nil {
		return nil, err
	}
	all := []part{{"The Go library and runtime", strings.TrimSpace(string(root))}}
	listed, err := r.said(ctx, p.env(), "go", "list", "-deps",
		"-f", `{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}}{{"\t"}}{{.Dir}}{{end}}{{end}}`, "./"+command)
	if err != nil {
		return nil, err
	}
	lines := strings.Split(strings.TrimSpace(string(listed)), "\n")
	slices.Sort(lines)
	for _, line := range slices.Compact(lines) {
		if name, folder, ok := strings.Cut(line, "\t"); ok {
			all = append(all, part{"Go module " + name, folder})
		}
	}
	first := len(all)
	for _, c := range flat(r.front.Components) {
		folder := filepath.Join(r.root, "web", "node_modules", c.Group, c.Name)
		all = append(all, part{"npm package " + strings.TrimPrefix(c.Group+"/"+c.Name, "/") + " " + c.Version, folder})
	}
	slices.SortFunc(all[first:], func(a, b part) int { return strings.Compare(a.name, b.name) })
	return slices.Compact(all), nil
}

// licenceTexts joins the licence files of a folder.
func licenceTexts(folder string) ([]byte, error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	for _, e := range entries {
		if e.IsDir() || !licenceFile.MatchString(e.Name()) {
			continue
		}
		data, err := os.ReadFile(filepath.Join(folder, e.Name()))
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&out, "--- %s\n%s\n", e.Name(), bytes.TrimSpace(data))
	}
	if out.Len() == 0 {
		return nil, fmt.Errorf("there is no licence in %s; it may not be handed on without one", folder)
	}
	return out.Bytes(), nil
}
