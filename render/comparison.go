package render

import (
	"context"
	"math"

	"strew/motif/geom"
	"strew/render/scene"
)

// Choice is one of several skirts on a board.
type Choice struct {
	Name  string   // written below it, in bold
	Notes []string // lines under the name
	Cloth Cloth
	Marks []Mark
	Empty bool // it could not be planned: Notes say why
}

// The board, in millimetres at ScreenDPI.
const (
	choiceWide = 92.0
	choiceHigh = 74.0 // for the cloth
	choiceText = 24.0 // for what is written below it
)

// Comparison draws a board of skirts side by side, each flat in its net with its
// cutouts, and its name and notes below. row is how many belong in one row; if that
// is all of them, or too many for the board, they are set in a square. Write it at
// ScreenDPI.
func Comparison(ctx context.Context, title, below string, list []Choice, row int) *scene.Scene {
	const m = marginScreen
	const widest = 5
	cols := row
	if row > widest || row == len(list) && row > 3 {
		cols = int(math.Ceil(math.Sqrt(float64(len(list)))))
	}
	cols = max(1, cols)
	sc := &scene.Scene{Width: math.Max(skirtNarrow, 2*m+float64(cols)*(choiceWide+gapBlock)-gapBlock)}
	top := heading(sc, geom.Vec{X: m, Y: m}, sc.Width-2*m, title, below) + 2*gapBlock
	for i, c := range list {
		at := geom.Vec{X: m + float64(i%cols)*(choiceWide+gapBlock), Y: top + float64(i/cols)*(choiceHigh+choiceText+gapBlock)}
		c.draw(ctx, sc, geom.Box{Min: at, Max: at.Add(geom.Vec{X: choiceWide, Y: choiceHigh})})
	}
	rows := (len(list) + cols - 1) / cols
	sc.Height = top + float64(rows)*(choiceHigh+choiceText+gapBlock) - gapBlock + m
	return sc
}

func (c Choice) draw(ctx context.Context, sc *scene.Scene, box geom.Box) {
	frame := scene.Rect(box)
	if c.Empty {
		sc.Add(scene.Stroke{Lines: scene.Closed(frame), Width: scene.Points(lineHair), Dash: dashCut(), Colour: faint()})
	} else {
		area := geom.Vec{X: box.Width(), Y: box.Height()}
		if stretches, scale, cols := best(c.Cloth.Surface, area, evenRoom(1), 2); scale > 0 {
			shown := views(stretches, box, scale, cols, evenRoom(1), 2)
			// In the middle of its place, whatever its shape.
			down := box.Centre().Y - viewsBox(shown).Centre().Y
			box.Min.Y += down
			for _, v := range views(stretches, box, scale, cols, evenRoom(1), 2) {
				sc.Add(v.dressed(ctx, c.Cloth, c.Marks)...)
			}
			box.Min.Y -= down
		}
	}
	x, y := box.Centre().X, box.Max.Y+5
	write := func(text string, font scene.Font, size float64, ink scene.Colour, lines int) {
		for _, line := range font.Wrap(font.Clean(text), size, choiceWide, lines) {
			sc.Add(scene.Text{At: geom.Vec{X: x, Y: y}, Text: line, Font: font, Size: size, Anchor: scene.Middle, Colour: ink})
			y += scene.Points(size) * 1.35
		}
	}
	write(c.Name, scene.Bold, sizeSub, ink(), 1)
	for _, n := range c.Notes {
		write(n, scene.Regular, sizeText, soft(), 3)
	}
}
