package server

import (
	"fmt"
	"strings"
	"unicode"
)

// fileNameOf makes a file name of an engine's name or a shorthand, without its ending.
func fileNameOf(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() > 60 {
			break
		}
	}
	if out := strings.Trim(b.String(), "-"); out != "" {
		return out
	}
	return "engine"
}

// newName returns the name of a file that is to be made: the one that is given, with its ending, or a free one made of what the
// file is of.
func (s *Server) newName(given, of, suffix string) (string, error) {
	switch {
	case given == "":
		return s.freeNameWith(of, suffix)
	case strings.HasSuffix(given, suffix):
		return given, nil
	}
	return given + suffix, nil
}

// freeName returns a file name that nothing has yet, made of an engine's name.
func (s *Server) freeName(name string) (string, error) { return s.freeNameWith(name, engineSuffix) }

// freeNameWith is freeName for a file with another ending.
func (s *Server) freeNameWith(name, suffix string) (string, error) {
	base := fileNameOf(name)
	s.folder.mu.Lock()
	defer s.folder.mu.Unlock()
	for n := 1; n <= mostFiles+1; n++ {
		file := base + suffix
		if n > 1 {
			file = fmt.Sprintf("%s-%d%s", base, n, suffix)
		}
		if tracked(file) && !deviceName.MatchString(file) && !s.folder.taken(file) {
			return file, nil
		}
	}
	return "", badField("body.file", "no file name is free; give one")
}
