//go:build unix

package results

import (
	"os"
	"syscall"
)

// lock takes a file for this process; the system lets go of it when the process ends, however it ends.
func lock(name string) (*os.File, error) {
	f, err := os.OpenFile(name, os.O_CREATE|os.O_RDWR, 0o644)
	if err != nil {
		return nil, err
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		_ = f.Close()
		if err == syscall.EWOULDBLOCK {
			return nil, errLocked
		}
		return nil, err
	}
	return f, nil
}
