package project

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"strew/motif/say"
)

// What touches the disk: a project file is read here, and one to start from is
// written. All else in the package goes from bytes to values.

// Load reads and checks the project file for planning a skirt, with overrides
// laid over it: a file without a spacing is sound if the overrides have one. Its
// error is a Problems with all that is wrong.
func Load(path string, o Overrides) (Project, error) { return load(path, o, false) }

// LoadLay reads the project file for laying the motifs' own cut numbers on
// sheets: the skirt and the scatter may be left out (Skirt and Scatter are then
// empty), and some motif must have a cut number.
func LoadLay(path string, o Overrides) (Project, error) { return load(path, o, true) }

func load(path string, o Overrides, lay bool) (Project, error) {
	data, err := readFile(path)
	if err != nil {
		return Project{}, err
	}
	return parse(data, path, filepath.Dir(path), o, lay)
}

// Beside opens files by the paths in a project file that lies in this folder: from
// there, also upward, or absolute.
type Beside string

// Open opens the named file. It implements fs.FS for any path, not only for valid
// ones.
func (dir Beside) Open(name string) (fs.File, error) {
	if name = filepath.FromSlash(name); !filepath.IsAbs(name) {
		name = filepath.Join(string(dir), name)
	}
	return os.Open(name)
}

// readFile reads at most one byte more than a project file may hold.
func readFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fileError(path, say.New(`there is no such file; check the name, or write a project to start from with "strew init"`))
	case err != nil:
		return nil, fileError(path, say.New("it cannot be read: %s", reason(err)))
	case info.IsDir():
		inside := filepath.Join(path, starter)
		if _, err := os.Stat(inside); err == nil {
			e := fileError(path, say.New("it is a folder; name the project file in it"))
			e[0].Hint = didYouMean(inside)
			return nil, e
		}
		return nil, fileError(path, say.New("it is a folder; name a project file"))
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fileError(path, say.New("it cannot be read: %s", reason(err)))
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostBytes+1))
	if err != nil {
		return nil, fileError(path, say.New("it cannot be read: %s", reason(err)))
	}
	return data, nil
}

// reason is the system's word for a failure, without the path said already.
func reason(err error) string {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err.Error()
	}
	return err.Error()
}

// Init writes a commented project file and its drawings into a folder, which
// it makes if need be, and returns the files' names, the project file first. It
// writes all of them or none, and never over a file that is there: then its
// error is a Problems that names it.
func Init(dir string) (names []string, err error) {
	dir = filepath.Clean(dir)
	files := exampleFiles()
	drawings, err := fs.Glob(files, "*.svg")
	if err != nil {
		return nil, err
	}
	names = append([]string{starter}, drawings...)
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return nil, Problems{{What: say.New("%s is a file; name a folder", dir)}}
	}
	var there []string
	for _, name := range names {
		if _, err := os.Lstat(filepath.Join(dir, name)); err == nil {
			there = append(there, name)
		}
	}
	if len(there) > 0 {
		return nil, fileError(dir, say.New("%s would be overwritten; move what is there away, or name another folder", say.Words(there)))
	}
	made, err := makeFolder(dir)
	defer func() {
		if err != nil {
			names = nil
			for _, path := range slices.Backward(made) {
				os.Remove(path) // made a moment ago; nothing more can be done
			}
		}
	}()
	if err != nil {
		return nil, say.Errorf("cannot make the folder %s: %s", dir, reason(err))
	}
	for _, name := range names {
		data, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		if name == starter {
			if data, err = titled(data); err != nil {
				return nil, err
			}
		}
		path := filepath.Join(dir, name)
		f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if err != nil {
			return nil, say.Errorf("cannot write %s: %s", path, reason(err))
		}
		made = append(made, path)
		_, err = f.Write(data)
		if err = errors.Join(err, f.Close()); err != nil {
			return nil, say.Errorf("cannot write %s: %s", path, reason(err))
		}
	}
	return names, nil
}

// titled is the text of the example's project file with a title of its own, so
// that its results do not go where those of the example are.
func titled(data []byte) ([]byte, error) {
	d, err := ReadDocument(data)
	if err != nil {
		return nil, err
	}
	d, err = d.Set("title", StarterTitle)
	return d.Bytes(), err
}

// makeFolder makes a folder and those above it, and returns what was not
// there, outermost first.
func makeFolder(dir string) (made []string, err error) {
	for d := filepath.Clean(dir); d != filepath.Dir(d); d = filepath.Dir(d) {
		if _, err := os.Lstat(d); err == nil {
			break
		}
		made = append([]string{d}, made...)
	}
	return made, os.MkdirAll(dir, 0o777)
}
