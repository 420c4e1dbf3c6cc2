package server

import (
	"io/fs"
	"syscall"
)

// systemMark returns when the system last changed anything of a file [ns since 1970], and its number.
func systemMark(info fs.FileInfo) (kept int64, number uint64) {
	if s, ok := info.Sys().(*syscall.Stat_t); ok {
		return s.Ctimespec.Nano(), s.Ino
	}
	return 0, 0
}
