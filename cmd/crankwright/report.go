package main

import (
	"context"
	"path/filepath"
	"slices"
	"strings"

	"crankwright/analysis"
	"crankwright/report"
	"crankwright/search"
	"crankwright/server"
	"crankwright/spec"
	"crankwright/web"

	"github.com/spf13/cobra"
)

func (a *app) reportVerb() *cobra.Command {
	var out, format, briefFile, studyFolder string
	var refine []string
	var o chosenBy
	var c *cobra.Command
	c = &cobra.Command{
		Use:   "report FILE...",
		Short: "write a report of engines, with the choice for a brief: a page, a PDF, Markdown or CSV",
		Long: `Report writes everything that is known of any number of engines into one file that needs nothing else: the
line-up in motion, all figures side by side, a sheet for each engine with the reasons, and appendices with the
estimates, the published checks, the sources, the files in full, versions and cautions. With --brief it begins
with the brief, the verdict and how firm it is, as 'crankwright choose' finds them. With --study it has what a
search found: size, certificate, front and figures; engines may then be left out. With --refine candidates of it are moved
between its steps, as 'crankwright study refine' moves them, and the report says what that does.

The ending of the output file chooses the format; with - the report goes to standard output, and --format
chooses. The same files give the same bytes. Formats: .html with the animated line-up, .pdf with figures as
drawings, .md with figures told in words, .csv with the numbers.`,
		Example: `  crankwright report examples/vee-six-60.engine.yaml -o vee-six.html
  crankwright report examples/*.engine.yaml -o line-up.html
  crankwright report --brief examples/pilot-boat.brief.yaml examples/vee-*.engine.yaml -o choice.pdf
  crankwright report --study vees.results -o vees.pdf
  crankwright report --study vees.results --refine 12,7 -o vees.pdf
  crankwright report a.engine.yaml b.engine.yaml --speed '5000 rpm' -o at-5000.html
  crankwright report engine.yaml --output - --format html | less`,
		Args: func(c *cobra.Command, args []string) error {
			if studyFolder != "" && briefFile == "" {
				return nil
			}
			return someFiles(c, args)
		},
		ValidArgsFunction: completeEngines,
		RunE: a.verb(func(args []string) error {
			write, err := reportFormat(out, format)
			if err != nil {
				return err
			}
			if len(refine) > 0 && studyFolder == "" {
				return usagef("--refine needs --study, the folder of results whose candidates are refined")
			}
			if err := needs(c, "brief", "certain", "draws", "seed"); err != nil {
				return err
			}
			rep, err := a.collect(args, briefFile, o)
			if err != nil {
				return err
			}
			if studyFolder != "" {
				if err := a.collectStudy(&rep, studyFolder, refine); err != nil {
					return err
				}
			}
			if write.words {
				rep.Checks = report.VerifyAll()
			}
			data, err := write.report(rep)
			if err != nil {
				return err
			}
			return a.save(out, data)
		}),
	}
	f := c.Flags()
	f.StringVarP(&out, "output", "o", "", "write to this .html, .pdf, .md or .csv file; - is standard output")
	f.StringVar(&format, "format", "", "html, pdf, md or csv, where the ending of the output file does not say so")
	f.StringVar(&briefFile, "brief", "", "choose among the engines for this brief, such as boat.brief.yaml")
	f.StringVar(&studyFolder, "study", "", "add what a search found: a folder of results, such as vees.results")
	f.StringSliceVar(&refine, "refine", nil, "numbers of candidates of the study to refine between its steps, such as 12,7")
	o.flags(c)
	return c
}

// reportWriter turns a report into the bytes of a file.
type reportWriter struct {
	report func(report.Report) ([]byte, error)
	words  bool // it holds the evidence too; otherwise figures alone
}

// reportKind returns the format that an ending or a word names; another stays.
func reportKind(name string) string {
	switch name = strings.ToLower(name); name {
	case "htm":
		return "html"
	case "markdown":
		return "md"
	}
	return name
}

// reportFormat chooses the format by the ending of the file, else by --format. It refuses two that differ.
func reportFormat(path, format string) (reportWriter, error) {
	var none reportWriter
	const possible = "a report can be written as .html, .pdf, .md or .csv"
	if path == "" {
		return none, usagef("give the file to write with --output (-o), such as -o report.html; - is standard output")
	}
	kinds := map[string]reportWriter{
		"html": {report.Report.HTML, true}, "pdf": {report.Report.PDF, true}, "md": {report.Report.Markdown, true}, "csv": {report.Report.CSV, false},
	}
	ending, asked := reportKind(strings.TrimPrefix(filepath.Ext(path), ".")), reportKind(format)
	byEnding, says := kinds[ending]
	byFormat, known := kinds[asked]
	switch {
	case says && known && asked != ending:
		return none, usagef("--format %s contradicts the ending of %s; leave --format out, or give the file the ending .%s", format, path, asked)
	case known:
		return byFormat, nil
	case says && format == "":
		return byEnding, nil
	case format != "":
		return none, usagef("--format: there is no format %q; %s", format, possible)
	case path == "-":
		return none, usagef("--output - needs --format, such as --format html; %s", possible)
	default:
		return none, usagef("%s: %s", path, possible)
	}
}

// collect reads and analyses the engines of a report, chooses among them where there is a brief, and adds what the report
// shows beside them.
func (a *app) collect(files []string, briefFile string, o chosenBy) (report.Report, error) {
	rep := report.Report{Player: server.Player(web.Dist()), Version: version()}
	opt := analysis.Options{Drive: true, Space: true, Parts: true, Lasting: true}
	if briefFile != "" {
		if err := a.collectChoice(&rep, files, briefFile, o, opt); err != nil {
			return rep, err
		}
	} else {
		var err error
		if opt.Speed, err = speedOf(o.speed); err != nil {
			return rep, err
		}
		if opt.Prices, err = prices(o.prices); err != nil {
			return rep, err
		}
		if o.prices != "" {
			text, err := spec.ReadWhole(o.prices)
			if err != nil {
				return rep, inputError{err}
			}
			rep.Inputs = append(rep.Inputs, report.Input{Name: filepath.Base(o.prices), Text: string(text)})
		}
		rep.Results, err = a.each(files, o.strict, opt, func(e engine) {
			rep.Inputs = append(rep.Inputs, report.Input{Name: filepath.Base(e.file), Text: e.src.Whole()})
		})
		if err != nil {
			return rep, err
		}
	}
	return rep, nil
}

// collectChoice adds the choice among the engines.
func (a *app) collectChoice(rep *report.Report, files []string, briefFile string, o chosenBy, opt analysis.Options) error {
	b, asFiles, err := a.brief(briefFile, o.prices)
	if err != nil {
		return err
	}
	c, err := a.choice(b, files, o, opt)
	if err != nil {
		return err
	}
	rep.Choice = report.NewChoiceDoc(c, o.seed)
	rep.Inputs = asFiles
	for _, e := range c.Entrants {
		rep.Results = append(rep.Results, e.Result)
		rep.Inputs = append(rep.Inputs, report.Input{Name: filepath.Base(e.File), Text: e.Text})
	}
	return nil
}

// mostPictured is how many candidates the figures of a search are drawn from.
const mostPictured = 200_000

// collectStudy adds what a search found, with its files, and some of its candidates refined.
func (a *app) collectStudy(rep *report.Report, dir string, refine []string) error {
	numbers, err := numbersOf(refine)
	if err != nil {
		return err
	}
	f, p, err := a.openResults(dir)
	if err != nil {
		return err
	}
	d, err := foundDoc(f, p, filepath.Base(dir))
	if err != nil {
		return err
	}
	var keys []string
	for _, aim := range d.Study.Aims {
		keys = append(keys, aim.Key)
	}
	cloud, err := f.Columns(context.Background(), keys, mostPictured)
	if err != nil {
		return inputError{err}
	}
	d.Cloud = &report.StudyCloud{Index: cloud.Index}
	for _, c := range cloud.Columns {
		d.Cloud.Values = append(d.Cloud.Values, c.Values)
	}
	o, _, err := f.Outcome()
	if err != nil {
		return inputError{err}
	}
	for _, n := range numbers {
		r, err := a.refine(p, dir, n, search.RefineOptions{Front: o.Front})
		if err != nil {
			return err
		}
		d.Refined = append(d.Refined, report.NewStudyRefinedDoc(p, r))
	}
	rep.Study = d
	var files []report.Input
	for _, name := range []string{d.Study.File, d.Study.Base, d.Study.Brief} {
		if text, ok := p.Bundle().Files[name]; ok && !slices.ContainsFunc(rep.Inputs, func(in report.Input) bool { return in.Name == name && in.Text == string(text) }) {
			files = append(files, report.Input{Name: name, Text: string(text)})
		}
	}
	rep.Inputs = append(files, rep.Inputs...)
	return nil
}
