package desk

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"io/fs"
	"path"
	"strings"
	"time"

	"strew/cmd/internal/results"
	"strew/cmd/internal/shown"
	"strew/cmd/internal/stage"
	"strew/motif/say"
)

// What a view asks for. Where the present project cannot be planned, a view shows
// the last plan that could; what is printed or saved is refused.

// reached waits until the present revision is as far as asked, or has ended, and
// returns its work. Meanwhile another revision may become the present one.
func (d *Desk) reached(ctx context.Context, far func(*work) bool) (*work, error) {
	for {
		d.mu.Lock()
		w := d.running
		if w.ended || far(w) {
			d.mu.Unlock()
			return w, nil
		}
		moved := w.moved
		d.mu.Unlock()
		select {
		case <-moved:
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-d.ctx.Done():
			return nil, d.ctx.Err()
		}
	}
}

// seen returns the latest plan with marks: the present one or, where it is refused,
// the last that was not.
func (d *Desk) seen(ctx context.Context) (stage.Plan, error) {
	if _, err := d.reached(ctx, func(w *work) bool { return w.marked != nil }); err != nil {
		return stage.Plan{}, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.good == nil {
		return stage.Plan{}, d.nothing()
	}
	if d.good.laid != nil {
		return *d.good.laid, nil
	}
	return *d.good.marked, nil
}

// nothing is the error where no plan was ever made. The caller holds the lock.
func (d *Desk) nothing() error {
	if r := d.running.refused; r != nil {
		return Refused{r.Text}
	}
	return Refused{say.Printer{}.Say("nothing is planned yet")}
}

// finished returns the results of the present revision, once its plan is done.
func (d *Desk) finished(ctx context.Context) (*results.Results, error) {
	w, err := d.reached(ctx, func(*work) bool { return false })
	if err != nil {
		return nil, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if w.results == nil {
		return nil, Refused{say.Printer{}.Say("there is nothing to print or save yet: %s", w.refused.Text)}
	}
	return w.results, nil
}

// lastDone returns the results of the present revision or, where it is refused, of
// the last plan that was made.
func (d *Desk) lastDone(ctx context.Context) (*results.Results, error) {
	w, err := d.reached(ctx, func(*work) bool { return false })
	if err != nil {
		return nil, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	switch {
	case w.results != nil:
		return w.results, nil
	case d.last != nil:
		return d.last, nil
	}
	return nil, d.nothing()
}

func (d *Desk) folds(ctx context.Context) (answer, error) {
	p, err := d.seen(ctx)
	if err != nil {
		return nil, err
	}
	folds, hangs := shown.FoldsOf(p)
	if !hangs {
		return nil, Refused{say.Printer{}.Say("panels that you drew do not say how they are worn, so there is no picture of it")}
	}
	return folds, nil
}

func (d *Desk) cloth(ctx context.Context) (answer, error) {
	p, err := d.seen(ctx)
	if err != nil {
		return nil, err
	}
	return shown.ClothOf(p), nil
}

func (d *Desk) pages(ctx context.Context) (answer, error) {
	r, err := d.lastDone(ctx)
	if err != nil {
		return nil, err
	}
	return shown.PagesOf(ctx, r)
}

type pageArgs struct {
	File string
	Page int // from 1
}

func (d *Desk) pageOf(ctx context.Context, a pageArgs) (answer, error) {
	r, err := d.lastDone(ctx)
	if err != nil {
		return nil, err
	}
	data, err := r.PageSVG(ctx, a.File, a.Page)
	if err != nil {
		return nil, err
	}
	return File{strings.TrimSuffix(a.File, path.Ext(a.File)) + ".svg", "image/svg+xml", data}, nil
}

func (d *Desk) list(ctx context.Context) (answer, error) {
	r, err := d.lastDone(ctx)
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
func (d *Desk) result(ctx context.Context, a struct{ Name string }) (answer, error) {
	r, err := d.finished(ctx)
	if err != nil {
		return nil, err
	}
	data, err := r.File(ctx, a.Name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, Refused{say.Printer{}.Say("this plan has no %s", a.Name)}
	}
	return fileOf(a.Name, data), err
}

// Results returns every result of the present project, once its plan is done.
func (d *Desk) Results(ctx context.Context) ([]File, error) {
	r, err := d.finished(ctx)
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

func (d *Desk) everything(ctx context.Context) (answer, error) {
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

// projectZip gives the project with its drawings.
func (d *Desk) projectZip() (answer, error) {
	d.mu.Lock()
	s := d.history.present
	d.mu.Unlock()
	list := []File{fileOf(projectFile, s.text)}
	for _, name := range s.drawings() {
		data, err := fs.ReadFile(s.files(), name)
		if err != nil {
			return nil, Refused{say.Printer{}.Say("%s cannot be read: %s", name, err)}
		}
		list = append(list, fileOf(name, data))
	}
	data, err := zipped(list)
	return fileOf(results.Slug(s.title())+"-project.zip", data), err
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
