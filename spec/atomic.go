package spec

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
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
	f, err := os.CreateTemp(folder, "."+filepath.Base(path)+".*.tmp")
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
