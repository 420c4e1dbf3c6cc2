package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"crankwright/num"
)

// evidenceSection shows how the program stands against values of others. There are too many to print them all:
// it counts them by chapter and source with the largest gap of each, and shows every printed value that is wrong.
func evidenceSection(rep *Report) *pageSection {
	v := rep.Checks
	if v == nil {
		return nil
	}
	s := &pageSection{
		ID: "evidence", Title: "Evidence: published checks",
		Lead: "The program computes these values, and others have printed, derived or computed them. No expected value comes from the program itself. " +
			"A check holds where the gap is within half a unit of the last printed digit, or within a tolerance whose reason is on record.",
		Facts: []pageFact{
			{"Checks", plain(float64(v.Checks))},
			{"Agree", plain(float64(v.Agree))},
			{"Agree with a corrected value", plain(float64(v.Explained))},
			{"Differ", plain(float64(v.Fail))},
		},
		Lines: []string{
			"The command crankwright verify lists every check, crankwright verify --chapter firing those of one chapter.",
			"The largest gap of a row is that of the check that uses most of its tolerance.",
		},
	}
	if t := wrongTable("differing", "Values of ours that differ", v.List, func(c VerifiedItem) bool { return !c.OK }); t != nil {
		s.Parts = append(s.Parts, pageSection{
			ID: "evidence-differing", Title: "Differing values", Tables: []plainTable{*t},
			Lead: "Here ours is too far from the expected value. Read what rests on these chapters with that in mind.",
		})
	}
	if t := wrongTable("corrected", "Printed values that are wrong", v.List, func(c VerifiedItem) bool { return c.OK && c.Disagrees != "" }); t != nil {
		s.Parts = append(s.Parts, pageSection{
			ID: "evidence-corrected", Title: "Corrected values", Tables: []plainTable{*t},
			Lead: "These printed values are wrong; ours agrees with the value computed again from the source’s own data.",
		})
	}
	var chapters []string
	for _, c := range v.List {
		if !slices.Contains(chapters, c.Chapter) {
			chapters = append(chapters, c.Chapter)
		}
	}
	for _, chapter := range chapters {
		s.Parts = append(s.Parts, chapterEvidence(chapter, v.List))
	}
	return s
}

// chapterEvidence counts the checks of one chapter by source.
func chapterEvidence(chapter string, list []VerifiedItem) pageSection {
	t := plainTable{
		ID: "evidence-" + chapter + "-table",
		Head: []plainHead{
			{Text: "Source"},
			{Text: "Kind"},
			{Text: "Checks", Number: true},
			{Text: "Agree", Number: true},
			{Text: "Largest gap", Wide: true},
			{Text: "Expected", Number: true},
			{Text: "Ours", Number: true},
			{Text: "Of tolerance", Number: true},
		},
	}
	type group struct {
		worst     VerifiedItem
		all, good int
		seen      []string
	}
	var keys [][2]string
	groups := map[[2]string]*group{}
	total, agree := 0, 0
	for _, c := range list {
		if c.Chapter != chapter {
			continue
		}
		key := [2]string{c.Source, c.Kind}
		g := groups[key]
		if g == nil {
			g = &group{worst: c}
			groups[key] = g
			keys = append(keys, key)
		}
		if use(c) > use(g.worst) {
			g.worst = c
		}
		if !slices.Contains(g.seen, c.Seen) {
			g.seen = append(g.seen, c.Seen)
		}
		g.all, total = g.all+1, total+1
		if c.OK {
			g.good, agree = g.good+1, agree+1
		}
	}
	for _, key := range keys {
		g := groups[key]
		t.Rows = append(t.Rows, []string{
			key[0], key[1] + " (" + strings.Join(g.seen, ", ") + ")", plain(float64(g.all)), plain(float64(g.good)), g.worst.What,
			withUnit(g.worst.Want, g.worst.Unit), oursShown(g.worst), percentOf(use(g.worst)),
		})
	}
	t.Caption = fmt.Sprintf("Chapter %s: %s, %s agree", chapter, counted(total, "check", "checks"), plain(float64(agree)))
	if agree == total {
		t.Caption = fmt.Sprintf("Chapter %s: %s, all agree", chapter, counted(total, "check", "checks"))
	}
	return pageSection{ID: "evidence-" + chapter, Title: num.Capital(chapter), Tables: []plainTable{t}}
}

// use is how much of its tolerance a check uses [1].
func use(c VerifiedItem) float64 {
	switch {
	case c.Error != "":
		return math.Inf(1)
	case c.Tolerance > 0:
		return math.Abs(c.Gap) / c.Tolerance
	case c.Gap != 0:
		return math.Inf(1)
	}
	return 0
}

// oursShown writes our value, without what is nothing beside the tolerance.
func oursShown(c VerifiedItem) string {
	if math.Abs(c.Ours) < 1e-3*c.Tolerance {
		return withUnit(0, c.Unit)
	}
	return withUnit(c.Ours, c.Unit)
}

// percentOf writes a share of a tolerance.
func percentOf(v float64) string {
	switch {
	case math.IsInf(v, 0):
		return "beyond"
	case v < 0.01:
		return "<\u202f1\u00a0%"
	}
	return fmt.Sprintf("%.0f\u00a0%%", 100*v)
}

// wrongTable lists the checks that need a reason; nil where there is none.
func wrongTable(id, caption string, list []VerifiedItem, which func(VerifiedItem) bool) *plainTable {
	t := &plainTable{
		ID: "evidence-" + id + "-table", Caption: caption,
		Head: []plainHead{{Text: "What", Wide: true}, {Text: "Source, place", Wide: true}, {Text: "Printed", Number: true}, {Text: "Expected", Number: true}, {Text: "Ours", Number: true}, {Text: "Why", Wide: true}},
	}
	for _, c := range list {
		if !which(c) {
			continue
		}
		place, why, ours := c.Source, c.Disagrees, oursShown(c)
		if c.Place != "" {
			place += ", " + c.Place
		}
		if c.Error != "" {
			why, ours = c.Error, "–"
		}
		if c.Error == "" && !c.OK {
			why = oursIsOff(c)
		}
		t.Rows = append(t.Rows, []string{c.What, place, signed(c.Printed), withUnit(c.Want, c.Unit), ours, why})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return t
}
