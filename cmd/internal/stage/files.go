package stage

import (
	"crypto/sha256"
	"errors"
	"io/fs"
	"sync"
	"time"

	"strew/motif/say"
)

// largestDrawing is the most bytes read of an outline's file: those of a phone's
// photo, stored without loss.
const largestDrawing = 64 << 20

var errNoFile = say.Errorf("there is no such file")

// fromProject adds to the error of a missing file where its path starts.
func fromProject(err error) error {
	if errors.Is(err, errNoFile) {
		return say.Errorf("%s; the path is taken from the project file's folder", err)
	}
	return err
}

func statFile(files fs.FS, name string) (fs.FileInfo, error) {
	info, err := fs.Stat(files, name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, errNoFile
	case err != nil:
		return nil, plainCause(err)
	case info.IsDir():
		return nil, say.Errorf("this is a folder, not a drawing")
	case !info.Mode().IsRegular(): // a device may have no end
		return nil, say.Errorf("this is not a drawing but something of the system's")
	case info.Size() > largestDrawing:
		return nil, say.Errorf("the drawing is %d MB large; at most %d MB are read", info.Size()>>20, largestDrawing>>20)
	}
	return info, nil
}

func readFile(files fs.FS, name string) ([]byte, error) {
	if _, err := statFile(files, name); err != nil {
		return nil, err
	}
	data, err := fs.ReadFile(files, name)
	if err != nil {
		return nil, plainCause(err)
	}
	return data, nil
}

// plainCause drops the system call and the path from a file error.
func plainCause(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}

// drawings remembers the hash of every file read so far.
type drawings struct {
	files fs.FS
	mu    sync.Mutex
	seen  map[string]stamp
}

// stamp is a file as it was last read.
type stamp struct {
	size     int64
	modified time.Time
	sum      [sha256.Size]byte
}

// sum returns the hash of a file's contents. A file whose size and time of change
// are as before is not read again; one without a time always is.
func (d *drawings) sum(name string) ([sha256.Size]byte, error) {
	info, err := statFile(d.files, name)
	if err != nil {
		return [sha256.Size]byte{}, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	was, known := d.seen[name]
	if known && !was.modified.IsZero() && was.size == info.Size() && was.modified.Equal(info.ModTime()) {
		return was.sum, nil
	}
	data, err := readFile(d.files, name)
	if err != nil {
		return [sha256.Size]byte{}, err
	}
	now := stamp{info.Size(), info.ModTime(), sha256.Sum256(data)}
	d.seen[name] = now
	return now.sum, nil
}
