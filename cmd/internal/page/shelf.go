package page

import (
	"crypto/sha256"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"strew/cmd/internal/desk"
	"strew/cmd/internal/project"
)

// projectFile is what a project file is called where the maker names only a folder.
const projectFile = "project.toml"

// mostOfProject is the most bytes of a project file; the reader refuses more.
const mostOfProject = 1 << 20

// shelf is where projects come from and go to: the disk, as far as the page may see
// it.
type shelf struct {
	desk  Desk
	disk  disk
	roots []root
	notes memory

	mu sync.Mutex
	// read has each project file as it was last read or written, by its path: an
	// undo may bring back a project that was opened before.
	read map[string]stamp
}

// stamp is a file as it was last read or written.
type stamp struct {
	size     int64
	modified time.Time
	sum      [sha256.Size]byte
}

// stampOf is the stamp of a file that holds data.
func stampOf(path string, data []byte) stamp {
	s := stamp{size: int64(len(data)), sum: sha256.Sum256(data)}
	if info, err := os.Stat(path); err == nil {
		s.modified = info.ModTime()
	}
	return s
}

// open opens a project: its file, the folder it lies in, or a zip.
func (s *shelf) open(path string) (string, error) {
	path, err := projectIn(path)
	if err != nil {
		return "", err
	}
	if strings.EqualFold(filepath.Ext(path), ".zip") {
		data, err := readUpTo(path, mostOfFile)
		if err != nil {
			return "", err
		}
		return "", s.openZip(data)
	}
	data, err := readUpTo(path, mostOfProject)
	if err != nil {
		return "", err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	was := s.desk.Snapshot()
	if err := s.desk.Open(desk.Project{Text: data, Files: project.Beside(filepath.Dir(path)), Place: path}); err != nil {
		return "", err
	}
	s.setAside(was)
	s.read[path] = stampOf(path, data)
	s.desk.ChangedOutside(false)
	s.opened(path)
	return path, nil
}

// opened keeps among the recent projects where the open one lies. The caller holds
// the shelf.
func (s *shelf) opened(path string) {
	s.notes.keepRecent(path, s.desk.Snapshot().Title)
	s.notes.running(path)
}

// projectIn returns the project file that a path means: itself, or the one in a
// folder.
func projectIn(path string) (string, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return "", cannot("%s cannot be opened: %s", path, err)
	case !info.IsDir():
		return path, nil
	}
	if _, err := os.Stat(filepath.Join(path, projectFile)); err == nil {
		return filepath.Join(path, projectFile), nil
	}
	list, err := filepath.Glob(filepath.Join(filepath.Clean(path), "*.toml"))
	switch {
	case err != nil || len(list) == 0:
		return "", refused("there is no project in %s; a project is a file whose name ends in .toml", path)
	case len(list) > 1:
		return "", refused("there are %d projects in %s; choose one of them", len(list), path)
	}
	return list[0], nil
}

// readUpTo reads an ordinary file of at most that many bytes.
func readUpTo(path string, most int64) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, cannot("%s cannot be opened: %s", path, err)
	case !info.Mode().IsRegular():
		return nil, refused("%s is not an ordinary file", path)
	case info.Size() > most:
		return nil, refused("%s is too large to be a project: %d MB", path, info.Size()>>20)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, cannot("%s cannot be opened: %s", path, err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, most))
	if err != nil {
		return nil, cannot("%s cannot be read: %s", path, err)
	}
	return data, nil
}

// looked tells the desk whether another program has changed the file of the open
// project, and the other runs which project this one has open.
func (s *shelf) looked() {
	s.mu.Lock()
	defer s.mu.Unlock()
	place := s.desk.Snapshot().Place
	s.desk.ChangedOutside(s.changed(place))
	s.notes.running(place)
}

// changed reports whether a project file is not what was last read or written. Only
// one with another size or time is read. The caller holds the shelf.
func (s *shelf) changed(path string) bool {
	was, known := s.read[path]
	if !known {
		return false
	}
	info, err := os.Stat(path)
	if err != nil {
		return true // gone, or out of reach
	}
	if info.Size() == was.size && info.ModTime().Equal(was.modified) {
		return false
	}
	data, err := readUpTo(path, mostOfProject)
	if err != nil || sha256.Sum256(data) != was.sum {
		return true
	}
	s.read[path] = stampOf(path, data) // written again as it was
	return false
}

// exampleFiles are the drawings of a project that was never saved: it was begun from
// the built-in example.
func exampleFiles() fs.FS {
	_, files := project.Example()
	return files
}

// missing reports whether nothing is at a path.
func missing(path string) bool {
	_, err := os.Lstat(path)
	return errors.Is(err, fs.ErrNotExist)
}
