package main

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"crankwright/analysis"
	"crankwright/mechanics/layout"
	"crankwright/mechanics/parts"
	"crankwright/spec"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// standardInput is how messages call the file -.
const standardInput = "<stdin>"

// engine is an engine file that has been read.
type engine struct {
	file   string
	train  *layout.Train
	src    *spec.Engine
	strict bool // nothing may be estimated
}

// read reads an engine file; - is standard input.
func (a *app) read(file string, strict bool) (engine, error) {
	e := engine{file: file, strict: strict}
	err := wanted(spec.EngineSuffix, file)
	if err != nil {
		return e, err
	}
	if file != "-" {
		e.train, e.src, err = spec.ReadEngineFile(file, spec.Options{Strict: strict})
	} else {
		e.file = standardInput
		data, readErr := a.inputText()
		if readErr != nil {
			return e, readErr
		}
		e.train, e.src, err = spec.ReadEngine(standardInput, data, spec.Options{Strict: strict})
		if err == nil {
			err = e.src.ReadMeasuredIn(".", e.train)
		}
	}
	if err != nil {
		return e, inputError{err}
	}
	return e, nil
}

// strictFlag adds --strict to a verb that has one result.
func strictFlag(f *pflag.FlagSet, strict *bool) {
	f.BoolVar(strict, "strict", false, "estimate nothing: what the result rests on and the file leaves out is an error")
}

// strictFlags adds --strict to a verb that has several results.
func strictFlags(f *pflag.FlagSet, strict *bool) {
	f.BoolVar(strict, "strict", false, "estimate nothing: what a file leaves out of the crank train is an error; a result that rests on anything else left out is replaced by the reason")
}

// given refuses, where nothing may be estimated, what results rest on and the file leaves out.
func (e engine) given(of ...analysis.Chapter) error {
	if !e.strict {
		return nil
	}
	if list := e.src.Missing(analysis.Lacking(e.train, of...)); len(list) > 0 {
		return inputError{list}
	}
	return nil
}

// fileText reads a file whole; - is standard input.
func (a *app) fileText(file string) (name string, data []byte, err error) {
	if file != "-" {
		if data, err = spec.ReadWhole(file); err != nil {
			return file, nil, inputError{err}
		}
		return file, data, nil
	}
	if data, err = a.inputText(); err != nil {
		return file, nil, err
	}
	return standardInput, data, nil
}

// inputText reads standard input.
func (a *app) inputText() ([]byte, error) {
	if a.stdin {
		return nil, usagef("standard input (-) can be read only once")
	}
	a.stdin = true
	data, err := io.ReadAll(io.LimitReader(a.in, spec.MaxFileSize+1))
	if err != nil {
		return nil, fmt.Errorf("standard input: %w", err)
	}
	return data, nil
}

// prices reads a price table; nil where no file is named.
func prices(file string) (*parts.Prices, error) {
	if file == "" {
		return nil, nil
	}
	p, err := spec.ReadPricesFile(file)
	if err != nil {
		return nil, inputError{err}
	}
	return &p, nil
}

// pricesFlag names a price table.
func pricesFlag(f *pflag.FlagSet, to *string) {
	f.StringVar(to, "prices", "", "price table of the cost index, such as my.prices.yaml (default: that of the brief, else the invented one)")
}

// evaluate runs the analysis and gives what it finds wrong a place in the file.
func (e engine) evaluate(opt analysis.Options) (*analysis.Result, error) {
	if opt.Speed == 0 && e.train.Speeds.Rated == 0 {
		return nil, inputError{spec.Errors{e.src.ErrorAt("speeds.rated", "no speed to evaluate at: speeds.rated is missing", "give it in the file, or give --speed")}}
	}
	opt.Strict = e.strict
	r, err := analysis.Run(e.train, opt)
	if err == nil {
		return r, nil
	}
	return nil, inputError{e.src.Placed(err)}
}

// result reads one file and analyses it; of are the chapters without which there is no result.
func (a *app) result(file string, strict bool, opt analysis.Options, of ...analysis.Chapter) (*analysis.Result, error) {
	rs, err := a.results([]string{file}, strict, opt, of...)
	if err != nil {
		return nil, err
	}
	return rs[0], nil
}

// results reads and analyses many files; the error holds what is wrong in all of them.
func (a *app) results(files []string, strict bool, opt analysis.Options, of ...analysis.Chapter) ([]*analysis.Result, error) {
	return a.each(files, strict, opt, func(engine) {}, of...)
}

// each is results, and tells of every engine that has been analysed.
func (a *app) each(files []string, strict bool, opt analysis.Options, done func(engine), of ...analysis.Chapter) ([]*analysis.Result, error) {
	var rs []*analysis.Result
	var wrong []error
	for _, f := range files {
		e, err := a.read(f, strict)
		var r *analysis.Result
		if err == nil {
			err = e.given(of...)
		}
		if err == nil {
			r, err = e.evaluate(opt)
		}
		var input inputError
		switch {
		case err == nil:
			rs = append(rs, r)
			done(e)
		case errors.As(err, &input):
			wrong = append(wrong, input.error)
		default:
			return nil, err
		}
	}
	if len(wrong) > 0 {
		return nil, inputError{errors.Join(wrong...)}
	}
	return rs, nil
}

// speedOf reads the value of --speed [rad/s]; empty is 0, the rated speed of the file.
func speedOf(text string) (float64, error) {
	if text == "" {
		return 0, nil
	}
	ω, err := quantityOf[spec.Speed]("speed", text)
	if err != nil {
		return 0, err
	}
	if ω <= 0 || ω > mostSpeed {
		return 0, usagef("--speed: %s is out of range; a speed lies above 0 and up to 900000 rpm", text)
	}
	return ω, nil
}

// quantityOf reads the value of a flag [SI].
func quantityOf[D spec.Dimension](flag, text string) (float64, error) {
	q, err := spec.ParseQuantity[D](text)
	if err != nil {
		return 0, usagef("--%s: %w", flag, err)
	}
	return q.SI, nil
}

// positiveOf reads the value of a flag that is greater than zero [SI]; empty is 0.
func positiveOf[D spec.Dimension](flag, text string) (float64, error) {
	if text == "" {
		return 0, nil
	}
	v, err := quantityOf[D](flag, text)
	if err == nil && v <= 0 {
		err = usagef("--%s: %s; it must be greater than zero", flag, text)
	}
	return v, err
}

const (
	mostSpeed  = 1e5  // [rad/s], as in analysis.Run
	mostSpeeds = 1000 // of a sweep
)

var leadingNumber = regexp.MustCompile(`^\s*[+-]?[0-9.]+\s*`)

// speedsOf reads the value of --speeds [rad/s]: 1000..6000:500 rpm, or 1000, 2000, 4000 rpm. A number
// without a unit has that of the last.
func speedsOf(text string) ([]float64, error) {
	if text == "" {
		return nil, nil
	}
	const form = "write from..to:step, such as '1000..6000:500 rpm', or a list, such as '1000, 2000, 4000 rpm'"
	parts := strings.Split(text, ",")
	from, rest, isRange := strings.Cut(text, "..")
	if isRange {
		to, step, ok := strings.Cut(rest, ":")
		if !ok {
			return nil, usagef("--speeds: %q has no step; %s", text, form)
		}
		parts = []string{from, to, step}
	}
	unit := leadingNumber.ReplaceAllString(parts[len(parts)-1], "")
	values := make([]float64, len(parts))
	for i, p := range parts {
		if leadingNumber.ReplaceAllString(p, "") == "" {
			p += " " + unit
		}
		q, err := spec.ParseQuantity[spec.Speed](p)
		if err != nil {
			return nil, usagef("--speeds: %w; %s", err, form)
		}
		if q.SI <= 0 || q.SI > mostSpeed {
			return nil, usagef("--speeds: %s is out of range; speeds and steps lie above 0 and up to 900000 rpm", strings.TrimSpace(p))
		}
		values[i] = q.SI
	}
	if !isRange {
		return values, nil
	}
	first, last, step := values[0], values[1], values[2]
	if last < first {
		return nil, usagef("--speeds: %q ends below its beginning; %s", text, form)
	}
	n := int((last-first)/step+1e-9) + 1
	if (last-first)/step > mostSpeeds {
		return nil, usagef("--speeds: %q has more than %d speeds", text, mostSpeeds)
	}
	values = values[:0]
	for i := range n {
		values = append(values, first+float64(i)*step)
	}
	return values, nil
}

// orderOf reads a value of --order, an order per crank revolution, and returns twice of it.
func orderOf(text string) (int, error) {
	n, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	k := int(2 * n)
	if err != nil || n < 0.5 || n > 12 || float64(k) != 2*n {
		return 0, usagef("--order: %q is no order; orders are 0.5, 1, 1.5 to 12", text)
	}
	return k, nil
}

// twiceOrders reads the values of --order, as twice the orders.
func twiceOrders(texts []string) ([]int, error) {
	var ks []int
	for _, text := range texts {
		k, err := orderOf(text)
		if err != nil {
			return nil, err
		}
		ks = append(ks, k)
	}
	return ks, nil
}

// completeEngines completes the names of engine files.
func completeEngines(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return []string{"yaml", "yml"}, cobra.ShellCompDirectiveFilterFileExt
}
