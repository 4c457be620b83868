package folder

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// RecordName is the file in each folder of results that says whose they are.
const RecordName = ".strew.json"

const recordFormat = "strew-folder/1"

// largestRecord, bytes: a thousand results take a tenth of it.
const largestRecord = 1 << 20

// record is what RecordName holds.
type record struct {
	Format  string `json:"format"`
	Command string `json:"command"`
	// Project is the path of the project file from the folder, with slashes;
	// "" where the command has none or planned the built-in example.
	Project string `json:"project"`
	// Files has the SHA-256 of each result by its name, in hexadecimal digits.
	Files map[string]string `json:"files"`
	// Left are results of earlier runs that were edited and that the last run
	// no longer wrote, with their hashes as strew wrote them.
	Left map[string]string `json:"left,omitempty"`

	sum string // of the record itself, as read
}

// file is the record as it is written.
func (r *record) file() File {
	data, err := json.MarshalIndent(r, "", "  ")
	if err != nil {
		panic(err) // strings and maps of strings
	}
	return File{RecordName, append(data, '\n')}
}

// readRecord reads the record of a folder. It is nil where there is none, or
// none that this version understands.
func readRecord(d disk, dir string) (*record, error) {
	path := filepath.Join(dir, RecordName)
	info, err := d.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, cannot("cannot read %s: %s", path, err)
	case !info.Mode().IsRegular() || info.Size() > largestRecord:
		return nil, nil
	}
	data, err := d.ReadFile(path)
	if err != nil {
		return nil, cannot("cannot read %s: %s", path, err)
	}
	var r record
	if json.Unmarshal(data, &r) != nil || r.Format != recordFormat {
		return nil, nil
	}
	for _, list := range []map[string]string{r.Files, r.Left} {
		for name := range list {
			if !plain(name) || name == RecordName {
				return nil, nil // not a record that strew wrote
			}
		}
	}
	r.sum = hash(data)
	return &r, nil
}

// wrote returns the hash of each file in the folder as strew wrote it.
func (r *record) wrote() map[string]string {
	out := map[string]string{}
	if r == nil {
		return out
	}
	for name, sum := range r.Left {
		out[name] = sum
	}
	for name, sum := range r.Files {
		out[name] = sum
	}
	out[RecordName] = r.sum
	return out
}

// plain reports whether name is the name of a file in the folder itself, and
// not one of a staging folder.
func plain(name string) bool {
	return name != "." && filepath.IsLocal(name) && filepath.Base(name) == name && !strings.HasPrefix(name, staging)
}

func hash(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// Owner says whose results a folder holds.
type Owner struct {
	Command string // "plan", "lay", "compare", "measure"
	Project string // path of the project file; "" for the built-in example, or where there is none
}

// from returns the path of the project file as a record in dir has it.
func (o Owner) from(dir string) string {
	if o.Project == "" {
		return ""
	}
	at, file := real(dir), real(o.Project)
	rel, err := filepath.Rel(at, file)
	if err != nil { // on another drive
		rel = file
	}
	return filepath.ToSlash(rel)
}

// owns reports whether the record of dir is of this owner.
func (o Owner) owns(dir string, r record) bool {
	if r.Command != o.Command {
		return false
	}
	if r.Project == o.from(dir) {
		return true
	}
	// The same file by another path, such as in other letters where case
	// does not count.
	a, errA := os.Stat(projectPath(real(dir), r.Project))
	b, errB := os.Stat(o.Project)
	return r.Project != "" && o.Project != "" && errA == nil && errB == nil && os.SameFile(a, b)
}

// projectPath is where a project file lies that the record of dir names.
func projectPath(dir, project string) string {
	path := filepath.FromSlash(project)
	if filepath.IsAbs(path) {
		return path
	}
	return filepath.Join(dir, path)
}

// real is the absolute path without symbolic links, as far as it exists.
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
