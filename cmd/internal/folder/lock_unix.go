//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package folder

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

func lock(dir string) (unlock func(), err error) {
	f, err := os.Open(dir)
	switch {
	case errors.Is(err, fs.ErrPermission): // it may still be written to
		return func() {}, nil
	case err != nil:
		return nil, err
	}
	switch err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); {
	case errors.Is(err, syscall.EWOULDBLOCK):
		f.Close()
		return nil, errBusy
	case err != nil: // a file system without locks
		f.Close()
		return func() {}, nil
	}
	return func() { f.Close() }, nil
}
