package folder

import (
	"errors"
	"io/fs"
	"os"

	"strew/motif/say"
)

// disk is what this package asks of a file system; tests let each step fail or
// be the last one of a run.
type disk interface {
	Stat(name string) (fs.FileInfo, error)
	Lstat(name string) (fs.FileInfo, error)
	ReadDir(name string) ([]fs.DirEntry, error)
	ReadFile(name string) ([]byte, error)
	Mkdir(name string) error
	MkdirTemp(dir, pattern string) (string, error)
	WriteFile(name string, data []byte) error // of a file that is not there
	Rename(from, to string) error
	Remove(name string) error // a file or an empty folder
	// Lock keeps other runs from the same folder until unlock is called or the
	// program ends, however it ends. The error is errBusy where another run
	// holds it.
	Lock(dir string) (unlock func(), err error)
}

// local is the file system of this machine.
type local struct{}

func (local) Stat(name string) (fs.FileInfo, error)         { return os.Stat(name) }
func (local) Lstat(name string) (fs.FileInfo, error)        { return os.Lstat(name) }
func (local) ReadDir(name string) ([]fs.DirEntry, error)    { return os.ReadDir(name) }
func (local) ReadFile(name string) ([]byte, error)          { return os.ReadFile(name) }
func (local) Mkdir(name string) error                       { return os.Mkdir(name, 0o777) }
func (local) MkdirTemp(dir, pattern string) (string, error) { return os.MkdirTemp(dir, pattern) }
func (local) Rename(from, to string) error                  { return os.Rename(from, to) }
func (local) Remove(name string) error                      { return os.Remove(name) }

func (local) WriteFile(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// errBusy is the error of a lock that another run holds.
var errBusy = errors.New("another run holds the folder")

// Lock locks the folder itself, so that a run that was killed leaves nothing
// behind. A file system without locks has none; then two runs at once are not
// kept apart.
func (local) Lock(dir string) (unlock func(), err error) { return lock(dir) }

// present reports whether something, of any kind, has the name.
func present(d disk, name string) (bool, error) {
	_, err := d.Lstat(name)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil, err
}

// most bytes of a result; a longer file is not one.
const mostBytes = 1 << 30

// hashOf returns the hash of a regular file, "" where there is none of the name.
func hashOf(d disk, name string) (string, error) {
	info, err := d.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "", nil
	case err != nil:
		return "", err
	case !info.Mode().IsRegular() || info.Size() > mostBytes:
		return "", nil
	}
	data, err := d.ReadFile(name)
	if err != nil {
		return "", err
	}
	return hash(data), nil
}

// cannot says what could not be done to which file, and the system's reason,
// without the call's name and the path, which stand in the text.
func cannot(text, path string, err error) error {
	var at *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &at):
		err = at.Err
	case errors.As(err, &link):
		err = link.Err
	}
	return say.Errorf(text, path, err)
}
