// Package pdf replays scenes as the pages of a PDF file at true size.
package pdf

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"strconv"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"strew/motif/geom"
	"strew/render/scene"
)

// Write writes one page for each scene, as large as the scene. The file asks
// printing programs not to scale it. The same scenes give the same bytes: its
// dates are fixed. It returns an error where there is no page, a page has no
// size, or a scene holds a number that is not finite. Once the context ends it
// writes nothing and returns the context's error.
func Write(ctx context.Context, w io.Writer, title string, pages []*scene.Scene) error {
	if len(pages) == 0 {
		return fmt.Errorf("a PDF file needs at least one page")
	}
	for i, s := range pages {
		if !s.IsFinite() || s.Width <= 0 || s.Height <= 0 {
			return fmt.Errorf("page %d of %g × %g mm cannot be written: it has no size, or one of its numbers is not finite", i+1, s.Width, s.Height)
		}
	}
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: pages[0].Width, Ht: pages[0].Height}})
	f.SetCatalogSort(true)
	day := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	f.SetCreationDate(day)
	f.SetModificationDate(day)
	f.SetProducer("strew", true)
	f.SetTitle(scene.Regular.Clean(title), true)
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(0, 0, 0)
	f.SetLineJoinStyle("round")
	f.AddUTF8FontFromBytes("go", "", scene.Regular.TTF())
	f.AddUTF8FontFromBytes("go", "B", scene.Bold.TTF())
	for _, s := range pages {
		f.AddPageFormat("P", fpdf.SizeType{Wd: s.Width, Ht: s.Height})
		p := player{ctx, f, s.Height}
		p.play(s.Ops)
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	file, err := packed(ctx, f)
	if err != nil {
		return err
	}
	out, err := unscaled(file.Bytes())
	if err != nil {
		return err
	}
	_, err = w.Write(out)
	return err
}

// packed returns the file's bytes. The library packs all pages in one call, which
// cannot be stopped; once the context ends it is left to finish by itself.
func packed(ctx context.Context, f *fpdf.Fpdf) (*bytes.Buffer, error) {
	type result struct {
		file *bytes.Buffer
		err  error
	}
	done := make(chan result, 1)
	go func() {
		var file bytes.Buffer
		err := f.Output(&file)
		done <- result{&file, err}
	}()
	select {
	case <-ctx.Done():
		return nil, ctx.Err()
	case r := <-done:
		if r.err != nil {
			return nil, fmt.Errorf("writing a PDF file: %w", r.err)
		}
		return r.file, nil
	}
}

type player struct {
	ctx    context.Context
	f      *fpdf.Fpdf
	height float64 // of the page: PDF counts from its bottom
}

func (p player) play(ops []scene.Op) {
	for _, op := range ops {
		if p.ctx.Err() != nil {
			return
		}
		switch o := op.(type) {
		case scene.Fill:
			path := p.path(o.Rings)
			if o.Colour.Alpha <= 0 || path == "" {
				continue
			}
			p.opacity(o.Colour)
			p.f.SetFillColor(int(o.Colour.R), int(o.Colour.G), int(o.Colour.B))
			rule := "f\n"
			if o.EvenOdd {
				rule = "f*\n"
			}
			p.f.RawWriteStr(path + rule)
		case scene.Stroke:
			p.stroke(o)
		case scene.Text:
			p.text(o)
		case scene.Clip:
			p.f.RawWriteStr("q\n" + p.path(o.Rings) + "W* n\n")
			p.play(o.Inside)
			p.f.RawWriteStr("Q\n")
			// The file now has the font from before the clip; forget ours.
			p.f.SetFont("go", "", 1)
		}
	}
}

func (p player) opacity(c scene.Colour) { p.f.SetAlpha(math.Min(1, c.Alpha), "Normal") }

func (p player) stroke(o scene.Stroke) {
	if o.Colour.Alpha <= 0 || o.Width <= 0 {
		return
	}
	p.opacity(o.Colour)
	p.f.SetDrawColor(int(o.Colour.R), int(o.Colour.G), int(o.Colour.B))
	p.f.SetLineWidth(o.Width)
	p.f.SetDashPattern(o.Dash, 0)
	p.f.SetLineCapStyle("round")
	if len(o.Dash) > 0 {
		p.f.SetLineCapStyle("butt")
	}
	if path := p.lines(o.Lines); path != "" {
		p.f.RawWriteStr(path + "S\n")
	}
}

// path writes rings as PDF path operators.
func (p player) path(rings []geom.Ring) string { return p.lines(scene.Closed(rings...)) }

// lines writes lines as PDF path operators, to two decimals of a point: within
// 0.002 mm, a tenth of the finest printer's dot, and a fifth off the file.
func (p player) lines(lines []scene.Line) string {
	var b []byte
	const k = 72 / 25.4
	for _, l := range lines {
		for i, v := range l.Points {
			b = strconv.AppendFloat(b, v.X*k, 'f', 2, 64)
			b = append(b, ' ')
			b = strconv.AppendFloat(b, (p.height-v.Y)*k, 'f', 2, 64)
			if i == 0 {
				b = append(b, " m\n"...)
			} else {
				b = append(b, " l\n"...)
			}
		}
		if l.Closed && len(l.Points) > 0 {
			b = append(b, "h\n"...)
		}
	}
	return string(b)
}

func (p player) text(t scene.Text) {
	t.Text = t.Font.Clean(t.Text)
	if t.Text == "" || t.Colour.Alpha <= 0 {
		return
	}
	style := ""
	if t.Font == scene.Bold {
		style = "B"
	}
	p.opacity(t.Colour)
	p.f.SetTextColor(int(t.Colour.R), int(t.Colour.G), int(t.Colour.B))
	p.f.SetFont("go", style, t.Size)
	x := t.At.X - t.Font.Width(t.Text, t.Size)*float64(t.Anchor)/2
	if t.Turn == 0 {
		p.f.Text(x, t.At.Y, t.Text)
		return
	}
	p.f.TransformBegin()
	p.f.TransformRotate(-t.Turn*180/math.Pi, t.At.X, t.At.Y)
	p.f.Text(x, t.At.Y, t.Text)
	p.f.TransformEnd()
}

// unscaled adds to the file's catalog the request that printing programs leave
// its size alone (ISO 32000-1, 12.7.2, table 150: PrintScaling None). The
// catalog is the last object before the cross-reference table, so only the
// table itself moves, and only startxref has to follow. That request came with
// PDF 1.6, so the file says that it is one.
func unscaled(file []byte) ([]byte, error) {
	const wish = "/ViewerPreferences << /PrintScaling /None >>\n"
	const catalog, start = "/Type /Catalog\n", "startxref\n"
	at := bytes.LastIndex(file, []byte(catalog))
	ref := bytes.LastIndex(file, []byte(start))
	if !bytes.HasPrefix(file, []byte("%PDF-1.")) || at < 0 || ref < at {
		return nil, fmt.Errorf("writing a PDF file: its head or its catalog was not found")
	}
	at += len(catalog)
	ref += len(start)
	end := ref + bytes.IndexByte(file[ref:], '\n')
	table, err := strconv.Atoi(string(file[ref:max(ref, end)]))
	if err != nil || table < at || !bytes.HasPrefix(file[min(table, len(file)):], []byte("xref")) || bytes.Contains(file[at:table], []byte(" obj\n")) {
		return nil, fmt.Errorf("writing a PDF file: its cross-reference table is not where it should be")
	}
	const version = "%PDF-1.6"
	var out bytes.Buffer
	out.WriteString(version)
	out.Write(file[len(version):at])
	out.WriteString(wish)
	out.Write(file[at:ref])
	out.WriteString(strconv.Itoa(table + len(wish)))
	out.Write(file[end:])
	return out.Bytes(), nil
}
