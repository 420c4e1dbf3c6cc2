package report

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"html/template"

	"crankwright/analysis"
)

// ErrNoEngine says that a page was asked for without any engine.
var ErrNoEngine = errors.New("a page needs at least one engine")

//go:embed page.gohtml
var pageMarkup string

//go:embed section.gohtml
var sectionMarkup string

//go:embed page.css
var pageStyle string

// CompareHTML returns one self-contained page that sets engines side by side and then shows each of
// them: figures, explanations, orders and estimates.
//
//   - rs: results of analysis.Run, in the sequence in which the page shows them; at least one
//
// The page carries its style and its figures, runs no script, and a content security policy inside
// forbids every request. The same results give the same bytes. Errors: ErrNoEngine.
func CompareHTML(rs []*analysis.Result) ([]byte, error) {
	if err := complete(rs); err != nil {
		return nil, err
	}
	return newPage(rs).html()
}

// complete tells whether there is something to show, and all of it.
func complete(rs []*analysis.Result) error {
	if len(rs) == 0 {
		return ErrNoEngine
	}
	for i, r := range rs {
		if r == nil || r.Train == nil {
			return fmt.Errorf("engine %d of %d: there is no result", i+1, len(rs))
		}
	}
	return nil
}

// html writes the page.
func (p page) html() ([]byte, error) {
	t, err := template.New("page").Parse(pageMarkup + sectionMarkup)
	if err != nil {
		return nil, fmt.Errorf("page template: %w", err)
	}
	var b bytes.Buffer
	if err := t.Execute(&b, p); err != nil {
		return nil, fmt.Errorf("page: %w", err)
	}
	return b.Bytes(), nil
}
