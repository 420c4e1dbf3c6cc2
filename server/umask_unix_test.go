//go:build unix

package server

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// TestNewEnginesHeedTheUmask: a new file has the permissions that the user wants of new files, one that is saved keeps its own.
func TestNewEnginesHeedTheUmask(t *testing.T) {
	b := start(t)
	defer syscall.Umask(syscall.Umask(0o027))
	const file = "new.engine.yaml"
	path := filepath.Join(b.dir, file)
	b.want(201, "POST", "/api/engines", NewEngineRequest{File: file, Shorthand: "inline-6"}, nil)
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("new: %v, %v", info.Mode(), err)
	}
	if err := os.Chmod(path, 0o606); err != nil {
		t.Fatal(err)
	}
	b.want(200, "PUT", "/api/engines/"+file, SaveRequest{Etag: b.engine(file).Etag, Edits: []Edit{set("bore", "80 mm")}}, nil)
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o606 {
		t.Errorf("saved: %v, %v", info.Mode(), err)
	}
}
