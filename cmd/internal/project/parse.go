package project

import (
	"bytes"

	"strew/motif/say"
)

// What a project file may hold. One with more is some other file, and checking
// it key by key would take long.
const (
	mostBytes = 1 << 20
	mostLines = 10_000
)

// Parse checks the text of a project file for planning a skirt. The name
// is that of errors; paths in the file are relative to dir. Its error is a
// Problems with all that is wrong.
func Parse(data []byte, name, dir string) (Project, error) {
	return parse(data, name, dir, Overrides{}, false)
}

func parse(data []byte, name, dir string, o Overrides, lay bool) (Project, error) {
	if len(data) > mostBytes {
		return Project{}, fileError(name, say.New("it is larger than 1 MB, so it is not a project file; name the .toml file of the project"))
	}
	if bytes.Count(data, []byte("\n")) > mostLines {
		return Project{}, fileError(name, say.New("it has more than %d lines, so it is not a project file; name the .toml file of the project", mostLines))
	}
	return check(data, name, dir, lay).with(o).complete()
}

// fileError is a problem of the file as a whole.
func fileError(name string, what say.Message) Problems { return Problems{{File: name, What: what}} }
