package stage

import (
	"context"
	"errors"
	"io/fs"
	"path"
	"runtime"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/motif/trace"
)

// Measured is a motif's file with what was measured, or why it could not be read.
type Measured struct {
	File     string
	Motif    motif.Motif
	Measures motif.Measures
	Mirrors  []bool // of each piece: it is its own mirror image
	Warnings []say.Message
	Err      error // an *InputError; then all but File is empty
}

// Measure reads and measures the motifs in the order given; pictures are traced
// with the options how. opt.Name is not used: a motif is named after its file. If
// one cannot be read, the others still are.
func Measure(ctx context.Context, files fs.FS, names []string, opt motif.Options, how trace.Options) []Measured {
	out := make([]Measured, len(names))
	var tracing sync.Mutex // a traced photo fills every core by itself, and much memory
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i, name := range names {
		g.Go(func() error {
			if isPicture(name, nil) {
				tracing.Lock()
				defer tracing.Unlock()
			}
			out[i] = measureFile(ctx, files, name, opt, how)
			return nil
		})
	}
	_ = g.Wait() // each file has its own error
	return out
}

func measureFile(ctx context.Context, files fs.FS, name string, opt motif.Options, how trace.Options) Measured {
	m := Measured{File: name}
	data, err := readFile(files, name)
	if err == nil {
		opt.Name = motifName(name)
		m.Motif, m.Warnings, err = outline(ctx, name, data, opt, how)
	}
	if err != nil {
		return Measured{File: name, Err: &InputError{File: name, Err: err}}
	}
	m.Measures = m.Motif.Measure()
	for _, p := range m.Motif.Pieces {
		m.Mirrors = append(m.Mirrors, p.MirrorsItself(geom.MirrorTol))
	}
	for _, weak := range m.Measures.Faults(1) {
		m.Warnings = append(m.Warnings, weak.Text)
	}
	return m
}

// motifName returns the file's name without folders and ending. Windows paths have
// backslashes.
func motifName(file string) string {
	base := path.Base(strings.ReplaceAll(file, `\`, "/"))
	return strings.TrimSuffix(base, path.Ext(base))
}

// Unread returns the errors of the files that could not be read, nil for none.
func Unread(list []Measured) error {
	var errs []error
	for _, m := range list {
		if m.Err != nil {
			errs = append(errs, m.Err)
		}
	}
	return errors.Join(errs...)
}
