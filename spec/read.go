package spec

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"strings"

	"crankwright/mechanics/layout"
)

// Options say how a file is read.
type Options struct {
	Strict bool // every value of the crank train that would be estimated is an error; of what else is assumed see Engine.Missing

	quiet bool // what is estimated is listed without its texts
}

// ReadEngine reads an engine file. file is the name that messages show.
//
// It returns the train and the file as it was written, or Errors with everything that is wrong;
// then the train is nil, and the file is there as far as it could be read.
func ReadEngine(file string, data []byte, opt Options) (*layout.Train, *Engine, error) {
	c := &collector{file: file}
	e := decodeEngine(c, data)
	if e.doc == nil {
		return nil, e, c.sorted()
	}
	var t *layout.Train
	if len(c.list) < maxErrors && !c.cut {
		t = resolve(c, e, opt)
	}
	if t != nil && len(c.list) > 0 {
		c.list = append(c.list, e.misfiring(t)...)
	}
	if err := c.sorted(); err != nil {
		return nil, e, err
	}
	return t, e, nil
}

// decodeEngine reads the text of a file without judging the engine; it has no doc where the text is no file at all.
func decodeEngine(c *collector, data []byte) *Engine {
	e := &Engine{}
	if e.doc = decodeFile(c, data, e); e.doc != nil {
		e.file = c.file
	}
	return e
}

// decodeFile reads the text of a file into the type of such files; it is nil where the text is no file at all.
func decodeFile[T any](c *collector, data []byte, into *T) *document {
	doc := parseDocument(c, data)
	if doc == nil {
		return nil
	}
	d := newDecoder(c, doc)
	d.whole = reflect.TypeFor[T]()
	d.value("the file", reflect.ValueOf(into).Elem(), doc.root)
	d.finish()
	return doc
}

// Whole returns the file, byte for byte; empty where it could not be parsed.
func (e *Engine) Whole() string {
	if e.doc == nil {
		return ""
	}
	return e.doc.text
}

// Train resolves the file again, for callers that have changed values of it.
func (e *Engine) Train(opt Options) (*layout.Train, error) {
	c := &collector{file: e.file}
	t := resolve(c, e, opt)
	if err := c.sorted(); err != nil {
		return nil, err
	}
	return t, nil
}

// ErrorAt returns an error at the place of a path in the file, for what later chapters find
// wrong: a firing order that the crank cannot do, for example.
func (e *Engine) ErrorAt(path, what, allowed string) Error {
	at := e.Locate(path)
	return Error{File: e.file, Line: at.Line, Column: at.Column, What: what, Allowed: allowed}
}

// Missing returns an error for each of some values that strict reading must not fill: those of analysis.Lacking for the
// results that are asked for. Each stands at the section of the file that lacks it.
func (e *Engine) Missing(list []layout.Estimate) Errors {
	var out Errors
	for _, est := range list {
		m := e.lacks(est.Key)
		if est.Shown != "" {
			m.Allowed += ", such as " + est.Shown
		}
		out = append(out, m)
	}
	return out
}

// lacks is what strict reading says of a key that the file leaves out.
func (e *Engine) lacks(key string) Error {
	return e.ErrorAt(parentOf(key), fmt.Sprintf("the key %q is missing (%s)", key[strings.LastIndex(key, ".")+1:], key), "strict reading estimates nothing, so give it")
}

// ReadEngineFile reads an engine file from disk, and the measured pressure that it names there. Messages
// show the path as given.
func ReadEngineFile(path string, opt Options) (*layout.Train, *Engine, error) {
	data, err := ReadWhole(path)
	if err != nil {
		return nil, &Engine{}, err
	}
	t, e, err := ReadEngine(path, data, opt)
	if err == nil {
		err = e.ReadMeasuredIn(filepath.Dir(path), t)
	}
	return t, e, err
}

// ReadWhole reads a file of at most MaxFileSize. The error names the file.
func ReadWhole(path string) ([]byte, error) {
	f, err := os.Open(filepath.Clean(path))
	if err != nil {
		return nil, readFailure(path, err)
	}
	defer func() { _ = f.Close() }()
	data, err := io.ReadAll(io.LimitReader(f, MaxFileSize+1))
	if err != nil {
		return nil, readFailure(path, err)
	}
	if len(data) > MaxFileSize {
		return nil, Errors{{File: path, What: "the file is too large", Allowed: "1 MiB is the most"}}
	}
	return data, nil
}

func readFailure(path string, err error) error {
	var pe *os.PathError
	if errors.As(err, &pe) {
		err = pe.Err
	}
	return fmt.Errorf("%s: cannot be read: %w", path, err)
}
