package server

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"strings"

	"crankwright/analysis"
	"crankwright/num"
	"crankwright/spec"
)

// FileParam is the engine file of a path.
type FileParam struct {
	File string `path:"file" maxLength:"250" doc:"engine file in the folder" example:"vee-eight.engine.yaml"`
}

// ViewParams say at what speed and how much of an engine is wanted.
type ViewParams struct {
	SpeedRPM      float64 `query:"speed_rpm" minimum:"0" maximum:"900000" doc:"crank speed; 0: the rated speed of the file"`
	TwoMass       bool    `query:"two_mass" doc:"rods replaced by two masses"`
	Curves        bool    `query:"curves" default:"true" doc:"time histories over two revolutions"`
	Contributions bool    `query:"contributions" default:"true" doc:"what each part adds to each order"`
	Reasons       bool    `query:"reasons" default:"true" doc:"explanations in words"`
	Sweep         bool    `query:"sweep" doc:"the balance at 24 speeds up to the highest permitted one"`
}

func (p ViewParams) options() analysis.Options { return optionsAt(p.SpeedRPM, p.TwoMass) }

func optionsAt(rpm float64, twoMass bool) analysis.Options {
	return analysis.Options{Speed: rpm * math.Pi / 30, TwoMass: twoMass, Drive: true, Space: true, Parts: true}
}

func (p ViewParams) detail() detail {
	return detail{curves: p.Curves, contributions: p.Contributions, reasons: p.Reasons, sweep: p.Sweep}
}

type engineAnswer struct {
	Etag string `header:"Etag"`
	Body *EngineView
}

// shown is the answer for a file as it stands on disk.
func (s *Server) shown(file string, on stored, opt analysis.Options, d detail) *engineAnswer {
	v := s.known(file, on, opt).view(file, on.data, d)
	v.Etag, v.Saved = on.etag, true
	return &engineAnswer{Etag: `"` + on.etag + `"`, Body: v}
}

func (s *Server) getEngine(_ context.Context, in *struct {
	FileParam
	ViewParams
},
) (*engineAnswer, error) {
	on, err := s.folder.get(in.File)
	if err != nil {
		return nil, err
	}
	return s.shown(in.File, on, in.options(), in.detail()), nil
}

// Draft is an engine as it stands or would stand: a file of the folder, or a text, with edits that nobody
// has saved.
type Draft struct {
	File     string  `json:"file,omitempty" doc:"engine file whose text is taken where text is left out; also the name that messages show"`
	Text     *string `json:"text,omitempty" doc:"text of an engine file, before the edits"`
	Edits    []Edit  `json:"edits,omitempty" maxItems:"500" doc:"made one after the other"`
	SpeedRPM float64 `json:"speed_rpm,omitempty" minimum:"0" maximum:"900000" doc:"crank speed; 0: the rated speed of the file"`
}

// drafted returns the text of a draft, and the etag of the file it starts from where there is one.
func (s *Server) drafted(d Draft) (data []byte, etag string, err error) {
	var on stored
	switch {
	case d.Text != nil:
		on.data = []byte(*d.Text)
	case d.File != "":
		if on, err = s.folder.get(d.File); err != nil {
			return nil, "", err
		}
	default:
		return nil, "", badField("body.text", "give a text, or a file whose text is taken")
	}
	data, err = edited(on.data, d.Edits)
	return data, on.etag, err
}

// PreviewRequest asks what a text or some edits would give.
type PreviewRequest struct {
	Draft
	TwoMass       bool  `json:"two_mass,omitempty" doc:"rods replaced by two masses"`
	Curves        bool  `json:"curves,omitempty" doc:"time histories too; left out: no"`
	Contributions *bool `json:"contributions,omitempty" doc:"what each part adds to each order; left out: yes"`
	Reasons       *bool `json:"reasons,omitempty" doc:"explanations in words; left out: yes"`
}

func (s *Server) preview(_ context.Context, in *struct{ Body PreviewRequest }) (*engineAnswer, error) {
	b := in.Body
	data, etag, err := s.drafted(b.Draft)
	if err != nil {
		return nil, err
	}
	v := s.evaluate(b.File, data, optionsAt(b.SpeedRPM, b.TwoMass)).
		view(b.File, data, detail{curves: b.Curves, contributions: unlessNo(b.Contributions), reasons: unlessNo(b.Reasons)})
	v.Etag, v.Saved = etag, etag != "" && etag == etagOf(data)
	return &engineAnswer{Body: v}, nil
}

// unlessNo is true where nothing is said.
func unlessNo(b *bool) bool { return b == nil || *b }

// edited makes edits in the text of an engine file.
func edited(data []byte, edits []Edit) ([]byte, error) { return editedBy(spec.Edit, data, edits) }

// editedBy makes edits in a text.
func editedBy(edit func([]byte, []spec.Change) ([]byte, error), data []byte, edits []Edit) ([]byte, error) {
	if len(edits) == 0 {
		return data, nil
	}
	changes := make([]spec.Change, len(edits))
	for i, e := range edits {
		changes[i] = spec.Change(e)
	}
	out, err := edit(data, changes)
	var wrong *spec.EditError
	if errors.As(err, &wrong) {
		p := badField(fmt.Sprintf("body.edits[%d]", wrong.Index), wrong.Error())
		p.Type = typeInvalid
		p.Problems = []Problem{{Path: wrong.Path, What: wrong.What, Allowed: wrong.Allowed}}
		return nil, p
	}
	return out, err
}

// SaveRequest replaces the text of an engine file, or edits it.
type SaveRequest struct {
	Etag          string  `json:"etag" minLength:"1" doc:"of the text that the change starts from"`
	Text          *string `json:"text,omitempty" doc:"new text, instead of edits"`
	Edits         []Edit  `json:"edits,omitempty" maxItems:"500" doc:"made one after the other, instead of a text"`
	AllowProblems bool    `json:"allow_problems,omitempty" doc:"save the text even where the engine cannot be evaluated; edits that make it so are always refused"`
	SpeedRPM      float64 `json:"speed_rpm,omitempty" minimum:"0" maximum:"900000" doc:"crank speed of the answer; 0: the rated speed of the file"`
}

func (s *Server) putEngine(_ context.Context, in *struct {
	FileParam
	Body SaveRequest
},
) (*engineAnswer, error) {
	b := in.Body
	if (b.Text == nil) == (len(b.Edits) == 0) {
		return nil, badField("body", "give either a text or edits")
	}
	if !validName(in.File) {
		return nil, badName(in.File)
	}
	on, err := s.folder.save(in.File, b.Etag, func(old []byte) ([]byte, error) {
		data := old
		if b.Text != nil {
			data = []byte(*b.Text)
		}
		data, err := edited(data, b.Edits)
		if err != nil {
			return nil, err
		}
		if b.Text == nil || !b.AllowProblems {
			if err := s.refuseProblems(in.File, data); err != nil {
				return nil, err
			}
		}
		return data, savable(data)
	})
	if err != nil {
		return nil, err
	}
	return s.shown(in.File, on, optionsAt(b.SpeedRPM, false), detail{curves: true, contributions: true, reasons: true}), nil
}

// savable refuses what no file of the folder can be, whatever the user allows.
func savable(data []byte) error {
	if len(data) > spec.MaxFileSize {
		return failure(http.StatusRequestEntityTooLarge, "a file has 1 MiB at most")
	}
	return nil
}

// refuseProblems returns what is wrong with a text, as problem details.
func (s *Server) refuseProblems(file string, data []byte) error {
	problems := s.evaluate(file, data, analysis.Options{}).problems
	if len(problems) == 0 {
		return nil
	}
	p := failure(http.StatusUnprocessableEntity, fmt.Sprintf("the engine would have %s; nothing was saved", num.Counted(len(problems), "problem", "problems")))
	p.Type, p.Problems = typeInvalid, problems
	return p
}

// NewEngineRequest makes an engine file from one of three things.
type NewEngineRequest struct {
	File          string  `json:"file,omitempty" maxLength:"200" doc:"name of the new file; left out: made from the engine's"`
	Shorthand     string  `json:"shorthand,omitempty" maxLength:"300" doc:"one line such as vee-6 60deg 84x75 split 60"`
	CopyOf        string  `json:"copy_of,omitempty" maxLength:"250" doc:"engine file in the folder"`
	Text          *string `json:"text,omitempty" doc:"text of an engine file"`
	AllowProblems bool    `json:"allow_problems,omitempty" doc:"write the text even where the engine cannot be evaluated"`
}

func (s *Server) postEngine(_ context.Context, in *struct{ Body NewEngineRequest }) (*engineAnswer, error) {
	data, name, err := s.newText(in.Body)
	if err != nil {
		return nil, err
	}
	file, err := s.newName(in.Body.File, name, engineSuffix)
	if err != nil {
		return nil, err
	}
	on, err := s.folder.create(file, data)
	if err != nil {
		return nil, err
	}
	return s.shown(file, on, analysis.Options{}, detail{curves: true, contributions: true, reasons: true}), nil
}

// newText returns the text of a new engine and a name to start from.
func (s *Server) newText(b NewEngineRequest) (data []byte, name string, err error) {
	if !justOne(b.Shorthand != "", b.CopyOf != "", b.Text != nil) {
		return nil, "", badField("body", "give one of shorthand, copy_of and text")
	}
	switch {
	case b.Shorthand != "":
		if data, err = spec.NewEngine(b.Shorthand); err != nil {
			return nil, "", badField("body.shorthand", err.Error())
		}
		return data, b.Shorthand, nil
	case b.CopyOf != "":
		return s.copied(b.CopyOf)
	default:
		data = []byte(*b.Text)
		if err := savable(data); err != nil {
			return nil, "", err
		}
		v := s.evaluate(b.File, data, analysis.Options{})
		if len(v.problems) > 0 && !b.AllowProblems {
			return nil, "", s.refuseProblems(b.File, data)
		}
		return data, v.name("engine"), nil
	}
}

// justOne reports whether one of some things is so, and no other.
func justOne(are ...bool) bool {
	n := 0
	for _, is := range are {
		if is {
			n++
		}
	}
	return n == 1
}

// copied returns a copy of an engine, named as such where its name can be edited.
func (s *Server) copied(of string) (data []byte, name string, err error) {
	on, err := s.folder.get(of)
	if err != nil {
		return nil, "", err
	}
	if err := on.partial(of); err != nil {
		return nil, "", err
	}
	data = on.data
	v := s.known(of, on, analysis.Options{})
	if v.src.Name.Given() {
		text := v.src.Name.Value + ", copy"
		if out, err := spec.Edit(data, []spec.Change{{Path: "name", Text: &text}}); err == nil {
			data = out
		}
	}
	return data, strings.TrimSuffix(of, engineSuffix) + "-copy", nil
}

func (s *Server) deleteEngine(_ context.Context, in *struct {
	FileParam
	Etag string `query:"etag" doc:"remove only this state of the file"`
},
) (*lineUpAnswer, error) {
	if !validName(in.File) {
		return nil, badName(in.File)
	}
	if err := s.folder.remove(in.File, in.Etag); err != nil {
		return nil, err
	}
	return s.lineUp()
}
