package main

import (
	"path/filepath"
	"strings"

	"crankwright/analysis"
	"crankwright/report"
	"crankwright/server"
	"crankwright/web"

	"github.com/spf13/cobra"
)

func (a *app) reportVerb() *cobra.Command {
	var speed, out, format string
	var strict bool
	c := &cobra.Command{
		Use:   "report FILE...",
		Short: "write a report of engines as one self-contained page",
		Long: `Report writes everything that is known of any number of engines into one file that needs nothing else: the
line-up in motion, all figures side by side, a sheet for each engine with the reasons, and appendices with the
estimates, the published checks, the sources, the engine files in full, versions and cautions.

The ending of the output file chooses the format; with - the report goes to standard output, and --format
chooses. The same files give the same bytes. Formats: .html.`,
		Example: `  crankwright report examples/vee-six-60.engine.yaml -o vee-six.html
  crankwright report examples/*.engine.yaml -o line-up.html
  crankwright report a.engine.yaml b.engine.yaml --speed '5000 rpm' -o at-5000.html
  crankwright report engine.yaml --output - --format html | less`,
		Args:              someFiles,
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			write, err := reportFormat(out, format)
			if err != nil {
				return err
			}
			ω, err := speedOf(speed)
			if err != nil {
				return err
			}
			rep, err := a.collect(args, strict, analysis.Options{Speed: ω, Drive: true, Space: true, Parts: true, Lasting: true})
			if err != nil {
				return err
			}
			data, err := write(rep)
			if err != nil {
				return err
			}
			return a.save(out, data)
		}),
	}
	f := c.Flags()
	f.StringVarP(&out, "output", "o", "", "write to this .html file; - is standard output")
	f.StringVar(&format, "format", "", "html, where the output file has no ending that says so")
	f.StringVar(&speed, "speed", "", "one crank speed for all, such as '6000 rpm' (default: each engine's rated speed)")
	f.BoolVar(&strict, "strict", false, "estimate nothing: what a file leaves out is an error")
	return c
}

// reportWriter turns a report into the bytes of a file.
type reportWriter func(report.Report) ([]byte, error)

// reportFormat chooses the format by --format, else by the ending of the file.
func reportFormat(path, format string) (reportWriter, error) {
	const possible = "a report can be written as .html"
	if path == "" {
		return nil, usagef("give the file to write with --output (-o), such as -o report.html; - is standard output")
	}
	kind := strings.ToLower(format)
	if kind == "" {
		kind = strings.TrimPrefix(strings.ToLower(filepath.Ext(path)), ".")
	}
	switch {
	case kind == "html", kind == "htm":
		return report.Report.HTML, nil
	case format != "":
		return nil, usagef("--format: there is no format %q; %s", format, possible)
	case path == "-":
		return nil, usagef("--output - needs --format, such as --format html; %s", possible)
	default:
		return nil, usagef("%s: %s", path, possible)
	}
}

// collect reads and analyses the engines of a report and adds what it shows beside them.
func (a *app) collect(files []string, strict bool, opt analysis.Options) (report.Report, error) {
	rep := report.Report{Player: server.Player(web.Dist()), Version: version()}
	var err error
	rep.Results, err = a.each(files, strict, opt, func(e engine) {
		rep.Inputs = append(rep.Inputs, report.Input{Name: filepath.Base(e.file), Text: e.src.Whole()})
	})
	if err != nil {
		return rep, err
	}
	rep.Checks = report.VerifyAll()
	return rep, nil
}
