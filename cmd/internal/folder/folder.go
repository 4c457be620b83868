// Package folder writes a folder of results whole or not at all.
//
// Everything is written beside the folder first. Only then are the files of an
// earlier run moved out and the new ones moved in; if a move fails, all of them
// are taken back. Files that no earlier run wrote are never touched.
package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// File is one result: a plain name and its bytes.
type File struct {
	Name string
	Data []byte
}

// Taken tells that a result would overwrite a file no earlier run wrote.
type Taken struct{ Path string }

func (e *Taken) Error() string {
	return fmt.Sprintf("%s is there already and no earlier run wrote it; move it away, or choose another folder with -o", e.Path)
}

// Check reports whether Replace could write to dir, without writing: so that
// long work is not done for nothing. names are the results to come.
func Check(dir string, names, earlier []string) error {
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		parent := filepath.Dir(filepath.Clean(dir))
		for {
			info, err := os.Stat(parent)
			if err == nil && !info.IsDir() {
				return fmt.Errorf("%s cannot hold a folder: it is a file", parent)
			}
			if err == nil {
				return probe(parent)
			}
			up := filepath.Dir(parent)
			if up == parent || !errors.Is(err, fs.ErrNotExist) {
				return plain("cannot look into "+parent, err)
			}
			parent = up
		}
	case err != nil:
		return plain("cannot look into "+dir, err)
	case !info.IsDir():
		return fmt.Errorf("%s is a file; choose another folder with -o", dir)
	}
	for _, name := range names {
		path := filepath.Join(dir, name)
		if _, err := os.Lstat(path); err == nil && !slices.Contains(earlier, name) {
			return &Taken{path}
		}
	}
	return probe(dir)
}

// probe finds out whether dir can be written to by making a file in it.
func probe(dir string) error {
	f, err := os.CreateTemp(dir, ".strew-*")
	if err != nil {
		return plain("cannot write to "+dir, err)
	}
	f.Close()
	return os.Remove(f.Name())
}

// Replace makes files the results in dir, in place of those of earlier that an
// earlier run wrote there. dir and its parents are made where they are missing.
func Replace(dir string, files []File, earlier []string) (err error) {
	names := make([]string, len(files))
	for i, f := range files {
		if f.Name != filepath.Base(f.Name) || f.Name == "." || f.Name == ".." {
			panic("folder: a result's name is not plain: " + f.Name)
		}
		names[i] = f.Name
	}
	if err := Check(dir, names, earlier); err != nil {
		return err
	}
	parent := filepath.Dir(filepath.Clean(dir))
	made, err := makeAll(parent)
	defer func() {
		if err != nil {
			for _, d := range slices.Backward(made) {
				os.Remove(d) // only what is empty goes
			}
		}
	}()
	if err != nil {
		return plain("cannot make the folder "+parent, err)
	}
	_, statErr := os.Stat(dir)
	fresh := errors.Is(statErr, fs.ErrNotExist)
	// The folder for staging lies where renaming stays on one file system.
	at := parent
	if !fresh {
		at = dir
	}
	stage, err := os.MkdirTemp(at, ".strew-*")
	if err != nil {
		return plain("cannot write to "+at, err)
	}
	defer os.RemoveAll(stage)
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(stage, f.Name), f.Data, 0o644); err != nil {
			return plain("cannot write "+f.Name, err)
		}
	}
	if fresh {
		if err := os.Chmod(stage, 0o755); err != nil {
			return plain("cannot write to "+stage, err)
		}
		if err := os.Rename(stage, dir); err != nil {
			return plain("cannot make the folder "+dir, err)
		}
		return nil
	}
	return swap(dir, stage, names, earlier)
}

// swap moves the earlier results out of dir and the staged ones in, and takes
// every move back if one fails.
func swap(dir, stage string, names, earlier []string) error {
	old := filepath.Join(stage, ".old")
	if err := os.Mkdir(old, 0o755); err != nil {
		return plain("cannot write to "+stage, err)
	}
	type move struct{ from, to string }
	var done []move
	do := func(from, to string) error {
		if err := os.Rename(from, to); err != nil {
			return err
		}
		done = append(done, move{from, to})
		return nil
	}
	err := func() error {
		for _, name := range earlier {
			if name != filepath.Base(name) {
				continue // not a name that Replace can have written
			}
			err := do(filepath.Join(dir, name), filepath.Join(old, name))
			if err != nil && !errors.Is(err, fs.ErrNotExist) {
				return plain("cannot replace "+name, err)
			}
		}
		for _, name := range names {
			if err := do(filepath.Join(stage, name), filepath.Join(dir, name)); err != nil {
				return plain("cannot write "+name, err)
			}
		}
		return nil
	}()
	if err != nil {
		for _, m := range slices.Backward(done) {
			err = errors.Join(err, os.Rename(m.to, m.from))
		}
	}
	return err
}

// makeAll makes dir and its missing parents and returns those it made.
func makeAll(dir string) (made []string, err error) {
	var missing []string
	for d := dir; ; d = filepath.Dir(d) {
		if _, err := os.Stat(d); err == nil || filepath.Dir(d) == d {
			break
		}
		missing = append(missing, d)
	}
	for _, d := range slices.Backward(missing) {
		if err := os.Mkdir(d, 0o755); err != nil {
			return made, err
		}
		made = append(made, d)
	}
	return made, nil
}

// plain says what could not be done and why, without the system call's name.
func plain(what string, err error) error {
	var pe *fs.PathError
	var le *os.LinkError
	switch {
	case errors.As(err, &pe):
		err = pe.Err
	case errors.As(err, &le):
		err = le.Err
	}
	return fmt.Errorf("%s: %w", what, err)
}
