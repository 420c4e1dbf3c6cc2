package report

import (
	"strings"

	"crankwright/search"
)

// StudyKeptDoc is candidates that were written as engine files: what the verb study keep prints with --json.
type StudyKeptDoc struct {
	Base       string            `json:"base" jsonschema_description:"engine file that the study varies"`
	Candidates []StudyKeptOneDoc `json:"candidates" jsonschema_description:"one by one"`
}

// StudyKeptOneDoc is a candidate that was written as an engine file.
type StudyKeptOneDoc struct {
	Number   uint64            `json:"candidate_1" jsonschema_description:"its number"`
	Name     string            `json:"name" jsonschema_description:"of the engine that it is"`
	File     string            `json:"file" jsonschema_description:"of the engine that it is"`
	Settings []StudySettingDoc `json:"settings" jsonschema_description:"what it sets in the base, with what was designed for it"`
	Left     string            `json:"left_out,omitempty" jsonschema_description:"by which rule the study leaves it out"`
}

// NewStudyKeptOneDoc describes a candidate; left is the rule that leaves it out, if one does.
func NewStudyKeptOneDoc(c *search.Candidate, file, left string) StudyKeptOneDoc {
	return StudyKeptOneDoc{c.Index, c.Name, file, settingDocs(c.Settings), left}
}

// StudyKeptText says as text for a terminal what candidates set in the base.
func StudyKeptText(d *StudyKeptDoc, screen Screen) string {
	s := &sheet{Screen: screen}
	for i, c := range d.Candidates {
		if i > 0 {
			s.blank()
		}
		s.lead(c.Name)
		s.paragraph("", d.Base+" with")
		s.settings(c.Settings)
		if c.Left != "" {
			s.paragraph("", "The study leaves it out: "+c.Left+".")
		}
	}
	return s.String()
}

// settings writes keys and their values.
func (s *sheet) settings(settings []StudySettingDoc) {
	var list []entry
	for _, set := range settings {
		list = append(list, entry{set.Key, strings.Join(strings.Fields(set.Text), " ")})
	}
	s.entries(list)
}
