package server

import (
	"context"
	"io/fs"

	"crankwright/report"
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

func (s *Server) report(_ context.Context, in *struct {
	SeveralParams
	Format   string `query:"format" enum:"html" default:"html"`
	Download bool   `query:"download" doc:"as a file to be saved"`
},
) (*reportAnswer, error) {
	c, err := s.severalWith(in.SeveralParams, in.whole())
	if err != nil {
		return nil, err
	}
	if err := c.enough(true); err != nil {
		return nil, err
	}
	rep := report.Report{Results: c.results, Player: Player(s.cfg.Front), Version: s.cfg.Version, Checks: s.checks()}
	for i, name := range c.files {
		rep.Inputs = append(rep.Inputs, report.Input{Name: name, Text: c.texts[i]})
	}
	data, err := rep.HTML()
	return &reportAnswer{
		ContentType: "text/html; charset=utf-8", Policy: reportPolicy,
		Disposition: disposition(in.Download, c.fileName("report")+"."+in.Format), Body: data,
	}, err
}

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
