//go:build measure

package scatter_test

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/fogleman/gg"

	"strew/motif/geom"
	"strew/scatter"
	"strew/scatter/skirt"
)

// TestSheet draws every pattern on every cut at jitters from 0 to 1 into the
// folder STREW_SHEET, one picture a cut, to be looked at.
func TestSheet(t *testing.T) {
	dir := os.Getenv("STREW_SHEET")
	if dir == "" {
		t.Fatal("STREW_SHEET names no folder to draw into")
	}
	kinds := []scatter.Kind{
		{Name: "leaf", Outline: []geom.Ring{leaf(56, 22)}, Share: 2, Direction: scatter.Tossed},
		{Name: "moon", Motif: 1, Outline: []geom.Ring{crescent(18)}, Share: 1},
		{Name: "star", Motif: 2, Outline: []geom.Ring{star(20)}, Share: 1, Direction: scatter.TwoWay},
	}
	round := []scatter.Kind{{Name: "dot", Outline: []geom.Ring{disc(12)}, Share: 1}}
	base := scatter.Options{Spacing: 85, Rows: 2, Rise: 60, Seed: 5, Clearance: scatter.Clearance{Between: 4, Waist: 15, Hem: 12}}
	bare := []scatter.Bare{{Panel: 0, Down: [2]float64{150, 400}, Around: [2]float64{60, 190}}}
	fixed := []scatter.Fixed{{Kind: 0, Panel: 0, Down: 480, Around: 160, Turn: 0.4}}
	type picture struct {
		title string
		kinds []scatter.Kind
		opt   func(o *scatter.Options)
	}
	var all []picture
	for _, jitter := range []float64{0, 0.1, 0.25, 0.5, 0.75, 1} {
		all = append(all, picture{fmt.Sprintf("polka %g", jitter), round, func(o *scatter.Options) { o.Jitter = jitter }})
	}
	for _, jitter := range []float64{0, 0.25, 0.5, 1} {
		all = append(all, picture{fmt.Sprintf("mixed %g", jitter), kinds, func(o *scatter.Options) { o.Jitter = jitter }})
	}
	all = append(all,
		picture{"grid", round, func(o *scatter.Options) { o.Pattern = scatter.Grid }},
		picture{"grid, staggered, bare", round, func(o *scatter.Options) { o.Pattern, o.Stagger, o.Bare = scatter.Grid, true, bare }},
		picture{"hemband", kinds, func(o *scatter.Options) { o.Pattern, o.Stagger = scatter.HemBand, true }},
		picture{"polka 0.5, bare, fixed", kinds, func(o *scatter.Options) { o.Jitter, o.Bare, o.Fixed = 0.5, bare, fixed }},
		picture{"denser at the waist", round, func(o *scatter.Options) { o.Jitter, o.SpacingWaist = 0.5, 45 }},
		picture{"grid, denser", round, func(o *scatter.Options) { o.Pattern, o.Stagger, o.SpacingWaist = scatter.Grid, true, 45 }},
		picture{"crowded 2", round, func(o *scatter.Options) { o.Jitter, o.Crowding = 0.5, 2 }},
		picture{"seam 10", kinds, func(o *scatter.Options) { o.Jitter, o.Clearance.Seam = 0.5, 10 }},
	)
	for _, c := range cuts(t) {
		const across, size = 6, 420
		dc := gg.NewContext(across*size, (len(all)+across-1)/across*size)
		dc.SetHexColor("#ffffff")
		dc.Clear()
		for i, p := range all {
			opt := base
			opt.Pattern, opt.Repeat = scatter.Polka, c.surface.Panels
			p.opt(&opt)
			x, y := float64(i%across*size), float64(i/across*size)
			l, err := scatter.Run(context.Background(), c.surface, p.kinds, opt)
			dc.SetHexColor("#000000")
			if err != nil {
				dc.DrawStringWrapped(p.title+": "+err.Error(), x+5, y+5, 0, 0, size-10, 1.2, gg.AlignLeft)
				continue
			}
			dc.DrawString(fmt.Sprintf("%s: %d", p.title, len(l.Placements)), x+5, y+12)
			drawSewn(dc, c.surface, p.kinds, opt, l, x+10, y+16, size-20)
		}
		name := filepath.Join(dir, strings.NewReplacer(" ", "-", ",", "").Replace(c.name)+".png")
		if err := dc.SavePNG(name); err != nil {
			t.Fatal(err)
		}
	}
}

// drawSewn draws all panels side by side: wedges sewn round their apex up to a
// full turn and beyond it one after another, straight panels in a row.
func drawSewn(dc *gg.Context, s skirt.Surface, kinds []scatter.Kind, opt scatter.Options, l scatter.Layout, x, y, size float64) {
	// Panels' frames into one plane.
	place := make([]geom.Affine, s.Panels)
	for k := range place {
		switch {
		case s.Wedges() && s.Angle*float64(s.Panels) <= 2*math.Pi+1e-9:
			place[k] = geom.Rotation(-(float64(k) + 0.5) * s.Angle)
		case s.Wedges():
			place[k] = geom.Rotation(math.Pi).Then(geom.Translation(geom.Vec{X: float64(k%2) * 2.1 * (s.Inner + s.Drop), Y: float64(k/2) * 2.1 * (s.Inner + s.Drop)}))
		case s.Cut == skirt.Rectangle:
			place[k] = geom.Translation(geom.Vec{X: float64(k) * s.Width})
		default:
			place[k] = geom.Identity()
		}
	}
	box := geom.EmptyBox()
	for k := range place {
		for _, e := range s.Edges(k) {
			for _, p := range e.Line {
				box = box.With(place[k].Apply(p))
			}
		}
	}
	scale := math.Min(size/box.Width(), (size-10)/box.Height())
	at := func(k int, p geom.Vec) (float64, float64) {
		p = place[k].Apply(p).Sub(box.Min).Mul(scale)
		return x + p.X, y + p.Y
	}
	dc.SetLineWidth(1)
	for k := range place {
		for _, e := range s.Edges(k) {
			dc.SetHexColor("#888888")
			if e.Kind == skirt.SeamEdge {
				dc.SetHexColor("#dddddd")
			}
			for _, p := range e.Line {
				dc.LineTo(at(k, p))
			}
			dc.Stroke()
		}
	}
	for _, b := range opt.Bare {
		dc.SetHexColor("#f4d9d0")
		for i := range 40 {
			t := float64(i%10) / 10
			d, a := b.Down[0], b.Around[0]
			switch i / 10 {
			case 0:
				a += t * (b.Around[1] - b.Around[0])
			case 1:
				d, a = d+t*(b.Down[1]-d), b.Around[1]
			case 2:
				d, a = b.Down[1], b.Around[1]-t*(b.Around[1]-a)
			case 3:
				d = b.Down[1] - t*(b.Down[1]-d)
			}
			dc.LineTo(at(b.Panel, s.PointAt(b.Panel, d, a).At))
		}
		dc.Fill()
	}
	colours := []string{"#3a6ea5", "#c8553d", "#588157"}
	for _, p := range l.Placements {
		dc.SetHexColor(colours[p.Kind])
		if p.Fixed {
			dc.SetHexColor("#000000")
		}
		for _, r := range kinds[p.Kind].Outline {
			for _, q := range r.Transform(geom.Placing(p.Point.At, p.Turn, 1, false)) {
				dc.LineTo(at(p.Point.Panel, q))
			}
			dc.ClosePath()
			dc.Fill()
		}
	}
}
