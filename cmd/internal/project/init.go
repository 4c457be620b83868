package project

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// The built-in example is also what `strew init` writes: a project file that
// explains every key, and its drawings.
//
//go:embed example
var embedded embed.FS

// starter is the name of the project file that Init writes.
const starter = "project.toml"

// exampleFiles is the folder of the example: the project file and its drawings.
func exampleFiles() fs.FS {
	files, err := fs.Sub(embedded, "example")
	if err != nil {
		panic(err) // the folder is compiled in
	}
	return files
}

// Example returns the built-in project and the folder that the paths of its
// motifs are relative to.
func Example() (Project, fs.FS) {
	files := exampleFiles()
	data, err := fs.ReadFile(files, starter)
	if err != nil {
		panic(err) // the file is compiled in
	}
	p, err := Parse(data, "", "")
	if err != nil {
		panic(err) // the example is tested to be sound
	}
	return p, files
}

// Init writes a commented project file and its drawings into a folder, which
// it makes if need be, and returns the files' names, the project file first. It
// writes all of them or none, and never over a file that is there: then its
// error is an Errors that names it.
func Init(dir string) (names []string, err error) {
	dir = filepath.Clean(dir)
	files := exampleFiles()
	drawings, err := fs.Glob(files, "*.svg")
	if err != nil {
		return nil, err
	}
	names = append([]string{starter}, drawings...)
	var there []string
	for _, name := range names {
		if _, err := os.Lstat(filepath.Join(dir, name)); err == nil {
			there = append(there, name)
		}
	}
	if len(there) > 0 {
		return nil, fileError(dir, listing(there, "and")+" would be written over; move what is there away, or name another folder")
	}
	made, err := makeFolder(dir)
	defer func() {
		if err != nil {
			names = nil
			for _, path := range slices.Backward(made) {
				os.Remove(path) // made a moment ago; nothing more can be done
			}
		}
	}()
	if err != nil {
		return nil, fmt.Errorf("cannot make the folder %s: %s", dir, reason(err))
	}
	for _, name := range names {
		data, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		path := filepath.Join(dir, name)
		f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if err != nil {
			return nil, fmt.Errorf("cannot write %s: %s", path, reason(err))
		}
		made = append(made, path)
		_, err = f.Write(data)
		if err = errors.Join(err, f.Close()); err != nil {
			return nil, fmt.Errorf("cannot write %s: %s", path, reason(err))
		}
	}
	return names, nil
}

// makeFolder makes a folder and those above it, and returns what was not
// there, outermost first.
func makeFolder(dir string) (made []string, err error) {
	for d := filepath.Clean(dir); d != filepath.Dir(d); d = filepath.Dir(d) {
		if _, err := os.Lstat(d); err == nil {
			break
		}
		made = append([]string{d}, made...)
	}
	return made, os.MkdirAll(dir, 0o777)
}
