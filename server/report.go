package server

import (
	"context"
	"io/fs"
	"net/http"
	"strings"

	"crankwright/report"
	"crankwright/spec"
)

// reportPolicy lets a report that is opened here run its own script, away from the workbench and its API. The
// policy inside the report names that script.
const reportPolicy = "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data:; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox allow-scripts"

// reportAnswer is a report, which may be opened or saved.
type reportAnswer struct {
	ContentType string `header:"Content-Type"`
	Disposition string `header:"Content-Disposition"`
	Policy      string `header:"Content-Security-Policy"`
	Body        []byte
}

// ReportParams choose what a report is of, and how it is written.
type ReportParams struct {
	SeveralParams
	Brief     string `query:"brief" maxLength:"250" doc:"brief in the folder: the report begins with the choice for it"`
	Estimates string `query:"estimates" enum:"certain,known,full" default:"known" doc:"of the choice, as in /api/choice"`
	Seed      uint64 `query:"seed" doc:"of the choice; 0: 1"`
	Format    string `query:"format" enum:"html,pdf,md,csv" default:"html"`
	Download  bool   `query:"download" doc:"as a file to be saved"`
}

func (s *Server) report(ctx context.Context, in *ReportParams) (*reportAnswer, error) {
	rep := report.Report{Player: Player(s.cfg.Front), Version: s.cfg.Version, Checks: s.checks()}
	name := "report"
	if in.Brief != "" {
		if err := s.reportChoice(ctx, in, &rep); err != nil {
			return nil, err
		}
		name = strings.TrimSuffix(in.Brief, spec.BriefSuffix) + "-report"
	} else {
		c, err := s.severalWith(in.SeveralParams, in.whole())
		if err != nil {
			return nil, err
		}
		if err := c.enough(true); err != nil {
			return nil, err
		}
		rep.Results, name = c.results, c.fileName(name)
		for i, file := range c.files {
			rep.Inputs = append(rep.Inputs, report.Input{Name: file, Text: c.texts[i]})
		}
	}
	written := map[string]struct {
		write func(report.Report) ([]byte, error)
		kind  string
	}{
		"html": {report.Report.HTML, "text/html; charset=utf-8"},
		"pdf":  {report.Report.PDF, "application/pdf"},
		"md":   {report.Report.Markdown, "text/markdown; charset=utf-8"},
		"csv":  {report.Report.CSV, "text/csv; charset=utf-8; header=present"},
	}[in.Format]
	data, err := written.write(rep)
	return &reportAnswer{ContentType: written.kind, Policy: reportPolicy, Disposition: disposition(in.Download, name+"."+in.Format), Body: data}, err
}

// reportChoice fills in the engines of a report with the choice among them.
func (s *Server) reportChoice(ctx context.Context, in *ReportParams, rep *report.Report) error {
	on, err := s.folder.brief(in.Brief)
	switch {
	case err != nil:
		return err
	case in.LoadPercent != 100:
		return badField("query.load_percent", "a choice is made at full load; leave it out, or the brief")
	}
	r := ChoiceRequest{Brief: BriefDraft{File: in.Brief}, SpeedRPM: in.SpeedRPM, Estimates: in.Estimates, Seed: in.Seed, Draws: reportDraws}
	if in.Files != "" {
		r.Files = splitFiles(in.Files)
	}
	a, c, err := s.chooseFor(ctx, r, in.whole())
	switch {
	case err != nil:
		return err
	case a.Choice == nil:
		return failure(http.StatusUnprocessableEntity, a.NoWhy)
	}
	rep.Choice = a.Choice
	rep.Inputs = []report.Input{{Name: in.Brief, Text: string(on.data)}}
	if table := c.Brief.PricesFile; table != "" {
		data, err := s.folder.named(table)
		if err != nil {
			return failure(http.StatusUnprocessableEntity, "the price table "+table+" cannot be read any more")
		}
		rep.Inputs = append(rep.Inputs, report.Input{Name: table, Text: string(data)})
	}
	for _, e := range c.Entrants {
		rep.Results = append(rep.Results, e.Result)
		rep.Inputs = append(rep.Inputs, report.Input{Name: e.File, Text: e.Text})
	}
	return nil
}

const reportDraws = 100_000 // as the command draws

// Player returns the script of a built front end that moves a line-up in a page of its own; empty where the front end
// is not built.
func Player(front fs.FS) string {
	if front == nil {
		return ""
	}
	data, err := fs.ReadFile(front, "offline/player.js")
	if err != nil {
		return ""
	}
	return string(data)
}
