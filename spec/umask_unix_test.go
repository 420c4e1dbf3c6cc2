//go:build unix

package spec

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// TestNewFilesHeedTheUmask: a new file has the permissions that the user wants of new files, one that is replaced keeps its own.
func TestNewFilesHeedTheUmask(t *testing.T) {
	defer syscall.Umask(syscall.Umask(0o027))
	path := filepath.Join(t.TempDir(), "a.engine.yaml")
	for _, c := range []struct{ before, after os.FileMode }{{0, 0o640}, {0o606, 0o606}, {0o600, 0o600}} {
		if c.before != 0 {
			if err := os.Chmod(path, c.before); err != nil {
				t.Fatal(err)
			}
		}
		if err := WriteFileAtomic(path, []byte("x")); err != nil {
			t.Fatal(err)
		}
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != c.after {
			t.Errorf("before %v, after %v, not %v (%v)", c.before, info.Mode(), c.after, err)
		}
	}
}
