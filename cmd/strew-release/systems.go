package main

import (
	"embed"
	"strings"
)

// contents are the files that are packed beside the program.
//
//go:embed contents
var contents embed.FS

// system is one kind of computer to pack for.
type system struct {
	os, machine string // as Go names them
	called      string // as people do
	ending      string // of the archive
	parts       []part
}

// part is one file of an archive.
type part struct {
	name string
	// from is the file among the contents; "": it is the program.
	from  string
	plain bool // of a content: a text, not to be run; of a program: without a console
}

var linux = []part{
	{"strew", "", false},
	{"strew.desktop", "strew.desktop", false},
	{"Read me.txt", "linux.txt", true},
}

// macOS opens a terminal for a bare program, and none for a bundle.
var macOS = []part{
	{"strew.app/Contents/MacOS/strew", "", false},
	{"strew.app/Contents/MacOS/strew-page", "strew-page.sh", false},
	{"strew.app/Contents/Info.plist", "Info.plist", true},
	{"Read me.txt", "macos.txt", true},
}

// Windows opens a console for a program that is built to have one. The same program
// built without opens the page.
var windows = []part{
	{"strew.exe", "", false},
	{"strew-page.exe", "", true},
	{"Read me.txt", "windows.txt", true},
}

var systems = []system{
	{"linux", "amd64", "linux-x86_64", ".tar.gz", linux},
	{"linux", "arm64", "linux-arm64", ".tar.gz", linux},
	{"darwin", "arm64", "macos-apple", ".zip", macOS},
	{"darwin", "amd64", "macos-intel", ".zip", macOS},
	{"windows", "amd64", "windows", ".zip", windows},
}

// name is the file name of the archive.
func (s system) name(version string) string { return s.folder(version) + s.ending }

// folder is the one folder at the top of the archive.
func (s system) folder(version string) string { return "strew-" + version + "-" + s.called }

// archive builds and packs.
func (s system) archive(version string, build builder) ([]byte, error) {
	var list []file
	for _, p := range s.parts {
		f := file{name: s.folder(version) + "/" + p.name, runs: p.from == "" || !p.plain}
		var err error
		if p.from == "" {
			f.data, err = build(s.os, s.machine, version, !p.plain)
		} else {
			f.data, err = s.content(p.from, version)
		}
		if err != nil {
			return nil, err
		}
		list = append(list, f)
	}
	if s.ending == ".zip" {
		return packZip(list)
	}
	return packTarGz(list)
}

// content returns one of the contents, with the version in its place and with the
// line ends of the system.
func (s system) content(name, version string) ([]byte, error) {
	data, err := contents.ReadFile("contents/" + name)
	text := strings.ReplaceAll(string(data), "%VERSION%", version)
	if s.os == "windows" {
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	return []byte(text), err
}
