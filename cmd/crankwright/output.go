package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"

	"crankwright/report"
	"crankwright/spec"

	"github.com/spf13/cobra"
	"golang.org/x/term"
)

// form is how a verb is asked to write its result: as text unless one of these says otherwise.
type form struct{ json, csv, curves bool }

// flags adds --json, --csv with what it prints, and --curves with what it adds where there is any.
func (o *form) flags(c *cobra.Command, csv, curves string) {
	f := c.Flags()
	f.BoolVar(&o.json, "json", false, "print JSON")
	f.BoolVar(&o.csv, "csv", false, "print "+csv+" as comma-separated values")
	if curves != "" {
		f.BoolVar(&o.curves, "curves", false, "with --json: add "+curves)
	}
}

// check tells whether the flags go together.
func (o *form) check() error {
	switch {
	case o.json && o.csv:
		return usagef("--json and --csv exclude each other")
	case o.curves && !o.json && !o.csv:
		return usagef("--curves needs --json or --csv")
	}
	return nil
}

// full tells whether curves are wanted.
func (o *form) full() bool { return o.curves || o.csv }

// give writes a result in the form that was asked for.
func give[D any](a *app, o form, d D, csv func(D) ([]byte, error), text func(D, report.Screen) string) error {
	switch {
	case o.json:
		return a.json(d)
	case o.csv:
		data, err := csv(d)
		if err != nil {
			return err
		}
		return a.print(data)
	}
	return a.text(text(d, a.screen()))
}

// print writes a result to standard output.
func (a *app) print(data []byte) error {
	if _, err := a.out.Write(data); err != nil {
		return fmt.Errorf("standard output: %w", err)
	}
	return nil
}

// text writes text to standard output.
func (a *app) text(s string) error {
	_, err := io.WriteString(a.out, s)
	if err != nil {
		return fmt.Errorf("standard output: %w", err)
	}
	return nil
}

// json writes a value to standard output as JSON.
func (a *app) json(v any) error {
	data, err := report.Encode(v)
	if err != nil {
		return err
	}
	return a.print(data)
}

// jsonLine writes a value to standard output as JSON in one line.
func (a *app) jsonLine(v any) error {
	data, err := json.Marshal(v)
	if err != nil {
		return err
	}
	return a.print(append(data, '\n'))
}

// save writes a file, whole or not at all, and says so; - is standard output.
func (a *app) save(path string, data []byte) error {
	if path == "-" {
		return a.print(data)
	}
	spec.ClearUnfinished(path)
	if err := spec.WriteFileAtomic(path, data); err != nil {
		return err // it names the file
	}
	a.note("wrote %s", path)
	return nil
}

// terminal is where a text goes, or nil where that is no terminal.
func terminal(to io.Writer) *os.File {
	if f, ok := to.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		return f
	}
	return nil
}

// screen says how wide text may be and whether it may have colour.
func (a *app) screen() report.Screen {
	s := report.Screen{Width: a.width}
	f := terminal(a.out)
	if f == nil {
		return s
	}
	s.Colour = os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
	if s.Width == 0 {
		if w, _, err := term.GetSize(int(f.Fd())); err == nil {
			s.Width = w
		}
	}
	return s
}
