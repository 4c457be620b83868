package render

import (
	"context"
	"errors"
	"io"
	"testing"

	"strew/motif/geom"
	"strew/render/pdf"
	"strew/render/raster"
	"strew/render/scene"
	"strew/render/svg"
)

// Every drawing draws less once it is told to stop, here before it begins, and
// every writer then writes nothing. What is counted is operations, not time.
func TestDrawingStops(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	c := circleCloth(1, 680, 570, 2)
	c.Waist = 680
	marks := strewn(c.Surface, 900, 1, acorn())
	lay := demoLay(300, 450)
	parts := c.Parts(marks)
	var operations func(ops []scene.Op) int
	operations = func(ops []scene.Op) int {
		n := len(ops)
		for _, op := range ops {
			if c, is := op.(scene.Clip); is {
				n += operations(c.Inside)
			}
		}
		return n
	}
	count := func(pages ...*scene.Scene) (n int) {
		for _, p := range pages {
			n += operations(p.Ops)
		}
		return n
	}
	whole := t.Context()
	for name, draw := range map[string]func(context.Context) int{
		"skirt":     func(ctx context.Context) int { return count(Skirt(ctx, c, marks)) },
		"worn":      func(ctx context.Context) int { return count(Worn(ctx, c, marks)) },
		"placement": func(ctx context.Context) int { return count(Placement(ctx, c, marks)...) },
		"guide":     func(ctx context.Context) int { return count(MarkingGuide(ctx, c, marks, nil).Pages...) },
		"strips": func(ctx context.Context) int {
			return len(Strips(ctx, c, parts, inRows(c.Surface, 90, 80, 0, 1, acorn()))) + 1
		},
		"lay":       func(ctx context.Context) int { return count(LaySheet(ctx, lay)) },
		"lay pages": func(ctx context.Context) int { return count(LayPages(ctx, "", []Lay{lay, lay, lay}, nil)...) },
		"comparison": func(ctx context.Context) int {
			return count(Comparison(ctx, "", "", []Choice{{Cloth: c, Marks: marks}}, 1))
		},
	} {
		if all, some := draw(whole), draw(ctx); some >= all {
			t.Errorf("%s: %d operations when stopped, %d when not", name, some, all)
		}
	}
	page := Skirt(t.Context(), c, marks)
	for name, err := range map[string]error{
		"png": raster.WritePNG(ctx, io.Discard, page, 100),
		"pdf": pdf.Write(ctx, io.Discard, "", []*scene.Scene{page}),
		"svg": svg.Write(ctx, io.Discard, "", geom.Vec{X: page.Width, Y: page.Height}, []svg.Layer{{ID: "a", Ops: page.Ops}}),
	} {
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}
