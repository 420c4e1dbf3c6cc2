package main

import (
	"fmt"
	"io"
	"os"

	"crankwright/report"
	"crankwright/spec"

	"golang.org/x/term"
)

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

// save writes a file, whole or not at all, and says so; - is standard output.
func (a *app) save(path string, data []byte) error {
	if path == "-" {
		return a.print(data)
	}
	if err := spec.WriteFileAtomic(path, data); err != nil {
		return err // it names the file
	}
	a.note("wrote %s", path)
	return nil
}

// screen says how wide text may be and whether it may have colour.
func (a *app) screen() report.Screen {
	s := report.Screen{Width: a.width}
	f, ok := a.out.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
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
