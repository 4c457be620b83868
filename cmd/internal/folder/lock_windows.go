package folder

import (
	"errors"
	"path/filepath"
	"syscall"
)

// sharingViolation is ERROR_SHARING_VIOLATION of the Windows API, deleteOnClose
// its FILE_FLAG_DELETE_ON_CLOSE.
const (
	sharingViolation = syscall.Errno(32)
	deleteOnClose    = 0x04000000
)

// lock opens a file that nobody else may open meanwhile and that the system
// removes once it is closed, also for a program that was killed.
func lock(dir string) (unlock func(), err error) {
	name, err := syscall.UTF16PtrFromString(filepath.Join(dir, staging+"lock"))
	if err != nil {
		return nil, err
	}
	h, err := syscall.CreateFile(name, syscall.GENERIC_WRITE, 0, nil, syscall.OPEN_ALWAYS, syscall.FILE_ATTRIBUTE_HIDDEN|deleteOnClose, 0)
	switch {
	case errors.Is(err, sharingViolation) || errors.Is(err, syscall.ERROR_ACCESS_DENIED):
		return nil, errBusy
	case err != nil:
		return func() {}, nil
	}
	return func() { syscall.CloseHandle(h) }, nil
}
