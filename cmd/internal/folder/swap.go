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

	"strew/motif/say"
)

// A swap replaces files of a folder by others so that a program that is killed
// at any step can be followed by one that makes the folder whole again. Its
// staging folder lies in the folder, or beside it where the folder is yet to be
// made, and holds:
//
//	new/      the new files, until they are moved in
//	old/      the files they replace, once those are moved out
//	a journal with the names and hashes of both
//
// The journal's name says how far the swap is. While files are staged it is
// journal.json; it becomes moving.json before the first file moves and
// done.json after the last. Each of these renamings is one step of the file
// system, so after a kill it is clear what to do: a swap that was moving is undone, one
// that was done is finished, and then as always the staging folder is cleared.
// Every step of undoing and finishing may itself be the last.
//
// This holds for a program that ends, not for a machine that loses power: the
// system is not made to write its buffers.
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

// undo takes back what was moved so far. What the maker has edited or put there
// since is kept beside the old file.
func (s swap) undo() (kept []Kept, err error) {
	for _, name := range slices.Sorted(maps.Keys(s.journal.New)) {
		k, err := s.takeOut(name)
		kept = append(kept, k...)
		if err != nil {
			return kept, err
		}
	}
	for _, name := range slices.Sorted(maps.Keys(s.journal.Old)) {
		out, at := s.in("old", name), filepath.Join(s.dir, name)
		moved, err := present(s.disk, out)
		if err != nil {
			return kept, err
		}
		if !moved {
			continue
		}
		taken, err := present(s.disk, at)
		switch {
		case err != nil:
		case taken:
			var k Kept
			if k, err = s.beside(out, name); err == nil {
				kept = append(kept, k)
			}
		default:
			err = s.disk.Rename(out, at)
		}
		if err != nil {
			return kept, err
		}
	}
	return kept, s.rest(moving)
}

// takeOut moves a new file that was moved in back to where it was staged.
func (s swap) takeOut(name string) ([]Kept, error) {
	waits, err := present(s.disk, s.in("new", name))
	if err != nil || waits {
		return nil, err // it was not moved in, or is out again
	}
	if _, replaces := s.journal.Old[name]; replaces {
		moved, err := present(s.disk, s.in("old", name))
		if err != nil || !moved {
			return nil, err // the old file is there again
		}
	}
	at := filepath.Join(s.dir, name)
	sum, err := hashOf(s.disk, at)
	switch {
	case err != nil || sum == "": // there is no file
		return nil, err
	case sum == s.journal.New[name]:
		return nil, s.disk.Rename(at, s.in("new", name))
	}
	k, err := s.beside(at, name)
	return []Kept{k}, err
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
		k, err := s.beside(out, name)
		if err != nil {
			return kept, err
		}
		kept = append(kept, k)
	}
	return kept, s.rest(done)
}

// beside moves an edited file to a free name beside the result of that name.
func (s swap) beside(from, name string) (Kept, error) {
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
			return Kept{name, as}, s.disk.Rename(from, filepath.Join(s.dir, as))
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

// repair makes dir whole again after runs that were killed: it undoes or
// finishes their swaps and clears their staging folders. No run may be writing
// to dir meanwhile. It returns the results that had been edited. A folder named
// like a staging folder that holds anything else stays.
func repair(d disk, dir string) (kept []Kept, err error) {
	entries, err := d.ReadDir(dir)
	if err != nil {
		return nil, cannot("cannot look into %s: %s", dir, err)
	}
	for _, e := range entries {
		if !e.IsDir() || !strings.HasPrefix(e.Name(), staging) {
			continue
		}
		k, err := repairOne(swap{disk: d, dir: dir, work: filepath.Join(dir, e.Name())})
		kept = append(kept, k...)
		if err != nil {
			return kept, say.Errorf("%s was left by a run that was stopped, and cannot be cleared up: %s", filepath.Join(dir, e.Name()), err)
		}
	}
	return kept, nil
}

// repairOne does the work of repair for one staging folder.
func repairOne(s swap) (kept []Kept, err error) {
	inside, err := s.disk.ReadDir(s.work)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil // cleared meanwhile, on a disk without locks
	}
	if err != nil {
		return nil, err
	}
	at := ""
	for _, e := range inside {
		switch e.Name() {
		case staged, moving, done:
			if !e.Type().IsRegular() || at != "" {
				return nil, nil // not ours
			}
			at = e.Name()
		case "new", "old":
			if !e.IsDir() {
				return nil, nil // not ours
			}
		default:
			return nil, nil // not ours
		}
	}
	if at == "" {
		if len(inside) == 0 {
			if err := s.disk.Remove(s.work); !errors.Is(err, fs.ErrNotExist) {
				return nil, err
			}
		}
		return nil, nil // not ours
	}
	data, err := s.disk.ReadFile(s.in(at))
	if err != nil {
		return nil, err
	}
	if json.Unmarshal(data, &s.journal) != nil || s.journal.Format != journalFormat {
		// Killed while the journal was written, before anything else was.
		if len(inside) == 1 && at == staged {
			s.clear()
		}
		return nil, nil
	}
	for _, list := range []map[string]string{s.journal.New, s.journal.Old} {
		for name := range list {
			if !plain(name) {
				return nil, nil // not a journal that strew wrote
			}
		}
	}
	switch at {
	case moving:
		kept, err = s.undo()
	case done:
		kept, err = s.finish()
	}
	if err == nil {
		s.clear()
	}
	return kept, err
}
