package project

import (
	"embed"
	"io/fs"
)

// The built-in example is also what Init writes: a project file that explains
// every key, and its drawings.
//
//go:embed example
var embedded embed.FS

// starter is the name of the project file that Init writes.
const starter = "project.toml"

// StarterTitle is the title of a project that is begun.
const StarterTitle = "My skirt"

// exampleFiles is the folder of the example: the project file and its drawings.
func exampleFiles() fs.FS {
	files, err := fs.Sub(embedded, "example")
	if err != nil {
		panic(err) // the folder is compiled in
	}
	return files
}

// ExampleFiles returns the text of the built-in project, and the folder that the
// paths in it are relative to.
func ExampleFiles() (text []byte, drawings fs.FS) {
	files := exampleFiles()
	text, err := fs.ReadFile(files, starter)
	if err != nil {
		panic(err) // the file is compiled in
	}
	return text, files
}

// Example returns the built-in project and the folder that the paths of its
// motifs are relative to.
func Example() (Project, fs.FS) {
	data, files := ExampleFiles()
	p, err := Parse(data, "", "")
	if err != nil {
		panic(err) // the example is tested to be sound
	}
	return p, files
}
