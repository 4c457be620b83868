package project

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// What a project file may hold; one with more is some other file, and would
// take long to be told so key by key.
const (
	mostBytes = 1 << 20
	mostLines = 10_000
)

// Load reads and checks the project file for planning a skirt. Its error is
// an Errors with all that is wrong.
func Load(path string) (Project, error) { return load(path, Overrides{}, false) }

// LoadWith is Load with overrides laid over the file: a file without a
// spacing is good if the overrides have one.
func LoadWith(path string, o Overrides) (Project, error) { return load(path, o, false) }

// LoadLay reads the project file for laying the motifs' own cut numbers on
// sheets: the skirt and the scatter may be left out (Skirt and Scatter are then
// empty), and some motif must have a cut number.
func LoadLay(path string, o Overrides) (Project, error) { return load(path, o, true) }

// Parse checks the text of a project file for planning a skirt. The name
// stands in errors; paths in the file are relative to dir.
func Parse(data []byte, name, dir string) (Project, error) {
	return parse(data, name, dir, Overrides{}, false)
}

func parse(data []byte, name, dir string, o Overrides, lay bool) (Project, error) {
	if len(data) > mostBytes {
		return Project{}, fileError(name, "it is larger than 1 MB, so it is no project file; name the .toml file of the project")
	}
	if bytes.Count(data, []byte("\n")) > mostLines {
		return Project{}, fileError(name, fmt.Sprintf("it has more than %d lines, so it is no project file; name the .toml file of the project", mostLines))
	}
	return readDocument(data, name, dir, lay).with(o).complete()
}

func load(path string, o Overrides, lay bool) (Project, error) {
	data, err := readFile(path)
	if err != nil {
		return Project{}, err
	}
	return parse(data, path, filepath.Dir(path), o, lay)
}

// readFile reads at most one byte more than a project file may hold.
func readFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fileError(path, `there is no such file; check the name, or write a project to start from with "strew init"`)
	case err != nil:
		return nil, fileError(path, "it cannot be read: "+reason(err))
	case info.IsDir():
		inside := filepath.Join(path, starter)
		if _, err := os.Stat(inside); err == nil {
			e := fileError(path, "it is a folder; name the project file in it")
			e[0].Hint = didYouMean(inside)
			return nil, e
		}
		return nil, fileError(path, "it is a folder; name a project file")
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fileError(path, "it cannot be read: "+reason(err))
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostBytes+1))
	if err != nil {
		return nil, fileError(path, "it cannot be read: "+reason(err))
	}
	return data, nil
}

// fileError is a problem of the file as a whole.
func fileError(name, msg string) Errors { return Errors{{File: name, Msg: msg}} }

// reason is the system's word for a failure, without the path said already.
func reason(err error) string {
	var at *fs.PathError
	if errors.As(err, &at) {
		return fmt.Sprint(at.Err)
	}
	return err.Error()
}
