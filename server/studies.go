package server

import (
	"context"
	"fmt"
	"net/http"
	"strings"

	"crankwright/spec"
)

// validStudy reports whether a name may be that of a study.
func validStudy(file string) bool { return tracked(file) && strings.HasSuffix(file, spec.StudySuffix) }

func badStudyName(name string) error {
	return badField("path.file", fmt.Sprintf("%q is no name for a study; write letters, digits, blanks and hyphens, and %s at the end", name, spec.StudySuffix))
}

// study returns one study.
func (f *folder) study(name string) (stored, error) {
	if !validStudy(name) {
		return stored{}, badStudyName(name)
	}
	l, err := f.look()
	if err != nil {
		return stored{}, err
	}
	s, ok := l.files[name]
	if !ok {
		return stored{}, notFound(fmt.Sprintf("there is no study %q in the folder", name))
	}
	return s, s.unreadable(name)
}

type studyAnswer struct {
	Etag string `header:"Etag"`
	Body *StudyView
}

// StudyParam is the study of a path.
type StudyParam struct {
	File string `path:"file" maxLength:"250" doc:"study in the folder" example:"vee-four.study.yaml"`
}

func shownStudy(file string, on stored) *studyAnswer {
	return &studyAnswer{Etag: `"` + on.etag + `"`, Body: &StudyView{File: file, Etag: on.etag, Text: string(on.data), Saved: true}}
}

func (s *Server) getStudy(_ context.Context, in *StudyParam) (*studyAnswer, error) {
	on, err := s.folder.study(in.File)
	if err != nil {
		return nil, err
	}
	return shownStudy(in.File, on), nil
}

func (s *Server) putStudy(_ context.Context, in *struct {
	StudyParam
	Body StudySave
},
) (*studyAnswer, error) {
	if !validStudy(in.File) {
		return nil, badStudyName(in.File)
	}
	on, err := s.folder.save(in.File, in.Body.Etag, func([]byte) ([]byte, error) {
		data := []byte(in.Body.Text)
		return data, savable(data)
	})
	if err != nil {
		return nil, err
	}
	return shownStudy(in.File, on), nil
}

func (s *Server) postStudy(_ context.Context, in *struct{ Body NewStudy }) (*studyAnswer, error) {
	data, name, err := s.newStudyText(in.Body)
	if err != nil {
		return nil, err
	}
	file, err := s.newName(in.Body.File, name, spec.StudySuffix)
	if err != nil {
		return nil, err
	}
	if !validStudy(file) {
		return nil, badStudyName(file)
	}
	if err := savable(data); err != nil {
		return nil, err
	}
	on, err := s.folder.create(file, data)
	if err != nil {
		return nil, err
	}
	return shownStudy(file, on), nil
}

func (s *Server) deleteStudy(_ context.Context, in *struct {
	StudyParam
	Etag string `query:"etag" doc:"of the state that is taken out; left out: whatever it is"`
},
) (*lineUpAnswer, error) {
	if !validStudy(in.File) {
		return nil, badStudyName(in.File)
	}
	if err := s.removeStudy(in.File, in.Etag); err != nil {
		return nil, err
	}
	return s.lineUp()
}

// removeStudy takes a study out of the folder, unless it is being searched: nobody would see that any more.
func (s *Server) removeStudy(file, etag string) error {
	s.studies.mu.Lock()
	defer s.studies.mu.Unlock()
	if s.studies.runs[file].running() {
		return failure(http.StatusConflict, "the search runs; stop it first")
	}
	return s.folder.remove(file, etag)
}
