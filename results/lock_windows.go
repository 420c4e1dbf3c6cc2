package results

import (
	"os"
	"syscall"
)

// lock takes a file for this process: it is opened so that nobody else can open it. The system lets go of it when the
// process ends, however it ends.
func lock(name string) (*os.File, error) {
	p, err := syscall.UTF16PtrFromString(name)
	if err != nil {
		return nil, err
	}
	h, err := syscall.CreateFile(p, syscall.GENERIC_READ|syscall.GENERIC_WRITE, 0, nil, syscall.OPEN_ALWAYS, syscall.FILE_ATTRIBUTE_NORMAL, 0)
	if err == syscall.Errno(32) { // sharing violation
		return nil, errLocked
	}
	if err != nil {
		return nil, err
	}
	return os.NewFile(uintptr(h), name), nil
}
