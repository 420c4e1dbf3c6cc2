package report

import (
	"fmt"
	"strings"
)

// studyRefinedSection has the candidates of a search that were refined.
func studyRefinedSection(list []*StudyRefinedDoc) pageSection {
	s := pageSection{
		ID: "study-refined", Title: "Refined between the steps",
		Lead: "Candidates moved between the steps of the study, from each on: what varies may take any value between its least and its largest, so that some aim gets better, none gets worse, and everything required is kept. Every step is the whole analysis of an engine.",
	}
	for _, d := range list {
		s.Parts = append(s.Parts, d.section())
	}
	return s
}

func (d *StudyRefinedDoc) section() pageSection {
	id := fmt.Sprintf("study-refined-%d", d.Number)
	s := pageSection{ID: id, Title: fmt.Sprintf("Candidate %d", d.Number), Lines: []string{d.words()}}
	if !d.Better {
		return s
	}
	moved := plainTable{ID: id + "-moved", Caption: "What moved", Head: []plainHead{{Text: "Input"}, {Text: "Before", Number: true}, {Text: "After", Number: true}, {Text: "Key"}}}
	for _, m := range d.Moved {
		moved.Rows = append(moved.Rows, []string{m.Name, unbrokenShown(movedTo(m.Unit, m.Before)), unbrokenShown(movedTo(m.Unit, m.After)), m.Key})
	}
	does := plainTable{ID: id + "-does", Caption: "What it does", Head: []plainHead{{Text: "Figure"}, {Text: "Before", Number: true}, {Text: "After", Number: true}, {Text: "Wanted"}, {Text: "It is"}}}
	for _, f := range d.Figures {
		before, after := f.shown()
		does.Rows = append(does.Rows, []string{f.Name, unbrokenShown(before), unbrokenShown(after), f.Wanted, f.Change})
	}
	sets := plainTable{ID: id + "-sets", Caption: "What it sets in the base", Head: []plainHead{{Text: "Key"}, {Text: "Value", Wide: true}}}
	for _, set := range d.Settings {
		sets.Rows = append(sets.Rows, []string{set.Key, set.Text})
	}
	s.Tables = []plainTable{moved, does, sets}
	return s
}

// unbrokenShown keeps a value with its unit on one line.
func unbrokenShown(s string) string { return strings.ReplaceAll(s, " ", "\u00a0") }
