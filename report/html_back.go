package report

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"crankwright/analysis"
	"crankwright/docs"
)

// estimateGroup is what files leave out of one subject, by engine.
type estimateGroup struct {
	ID, Title, Lead string
	Of              func(*analysis.Result) []EstimateDoc
}

// estimateGroups are the subjects of which values are estimated.
func estimateGroups() []estimateGroup {
	return []estimateGroup{
		{
			"estimates-train", "Crank train", "Balance and firing rest on these.",
			func(r *analysis.Result) []EstimateDoc { return EstimateDocs(r.Train.Estimates) },
		},
		{
			"estimates-drive", "Gas, torque, bearings and shaft", "What engines of the kind commonly have. No balance or firing result depends on them.",
			func(r *analysis.Result) []EstimateDoc {
				if r.Drive == nil {
					return nil
				}
				return assumedOfDrive(r)
			},
		},
		{
			"estimates-block", "Block and masses", "Room, mass and centre of gravity rest on these.",
			func(r *analysis.Result) []EstimateDoc {
				if r.Space == nil {
					return nil
				}
				return assumedIn(r, "block")
			},
		},
		{
			"estimates-mounts", "Mass and mounts", "What the engine does on its mounts rests on these.",
			func(r *analysis.Result) []EstimateDoc {
				if r.Mounts == nil {
					return nil
				}
				return EstimateDocs(r.Mounts.Assumed)
			},
		},
		{
			"estimates-making", "Making", "Parts, cost and service rest on these.",
			func(r *analysis.Result) []EstimateDoc {
				if r.Parts == nil {
					return nil
				}
				return assumedIn(r, "making")
			},
		},
	}
}

// estimatesSection lists in one place what the files leave out.
func estimatesSection(rep *Report) *pageSection {
	s := &pageSection{ID: "estimates", Title: "Estimates"}
	if len(rep.Results) == 0 {
		return nil
	}
	total, one := 0, len(rep.Results) == 1
	for _, g := range estimateGroups() {
		lists := make([][]EstimateDoc, len(rep.Results))
		n := 0
		for i, r := range rep.Results {
			lists[i] = g.Of(r)
			n += len(lists[i])
		}
		if n == 0 {
			continue
		}
		total += n
		t := plainTable{ID: g.ID + "-table", Caption: g.Title + ": " + counted(n, "value", "values") + " that the files leave out", Rows: mergeEstimates(lists)}
		t.Head = []plainHead{{Text: "Key"}, {Text: "Value"}, {Text: "Engines"}, {Text: "Rule", Wide: true}, {Text: "Source"}}
		if one {
			t.Caption = g.Title + ": " + counted(n, "value", "values") + " that the file leaves out"
			t.Head = slices.Delete(t.Head, 2, 3)
			for i := range t.Rows {
				t.Rows[i] = slices.Delete(t.Rows[i], 2, 3)
			}
		}
		s.Parts = append(s.Parts, pageSection{ID: g.ID, Title: g.Title, Lead: g.Lead, Tables: []plainTable{t}})
	}
	if total == 0 {
		s.Lead = "Nothing was estimated: the files give every value."
		return s
	}
	s.Lead = counted(total, "value was", "values were") + " not in the files. Each follows from a rule; give the ones that matter in the file, and the rest follow them. The appendix of sources gives each source in full."
	if !one {
		s.Lead += " Engines are named by their numbers."
	}
	return s
}

// mergeEstimates makes a row of each key and rule: key, values, engines, rule, source. Where engines differ the
// value names those that have it.
func mergeEstimates(lists [][]EstimateDoc) [][]string {
	type row struct {
		first   EstimateDoc
		values  []string
		engines map[string][]int // by value
	}
	var keys []string
	var rows []*row
	for i, list := range lists {
		for _, e := range list {
			if !slices.Contains(keys, e.Key) {
				keys = append(keys, e.Key)
			}
			at := slices.IndexFunc(rows, func(r *row) bool {
				return r.first.Key == e.Key && r.first.Rule == e.Rule && r.first.Source == e.Source
			})
			if at < 0 {
				at = len(rows)
				rows = append(rows, &row{first: e, engines: map[string][]int{}})
			}
			r := rows[at]
			if r.engines[e.Shown] == nil {
				r.values = append(r.values, e.Shown)
			}
			r.engines[e.Shown] = append(r.engines[e.Shown], i+1)
		}
	}
	slices.SortStableFunc(rows, func(a, b *row) int {
		return slices.Index(keys, a.first.Key) - slices.Index(keys, b.first.Key)
	})
	var out [][]string
	for _, r := range rows {
		var values []string
		var all []int
		for _, v := range r.values {
			all = append(all, r.engines[v]...)
			text := strings.ReplaceAll(v, " ", "\u00a0")
			if len(r.values) > 1 {
				text += " (" + ranges(r.engines[v]) + ")"
			}
			values = append(values, text)
		}
		engines := ranges(all)
		if len(all) == len(lists) {
			engines = "all"
		}
		out = append(out, []string{r.first.Key, strings.Join(values, ", "), engines, r.first.Rule, r.first.Source})
	}
	return out
}

// ranges writes numbers with dashes for those in succession: 1, 3–5.
func ranges(list []int) string {
	list = slices.Compact(slices.Sorted(slices.Values(list)))
	var out []string
	for i := 0; i < len(list); {
		j := i
		for j+1 < len(list) && list[j+1] == list[j]+1 {
			j++
		}
		switch j - i {
		case 0:
			out = append(out, strconv.Itoa(list[i]))
		case 1:
			out = append(out, strconv.Itoa(list[i]), strconv.Itoa(list[j]))
		default:
			out = append(out, strconv.Itoa(list[i])+"–"+strconv.Itoa(list[j]))
		}
		i = j + 1
	}
	return strings.Join(out, ", ")
}

// sourcesSection gives in full what estimates and checks name by a key.
func sourcesSection(rep *Report) *pageSection {
	var keys []string
	for _, r := range rep.Results {
		for _, g := range estimateGroups() {
			for _, e := range g.Of(r) {
				keys = append(keys, e.Source)
			}
		}
	}
	if rep.Checks != nil {
		for _, c := range rep.Checks.List {
			keys = append(keys, c.Source)
		}
	}
	t := plainTable{
		ID: "sources-table", Caption: "Sources by key",
		Head: []plainHead{{Text: "Key"}, {Text: "Reference", Wide: true}, {Text: "Seen"}, {Text: "Where, and how far", Wide: true}},
	}
	for _, s := range docs.Cited(keys) {
		t.Rows = append(t.Rows, []string{s.Key, s.Cite(), s.Kind, s.Note})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return &pageSection{
		ID: "sources", Title: "Sources",
		Lead:   "What the estimates of this report and the published checks come from, and how far each source was seen: read, known from memory and not looked up, or common practice without one printed source.",
		Tables: []plainTable{t},
	}
}

// inputsSection shows the files in full.
func inputsSection(rep *Report) *pageSection {
	if len(rep.Inputs) == 0 {
		return nil
	}
	s := &pageSection{
		ID: "inputs", Title: "Inputs in full",
		Lead: "The files as they were read. Saved under their names they give this report again.",
	}
	for i, r := range rep.Results {
		if trace := r.Train.Gas.Trace; trace != "" {
			s.Lines = append(s.Lines, fmt.Sprintf("Engine %d, %s: the measured pressure comes from the file %s, which is not printed here.", i+1, r.Train.Name, trace))
		}
	}
	for _, in := range rep.Inputs {
		s.Listings = append(s.Listings, pageListing(in))
	}
	return s
}

// versionsSection says what made the report, so that it can be made again.
func versionsSection(rep *Report) *pageSection {
	if rep.Version == "" && len(rep.Inputs) == 0 {
		return nil
	}
	s := &pageSection{
		ID: "versions", Title: "Versions",
		Lead: "The same files and the same version of the program give this report again, byte for byte; it therefore carries no date.",
	}
	if rep.Version != "" {
		s.Facts = append(s.Facts, pageFact{"Program", "Crankwright " + rep.Version})
	}
	if rep.Checks != nil {
		s.Facts = append(s.Facts, pageFact{"Published checks", plain(float64(rep.Checks.Checks))})
	}
	if rep.Player != "" && len(rep.Results) > 0 {
		s.Facts = append(s.Facts, pageFact{"Player of the line-up, SHA-256", fingerprint(rep.Player)})
	}
	if len(rep.Inputs) == 0 {
		return s
	}
	t := plainTable{
		ID: "versions-table", Caption: "Fingerprints of the files",
		Head: []plainHead{{Text: "File"}, {Text: "Bytes", Number: true}, {Text: "SHA-256"}},
	}
	for _, in := range rep.Inputs {
		t.Rows = append(t.Rows, []string{in.Name, plain(float64(len(in.Text))), fingerprint(in.Text)})
	}
	s.Tables = []plainTable{t}
	return s
}

func fingerprint(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}

// cautionsSection says what the report is not, and what it does not know.
func cautionsSection(rep *Report) *pageSection {
	s := &pageSection{ID: "cautions", Title: "Cautions", Lines: []string{Caution}}
	if slices.ContainsFunc(rep.Results, func(r *analysis.Result) bool { return len(r.Train.Mounting.Receivers) > 0 }) {
		s.Lines = append(s.Lines, personCaution)
	}
	known := pageSection{ID: "known", Title: "What is estimated, and what is not known"}
	for i, r := range rep.Results {
		add := func(text string) {
			known.Lines = append(known.Lines, fmt.Sprintf("Engine %d, %s: %s.", i+1, r.Train.Name, strings.TrimSuffix(text, ".")))
		}
		if n := len(r.Train.Estimates); n > 0 {
			add(counted(n, "value", "values") + " of the crank train are estimated, not given")
		}
		for _, gap := range gapsOf(r) {
			add(gap)
		}
	}
	if len(known.Lines) > 0 {
		s.Parts = []pageSection{known}
	}
	return s
}

// gapsOf says what could not be computed, and why.
func gapsOf(r *analysis.Result) []string {
	var out []string
	add := func(what, why string) {
		if why != "" {
			out = append(out, what+" not known: "+why)
		}
	}
	add("gas and torque", r.NoDrive)
	if l := r.Lasting; l != nil {
		add("bearings", l.NoBearings)
		add("torsion", l.NoTorsion)
		add("strength", l.NoStrength)
	}
	add("mounts", r.NoMounts)
	add("room and mass", r.NoSpace)
	add("parts", r.NoParts)
	if r.Parts != nil {
		add("cost", r.Parts.NoCost)
	}
	return out
}
