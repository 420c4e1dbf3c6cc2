package report

import (
	"html/template"
	"strings"

	"crankwright/analysis"
)

// Report is everything that a report is made of.
type Report struct {
	Results []*analysis.Result // of analysis.Run, in the sequence in which the report shows them; at least one
	Inputs  []Input            // the files that they come from, in full; none: the report does not show them
	Player  string             // the script that moves the line-up, as package web builds it; empty: it stands still
	Version string             // of the program
	Checks  *Verification      // the published checks; nil: the report has no evidence
	Choice  *ChoiceDoc         // the choice among the engines; nil: the report only compares
	Study   *StudyDoc          // what a search found; nil: there was none
}

// complete tells whether there is something to show, and all of it.
func (rep Report) complete() error {
	if rep.Study != nil && len(rep.Results) == 0 {
		return nil
	}
	return complete(rep.Results)
}

// Input is a file that went into a report.
type Input struct{ Name, Text string }

// HTML returns the report as one self-contained page: what CompareHTML shows, the line-up in motion, and
// appendices with estimates, evidence, sources, inputs, versions and cautions.
//
// The page fetches nothing. Its content security policy lets one script run, which is named by its hash and
// moves the line-up. The same report gives the same bytes. Errors: ErrNoEngine.
func (rep Report) HTML() ([]byte, error) {
	p, err := rep.page()
	if err != nil {
		return nil, err
	}
	return p.html()
}

// PDF returns a report as pages of A4: what HTML shows, with figures as drawings. The same report gives the
// same bytes. Errors: ErrNoEngine.
func (rep Report) PDF() ([]byte, error) {
	p, err := rep.page()
	if err != nil {
		return nil, err
	}
	return pdfOf(p)
}

// Markdown returns a report as Markdown, figures told in words. The same report gives the same bytes. Errors:
// ErrNoEngine.
func (rep Report) Markdown() ([]byte, error) {
	p, err := rep.page()
	if err != nil {
		return nil, err
	}
	return markdownOf(p), nil
}

// CSV returns the numbers of a report, a line an engine: the choice where there is a brief, the front of a study where there
// are no engines, the figures of CSV otherwise. Errors: ErrNoEngine.
func (rep Report) CSV() ([]byte, error) {
	if err := rep.complete(); err != nil {
		return nil, err
	}
	if rep.Choice != nil {
		return ChoiceCSV(rep.Choice)
	}
	if len(rep.Results) == 0 {
		return StudyCSV(rep.Study)
	}
	return CSV(rep.Results)
}

// page is the content of a report in all its faces.
func (rep Report) page() (page, error) {
	if err := rep.complete(); err != nil {
		return page{}, err
	}
	p := page{Caution: Caution, Style: template.CSS(pageTheme() + pageStyle)} // our own style sheet
	if len(rep.Results) > 0 {
		p = newPage(rep.Results)
	}
	p.Kind = "Report"
	if rep.Study != nil {
		p.Title = rep.Study.Study.Name
		p.Lead = strings.TrimSpace(studyLead(rep.Study) + " " + p.Lead)
	}
	if rep.Choice != nil {
		p.Title, p.Lead = rep.Choice.Brief.Name, "Which of "+counted(len(rep.Results), "engine", "engines")+" is best for this brief, how firmly, and why. "+p.Lead
	}
	p.Front = frontSections(&rep)
	p.Back = backSections(&rep)
	for i := range p.Engines { // an appendix has it of all engines together
		e := &p.Engines[i]
		if e.Drive != nil {
			e.Drive.Assumed = nil
		}
		for _, c := range e.Chapters {
			c.Assumed = nil
		}
		e.Chapters = append(whatCouldBe(e.ID, rep.Results[i]), e.Chapters...)
	}
	if len(rep.Results) == 0 {
		return p, nil
	}
	var err error
	p.Live, err = newLive(&rep)
	return p, err
}

// frontSections are what a reader wants first: brief, verdict and choice; what a search found.
func frontSections(rep *Report) []pageSection {
	return append(choiceSections(rep.Choice), studySections(rep.Study)...)
}

// backSections are the appendices, with their letters.
func backSections(rep *Report) []pageSection {
	var out []pageSection
	for _, section := range []func(*Report) *pageSection{
		estimatesSection, evidenceSection, sourcesSection, inputsSection, versionsSection, cautionsSection,
	} {
		if s := section(rep); s != nil {
			s.Letter = string(rune('A' + len(out)))
			out = append(out, *s)
		}
	}
	return out
}
