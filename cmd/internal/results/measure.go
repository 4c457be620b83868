package results

import (
	"bytes"
	"context"
	"fmt"
	"strings"

	"strew/cmd/internal/record"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
	"strew/render"
	"strew/render/raster"
)

// MeasuredFile is the name of measure's record.
const MeasuredFile = "measure.json"

// mostPictured is the most pieces in one picture: more make it too long to read.
const mostPictured = 6

// Measured draws one picture for each motif that could be read, and returns them
// after their record; nil if none could be read.
func Measured(ctx context.Context, list []stage.Measured, w words.Measured) ([]File, error) {
	taken := map[string]bool{strings.ToLower(MeasuredFile): true}
	var drawings []drawing
	for _, m := range list {
		if m.Err != nil {
			continue
		}
		name := m.Motif.Name + ".png"
		for n := 2; taken[strings.ToLower(name)]; n++ {
			name = fmt.Sprintf("%s-%d.png", m.Motif.Name, n)
		}
		taken[strings.ToLower(name)] = true
		drawings = append(drawings, drawing{name, func() ([]byte, error) { return measured(ctx, m, w) }})
	}
	files, err := drawAll(ctx, drawings, nil)
	if err != nil || len(files) == 0 {
		return nil, err
	}
	return append([]File{{MeasuredFile, record.MeasuredFiles(w.Printer, list, w.Allowances)}}, files...), nil
}

// measured draws the picture of one motif.
func measured(ctx context.Context, m stage.Measured, w words.Measured) ([]byte, error) {
	var gauges []render.Gauge
	for k, p := range m.Motif.Pieces[:min(mostPictured, len(m.Motif.Pieces))] {
		var facts []render.Fact
		for _, f := range w.Facts(m, k) {
			facts = append(facts, render.Fact(f))
		}
		gauges = append(gauges, render.Gauge{Name: w.PieceName(m, k), Piece: p, Measures: m.Measures.Pieces[k], Printer: w.Printer, Facts: facts})
	}
	var b bytes.Buffer
	err := raster.WritePNG(ctx, &b, render.Measured(m.Motif.Name, w.Sum(m), gauges, len(m.Motif.Pieces)-len(gauges)), render.PageDPI)
	return b.Bytes(), err
}
