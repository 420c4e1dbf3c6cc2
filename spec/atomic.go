package spec

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// WriteFileAtomic writes a file so that a reader finds the old content or the new, never a part:
// into a temporary file in the same folder, flushed to disk, then renamed. The permissions of a
// file that is there already are kept; a link is followed; what may not be written is not replaced.
func WriteFileAtomic(path string, data []byte) (err error) {
	mode := os.FileMode(0o644)
	if real, linkErr := filepath.EvalSymlinks(path); linkErr == nil {
		path = real
	}
	if info, statErr := os.Stat(path); statErr == nil {
		if !info.Mode().IsRegular() {
			return fmt.Errorf("%s: cannot be written: it is not a regular file", path)
		}
		mode = info.Mode().Perm()
		if mode&0o222 == 0 {
			return fmt.Errorf("%s: cannot be written: it is read-only", path)
		}
	}
	folder := filepath.Dir(path)
	defer func() {
		var inner *os.PathError
		if errors.As(err, &inner) { // the temporary name says nothing to the reader
			err = inner.Err
		}
		if err != nil {
			err = fmt.Errorf("%s: cannot be written: %w", path, err)
		}
	}()
	before, after := unfinished(path)
	f, err := os.CreateTemp(folder, before+"*"+after)
	if err != nil {
		return err
	}
	name := f.Name()
	defer func() {
		if err != nil {
			_ = os.Remove(name)
		}
	}()
	if _, err = f.Write(data); err == nil {
		if err = f.Chmod(mode); err == nil {
			err = f.Sync()
		}
	}
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	if err != nil {
		return err
	}
	if err = os.Rename(name, path); err != nil {
		return err
	}
	d, err := os.Open(folder)
	if err != nil {
		return err
	}
	err = d.Sync()
	if closeErr := d.Close(); err == nil {
		err = closeErr
	}
	return err
}

// unfinished is how the names of temporary files of a file begin and end.
func unfinished(path string) (before, after string) { return "." + filepath.Base(path) + ".", ".tmp" }

// abandoned is the age at which nobody goes on with a temporary file.
const abandoned = time.Hour

// ClearUnfinished removes the temporary files of a file that were left when WriteFileAtomic was killed, an hour ago or longer.
func ClearUnfinished(path string) {
	folder := filepath.Dir(path)
	list, err := os.ReadDir(folder)
	if err != nil {
		return // who writes there is told
	}
	before, after := unfinished(path)
	for _, e := range list {
		if !strings.HasPrefix(e.Name(), before) || !strings.HasSuffix(e.Name(), after) || !e.Type().IsRegular() {
			continue
		}
		if info, err := e.Info(); err == nil && time.Since(info.ModTime()) > abandoned {
			_ = os.Remove(filepath.Join(folder, e.Name()))
		}
	}
}
