package spec

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"crankwright/mechanics/layout"
)

// ReadMeasured reads the measured cylinder pressure that an engine file names into t.Gas.Measured; without one it does
// nothing. read returns a file by the name that the engine file gives, and os.ErrNotExist or another error where there
// is none; folder is what stands before that name in messages. The error is an Errors: at the place of the name where
// there is no such file, in the lines of the trace itself where those are wrong; what is wrong with the firing stands beside it.
func (e *Engine) ReadMeasured(t *layout.Train, folder string, read func(name string) ([]byte, error)) error {
	if t.Gas.Trace == "" {
		return nil
	}
	m, err := e.readMeasured(t, folder, read)
	if err == nil {
		err = e.assignMeasured(m, t)
	}
	var list Errors
	if errors.As(err, &list) {
		return append(list[:len(list):len(list)], e.misfiring(t)...)
	}
	return err
}

// readMeasured reads the file that a train names, without regard to its cylinders.
func (e *Engine) readMeasured(t *layout.Train, folder string, read func(name string) ([]byte, error)) (*layout.Trace, error) {
	name := t.Gas.Trace
	data, err := read(name)
	if err != nil {
		what := fmt.Sprintf("trace: there is no file %q", name)
		if !errors.Is(err, os.ErrNotExist) {
			what = fmt.Sprintf("trace: the file %q cannot be read", name)
		}
		return nil, Errors{e.ErrorAt("gas.trace", what, "give the name of a file with a measured pressure trace, from the folder of the engine file")}
	}
	shown := name
	if folder != "" && !filepath.IsAbs(name) {
		shown = filepath.Join(folder, name)
	}
	m, _, err := ReadTrace(shown, data, t.Cycle)
	return m, err
}

// assignMeasured gives a measured pressure to a train. Its errors stand where the engine file names it.
func (e *Engine) assignMeasured(m *layout.Trace, t *layout.Train) error {
	if err := assign(m, t); err != nil {
		return Errors{e.ErrorAt("gas.trace", "trace: "+err.Error(), "name the columns of pressure after the cylinders of the engine file, such as \"p1 [bar]\", or give one for all")}
	}
	t.Gas.Measured = m
	return nil
}

// assign gives the columns of a trace to the cylinders of an engine.
func assign(m *layout.Trace, t *layout.Train) error {
	if len(m.Cylinders) == 0 {
		if len(t.Cylinders) > 1 {
			m.Remarks = append(m.Remarks, fmt.Sprintf("the one curve is taken for all %d cylinders", len(t.Cylinders)))
		}
		return nil
	}
	var names, strangers, without []string
	for _, c := range t.Cylinders {
		names = append(names, c.Name)
		if !slices.Contains(m.Cylinders, c.Name) {
			without = append(without, c.Name)
		}
	}
	for _, c := range m.Cylinders {
		if !slices.Contains(names, c) {
			strangers = append(strangers, c)
		}
	}
	switch {
	case len(strangers) == len(m.Cylinders) && len(names) == len(strangers):
		m.Remarks = append(m.Remarks, fmt.Sprintf("the columns of pressure are taken for the cylinders %s, in this order", strings.Join(names, ", ")))
		m.Cylinders = names
	case len(strangers) > 0:
		return fmt.Errorf("%s has a column for cylinder %s, but the engine has %s", t.Gas.Trace, strings.Join(strangers, ", "), strings.Join(names, ", "))
	case len(without) > 0:
		m.Remarks = append(m.Remarks, fmt.Sprintf("no column of pressure for cylinder %s: the first is taken", strings.Join(without, ", ")))
	}
	return nil
}

// ReadMeasuredIn is ReadMeasured from a folder on disk.
func (e *Engine) ReadMeasuredIn(folder string, t *layout.Train) error {
	return e.ReadMeasured(t, folder, FilesIn(folder))
}

// FilesIn returns what reads the regular files that an engine file in a folder names.
func FilesIn(folder string) func(name string) ([]byte, error) {
	return func(name string) ([]byte, error) {
		if !filepath.IsAbs(name) {
			name = filepath.Join(folder, name)
		}
		if info, err := os.Stat(name); err != nil || !info.Mode().IsRegular() {
			return nil, os.ErrNotExist
		}
		f, err := os.Open(filepath.Clean(name))
		if err != nil {
			return nil, err
		}
		defer func() { _ = f.Close() }()
		return io.ReadAll(io.LimitReader(f, MaxTraceSize+1))
	}
}
