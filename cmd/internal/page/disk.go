package page

import (
	"crypto/rand"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// disk is how files are written; tests let each step fail or be the last one of a
// run.
type disk interface {
	// Fill writes a file that is not there, down to the disk itself.
	Fill(name string, data []byte, mode fs.FileMode) error
	Chmod(name string, mode fs.FileMode) error
	Rename(from, to string) error
	Remove(name string) error
	MkdirAll(dir string, mode fs.FileMode) error
}

// local is the file system of this machine.
type local struct{}

func (local) Chmod(name string, mode fs.FileMode) error   { return os.Chmod(name, mode) }
func (local) Rename(from, to string) error                { return os.Rename(from, to) }
func (local) Remove(name string) error                    { return os.Remove(name) }
func (local) MkdirAll(dir string, mode fs.FileMode) error { return os.MkdirAll(dir, mode) }

func (local) Fill(name string, data []byte, mode fs.FileMode) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

const (
	ours    = 0o666 // a new file of the maker's, less what her umask takes away
	private = 0o600 // what is in the configuration folder
	closed  = 0o700 // a folder there
)

// halfway is in the name of a file that is still being written.
const halfway = ".strew-"

// replace makes data the contents of a file: of the file that a link leads to, with
// the mode that it has, or of a new one of the mode given. Whenever the program ends
// or the disk is full, the file holds all of the old contents or all of the new.
func replace(d disk, name string, data []byte, mode fs.FileMode) error {
	if target, err := filepath.EvalSymlinks(name); err == nil {
		name = target
	}
	old, err := os.Stat(name)
	there := err == nil
	if there && !old.Mode().IsRegular() {
		return &fs.PathError{Op: "write", Path: name, Err: errNoFile}
	}
	sweep(d, name)
	temp := filepath.Join(filepath.Dir(name), "."+filepath.Base(name)+halfway+rand.Text())
	err = d.Fill(temp, data, mode)
	if err == nil && there {
		err = d.Chmod(temp, old.Mode().Perm())
	}
	if err == nil {
		err = d.Rename(temp, name)
	}
	if err != nil {
		_ = d.Remove(temp) // the first error is the one to tell
	}
	return err
}

// sweep removes what a killed run left of a file.
func sweep(d disk, name string) {
	list, err := os.ReadDir(filepath.Dir(name))
	if err != nil {
		return
	}
	begin := "." + filepath.Base(name) + halfway
	for _, e := range list {
		if n := e.Name(); len(n) > len(begin) && n[:len(begin)] == begin {
			_ = d.Remove(filepath.Join(filepath.Dir(name), n)) // it does no harm
		}
	}
}

var errNoFile = errors.New("it is not an ordinary file")

// cannot is an error for the maker: what could not be done to which file, and why.
func cannot(text, path string, err error) error {
	return refused(text, path, reason(err))
}

// reason says why a file could not be read or written.
func reason(err error) string {
	switch {
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT):
		return refused("the disk is full").Error()
	case errors.Is(err, syscall.EROFS):
		return refused("it can only be read there").Error()
	case errors.Is(err, fs.ErrPermission):
		return refused("your computer does not allow it").Error()
	case errors.Is(err, fs.ErrNotExist):
		return refused("it is not there").Error()
	}
	var at *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &at):
		err = at.Err
	case errors.As(err, &link):
		err = link.Err
	}
	return err.Error()
}
