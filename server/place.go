package server

import (
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"syscall"
	"time"

	"crankwright/spec"
)

// mark tells one state of a file from another. A program may write other bytes and put the old time back, or put another file in
// its place; the system then still counts the change, where it tells of it.
type mark struct {
	size          int64
	written, kept int64  // when it was written, and when the system changed anything of it [ns since 1970]
	number        uint64 // of the file on its disk
}

func markOf(info fs.FileInfo) mark {
	m := mark{size: info.Size(), written: info.ModTime().UnixNano()}
	m.kept, m.number = systemMark(info)
	return m
}

// latest is the latest time of the mark.
func (m mark) latest() time.Time { return time.Unix(0, max(m.written, m.kept)) }

// find makes sure that the open directory is the one that stands in the folder's place. People move a folder away and put it or
// a copy back; one that is gone could still be read, as an empty one. While none is there, what was read last is kept. mu is
// held.
func (f *folder) find() error {
	there, err := os.Stat(f.dir)
	if err == nil && !there.IsDir() {
		err = syscall.ENOTDIR
	}
	if err != nil {
		return f.gone(err)
	}
	if open, err := f.root().Stat("."); err == nil && os.SameFile(there, open) {
		f.back()
		return nil
	}
	root, err := os.OpenRoot(f.dir)
	if err != nil {
		return f.gone(err)
	}
	f.open.Store(root) // the old one is closed when nobody uses it any more
	for name, s := range f.files {
		s.mark = mark{}
		f.files[name] = s
	}
	f.missing = true
	f.sweep()
	f.back()
	select {
	case f.moved <- struct{}{}:
	default:
	}
	return nil
}

// gone tells, once, that the folder is not there, and returns what to answer meanwhile.
func (f *folder) gone(err error) error {
	if !f.missing {
		f.missing = true
		f.changed("outside", nil)
	}
	return failure(http.StatusServiceUnavailable, fmt.Sprintf("the folder %s is not where it was (%v); put it back, and the work goes on", f.name, plainError(err)))
}

// back tells that it is there again.
func (f *folder) back() {
	if f.missing {
		f.missing = false
		f.changed("outside", nil)
	}
}

// unreadable is what to answer where a file cannot be read.
func (s stored) unreadable(name string) error {
	if s.failed == "" {
		return nil
	}
	return failure(http.StatusServiceUnavailable, fmt.Sprintf("%s cannot be read: %s; see who may read it", name, s.failed))
}

// partial is what to answer where a copy of a file would not be the whole of it: it cannot be read, or has more than is read.
func (s stored) partial(name string) error {
	if len(s.data) > spec.MaxFileSize {
		return tooLarge(name)
	}
	return s.unreadable(name)
}

func tooLarge(name string) error {
	return failure(http.StatusRequestEntityTooLarge, name+" has more than 1 MiB, and what is beyond that is not read; change it outside the workbench")
}
