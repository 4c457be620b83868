// Package svg replays a scene as an SVG file at true size: its width and
// height are in millimetres and one user unit is one millimetre.
package svg

import (
	"bytes"
	"context"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"

	"strew/motif/geom"
	"strew/render/scene"
)

// Layer is a part of a drawing that can be shown, moved and cut by itself.
type Layer struct {
	ID   string     // unique in the file; letters, digits and hyphens
	Name string     // what a reader calls it
	Ops  []scene.Op // millimetres from the drawing's top left
	Sub  []Layer    // layers within it, drawn over Ops
}

// Write writes a drawing of the given size in millimetres as an SVG 1.1 file,
// each layer a group with its id and, as its title, its name. Letters are
// written as their outlines, so that they look and reach the same where the
// fonts are missing; aria-label keeps what they say. The same layers give the
// same bytes. It returns an error where the drawing has no size or holds a
// number that is not finite; once the context ends it writes nothing and returns
// the context's error.
func Write(ctx context.Context, w io.Writer, title string, size geom.Vec, layers []Layer) error {
	if !(size.X > 0 && size.Y > 0) || !size.IsFinite() || !isFinite(layers) {
		return fmt.Errorf("a drawing of %g × %g mm cannot be written: it has no size, or one of its numbers is not finite", size.X, size.Y)
	}
	p := player{ctx: ctx}
	p.open(title, size)
	p.layers(layers)
	p.b.WriteString("</svg>\n")
	if err := ctx.Err(); err != nil {
		return err
	}
	_, err := w.Write(p.b.Bytes())
	return err
}

func isFinite(layers []Layer) bool {
	for _, l := range layers {
		if s := (scene.Scene{Ops: l.Ops}); !s.IsFinite() || !isFinite(l.Sub) {
			return false
		}
	}
	return true
}

func (p *player) layers(layers []Layer) {
	for _, l := range layers {
		fmt.Fprintf(&p.b, "<g id=\"%s\">\n<title>", l.ID)
		p.escape(scene.Regular.Clean(l.Name))
		p.b.WriteString("</title>\n")
		p.play(l.Ops)
		p.layers(l.Sub)
		p.b.WriteString("</g>\n")
	}
}

func (p *player) open(title string, size geom.Vec) {
	fmt.Fprintf(&p.b, "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\">\n",
		num(size.X), num(size.Y), num(size.X), num(size.Y))
	p.b.WriteString("<title>")
	p.escape(scene.Regular.Clean(title))
	p.b.WriteString("</title>\n")
}

type player struct {
	ctx   context.Context
	b     bytes.Buffer
	clips int
}

// num writes a number to a tenth of a thousandth of a millimetre.
func num(f float64) string { return strconv.FormatFloat(math.Round(f*1e4)/1e4+0, 'f', -1, 64) }

func (p *player) escape(text string) {
	// A bytes.Buffer takes everything: there is no error to see.
	_ = xml.EscapeText(&p.b, []byte(text))
}

func (p *player) play(ops []scene.Op) {
	for _, op := range ops {
		if p.ctx.Err() != nil {
			return
		}
		switch o := op.(type) {
		case scene.Fill:
			if o.Colour.Alpha <= 0 || len(o.Rings) == 0 {
				continue
			}
			p.path(scene.Closed(o.Rings...))
			if o.EvenOdd {
				p.b.WriteString(" fill-rule=\"evenodd\"")
			}
			p.paint("fill", o.Colour)
			p.b.WriteString("/>\n")
		case scene.Stroke:
			if o.Colour.Alpha <= 0 || o.Width <= 0 || len(o.Lines) == 0 {
				continue
			}
			p.path(o.Lines)
			p.b.WriteString(" fill=\"none\"")
			p.paint("stroke", o.Colour)
			fmt.Fprintf(&p.b, " stroke-width=\"%s\" stroke-linejoin=\"round\"", num(o.Width))
			if len(o.Dash) == 0 {
				p.b.WriteString(" stroke-linecap=\"round\"")
			} else {
				p.b.WriteString(" stroke-dasharray=\"")
				for i, d := range o.Dash {
					if i > 0 {
						p.b.WriteByte(' ')
					}
					p.b.WriteString(num(d))
				}
				p.b.WriteByte('"')
			}
			p.b.WriteString("/>\n")
		case scene.Text:
			p.text(o)
		case scene.Clip:
			p.clips++
			fmt.Fprintf(&p.b, "<clipPath id=\"clip%d\">", p.clips)
			p.path(scene.Closed(o.Rings...))
			fmt.Fprintf(&p.b, " clip-rule=\"evenodd\"/></clipPath>\n<g clip-path=\"url(#clip%d)\">\n", p.clips)
			p.play(o.Inside)
			p.b.WriteString("</g>\n")
		}
	}
}

// path opens a path element and writes its data.
func (p *player) path(lines []scene.Line) {
	p.b.WriteString("<path d=\"")
	for _, l := range lines {
		for i, v := range l.Points {
			switch i {
			case 0:
				p.b.WriteByte('M')
			case 1:
				p.b.WriteByte('L')
			default:
				p.b.WriteByte(' ')
			}
			p.point(v)
		}
		if l.Closed && len(l.Points) > 0 {
			p.b.WriteByte('Z')
		}
	}
	p.b.WriteByte('"')
}

func (p *player) point(v geom.Vec) {
	p.b.WriteString(num(v.X))
	p.b.WriteByte(' ')
	p.b.WriteString(num(v.Y))
}

func (p *player) paint(what string, c scene.Colour) {
	fmt.Fprintf(&p.b, " %s=\"%s\"", what, c.Hex())
	if c.Alpha < 1 {
		fmt.Fprintf(&p.b, " %s-opacity=\"%s\"", what, num(c.Alpha))
	}
}

func (p *player) text(t scene.Text) {
	t.Text = t.Font.Clean(t.Text)
	if t.Text == "" || t.Colour.Alpha <= 0 {
		return
	}
	p.b.WriteString("<path aria-label=\"")
	p.escape(t.Text)
	p.b.WriteString("\" d=\"")
	started := false
	for _, c := range t.Outline() {
		switch {
		case c.Move:
			if started {
				p.b.WriteByte('Z')
			}
			started = true
			p.b.WriteByte('M')
		case c.Curved:
			p.b.WriteByte('Q')
			p.point(c.C)
			p.b.WriteByte(' ')
		default:
			p.b.WriteByte('L')
		}
		p.point(c.P)
	}
	p.b.WriteString("Z\"")
	p.paint("fill", t.Colour)
	p.b.WriteString("/>\n")
}
