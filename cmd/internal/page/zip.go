package page

import (
	"archive/zip"
	"bytes"
	"io"
	"path"
	"strings"

	"strew/cmd/internal/desk"
)

const (
	// mostInZip is how many files a zip may hold: a project has one for each motif.
	mostInZip = 1000
	// mostUnpacked is the most bytes of them all together, so that a small zip of
	// nothing but zeros does not fill the memory.
	mostUnpacked = 4 * mostOfFile
)

// openZip opens the project in a zip, with the drawings beside it. It has no place
// until it is saved.
func (s *shelf) openZip(data []byte) error {
	p, err := projectOf(data)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	was := s.desk.Snapshot()
	if err := s.desk.Open(p); err != nil {
		return err
	}
	s.setAside(was)
	s.notes.running("")
	return nil
}

// projectOf reads a project from a zip: the only project file in it or the one
// called project.toml, and every drawing by its path from there.
func projectOf(data []byte) (desk.Project, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	switch {
	case err != nil:
		return desk.Project{}, refused("this is not a zip that strew can read")
	case len(z.File) > mostInZip:
		return desk.Project{}, refused("this zip holds %d files; a project has %d at most", len(z.File), mostInZip)
	}
	file, err := projectInZip(z.File)
	if err != nil {
		return desk.Project{}, err
	}
	left := int64(mostUnpacked)
	text, err := unpacked(file, mostOfProject, &left)
	if err != nil {
		return desk.Project{}, err
	}
	p := desk.Project{Text: text, Added: map[string][]byte{}, Unsaved: true}
	for _, f := range z.File {
		if kinds[strings.ToLower(path.Ext(f.Name))] != "drawing" || !ordinary(f) {
			continue
		}
		data, err := unpacked(f, mostOfFile, &left)
		if err != nil {
			return desk.Project{}, err
		}
		p.Added[pathFrom(path.Dir(file.Name), f.Name)] = data
	}
	return p, nil
}

// ordinary reports whether a file of a zip has a sound name and is not hidden, as
// what some systems add to every zip is.
func ordinary(f *zip.File) bool {
	for _, part := range strings.Split(f.Name, "/") {
		if part == "" || strings.HasPrefix(part, ".") || part == "__MACOSX" {
			return false
		}
	}
	return f.Mode().IsRegular()
}

// projectInZip returns the project file.
func projectInZip(files []*zip.File) (*zip.File, error) {
	var found, named []*zip.File
	for _, f := range files {
		if kinds[strings.ToLower(path.Ext(f.Name))] != "project" || !ordinary(f) {
			continue
		}
		found = append(found, f)
		if path.Base(f.Name) == projectFile {
			named = append(named, f)
		}
	}
	switch {
	case len(found) == 0:
		return nil, refused("there is no project in this zip; a project is a file whose name ends in .toml")
	case len(found) == 1:
		return found[0], nil
	case len(named) == 1:
		return named[0], nil
	}
	return nil, refused("there are %d projects in this zip; unpack it, and open one of them", len(found))
}

// unpacked reads a file of at most that many bytes, and takes them off what is left
// for all.
func unpacked(f *zip.File, most int64, left *int64) ([]byte, error) {
	most = min(most, *left)
	r, err := f.Open()
	if err != nil {
		return nil, refused("%s in this zip cannot be read: %s", f.Name, err)
	}
	defer r.Close()
	data, err := io.ReadAll(io.LimitReader(r, most+1))
	switch {
	case err != nil:
		return nil, refused("%s in this zip cannot be read: %s", f.Name, err)
	case int64(len(data)) > most:
		return nil, refused("%s in this zip is too large", f.Name)
	}
	*left -= int64(len(data))
	return data, nil
}

// pathFrom returns the path of a file from a folder, both from the top of a zip.
func pathFrom(dir, name string) string {
	if dir == "." {
		return name
	}
	from, to := strings.Split(dir, "/"), strings.Split(name, "/")
	for len(from) > 0 && len(to) > 1 && from[0] == to[0] {
		from, to = from[1:], to[1:]
	}
	return strings.Repeat("../", len(from)) + strings.Join(to, "/")
}
