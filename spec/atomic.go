package spec

import (
	"crypto/rand"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"
)

// WriteFileAtomic writes a file so that a reader finds the old content or the new, never a part:
// into a temporary file in the same folder, flushed to disk, then renamed. The permissions of a
// file that is there already are kept, a new one has those that the user's umask leaves; a link is
// followed; what may not be written is not replaced.
func WriteFileAtomic(path string, data []byte) (err error) {
	mode, replaces := NewFileMode, false
	if real, linkErr := filepath.EvalSymlinks(path); linkErr == nil {
		path = real
	}
	if info, statErr := os.Stat(path); statErr == nil {
		if !info.Mode().IsRegular() {
			return fmt.Errorf("%s: cannot be written: it is not a regular file", path)
		}
		mode, replaces = info.Mode().Perm(), true
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
	name := filepath.Join(folder, before+rand.Text()[:12]+after)
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			_ = os.Remove(name)
		}
	}()
	_, err = f.Write(data)
	if err == nil && replaces { // the umask is for new files
		err = f.Chmod(mode)
	}
	if err == nil {
		err = f.Sync()
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
	return SyncFolder(func() (*os.File, error) { return os.Open(folder) })
}

// NewFileMode is what a new file may have of permissions, of which the system takes away what the user's umask says.
const NewFileMode = os.FileMode(0o666)

// SyncFolder flushes to disk what happened in a folder, such as a rename; open opens it. Windows does that by itself, and
// denies who asks for it.
func SyncFolder(open func() (*os.File, error)) error { return syncFolder(runtime.GOOS, open) }

// syncFolder is SyncFolder on a system.
func syncFolder(system string, open func() (*os.File, error)) error {
	if system == "windows" {
		return nil
	}
	d, err := open()
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
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
