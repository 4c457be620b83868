package desk

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"strew/cmd/internal/results"
	"strew/cmd/internal/shown"
	"strew/motif/say"
)

// The answers of views.

func folds(ctx context.Context, p *planning) (answer, error) {
	seen, err := p.seen(ctx)
	if err != nil {
		return nil, err
	}
	folds, _ := shown.FoldsOf(seen) // empty where nothing hangs
	return folds, nil
}

func cloth(ctx context.Context, p *planning) (answer, error) {
	seen, err := p.seen(ctx)
	if err != nil {
		return nil, err
	}
	return shown.ClothOf(seen), nil
}

func pages(ctx context.Context, p *planning) (answer, error) {
	r, err := p.lastDone(ctx)
	if err != nil {
		return nil, err
	}
	return shown.PagesOf(ctx, r)
}

type pageArgs struct {
	File string
	Page int // from 1
}

func pageOf(ctx context.Context, p *planning, a pageArgs) (answer, error) {
	r, err := p.lastDone(ctx)
	if err != nil {
		return nil, err
	}
	data, err := r.PageSVG(ctx, a.File, a.Page)
	if err != nil {
		return nil, err
	}
	return File{strings.TrimSuffix(a.File, path.Ext(a.File)) + ".svg", "image/svg+xml", data}, nil
}

func list(ctx context.Context, p *planning) (answer, error) {
	r, err := p.lastDone(ctx)
	if err != nil {
		return nil, err
	}
	text, err := r.Text(ctx)
	if err != nil {
		return nil, err
	}
	return map[string]any{"sections": text.List(), "cautions": text.Cautions()}, nil
}

// result gives one file of the results.
func result(ctx context.Context, p *planning, name string) (answer, error) {
	r, err := p.finished(ctx)
	if err != nil {
		return nil, err
	}
	data, err := r.File(ctx, name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, Refused{say.Printer{}.Say("this plan has no %s", name)}
	}
	return fileOf(name, data), err
}

// Results returns every result of the present project, once its plan is done.
func (d *Desk) Results(ctx context.Context) ([]File, error) {
	r, err := d.planning.finished(ctx)
	if err != nil {
		return nil, err
	}
	list, err := r.Files(ctx, nil)
	out := make([]File, len(list))
	for i, f := range list {
		out[i] = fileOf(f.Name, f.Data)
	}
	return out, err
}

// everything packs the whole folder of results.
func everything(ctx context.Context, d *Desk) (answer, error) {
	list, err := d.Results(ctx)
	if err != nil {
		return nil, err
	}
	data, err := zipped(list)
	return fileOf(results.Slug(d.Snapshot().Title)+".zip", data), err
}

// fileOf is a file whose media type goes by its name.
func fileOf(name string, data []byte) File {
	types := map[string]string{
		".pdf": "application/pdf", ".svg": "image/svg+xml", ".png": "image/png", ".json": "application/json", ".zip": "application/zip",
		".csv": "text/csv; charset=utf-8", ".md": "text/markdown; charset=utf-8", ".toml": "application/toml",
	}
	return File{name, types[path.Ext(name)], data}
}

// packed is the project file with its drawings, in one. All drawings lie beside the
// file there, so those from other folders get other paths in its text.
func (s state) packed() (answer, error) {
	var list []File
	as := map[string]string{} // paths as written, and in the zip
	doc := s.doc
	named := s.named()
	for _, key := range slices.Sorted(maps.Keys(named)) {
		was := named[key]
		if _, done := as[was]; !done {
			data, err := fs.ReadFile(s.files(), was)
			if err != nil {
				return nil, Refused{say.Printer{}.Say("%s cannot be read: %s", was, err)}
			}
			as[was] = free(path.Base(filepath.ToSlash(was)), list)
			list = append(list, fileOf(as[was], data))
		}
		var err error
		if doc, err = doc.Set(key, as[was]); err != nil {
			return nil, refusal(err, doc.Unit())
		}
	}
	data, err := zipped(append([]File{fileOf(projectFile, doc.Bytes())}, list...))
	return fileOf(results.Slug(s.title())+"-project.zip", data), err
}

// free returns the name, with a number if a file of the list has it.
func free(name string, list []File) string {
	ext := path.Ext(name)
	stem := strings.TrimSuffix(name, ext)
	for n := 2; slices.ContainsFunc(list, func(f File) bool { return f.Name == name }); n++ {
		name = fmt.Sprintf("%s-%d%s", stem, n, ext)
	}
	return name
}

// projectFile is the name of a project file where it has none.
const projectFile = "project.toml"

// zipped packs files, with the same bytes for the same files.
func zipped(list []File) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range list {
		w, err := z.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate, Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)})
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(f.Data); err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return b.Bytes(), err
}
