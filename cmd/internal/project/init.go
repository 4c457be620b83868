package project

import (
	"embed"
	"errors"
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
// it makes if need be, and returns the paths of the files. It writes all of them
// or none, and never over a file that is there.
func Init(dir string) (written []string, err error) {
	files := exampleFiles()
	names, err := fs.Glob(files, "*")
	if err != nil {
		return nil, err
	}
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
	if err != nil {
		return nil, fileError(dir, "the folder cannot be made: "+reason(err))
	}
	defer func() {
		if err == nil {
			return
		}
		for _, path := range slices.Backward(slices.Concat(made, written)) {
			os.Remove(path) // what was made a moment ago; nothing more can be done
		}
		written = nil
	}()
	for _, name := range names {
		data, err := fs.ReadFile(files, name)
		if err != nil {
			return written, err
		}
		path := filepath.Join(dir, name)
		f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if err != nil {
			return written, fileError(path, "it cannot be written: "+reason(err))
		}
		written = append(written, path)
		_, err = f.Write(data)
		if err = errors.Join(err, f.Close()); err != nil {
			return written, fileError(path, "it cannot be written: "+reason(err))
		}
	}
	return written, nil
}

// makeFolder makes a folder and those above it, and returns what was not
// there, outermost first.
func makeFolder(dir string) (made []string, err error) {
	for d := filepath.Clean(dir); ; d = filepath.Dir(d) {
		if _, err := os.Stat(d); err == nil || d == filepath.Dir(d) {
			break
		}
		made = append([]string{d}, made...)
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, err
	}
	return made, nil
}
