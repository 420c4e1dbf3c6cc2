package server

import (
	"cmp"
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strings"

	"crankwright/analysis"
	"crankwright/results"
	"crankwright/search"
	"crankwright/spec"
	"crankwright/study"
)

// resultsFor returns the results of a study, which have to be there.
func (s *Server) resultsFor(file string) (*found, error) {
	if _, err := s.folder.study(file); err != nil {
		return nil, err
	}
	f, err := s.found(file)
	if err != nil {
		return nil, err
	}
	if f.folder == nil {
		return nil, notFound("the study has not been run yet, so there are no candidates")
	}
	return f, nil
}

func (s *Server) studyPoints(ctx context.Context, in *struct {
	StudyParam
	Columns []string `query:"columns" maxItems:"60" doc:"keys; left out: what varies and the aims"`
	Most    int      `query:"most" minimum:"1" maximum:"4000000" default:"1000000" doc:"how many candidates at most; more are left out evenly"`
},
) (*download, error) {
	f, err := s.resultsFor(in.File)
	if err != nil {
		return nil, err
	}
	known := studyColumns(f.folder.Problem())
	keys := in.Columns
	if len(keys) == 0 {
		for _, c := range known {
			if c.Kind == "input" || c.Better != "neither" {
				keys = append(keys, c.Key)
			}
		}
	}
	cloud, err := f.folder.Columns(ctx, keys, in.Most)
	if err != nil {
		return nil, badField("query.columns", s.plainResults(in.File, err))
	}
	head := StudyPointsHead{Kept: cloud.Kept, Count: len(cloud.Index), Columns: []StudyColumn{}}
	for _, c := range cloud.Columns {
		i := slices.IndexFunc(known, func(k StudyColumn) bool { return k.Key == c.Key })
		if i < 0 {
			return nil, badField("query.columns", c.Key+" is no column for pictures")
		}
		k := known[i]
		k.Unit, k.Words, k.Values = c.Unit, c.Texts, len(c.Texts)
		head.Columns = append(head.Columns, k)
	}
	body, err := packPoints(head, cloud)
	if err != nil {
		return nil, err
	}
	return &download{ContentType: "application/octet-stream", Body: body}, nil
}

// packPoints writes the length of the header, the header, the numbers of the candidates, and a column after the other.
func packPoints(head StudyPointsHead, cloud *results.Cloud) ([]byte, error) {
	text, err := json.Marshal(head)
	if err != nil {
		return nil, fmt.Errorf("points: %w", err)
	}
	for (4+len(text))%8 != 0 {
		text = append(text, ' ')
	}
	n := len(cloud.Index)
	out := make([]byte, 0, 4+len(text)+8*n+4*n*len(cloud.Columns))
	out = binary.LittleEndian.AppendUint32(out, uint32(len(text)))
	out = append(out, text...)
	for _, i := range cloud.Index {
		out = binary.LittleEndian.AppendUint64(out, math.Float64bits(float64(i)))
	}
	for _, c := range cloud.Columns {
		for _, v := range c.Values {
			out = binary.LittleEndian.AppendUint32(out, math.Float32bits(v))
		}
	}
	return out, nil
}

func (s *Server) queryStudy(ctx context.Context, in *struct {
	StudyParam
	Body StudyQuery
},
) (*struct{ Body *StudyRows }, error) {
	f, err := s.resultsFor(in.File)
	if err != nil {
		return nil, err
	}
	b := in.Body
	q := results.Query{Filter: b.Filter, SQL: b.SQL, Columns: b.Columns, Limit: b.Limit, Front: b.Front}
	if q.Limit == 0 {
		q.Limit = 100
	}
	q.Sort, q.Most = strings.CutPrefix(b.Sort, "-")
	within, done := context.WithTimeout(ctx, s.answers)
	defer done()
	rows, err := f.folder.Query(within, q)
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case within.Err() != nil:
		return nil, badField("body", fmt.Sprintf("the question took longer than %s and was given up; ask for less", s.answers))
	}
	if err != nil {
		return nil, badField("body", s.plainResults(in.File, err))
	}
	return &struct{ Body *StudyRows }{studyRows(f.folder.Problem(), rows)}, nil
}

// studyRows shows the rows of a query. A first column that holds the numbers of candidates stands apart.
func studyRows(p study.Problem, rows *results.Rows) *StudyRows {
	out := &StudyRows{Columns: []StudyColumn{}, Rows: [][]string{}, Index: []uint64{}, More: rows.More, Matched: rows.Matched, Whole: rows.Whole}
	known := studyColumns(p)
	numbers := slices.IndexFunc(rows.Columns, func(c results.RowColumn) bool { return c.Key == "candidate" })
	for i, c := range rows.Columns {
		if i == numbers {
			continue
		}
		k := StudyColumn{Key: c.Key, Name: c.Name, Unit: c.Unit, Kind: "figure", Better: "neither"}
		if at := slices.IndexFunc(known, func(x StudyColumn) bool { return x.Key == c.Key }); at >= 0 {
			k.Kind, k.Better = known[at].Kind, known[at].Better
		}
		if k.Unit == "" {
			k.Unit = "1"
		}
		out.Columns = append(out.Columns, k)
	}
	for _, row := range rows.Rows {
		cells := []string{}
		for i, v := range row {
			if i != numbers {
				cells = append(cells, cellWords(v))
				continue
			}
			if n, ok := candidateNumber(v); ok {
				out.Index = append(out.Index, n)
			}
		}
		out.Rows = append(out.Rows, cells)
	}
	if len(out.Index) != len(out.Rows) {
		out.Index = []uint64{}
	}
	return out
}

// cellWords shows one value of a query.
func cellWords(v any) string {
	switch v := v.(type) {
	case nil:
		return "–"
	case float64:
		return valueWords(nil, v)
	}
	return fmt.Sprint(v)
}

func candidateNumber(v any) (uint64, bool) {
	switch v := v.(type) {
	case uint64:
		return v, true
	case int64:
		return uint64(v), v >= 0
	}
	return 0, false
}

// CandidateParam is a candidate of a study.
type CandidateParam struct {
	StudyParam
	Index uint64 `path:"index" doc:"number of the candidate" example:"1041"`
}

// searched returns the problem whose candidates a study has: that of its results, or that of its text where there are none.
func (s *Server) searched(file string) (*search.Problem, *found, error) {
	on, err := s.folder.study(file)
	if err != nil {
		return nil, nil, err
	}
	f, err := s.found(file)
	if err != nil {
		return nil, nil, err
	}
	now, err := s.openStudy(file, on.data)
	if f.folder == nil || err == nil && now.Digest() == f.folder.Digest() {
		if err != nil {
			return nil, nil, unusable("the study cannot be run", typeStudy, studyProblems(file, on.data, err))
		}
		return now, f, nil
	}
	p, err := s.openKept(f.folder)
	return p, f, err
}

// openKept opens the study of results as it was when they were found.
func (s *Server) openKept(f *results.Folder) (*search.Problem, error) {
	st := &s.studies
	st.opening.Lock()
	defer st.opening.Unlock()
	if st.kept != nil && st.kept.Digest() == f.Digest() {
		return st.kept, nil
	}
	bundle, err := f.Bundle()
	if err != nil {
		return nil, failure(http.StatusConflict, "the files of these results cannot be read")
	}
	p, err := search.Open(bundle)
	if err != nil {
		return nil, failure(http.StatusConflict, "the study of these results cannot be opened any more: "+err.Error())
	}
	if p.Digest() != f.Digest() {
		return nil, failure(http.StatusConflict, "these results are of another version of the program or of another kind of processor; run the study anew to open its candidates")
	}
	st.kept = p
	return p, nil
}

func noCandidate(index, size uint64) error {
	return notFound(fmt.Sprintf("there is no candidate %d; their numbers go from 0 to %d", index, size-1))
}

func (s *Server) candidate(in *CandidateParam) (*search.Candidate, *search.Problem, *found, error) {
	p, f, err := s.searched(in.File)
	if err != nil {
		return nil, nil, nil, err
	}
	if size := p.Size().Total; in.Index >= size {
		return nil, nil, nil, noCandidate(in.Index, size)
	}
	c, err := p.Candidate(in.Index)
	if err != nil {
		return nil, nil, nil, failure(http.StatusUnprocessableEntity, err.Error())
	}
	return c, p, f, nil
}

func (s *Server) getCandidate(ctx context.Context, in *CandidateParam) (*struct{ Body *StudyCandidate }, error) {
	c, p, f, err := s.candidate(in)
	if err != nil {
		return nil, err
	}
	out := &StudyCandidate{Index: c.Index, Name: c.Name, Settings: settingsShown(p, c.Settings), Values: []StudyValue{}, Text: string(c.Text)}
	if err := p.Refinable(c.Index, ""); err != nil {
		out.Fixed = err.Error()
	}
	if out.File, err = s.freeName(c.Name); err != nil {
		return nil, err
	}
	v := s.evaluate(out.File, c.Text, analysis.Options{})
	out.Problems = v.problems
	if f.folder != nil {
		row, ok, err := f.folder.Row(ctx, in.Index)
		if err != nil {
			return nil, errors.Join(ctx.Err(), failure(http.StatusConflict, s.plainResults(in.File, err)))
		}
		if ok {
			shown := studyRows(f.folder.Problem(), row)
			for i, k := range shown.Columns {
				out.Values = append(out.Values, StudyValue{Key: k.Key, Name: k.Name, Unit: k.Unit, Text: shown.Rows[0][i]})
			}
		}
	}
	return &struct{ Body *StudyCandidate }{out}, nil
}

// settingsShown names what a candidate sets.
func settingsShown(p study.Problem, list []spec.Setting) []StudySetting {
	names := map[string]string{"layout.pins": "Throw angles", "layout.firing_order": "Firing order"}
	for _, k := range p.Columns() {
		names[k.Key] = k.Name
	}
	out := []StudySetting{}
	for _, set := range list {
		out = append(out, StudySetting{set.Key, cmp.Or(names[set.Key], set.Key), set.Text})
	}
	return out
}

func (s *Server) keepCandidate(_ context.Context, in *struct {
	CandidateParam
	Body KeepCandidate
},
) (*engineAnswer, error) {
	c, _, _, err := s.candidate(&in.CandidateParam)
	if err != nil {
		return nil, err
	}
	return s.keepText(in.Body.File, c.Name, c.Text)
}

// keepText writes an engine as a new file.
//
//   - file: as the user names it; empty: made of the name of the engine
func (s *Server) keepText(file, name string, text []byte) (*engineAnswer, error) {
	file, err := s.newName(strings.TrimSpace(file), name, engineSuffix)
	if err != nil {
		return nil, err
	}
	if !validName(file) {
		return nil, badField("body.file", badName(file).Error())
	}
	if err := s.refuseProblems(file, text); err != nil {
		return nil, err
	}
	on, err := s.folder.create(file, text)
	if err != nil {
		return nil, err
	}
	return s.shown(file, on, analysis.Options{}, detail{}), nil
}

func (s *Server) getStudyWords(_ context.Context, in *struct {
	Base string `query:"base" required:"true" maxLength:"250" doc:"engine file that the study varies"`
},
) (*struct{ Body *StudyWords }, error) {
	if !strings.HasSuffix(in.Base, engineSuffix) {
		return nil, badField("query.base", fmt.Sprintf("%q is no engine file", in.Base))
	}
	data, err := s.folder.named(in.Base)
	if err != nil {
		return nil, notFound(fmt.Sprintf("there is no engine file %q in the folder", in.Base))
	}
	v := s.evaluate(in.Base, data, analysis.Options{})
	out := &StudyWords{Vary: varied(v), Measures: measureInfos(), Briefs: []BriefEntry{}}
	l, err := s.folder.look()
	if err != nil {
		return nil, err
	}
	for _, name := range l.briefs {
		out.Briefs = append(out.Briefs, briefEntry(name, l.files[name]))
	}
	return &struct{ Body *StudyWords }{out}, nil
}

// varied lists what of an engine can vary: what only a study knows first, then the inputs of its file.
func varied(v *evaluated) []VaryInfo {
	var out []VaryInfo
	add := func(key, name, line, present, help string) {
		out = append(out, VaryInfo{Key: key, Name: name, Chapter: "search", Line: line, Present: present, Help: help})
	}
	fields := spec.Fields(v.src, v.train)
	present := func(path string) string {
		for _, f := range fields {
			if f.Path == path {
				return f.Text
			}
		}
		return ""
	}
	add("layout.pins", "Phasing of the crank pins, all distinct ones", "all", present("layout.pins"), "symmetric twins once; {all: 30 deg} says the step")
	add("layout.firing_order", "Firing order, every one the crank can do", "all", present("layout.firing_order"), "or a list of orders")
	add("crank.counterweights", "Counterweights, also designed for each engine", "[none, {balance_factor: 50 %}, best]", present("crank.counterweights"), "best is designed for each engine")
	add("balance_shafts", "Balance shafts, designed for each engine", "[none, order-1, order-2, orders-1-and-2]", present("balance_shafts"), "")
	add(spec.StrokeOverBore, "Stroke over bore, at the displacement of the base", "{from: 0.8, to: 1.2, step: 0.1}", ratioWords(v, true), "a pure number")
	add(spec.RodOverThrow, "Rod length over crank radius", "[3.2, 3.4, 3.6]", ratioWords(v, false), "a pure number")
	seen := map[string]bool{}
	for _, k := range out {
		seen[k.Key] = true
	}
	for _, f := range fields {
		line := lineOf(f)
		if line == "" || seen[f.Path] || strings.Contains(f.Path, "[") || strings.HasPrefix(f.Path, "gas.trace") {
			continue
		}
		seen[f.Path] = true
		out = append(out, VaryInfo{Key: f.Path, Name: f.Label, Chapter: f.Chapter, Present: f.Text, Line: line, Help: f.Help})
	}
	return out
}

// ratioWords shows stroke over bore of an engine, or rod length over crank radius.
func ratioWords(v *evaluated, stroke bool) string {
	t := v.train
	switch {
	case t == nil || t.Bore <= 0 || len(t.Throws) == 0 || len(t.Cylinders) == 0 || t.Throws[0].Radius <= 0:
		return ""
	case stroke:
		return valueWords(nil, 2*t.Throws[0].Radius/t.Bore)
	}
	return valueWords(nil, t.Cylinders[0].Rod.Length/t.Throws[0].Radius)
}

// lineOf is what a study would say so that a field varies around its present value; empty: it cannot vary so.
func lineOf(f spec.Field) string {
	switch f.Kind {
	case "word":
		if len(f.Words) > 1 {
			return "[" + strings.Join(f.Words, ", ") + "]"
		}
	case "count":
		if f.Value != nil {
			return fmt.Sprintf("[%.0f, %.0f]", *f.Value, *f.Value+1)
		}
	case "quantity":
		if f.Value == nil || len(f.Units) == 0 {
			return ""
		}
		unit := f.Units[0]
		x, err := spec.InUnit(f.Text, unit)
		if err != nil {
			return ""
		}
		if unit != "" && unit != "1" {
			unit = " " + unit
		} else {
			unit = ""
		}
		step := roundStep(math.Abs(x) / 20)
		if f.Dimension == "angle" {
			step = 15
		}
		if step <= 0 {
			return "" // nothing says how large it may be
		}
		from := math.Round((x-2*step)/step) * step
		to := math.Round((x+2*step)/step) * step
		return fmt.Sprintf("{from: %s%s, to: %s%s, step: %s%s}", valueWords(nil, from), unit, valueWords(nil, to), unit, valueWords(nil, step), unit)
	}
	return ""
}

// roundStep is the next of 1, 2, 5 times a power of ten that is not below.
func roundStep(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	ten := math.Pow(10, math.Floor(math.Log10(x)))
	for _, k := range []float64{1, 2, 5} {
		if k*ten >= x {
			return k * ten
		}
	}
	return 10 * ten
}
