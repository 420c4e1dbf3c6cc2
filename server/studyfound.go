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
	q := results.Query{Filter: b.Filter, SQL: b.SQL, Columns: b.Columns, Limit: b.Limit, Front: b.Front, Bytes: mostAnswer}
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

// mostAnswer is what the values of an answer in SQL may have together [bytes].
const mostAnswer = 32_000_000

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
