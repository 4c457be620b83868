// Package raster replays a scene as a picture of pixels.
package raster

import (
	"context"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"slices"

	"github.com/fogleman/gg"

	"strew/motif/geom"
	"strew/render/scene"
)

// MaxPixels bounds a picture: 60 megapixels are 240 MB in memory, as much as a
// small computer can spare.
const MaxPixels = 60e6

// Within returns dpi, or the density at which the scene just has MaxPixels
// where it would have more, and whether it is less than asked.
func Within(s *scene.Scene, dpi float64) (float64, bool) {
	k := dpi / 25.4
	if n := s.Width * k * s.Height * k; n > MaxPixels {
		// A little less, so that rounding to whole pixels stays below the bound.
		return math.Floor(dpi * math.Sqrt(MaxPixels/n) * 0.999), true
	}
	return dpi, false
}

// Image draws the scene at dpi pixels to the inch on white. It returns an
// error where the picture would have no pixel or more than MaxPixels, or
// where the scene holds a number that is not finite, and the context's error
// once that ends.
func Image(ctx context.Context, s *scene.Scene, dpi float64) (*image.RGBA, error) {
	k := dpi / 25.4
	w, h := math.Round(s.Width*k), math.Round(s.Height*k)
	if !(w >= 1 && h >= 1 && w*h <= MaxPixels) {
		return nil, fmt.Errorf("a picture of %g × %g mm at %g dpi has %g × %g pixels; between 1 and %g million can be drawn",
			s.Width, s.Height, dpi, w, h, MaxPixels/1e6)
	}
	if !s.IsFinite() {
		return nil, fmt.Errorf("a picture of %g × %g mm has a part that lies nowhere: one of its numbers is not finite", s.Width, s.Height)
	}
	im := image.NewRGBA(image.Rect(0, 0, int(w), int(h)))
	draw.Draw(im, im.Bounds(), image.White, image.Point{}, draw.Src)
	p := player{ctx: ctx, dc: gg.NewContextForRGBA(im), k: k, page: geom.Box{Max: geom.Vec{X: s.Width, Y: s.Height}}}
	p.play(s.Ops)
	return im, ctx.Err()
}

type player struct {
	ctx   context.Context
	dc    *gg.Context
	k     float64 // pixels per millimetre
	page  geom.Box
	clips [][]geom.Ring // those in force, outermost first
}

func (p *player) play(ops []scene.Op) {
	for _, op := range ops {
		if p.ctx.Err() != nil {
			return
		}
		switch o := op.(type) {
		case scene.Fill:
			if !p.shows(o.Rings, 0) || o.Colour.Alpha <= 0 {
				continue
			}
			p.paint(o.Colour, o.EvenOdd)
			p.inBatches(scene.Closed(o.Rings...), 0, p.dc.Fill)
		case scene.Stroke:
			if o.Colour.Alpha <= 0 || o.Width <= 0 {
				continue
			}
			p.paint(o.Colour, false)
			p.dc.SetLineWidth(o.Width * p.k)
			p.dc.SetLineCapRound()
			dash := make([]float64, len(o.Dash))
			for i, d := range o.Dash {
				dash[i] = d * p.k
			}
			if len(dash) > 0 {
				p.dc.SetLineCapButt()
			}
			p.dc.SetDash(dash...)
			// gg cannot draw far outside its picture, so what cannot show is left out.
			shown := slices.DeleteFunc(slices.Clone(o.Lines), func(l scene.Line) bool { return !p.shows([]geom.Ring{l.Points}, o.Width) })
			p.inBatches(shown, o.Width, p.dc.Stroke)
		case scene.Text:
			p.paint(o.Colour, false)
			p.text(o)
			p.dc.Fill()
		case scene.Clip:
			p.clips = append(p.clips, o.Rings)
			p.clip()
			p.play(o.Inside)
			p.clips = p.clips[:len(p.clips)-1]
			p.clip()
		}
	}
}

// inBatches draws lines of the given width, or rings to be filled, in as many
// paths as they fall apart into.
func (p *player) inBatches(lines []scene.Line, width float64, draw func()) {
	boxes := make([]geom.Box, len(lines))
	for i, l := range lines {
		b := geom.BoxOf(l.Points...).Grow(width/2 + 2/p.k) // whole pixels, and one more
		boxes[i] = geom.Box{Min: b.Min.Mul(p.k), Max: b.Max.Mul(p.k)}
	}
	for _, batch := range batches(boxes) {
		for _, i := range batch {
			p.line(lines[i])
		}
		draw()
	}
}

// shows reports whether any of the rings, widened by margin, can touch the page.
func (p *player) shows(rings []geom.Ring, margin float64) bool {
	box := geom.EmptyBox()
	for _, r := range rings {
		box = box.Union(r.Box())
	}
	return !box.IsEmpty() && box.Gap(p.page) <= margin
}

// clip sets gg's mask to what all clips in force leave free.
func (p *player) clip() {
	p.dc.ResetClip()
	p.dc.SetFillRule(gg.FillRuleEvenOdd)
	for _, rings := range p.clips {
		p.dc.ClearPath()
		p.rings(rings)
		p.dc.Clip()
	}
}

func (p *player) paint(c scene.Colour, evenOdd bool) {
	rule := gg.FillRuleWinding
	if evenOdd {
		rule = gg.FillRuleEvenOdd
	}
	p.dc.SetFillRule(rule)
	// 16 bits of alpha, so that thin layers keep their weight.
	a := math.Max(0, math.Min(1, c.Alpha))
	p.dc.SetColor(color.NRGBA64{uint16(c.R) * 0x101, uint16(c.G) * 0x101, uint16(c.B) * 0x101, uint16(math.Round(a * 0xffff))})
}

func (p *player) rings(rings []geom.Ring) {
	for _, r := range rings {
		p.line(scene.Line{Points: r, Closed: true})
	}
}

func (p *player) line(l scene.Line) {
	p.dc.NewSubPath()
	for _, v := range l.Points {
		p.dc.LineTo(v.X*p.k, v.Y*p.k)
	}
	if l.Closed && len(l.Points) > 0 {
		p.dc.ClosePath()
	}
}

func (p *player) text(t scene.Text) {
	for _, c := range t.Outline() {
		switch {
		case c.Move:
			p.dc.ClosePath()
			p.dc.MoveTo(c.P.X*p.k, c.P.Y*p.k)
		case c.Curved:
			p.dc.QuadraticTo(c.C.X*p.k, c.C.Y*p.k, c.P.X*p.k, c.P.Y*p.k)
		default:
			p.dc.LineTo(c.P.X*p.k, c.P.Y*p.k)
		}
	}
}
