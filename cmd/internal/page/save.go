package page

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"strew/cmd/internal/desk"
	"strew/cmd/internal/folder"
	"strew/cmd/internal/project"
	"strew/cmd/internal/results"
	"strew/motif/say"
)

// target is what a save is asked for.
type target struct {
	Path  string `json:"path"`  // a folder, or a file that ends in .toml; "": where it lies
	Force bool   `json:"force"` // also over what another program or person wrote
}

// save writes the open project: its drawings first and its file last, each whole or
// not at all, so that whatever happens the file names no drawing that is missing. It
// returns the path of the file. The error is a clash where the file was changed by
// another program or is another project, and that may be overwritten by force.
func (s *shelf) save(to target) (string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	now := s.desk.Snapshot()
	path := now.Place
	if to.Path != "" {
		path = fileIn(to.Path, now)
	}
	if path == "" {
		return "", refused("choose a folder to save it in")
	}
	if to.Path != "" {
		var err error
		if path, err = s.inside(path); err != nil {
			return "", err
		}
	}
	if err := s.mayReplace(now.Place, path, to.Force); err != nil {
		return "", err
	}
	dir := filepath.Dir(path)
	if err := s.disk.MkdirAll(dir, 0o777); err != nil {
		return "", cannot("the folder %s cannot be made: %s", dir, err)
	}
	text, err := s.saveDrawings(now, dir)
	if err != nil {
		return "", err
	}
	if err := replace(s.disk, path, text, ours); err != nil {
		return "", cannot("%s was not saved, and is as it was: %s", path, err)
	}
	s.read[path] = stampOf(path, text)
	s.desk.Saved(now.Rev, desk.Project{Text: text, Files: project.Beside(dir), Place: path})
	s.desk.ChangedOutside(false)
	s.opened(path)
	if !s.desk.Snapshot().Unsaved {
		s.notes.forget(s.notes.id)
	}
	return path, nil
}

// fileIn is the project file for a place that the maker chose: in a folder of its own
// there, named after the title, unless the project lies in that folder already.
func fileIn(place string, now desk.Snapshot) string {
	switch {
	case strings.EqualFold(filepath.Ext(place), ".toml"):
		return place
	case now.Place != "" && filepath.Dir(now.Place) == real(place):
		return now.Place
	}
	return filepath.Join(place, results.Slug(now.Title), projectFile)
}

// mayReplace refuses to write over what the maker may not know: a project at another
// path than her own place, or changes by another program. The caller holds the shelf.
func (s *shelf) mayReplace(place, path string, force bool) error {
	switch {
	case force || missing(path):
		return nil
	case path != place:
		return clash{refusal{Refused: say.Printer{}.Say("there is already a project at %s", path), Exists: true}}
	case s.changed(path):
		return clash{refusal{Refused: say.Printer{}.Say("another program has changed %s since it was opened; open it again, or save over it", path), Changed: true}}
	}
	return nil
}

// saveDrawings writes the drawings that dir, where the project file goes, does not
// have yet, and returns the text of the project file: with other paths where a
// drawing lay outside the old folder or the name is taken.
func (s *shelf) saveDrawings(now desk.Snapshot, dir string) ([]byte, error) {
	doc, err := project.ReadDocument(now.Text)
	if err != nil {
		return nil, err
	}
	moved := now.Place == "" || filepath.Dir(now.Place) != dir
	as := map[string]string{} // paths as written, and as they are to be written
	changed := false
	for _, key := range slices.Sorted(maps.Keys(now.Drawings)) {
		was := now.Drawings[key]
		_, added := now.Added[was]
		if filepath.IsAbs(was) || !moved && !added {
			continue
		}
		if _, done := as[was]; !done {
			if as[was], err = s.saveDrawing(now.Files, was, dir); err != nil {
				return nil, err
			}
		}
		if as[was] != was {
			if doc, err = doc.Set(key, as[was]); err != nil {
				return nil, err
			}
			changed = true
		}
	}
	if !changed {
		return now.Text, nil
	}
	return doc.Bytes(), nil
}

// saveDrawing writes one drawing into dir, and returns its path there. One that
// cannot be read is left out: the project is saved all the same.
func (s *shelf) saveDrawing(from fs.FS, was, dir string) (string, error) {
	data, err := readDrawing(from, was)
	if err != nil {
		return was, nil
	}
	local := filepath.FromSlash(was)
	if !filepath.IsLocal(local) {
		local = filepath.Base(local)
	}
	ext := filepath.Ext(local)
	stem := strings.TrimSuffix(local, ext)
	for n := 2; ; n++ {
		full := filepath.Join(dir, local)
		there, err := os.ReadFile(full)
		switch {
		case err == nil && bytes.Equal(there, data):
			return filepath.ToSlash(local), nil
		case missing(full):
			if err = s.disk.MkdirAll(filepath.Dir(full), 0o777); err == nil {
				err = replace(s.disk, full, data, ours)
			}
			if err != nil {
				return "", cannot("the drawing %s was not saved: %s", full, err)
			}
			return filepath.ToSlash(local), nil
		}
		local = fmt.Sprintf("%s-%d%s", stem, n, ext) // the name is taken
	}
}

// readDrawing reads an ordinary file of the size of a drawing.
func readDrawing(from fs.FS, name string) ([]byte, error) {
	info, err := fs.Stat(from, name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() || info.Size() > mostOfFile {
		return nil, &fs.PathError{Op: "read", Path: name, Err: errNoFile}
	}
	return fs.ReadFile(from, name)
}

// everything is what saveAll answers.
type everything struct {
	Path    string   `json:"path"`    // of the folder of results
	Project string   `json:"project"` // of the project file
	Kept    []string `json:"kept"`    // what is told of results that were edited
}

// saveAll saves the project, and writes its results into the folder that "strew
// plan" would write.
func (s *shelf) saveAll(ctx context.Context, to target) (everything, error) {
	path, err := s.save(to)
	if err != nil {
		return everything{}, err
	}
	dir := filepath.Join(filepath.Dir(path), results.Slug(s.desk.Snapshot().Title))
	place := folder.New(dir, folder.Owner{Command: "plan", Project: path})
	out := everything{Path: dir, Project: path, Kept: []string{}}
	kept, err := place.Prepare(nil)
	if err != nil {
		return out, toTell(dir, err)
	}
	files, err := s.desk.Results(ctx)
	if err != nil {
		return out, err
	}
	list := make([]folder.File, len(files))
	for i, f := range files {
		list[i] = folder.File{Name: f.Name, Data: f.Data}
	}
	more, err := place.Replace(ctx, list)
	for _, k := range append(kept, more...) {
		out.Kept = append(out.Kept, say.Printer{}.Message(k.Say()))
	}
	if err != nil {
		return out, toTell(dir, err)
	}
	return out, nil
}

// toTell is an error of a folder of results as one for the maker, who names no
// folders here.
func toTell(dir string, err error) error {
	var full *folder.Refused
	if errors.As(err, &full) {
		return refused("%s holds something that is not of this project's results; move that folder away, or give the project another title", dir)
	}
	return desk.Refused{Text: say.Printer{}.Error(err)}
}
