package plan

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"sync"

	"strew/cmd/internal/folder"
	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/motif/trace"
	"strew/render"
	"strew/render/raster"
)

// Measured is a motif's file with what was measured, or why it could not be read.
type Measured struct {
	File     string
	Motif    motif.Motif
	Measures motif.Measures
	Mirrors  []bool // of each piece: it is its own mirror image
	Warnings []say.Message
	Err      error // an *InputError; the rest but File is then empty
}

// MeasureFiles reads and measures the motifs in the order given; pictures are
// traced as how says. opt.Name is not used: a motif is called after its file.
func MeasureFiles(ctx context.Context, files fs.FS, names []string, opt motif.Options, how trace.Options) []Measured {
	out := make([]Measured, len(names))
	var tracing sync.Mutex // a traced photo fills every core by itself, and much memory
	each(len(names), func(i int) {
		if isPicture(names[i], nil) {
			tracing.Lock()
			defer tracing.Unlock()
		}
		out[i] = measureFile(ctx, files, names[i], opt, how)
	})
	return out
}

func measureFile(ctx context.Context, files fs.FS, name string, opt motif.Options, how trace.Options) Measured {
	m := Measured{File: name}
	data, err := readFile(files, name)
	if err == nil {
		base := filepath.Base(name)
		opt.Name = strings.TrimSuffix(base, filepath.Ext(base))
		m.Motif, m.Warnings, err = readOutline(ctx, name, data, opt, how)
	}
	if err != nil {
		return Measured{File: name, Err: &InputError{File: name, Err: err}}
	}
	m.Measures = m.Motif.Measure()
	for _, p := range m.Motif.Pieces {
		m.Mirrors = append(m.Mirrors, p.MirrorsItself(geom.MirrorTol))
	}
	m.Warnings = append(m.Warnings, m.Measures.Faults(1)...)
	return m
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

// docEntry is one file in the answer of measure. Its keys are an interface.
type docEntry struct {
	File     string    `json:"file"`
	Motif    *docMotif `json:"motif,omitempty"`
	Error    string    `json:"error,omitempty"`
	Warnings []string  `json:"warnings"`
}

type docMeasured struct {
	Width       num        `json:"width_mm"`
	Height      num        `json:"height_mm"`
	LeastWidth  num        `json:"least_width_mm"`
	Area        num        `json:"area_mm2"`
	Edge        num        `json:"edge_mm"`
	Narrowest   docCut     `json:"narrowest"`
	Slot        *docCut    `json:"slot"`         // null for none
	InnerCorner *docCorner `json:"inner_corner"` // null for none
	Corners     int        `json:"corners"`
	Hole        *num       `json:"smallest_hole_mm"` // null for none
	Centre      point      `json:"centre_mm"`        // of the widest circle in the piece
	Radius      num        `json:"radius_mm"`
	Square      num        `json:"backing_square_mm"`
	Round       num        `json:"backing_round_mm"`
	SmallPart   bool       `json:"small_part"`
	Mirrors     bool       `json:"mirrors_itself"`
	Weight      num        `json:"weight_g"`
	Seconds     num        `json:"cutting_s"`
}

type docCut struct {
	Width num   `json:"width_mm"`
	From  point `json:"from_mm"`
	To    point `json:"to_mm"`
}

type docCorner struct {
	Angle num   `json:"angle_deg"`
	At    point `json:"at_mm"`
}

func pointOf(v geom.Vec) point { return point{num(v.X), num(v.Y)} }

func cutOf(p motif.Place) docCut { return docCut{num(p.Width()), pointOf(p.From), pointOf(p.To)} }

// MeasuredJSON returns the answer as JSON, an entry a file.
func MeasuredJSON(list []Measured, a motif.Allowances) []byte { return encode(entries(list, a)) }

func entries(list []Measured, a motif.Allowances) []docEntry {
	out := []docEntry{}
	for _, m := range list {
		e := docEntry{File: m.File, Warnings: say.Printer{}.Messages(m.Warnings)}
		if m.Err != nil {
			e.Error = errors.Unwrap(m.Err).Error()
		} else {
			d := motifDoc(m.Motif, m.Measures)
			for i := range d.Pieces {
				d.Pieces[i].Measured = measuredDoc(m.Measures.Pieces[i], m.Mirrors[i], a)
			}
			e.Motif = &d
		}
		out = append(out, e)
	}
	return out
}

func measuredDoc(p motif.PieceMeasures, mirrors bool, a motif.Allowances) *docMeasured {
	d := &docMeasured{
		Width: num(p.Width), Height: num(p.Height), LeastWidth: num(p.LeastWidth), Area: num(p.Area), Edge: num(p.Edge),
		Narrowest: cutOf(p.Felt), Corners: p.Corners, Centre: pointOf(p.Widest.At), Radius: num(p.Widest.Radius),
		Square: num(p.BackingSquare()), Round: num(p.BackingRound()),
		SmallPart: p.IsSmallPart(1), Mirrors: mirrors, Weight: num(a.Weight(p)), Seconds: num(a.Seconds(p)),
	}
	if p.Slot != (motif.Place{}) {
		c := cutOf(p.Slot)
		d.Slot = &c
	}
	if p.InnerCorner != (motif.Corner{}) {
		d.InnerCorner = &docCorner{deg(p.InnerCorner.Angle), pointOf(p.InnerCorner.At)}
	}
	if p.Holes > 0 {
		w := num(2 * p.SmallestHole.Radius)
		d.Hole = &w
	}
	return d
}

// MeasuredFile is the record that measure leaves beside its pictures: what it
// measured, and the names of the files it wrote.
const MeasuredFile = "measure.json"

const measuredFormat = "strew-measure/1"

// EarlierMeasured lists the files that an earlier run of measure wrote to dir.
func EarlierMeasured(dir string) []string {
	return listedIn(filepath.Join(dir, MeasuredFile), "strew-measure/")
}

// mostPictured bounds the pieces on one picture: more make it too long to look at.
const mostPictured = 6

// MeasuredPictures draws one picture for each motif that could be read, and
// their record.
func MeasuredPictures(list []Measured, a motif.Allowances, unit geom.Unit) ([]folder.File, error) {
	record := struct {
		Format  string     `json:"format"`
		Files   []string   `json:"files"`
		Entries []docEntry `json:"measured"`
	}{measuredFormat, []string{MeasuredFile}, entries(list, a)}
	var drawn []Measured
	taken := map[string]bool{strings.ToLower(MeasuredFile): true}
	var names []string
	for _, m := range list {
		if m.Err != nil {
			continue
		}
		name := m.Motif.Name + ".png"
		for n := 2; taken[strings.ToLower(name)]; n++ {
			name = fmt.Sprintf("%s-%d.png", m.Motif.Name, n)
		}
		taken[strings.ToLower(name)] = true
		drawn, names = append(drawn, m), append(names, name)
	}
	pictures := make([]folder.File, len(drawn))
	errs := make([]error, len(drawn))
	each(len(drawn), func(i int) {
		m := drawn[i]
		var gauges []render.Gauge
		for k, p := range m.Motif.Pieces[:min(mostPictured, len(m.Motif.Pieces))] {
			gauges = append(gauges, render.Gauge{
				Name: m.pieceName(k), Piece: p, Measures: m.Measures.Pieces[k], Unit: unit, Facts: m.facts(k, a, unit),
			})
		}
		var b bytes.Buffer
		errs[i] = raster.WritePNG(&b, render.Measured(m.Motif.Name, m.sumWords(a, unit), gauges, len(m.Motif.Pieces)-len(gauges)), render.PageDPI)
		pictures[i] = folder.File{Name: names[i], Data: b.Bytes()}
	})
	for i, err := range errs {
		if err != nil {
			return nil, fmt.Errorf("%s: %w", names[i], err)
		}
	}
	record.Files = append(record.Files, names...)
	return append([]folder.File{{Name: MeasuredFile, Data: encode(record)}}, pictures...), nil
}
