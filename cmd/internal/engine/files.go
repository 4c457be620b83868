package engine

import (
	"bytes"
	"io/fs"
	"path"
	"time"

	"strew/cmd/internal/project"
)

// Files holds files in memory by name; names are paths with slashes.
type Files map[string][]byte

// Open opens the file of that name. It implements fs.FS without folders.
func (f Files) Open(name string) (fs.File, error) {
	data, ok := f[path.Clean(name)]
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return &file{Reader: bytes.NewReader(data), name: path.Base(name)}, nil
}

// file is an open file, and its own fs.FileInfo.
type file struct {
	*bytes.Reader
	name string
}

func (f *file) Stat() (fs.FileInfo, error) { return f, nil }
func (f *file) Close() error               { return nil }
func (f *file) Name() string               { return f.name }
func (f *file) Mode() fs.FileMode          { return 0o444 }
func (f *file) ModTime() time.Time         { return time.Time{} } // not known, so the planner compares contents
func (f *file) IsDir() bool                { return false }
func (f *file) Sys() any                   { return nil }

// open reads the project called name, or the built-in example for "", and returns
// the files that its drawings are read from.
func open(files Files, name string) (project.Project, fs.FS, error) {
	if name == "" {
		p, own := project.Example()
		return p, own, nil
	}
	data, err := fs.ReadFile(files, name)
	if err != nil {
		return project.Project{}, nil, err
	}
	p, err := project.Parse(data, name, path.Dir(name))
	return p, beside{files, path.Dir(name)}, err
}

// beside opens files by paths relative to a folder.
type beside struct {
	files  Files
	folder string
}

func (b beside) Open(name string) (fs.File, error) {
	if path.IsAbs(name) {
		return b.files.Open(name)
	}
	return b.files.Open(path.Join(b.folder, name))
}
