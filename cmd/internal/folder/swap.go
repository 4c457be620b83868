package folder

import (
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// A swap replaces files of a folder by others, all of them or none. Its
// staging folder lies in the folder, or beside it where the folder is yet to be
// made, and holds:
//
//	new/      the new files, until they are moved in
//	old/      the files they replace, once those are moved out
//	a journal with the names and hashes of both
//
// The journal's name says how far the swap is: journal.json while files are
// staged, moving.json before the first file moves and done.json after the last.
type swap struct {
	disk    disk
	dir     string // whose files are replaced
	work    string // the staging folder
	journal journal
}

// staging begins the names of staging folders.
const staging = ".strew-new-"

const (
	staged = "journal.json"
	moving = "moving.json"
	done   = "done.json"
)

const journalFormat = "strew-swap/1"

// journal is what a swap moves: hashes by names. Old has the hashes of earlier
// results as strew wrote them; a file with another hash was edited.
type journal struct {
	Format string            `json:"format"`
	New    map[string]string `json:"new"`
	Old    map[string]string `json:"old"`
}

// stage writes files to a new staging folder in at, to take the place of those
// in old.
func stage(ctx context.Context, d disk, at, dir string, files []File, old map[string]string) (s swap, err error) {
	s = swap{disk: d, dir: dir, journal: journal{journalFormat, map[string]string{}, old}}
	for _, f := range files {
		s.journal.New[f.Name] = hash(f.Data)
	}
	if s.work, err = d.MkdirTemp(at, staging+"*"); err != nil {
		return s, cannot("cannot write to %s: %s", at, err)
	}
	text, err := json.MarshalIndent(s.journal, "", "  ")
	if err != nil {
		panic(err) // maps of strings
	}
	err = d.WriteFile(s.in(staged), text)
	if err == nil {
		err = d.Mkdir(s.in("new"))
	}
	if err == nil {
		err = d.Mkdir(s.in("old"))
	}
	if err != nil {
		s.clear()
		return s, cannot("cannot write to %s: %s", at, err)
	}
	for _, f := range files {
		err := ctx.Err()
		if err == nil {
			err = d.WriteFile(s.in("new", f.Name), f.Data)
		}
		if err == nil {
			continue
		}
		s.clear()
		if ctx.Err() == nil {
			err = cannot("cannot write %s: %s", f.Name, err)
		}
		return s, err
	}
	return s, nil
}

// in is a path in the staging folder.
func (s swap) in(parts ...string) string {
	return filepath.Join(append([]string{s.work}, parts...)...)
}

// becomes makes the staged files the folder itself, which is not there yet.
func (s swap) becomes() error {
	defer s.clear()
	if err := s.disk.Rename(s.in("new"), s.dir); err != nil {
		return cannot("cannot make the folder %s: %s", s.dir, err)
	}
	return nil
}

// run moves the old files out and the new ones in, and returns the old ones
// that had been edited. After an error everything is as it was.
func (s swap) run() ([]Kept, error) {
	if err := s.move(); err != nil {
		kept, undone := s.undo()
		if undone == nil {
			s.clear()
		}
		return kept, errors.Join(err, undone)
	}
	// The new files are in place. What cannot be finished now is finished at
	// the next start.
	kept, err := s.finish()
	if err == nil {
		s.clear()
	}
	return kept, nil
}

func (s swap) move() error {
	if err := s.disk.Rename(s.in(staged), s.in(moving)); err != nil {
		return cannot("cannot write to %s: %s", s.work, err)
	}
	for _, name := range slices.Sorted(maps.Keys(s.journal.Old)) {
		at := filepath.Join(s.dir, name)
		info, err := s.disk.Lstat(at)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			continue
		case err == nil && !info.Mode().IsRegular():
			return cameToBe(at)
		case err == nil:
			err = s.disk.Rename(at, s.in("old", name))
		}
		if err != nil {
			return cannot("cannot replace %s: %s", at, err)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(s.journal.New)) {
		to := filepath.Join(s.dir, name)
		there, err := present(s.disk, to)
		if there {
			return cameToBe(to)
		}
		if err == nil {
			err = s.disk.Rename(s.in("new", name), to)
		}
		if err != nil {
			return cannot("cannot write %s: %s", to, err)
		}
	}
	if err := s.disk.Rename(s.in(moving), s.in(done)); err != nil {
		return cannot("cannot write to %s: %s", s.work, err)
	}
	return nil
}

// cameToBe is the error of a thing that was not there when the swap began.
func cameToBe(path string) error {
	return refused("%s appeared while strew was at work; move it away, or name another folder with -o", path)
}

// undo takes back what was moved so far. What somebody has put in the place of
// an old file since stays; the old file is then kept beside it.
func (s swap) undo() (kept []Kept, err error) {
	for _, name := range slices.Sorted(maps.Keys(s.journal.New)) {
		at, back := filepath.Join(s.dir, name), s.in("new", name)
		there, err := present(s.disk, back)
		if err != nil {
			return kept, err
		}
		if there {
			continue // it was not moved in
		}
		sum, err := hashOf(s.disk, at)
		if err != nil {
			return kept, err
		}
		if sum == s.journal.New[name] {
			if err := s.disk.Rename(at, back); err != nil {
				return kept, err
			}
		}
	}
	for _, name := range slices.Sorted(maps.Keys(s.journal.Old)) {
		out, at := s.in("old", name), filepath.Join(s.dir, name)
		moved, err := present(s.disk, out)
		if err != nil {
			return kept, err
		}
		taken, err := present(s.disk, at)
		switch {
		case err != nil:
			return kept, err
		case !moved:
			continue
		case taken:
			k, err := s.beside(name)
			if err != nil {
				return kept, err
			}
			kept = append(kept, k)
			continue
		}
		if err := s.disk.Rename(out, at); err != nil {
			return kept, err
		}
	}
	return kept, s.rest(moving)
}

// finish removes the old files and keeps those that had been edited.
func (s swap) finish() (kept []Kept, err error) {
	for _, name := range slices.Sorted(maps.Keys(s.journal.Old)) {
		out := s.in("old", name)
		there, err := present(s.disk, out)
		if err != nil {
			return kept, err
		}
		if !there {
			continue
		}
		sum, err := hashOf(s.disk, out)
		if err != nil {
			return kept, err
		}
		if sum == s.journal.Old[name] {
			if err := s.disk.Remove(out); err != nil {
				return kept, err
			}
			continue
		}
		k, err := s.beside(name)
		if err != nil {
			return kept, err
		}
		kept = append(kept, k)
	}
	return kept, s.rest(done)
}

// beside moves an old file to a free name beside the one that took its place.
func (s swap) beside(name string) (Kept, error) {
	ext := filepath.Ext(name)
	stem := strings.TrimSuffix(name, ext)
	for n := 1; ; n++ {
		as := stem + ".yours" + ext
		if n > 1 {
			as = stem + ".yours-" + strconv.Itoa(n) + ext
		}
		there, err := present(s.disk, filepath.Join(s.dir, as))
		if err != nil {
			return Kept{}, err
		}
		if !there {
			return Kept{name, as}, s.disk.Rename(s.in("old", name), filepath.Join(s.dir, as))
		}
	}
}

// rest says that nothing is left to move: only then may the staged files go.
func (s swap) rest(from string) error {
	there, err := present(s.disk, s.in(from))
	if err != nil || !there {
		return err // the journal was not renamed yet
	}
	return s.disk.Rename(s.in(from), s.in(staged))
}

// clear removes what a swap at rest has staged, and nothing else. What cannot
// be removed now is cleared at the next start.
func (s swap) clear() {
	for name := range s.journal.New {
		if info, err := s.disk.Lstat(s.in("new", name)); err == nil && info.Mode().IsRegular() {
			_ = s.disk.Remove(s.in("new", name)) // then the next removal fails as well
		}
	}
	// The journal goes when it has nothing more to name.
	for _, path := range []string{s.in("new"), s.in("old"), s.in(staged), s.work} {
		if err := s.disk.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return
		}
	}
}
