package server

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strings"

	"crankwright/brief"
	"crankwright/report"
	"crankwright/spec"
)

// BriefEntry is one brief in the folder.
type BriefEntry struct {
	File     string `json:"file" doc:"file name inside the folder"`
	Etag     string `json:"etag" doc:"changes with the content of the file"`
	Name     string `json:"name" doc:"name of the brief; the file name where it cannot be read"`
	Problems int    `json:"problems" doc:"how many things are wrong with it"`
}

// BriefView is a brief as it stands, or would stand.
type BriefView struct {
	File     string           `json:"file" doc:"file name inside the folder; empty: the text has none yet"`
	Etag     string           `json:"etag" doc:"of the text on disk; a save must give it"`
	Text     string           `json:"text" doc:"the brief as it stands, or would stand"`
	Saved    bool             `json:"saved" doc:"the text is what is on disk"`
	Problems []Problem        `json:"problems" doc:"everything that is wrong, by place; empty: Brief is there"`
	Brief    *report.BriefDoc `json:"brief,omitempty" doc:"what the text says; left out where something is wrong with it"`
}

// BriefDraft is a brief as it stands or would stand: a file of the folder, or a text, with edits that nobody has saved.
type BriefDraft struct {
	File  string  `json:"file,omitempty" doc:"brief in the folder whose text is taken where text is left out"`
	Text  *string `json:"text,omitempty" doc:"text of a brief, before the edits"`
	Edits []Edit  `json:"edits,omitempty" maxItems:"500" doc:"such as {path: priorities.smoothness, text: '[3, 8]'}, made one after the other"`
}

type briefAnswer struct {
	Etag string `header:"Etag"`
	Body *BriefView
}

// BriefParam is the brief of a path.
type BriefParam struct {
	File string `path:"file" maxLength:"250" doc:"brief in the folder" example:"pilot-boat.brief.yaml"`
}

func (s *Server) getBrief(_ context.Context, in *BriefParam) (*briefAnswer, error) {
	on, err := s.folder.brief(in.File)
	if err != nil {
		return nil, err
	}
	return shownBrief(in.File, on), nil
}

// briefEntry is a brief as a list has it.
func briefEntry(file string, on stored) BriefEntry {
	b, problems := readBrief(file, on.data)
	e := BriefEntry{File: file, Etag: on.etag, Name: file, Problems: len(problems)}
	if b != nil {
		e.Name = b.Name
	}
	return e
}

func shownBrief(file string, on stored) *briefAnswer {
	v := briefView(file, on.data)
	v.Etag, v.Saved = on.etag, true
	return &briefAnswer{Etag: `"` + on.etag + `"`, Body: v}
}

func briefView(file string, data []byte) *BriefView {
	v := &BriefView{File: file, Text: string(data), Problems: []Problem{}}
	b, problems := readBrief(file, data)
	if v.Problems = problems; b != nil {
		d := report.NewBriefDoc(b)
		v.Brief = &d
	}
	return v
}

// readBrief reads a brief, or says what is wrong with it.
func readBrief(file string, data []byte) (*brief.Brief, []Problem) {
	b, err := spec.ReadBrief(file, data)
	if err == nil {
		return b, []Problem{}
	}
	var list spec.Errors
	if !errors.As(err, &list) {
		return nil, []Problem{{Line: 1, Column: 1, What: err.Error()}}
	}
	return nil, problemsOf(list)
}

// draftedBrief returns what a draft says.
func (s *Server) draftedBrief(d BriefDraft) (*brief.Brief, error) {
	var data []byte
	switch {
	case d.Text != nil:
		data = []byte(*d.Text)
	case d.File != "":
		on, err := s.folder.brief(d.File)
		if err != nil {
			return nil, err
		}
		data = on.data
	default:
		return nil, badField("body.brief", "give a brief: its file or its text")
	}
	data, err := editedBrief(data, d.Edits)
	if err != nil {
		return nil, err
	}
	b, problems := readBrief(cmp.Or(d.File, "brief"), data)
	if b == nil {
		return nil, unusable("the brief cannot be used", typeBrief, problems)
	}
	if b.PricesFile != "" {
		if b.Prices, err = s.priced.table(s.folder, b.PricesFile); err != nil {
			return nil, err
		}
	}
	return b, nil
}

func editedBrief(data []byte, edits []Edit) ([]byte, error) {
	return editedBy(spec.EditBrief, data, edits)
}

// BriefSave replaces the text of a brief, or edits it.
type BriefSave struct {
	Etag  string  `json:"etag" minLength:"1" doc:"of the text that the change starts from"`
	Text  *string `json:"text,omitempty" doc:"new text, instead of edits; it is saved even where it has problems"`
	Edits []Edit  `json:"edits,omitempty" maxItems:"500" doc:"made one after the other; refused where they make the brief wrong"`
}

func (s *Server) putBrief(_ context.Context, in *struct {
	BriefParam
	Body BriefSave
},
) (*briefAnswer, error) {
	if !validBrief(in.File) {
		return nil, badBriefName(in.File)
	}
	if (in.Body.Text == nil) == (len(in.Body.Edits) == 0) {
		return nil, badField("body", "give either a text or edits")
	}
	on, err := s.folder.save(in.File, in.Body.Etag, func(old []byte) ([]byte, error) {
		if in.Body.Text != nil {
			data := []byte(*in.Body.Text)
			return data, savable(data)
		}
		data, err := editedBrief(old, in.Body.Edits)
		if err != nil {
			return nil, err
		}
		if b, problems := readBrief(in.File, data); b == nil {
			return nil, unusable("the brief cannot be used", typeBrief, problems)
		}
		return data, nil
	})
	if err != nil {
		return nil, err
	}
	return shownBrief(in.File, on), nil
}

// NewBrief makes a brief.
type NewBrief struct {
	File   string  `json:"file,omitempty" maxLength:"200" doc:"its name; left out: made of the name of the brief"`
	Name   string  `json:"name,omitempty" maxLength:"200" doc:"name of the brief, in place of the one in its text"`
	Text   *string `json:"text,omitempty" doc:"its text; left out: a copy, or a brief to be edited"`
	CopyOf string  `json:"copy_of,omitempty" maxLength:"250" doc:"brief in the folder that is copied"`
}

func (s *Server) postBrief(_ context.Context, in *struct{ Body NewBrief }) (*briefAnswer, error) {
	b := in.Body
	data := spec.NewBrief()
	switch {
	case b.Text != nil && b.CopyOf != "":
		return nil, badField("body.text", "give a text or copy_of, not both")
	case b.Text != nil:
		data = []byte(*b.Text)
	case b.CopyOf != "":
		on, err := s.folder.brief(b.CopyOf)
		if err != nil {
			return nil, err
		}
		data = on.data
	}
	if b.Name != "" {
		var err error
		if data, err = editedBrief(data, []Edit{{Path: "name", Text: &b.Name}}); err != nil {
			return nil, err
		}
	}
	name := "new brief"
	if b.Name != "" {
		name = b.Name
	} else if b.CopyOf != "" {
		name = strings.TrimSuffix(b.CopyOf, spec.BriefSuffix) + " copy"
	} else if read, _ := readBrief("brief", data); read != nil {
		name = read.Name
	}
	file, err := s.newName(b.File, name, spec.BriefSuffix)
	if err != nil {
		return nil, err
	}
	if !validBrief(file) {
		return nil, badBriefName(file)
	}
	if err := savable(data); err != nil {
		return nil, err
	}
	on, err := s.folder.create(file, data)
	if err != nil {
		return nil, err
	}
	return shownBrief(file, on), nil
}

func (s *Server) deleteBrief(_ context.Context, in *struct {
	BriefParam
	Etag string `query:"etag" doc:"of the state that is taken out; left out: whatever it is"`
},
) (*lineUpAnswer, error) {
	if !validBrief(in.File) {
		return nil, badBriefName(in.File)
	}
	if err := s.folder.remove(in.File, in.Etag); err != nil {
		return nil, err
	}
	return s.lineUp()
}

func badBriefName(name string) error {
	return badField("path.file", fmt.Sprintf("%q is no name for a brief; write letters, digits, blanks and hyphens, and %s at the end", name, spec.BriefSuffix))
}

// BriefWords is what a brief may say.
type BriefWords struct {
	Aims     []AimInfo     `json:"aims" doc:"priorities by words of the trade"`
	Measures []MeasureInfo `json:"measures" doc:"figures that may be limits, and priorities where one side is better"`
}

// AimInfo is a priority by a word of the trade.
type AimInfo struct {
	Key   string              `json:"key" doc:"under which a brief names it"`
	Name  string              `json:"name" doc:"in words"`
	Means string              `json:"means" doc:"what is good"`
	Parts []report.AimPartDoc `json:"parts" doc:"figures that make it up, where the brief does not say"`
}

// MeasureInfo is a figure that a brief may name.
type MeasureInfo struct {
	Key    string `json:"key" doc:"under which a brief names it"`
	Name   string `json:"name" doc:"in words"`
	Unit   string `json:"unit" doc:"of its values; 1: none"`
	Better string `json:"better" enum:"less,more,neither" doc:"which way is better"`
	Long   bool   `json:"long" doc:"it takes some tenths of a second for each engine"`
}

// measureInfos lists the figures that a brief or a study may name.
func measureInfos() []MeasureInfo {
	out := []MeasureInfo{}
	for _, m := range brief.Measures() {
		better := map[int]string{-1: "less", 0: "neither", 1: "more"}[m.Better]
		out = append(out, MeasureInfo{m.Key, m.Name, m.Unit, better, m.Needs >= brief.Lasting})
	}
	return out
}

func (s *Server) getBriefWords(context.Context, *struct{}) (*struct{ Body BriefWords }, error) {
	out := BriefWords{Aims: []AimInfo{}}
	for _, a := range brief.Aims() {
		d := report.NewBriefDoc(&brief.Brief{Priorities: []brief.Priority{{Key: a.Key}}}).Priorities[0]
		out.Aims = append(out.Aims, AimInfo{a.Key, a.Name, a.Means, d.Parts})
	}
	out.Measures = measureInfos()
	return &struct{ Body BriefWords }{out}, nil
}
