package page

import (
	"os"
	"path/filepath"
	"slices"
	"strings"

	"strew/motif/say"
)

// root is a folder below which projects may be opened and saved.
type root struct {
	Name string `json:"name"`
	Path string `json:"path"` // absolute, without links
}

// rootsOf are the home folder, the one where the program was started, and that of the
// project it was started with. One that holds the home folder is left out: a program
// started by a double click may stand at the top of the disk.
func rootsOf(home, start, project string) []root {
	var out []root
	add := func(name, path string) {
		path = real(path)
		for _, r := range out {
			if within(r.Path, path) || within(path, r.Path) {
				return
			}
		}
		out = append(out, root{name, path})
	}
	if home != "" {
		add(say.Printer{}.Say("Home"), home)
	}
	if start != "" {
		add(filepath.Base(start), start)
	}
	if project != "" {
		at := real(project)
		if info, err := os.Stat(at); err != nil || !info.IsDir() {
			at = filepath.Dir(at)
		}
		add(filepath.Base(at), at)
	}
	return out
}

// real is the absolute path without links, as far as it exists.
func real(path string) string {
	abs, err := filepath.Abs(path)
	if err != nil {
		return path
	}
	rest := ""
	for at := abs; ; at = filepath.Dir(at) {
		if found, err := filepath.EvalSymlinks(at); err == nil {
			return filepath.Join(found, rest)
		}
		if filepath.Dir(at) == at {
			return abs
		}
		rest = filepath.Join(filepath.Base(at), rest)
	}
}

// within reports whether a path is dir or below it; both are real.
func within(dir, path string) bool {
	rel, err := filepath.Rel(dir, path)
	return err == nil && (rel == "." || filepath.IsLocal(rel))
}

// inside returns the real path of one that the page names. The error is for the
// maker where that is not below a root.
func (s *shelf) inside(path string) (string, error) {
	if !filepath.IsAbs(path) {
		return "", refused("%q is not a whole path; choose a folder from the list", path)
	}
	path = real(path)
	for _, r := range s.roots {
		if within(r.Path, path) {
			return path, nil
		}
	}
	return "", refused("%s is outside your own folders; choose one below your home folder", path)
}

// entry is a line of a folder's listing.
type entry struct {
	Name string `json:"name"`
	Path string `json:"path"`
	Kind string `json:"kind"` // "folder", "project", "drawing" or "zip"
}

// listing is what the page shows of a folder.
type listing struct {
	Path    string  `json:"path"`
	Up      string  `json:"up"` // the folder above; "": there is none to go to
	Roots   []root  `json:"roots"`
	Entries []entry `json:"entries"`
}

// kinds are the files that can be opened, by extension; all others are left out.
var kinds = map[string]string{
	".toml": "project", ".zip": "zip", ".svg": "drawing", ".png": "drawing", ".jpg": "drawing", ".jpeg": "drawing",
	".tif": "drawing", ".tiff": "drawing", ".webp": "drawing", ".bmp": "drawing",
}

// folders lists a folder: the first root where none is named.
func (s *shelf) folders(path string) (listing, error) {
	if path == "" {
		if len(s.roots) == 0 {
			return listing{}, refused("strew does not know your home folder; start it in the folder of your project")
		}
		path = s.roots[0].Path
	}
	at, err := s.inside(path)
	if err != nil {
		return listing{}, err
	}
	list, err := os.ReadDir(at)
	if err != nil {
		return listing{}, cannot("%s cannot be listed: %s", path, err)
	}
	out := listing{Path: at, Roots: s.roots, Entries: []entry{}}
	if up, err := s.inside(filepath.Dir(at)); err == nil && up != at {
		out.Up = up
	}
	for _, e := range list {
		if hidden(e) {
			continue
		}
		full := filepath.Join(at, e.Name())
		if _, err := s.inside(full); err != nil { // a link that leads out
			continue
		}
		info, err := os.Stat(full)
		if err != nil {
			continue // a link to nothing, or gone
		}
		switch kind := kinds[strings.ToLower(filepath.Ext(e.Name()))]; {
		case info.IsDir():
			out.Entries = append(out.Entries, entry{e.Name(), full, "folder"})
		case info.Mode().IsRegular() && kind != "":
			out.Entries = append(out.Entries, entry{e.Name(), full, kind})
		}
	}
	slices.SortStableFunc(out.Entries, func(a, b entry) int {
		if a, b := a.Kind == "folder", b.Kind == "folder"; a != b {
			if a {
				return -1
			}
			return 1
		}
		return strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
	})
	return out, nil
}
