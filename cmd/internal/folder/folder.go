// Package folder writes a folder of results whole or not at all.
//
// Everything is written to a staging folder first; only then do the files of an
// earlier run move out and the new ones in. A run that is killed at any moment
// leaves a folder that the next run repairs. A record in the folder says whose
// results it holds, with a hash of each. Files that strew did not write are
// never touched, and results that were edited since are kept.
package folder

import (
	"context"
	"errors"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"

	"strew/motif/say"
)

// File is one result: its name, without a folder, and its bytes.
type File struct {
	Name string
	Data []byte
}

// Folder is a folder for the results of one owner. It need not exist.
type Folder struct {
	dir   string
	owner Owner
	disk  disk
}

// New returns the folder at the path dir for the results of owner.
func New(dir string, owner Owner) Folder { return Folder{filepath.Clean(dir), owner, local{}} }

// Refused is the error of a folder that may not be written to because of what
// it holds: results of others, or a file that strew did not write.
type Refused struct{ why say.Message }

// Error is the message in English.
func (e *Refused) Error() string { return e.why.String() }

// Say returns what stands in the way and what to do.
func (e *Refused) Say() say.Message { return e.why }

func refused(text string, args ...any) error { return &Refused{say.New(text, args...)} }

// Kept is a result that was edited since strew wrote it.
type Kept struct {
	Name string // of the result
	As   string // the file that now holds what was edited; "" if it stays where it is
}

// Say returns what to tell the maker about it.
func (k Kept) Say() say.Message {
	if k.As == "" {
		return say.New("%s was edited since strew wrote it; it is no longer one of the results and stays as it is", k.Name)
	}
	return say.New("%s was edited since strew wrote it; your version is kept as %s", k.Name, k.As)
}

// Prepare makes the folder whole if an earlier run was killed while it wrote
// there, and finds out, before long work, whether Replace can write to it.
// names are some of the results to come. The error is a *Refused where the
// folder holds something that may not be replaced. It returns the results that
// had been edited and were moved.
func (f Folder) Prepare(names []string) ([]Kept, error) {
	info, err := f.disk.Stat(f.dir)
	switch {
	case notThere(err):
		at, err := f.above()
		if err != nil {
			return nil, err
		}
		return nil, f.unlessBusy(at, func() error {
			_, _ = repair(f.disk, at) // the folder above is no part of f
			return f.probe(at)
		})
	case err != nil:
		return nil, cannot("cannot look into %s: %s", f.dir, err)
	case !info.IsDir():
		return nil, refused("%s is a file; name another folder with -o", f.dir)
	}
	f.repairAbove()
	var kept []Kept
	err = f.unlessBusy(f.dir, func() (err error) {
		if kept, err = repair(f.disk, f.dir); err != nil {
			return err
		}
		if _, err := f.allowed(names); err != nil {
			return err
		}
		return f.probe(f.dir)
	})
	return kept, err
}

// unlessBusy does work while it holds the folder dir. While another run writes
// there it does nothing: what it would find is not what Replace will find.
func (f Folder) unlessBusy(dir string, work func() error) error {
	unlock, err := f.lock(context.Background(), dir, haste)
	switch {
	case errors.Is(err, errBusy):
		return nil
	case err != nil:
		return cannot("cannot look into %s: %s", dir, err)
	}
	defer unlock()
	return work()
}

// repairAbove clears what killed runs left in the folder above, which is no
// part of f, so that no error of it matters.
func (f Folder) repairAbove() {
	at := filepath.Dir(f.dir)
	_ = f.unlessBusy(at, func() error {
		_, err := repair(f.disk, at)
		return err
	})
}

// above returns the nearest folder above f that exists.
func (f Folder) above() (string, error) {
	for at := filepath.Dir(f.dir); ; at = filepath.Dir(at) {
		info, err := f.disk.Stat(at)
		switch {
		case err == nil && !info.IsDir():
			return "", refused("%s is a file and cannot hold a folder; name another folder with -o", at)
		case err == nil:
			return at, nil
		case !notThere(err) || filepath.Dir(at) == at:
			return "", cannot("cannot look into %s: %s", at, err)
		}
	}
}

// notThere reports whether err is that of a path where nothing is, or that leads
// through a file.
func notThere(err error) bool {
	return errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR)
}

// probe finds out whether a folder can be written to. The caller holds it. On
// a disk without locks another run may clear what is made here: that is as well.
func (f Folder) probe(dir string) error {
	made, err := f.disk.MkdirTemp(dir, staging+"*")
	if err == nil {
		err = f.disk.Remove(made)
	}
	if err != nil && (made == "" || !errors.Is(err, fs.ErrNotExist)) {
		return cannot("cannot write to %s: %s", dir, err)
	}
	return nil
}

// allowed returns the record of the folder, nil for none, if the results named
// may be written there.
func (f Folder) allowed(names []string) (*record, error) {
	r, err := readRecord(f.disk, f.dir)
	if err != nil {
		return nil, err
	}
	if r != nil && !f.owner.owns(f.dir, *r) {
		return nil, f.othersIn(*r)
	}
	wrote := r.wrote()
	var foreign []string
	for _, name := range append([]string{RecordName}, names...) {
		path := filepath.Join(f.dir, name)
		info, err := f.disk.Lstat(path)
		switch {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			return nil, cannot("cannot look at %s: %s", path, err)
		case info.IsDir():
			return nil, refused("%s is a folder, and a result must have that name; move it away, or name another folder with -o", path)
		case !info.Mode().IsRegular():
			return nil, refused("%s is not an ordinary file, and a result must have that name; move it away, or name another folder with -o", path)
		case wrote[name] == "" && name == RecordName:
			return nil, refused("the record %s cannot be read; bring it back as it was, or move it and the results beside it away, or name another folder with -o", path)
		case wrote[name] == "":
			foreign = append(foreign, path)
		}
	}
	switch n := len(foreign); n {
	case 0:
		return r, nil
	case 1:
		return nil, refused("%s is already there and was not written by strew; move it away or delete it, or name another folder with -o", foreign[0])
	default:
		return nil, refused("%s and %d more are already there and were not written by strew; move them away or delete them, or name another folder with -o", foreign[0], n-1)
	}
}

// othersIn is the error of a folder whose record r is of another owner.
func (f Folder) othersIn(r record) error {
	call := "strew " + r.Command
	if r.Project == "" {
		if r.Command == "measure" { // which has no project
			return refused("%s holds the results of %q; name another folder with -o", f.dir, call)
		}
		return refused("%s holds the results of the built-in example; give your project another title, or name another folder with -o", f.dir)
	}
	project := filepath.Clean(projectPath(f.dir, r.Project))
	if there, err := present(f.disk, project); err == nil && !there {
		return refused("%s holds the results of %s, which is no longer there; move the folder away or delete it, or name another with -o", f.dir, project)
	}
	return refused("%s holds the results of %q; name another folder with -o", f.dir, call+" "+project)
}

// Replace makes files the results in the folder, in place of those that an
// earlier run of the same owner wrote there, and returns which of those had
// been edited. The folder and those above it are made where they are missing.
// After an error everything is as it was; so it is when ctx is cancelled before
// the first file has moved. It waits for another run that is writing to the
// same folder.
func (f Folder) Replace(ctx context.Context, files []File) (kept []Kept, err error) {
	if err := allPlain(files); err != nil {
		return nil, err
	}
	made, err := f.makeParents()
	defer func() {
		if err != nil {
			for _, d := range slices.Backward(made) {
				_ = f.disk.Remove(d) // only what is empty goes
			}
		}
	}()
	if err != nil {
		return nil, err
	}
	f.repairAbove()
	fresh, unlock, err := f.claim(ctx)
	if err != nil {
		return nil, err
	}
	defer unlock()
	if fresh {
		now := f.recordOf(files)
		s, err := stage(ctx, f.disk, filepath.Dir(f.dir), f.dir, append(slices.Clone(files), now.file()), nil)
		if err != nil {
			return nil, err
		}
		return nil, s.becomes()
	}
	kept, err = repair(f.disk, f.dir)
	if err != nil {
		return kept, err
	}
	names := make([]string, len(files))
	for i, file := range files {
		names[i] = file.Name
	}
	before, err := f.allowed(names)
	if err != nil {
		return kept, err
	}
	now := f.recordOf(files)
	out, left, err := f.earlier(before, now)
	if err != nil {
		return kept, err
	}
	s, err := stage(ctx, f.disk, f.dir, f.dir, append(slices.Clone(files), now.file()), out)
	if err != nil {
		return kept, err
	}
	moved, err := s.run()
	kept = append(append(kept, left...), moved...)
	slices.SortStableFunc(kept, func(a, b Kept) int { return strings.Compare(a.Name, b.Name) })
	return kept, err
}

// Overwrite writes files into the folder dir, which must be there, over files
// of the same names: all of them or none. The caller knows that those may be
// overwritten. It keeps no record.
func Overwrite(ctx context.Context, dir string, files []File) error {
	if err := allPlain(files); err != nil {
		return err
	}
	f := New(dir, Owner{})
	unlock, err := f.wait(ctx, f.dir)
	if err != nil {
		return err
	}
	defer unlock()
	if _, err := repair(f.disk, f.dir); err != nil {
		return err
	}
	old := map[string]string{}
	for _, file := range files {
		sum, err := hashOf(f.disk, filepath.Join(f.dir, file.Name))
		if err != nil {
			return cannot("cannot read %s: %s", filepath.Join(f.dir, file.Name), err)
		}
		if sum != "" {
			old[file.Name] = sum
		}
	}
	s, err := stage(ctx, f.disk, f.dir, f.dir, files, old)
	if err != nil {
		return err
	}
	_, err = s.run()
	return err
}

// allPlain refuses names that lead out of the folder or that strew needs itself.
func allPlain(files []File) error {
	for _, file := range files {
		if !plain(file.Name) || file.Name == RecordName {
			return say.Errorf("no result can have the name %q", file.Name)
		}
	}
	return nil
}

// recordOf is the record of the folder when it holds files.
func (f Folder) recordOf(files []File) *record {
	r := record{Format: recordFormat, Command: f.owner.Command, Project: f.owner.from(f.dir), Files: map[string]string{}}
	for _, file := range files {
		r.Files[file.Name] = hash(file.Data)
	}
	return &r
}

// earlier returns the results of the record before that give way to those of
// now, with their hashes as strew wrote them. An edited one that now has no
// successor stays, and now says so.
func (f Folder) earlier(before, now *record) (out map[string]string, left []Kept, err error) {
	out = map[string]string{}
	for name, sum := range before.wrote() {
		path := filepath.Join(f.dir, name)
		found, err := hashOf(f.disk, path)
		if err != nil {
			return nil, nil, cannot("cannot read %s: %s", path, err)
		}
		switch {
		case found == "": // gone, or nothing that strew writes
		case found == now.Files[name]:
			out[name] = found // the same once more: nothing is lost
		case found == sum || now.Files[name] != "" || name == RecordName:
			out[name] = sum
		default:
			if now.Left == nil {
				now.Left = map[string]string{}
			}
			now.Left[name] = sum
			if before.Left[name] == "" { // else the maker knows
				left = append(left, Kept{Name: name})
			}
		}
	}
	return out, left, nil
}

// makeParents makes the missing folders above f and returns those it made,
// outermost first.
func (f Folder) makeParents() (made []string, err error) {
	at, err := f.above()
	if err != nil {
		return nil, err
	}
	var missing []string
	for d := filepath.Dir(f.dir); d != at; d = filepath.Dir(d) {
		missing = append(missing, d)
	}
	for _, d := range slices.Backward(missing) {
		switch err := f.disk.Mkdir(d); {
		case errors.Is(err, fs.ErrExist): // another run was faster
		case err != nil:
			return made, cannot("cannot make the folder %s: %s", d, err)
		default:
			made = append(made, d)
		}
	}
	return made, nil
}

// claim locks the place where files are staged: the folder, or the one above
// it where it is fresh, which is yet to be made.
func (f Folder) claim(ctx context.Context) (fresh bool, unlock func(), err error) {
	for {
		missing, err := f.missing()
		if err != nil {
			return false, nil, err
		}
		at := f.dir
		if missing {
			at = filepath.Dir(f.dir)
		}
		unlock, err := f.wait(ctx, at)
		if err != nil {
			return false, nil, err
		}
		if now, err := f.missing(); err == nil && now == missing {
			return missing, unlock, nil
		}
		unlock() // another run has made it meanwhile
	}
}

func (f Folder) missing() (bool, error) {
	_, err := f.disk.Stat(f.dir)
	if errors.Is(err, fs.ErrNotExist) {
		return true, nil
	}
	if err != nil {
		return false, cannot("cannot look into %s: %s", f.dir, err)
	}
	return false, nil
}

// A run holds a folder while it writes and moves its files, a second at most,
// and for some milliseconds while it prepares.
const (
	patience = 10 * time.Second
	haste    = 200 * time.Millisecond // of what can be left out
	between  = 20 * time.Millisecond  // looks at a lock
)

// wait locks a folder, once other runs are done with it.
func (f Folder) wait(ctx context.Context, at string) (unlock func(), err error) {
	unlock, err = f.lock(ctx, at, patience)
	switch {
	case err == nil:
		return unlock, nil
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case errors.Is(err, errBusy):
		return nil, refused("another run of strew is writing to %s; wait until it has ended", at)
	}
	return nil, cannot("cannot write to %s: %s", at, err)
}

// lock locks a folder, and waits that long for other runs to be done with it;
// then the error is errBusy.
func (f Folder) lock(ctx context.Context, at string, long time.Duration) (unlock func(), err error) {
	for range long / between {
		unlock, err := f.disk.Lock(at)
		if !errors.Is(err, errBusy) {
			return unlock, err
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(between):
		}
	}
	return nil, errBusy
}
