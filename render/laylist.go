package render

import (
	"math"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
)

// Sizes of the list of motifs below a lay, in millimetres.
const (
	groupWidth = 60.0 // the narrowest column
	groupName  = 3.0
	groupLine  = 3.3
	groupGap   = 1.9
	groupInset = 4.0 // white to the next column
	// mostList is the share of the page's height that the list may take before
	// its numbers give way to the drawing.
	mostList = 0.3
)

// groupList is the list below a lay: which numbers are which motif and size.
type groupList struct {
	names  []string
	notes  [][]string // lines of numbers of each
	cols   int
	column float64
	height float64
}

// listOf sets the list in as many columns as make it lowest, with every number
// in it. Where that is higher than most, only the counts are left.
func listOf(p say.Printer, groups []group, width, most float64) groupList {
	var best groupList
	for cols := max(1, min(len(groups), int(width/groupWidth))); cols >= 1; cols-- {
		if l := setList(p, groups, cols, width/float64(cols), true); best.cols == 0 || l.height < best.height {
			best = l
		}
	}
	if best.height > most {
		cols := max(1, min(len(groups), int(width/groupWidth)))
		best = setList(p, groups, cols, width/float64(cols), false)
	}
	return best
}

func setList(p say.Printer, groups []group, cols int, column float64, numbers bool) groupList {
	l := groupList{cols: cols, column: column}
	for _, g := range groups {
		name := g.name
		if !sameSize(g.size, 1) {
			name = p.Say("%s, size %s", g.name, sizeName(g.size))
		}
		note := p.Many(len(g.numbers), "%d piece", "%d pieces")
		if numbers {
			note = p.Many(len(g.numbers), "%d piece: %s", "%d pieces: %s", say.Runs(g.numbers))
		}
		l.names = append(l.names, scene.Bold.Shorten(scene.Bold.Clean(name), sizeText, column-groupInset))
		l.notes = append(l.notes, scene.Regular.Wrap(note, sizeSmall, column-groupInset, len(g.numbers)+2))
	}
	for i := 0; i < len(groups); i += cols {
		l.height += l.rowHeight(i)
	}
	return l
}

// rowHeight is the height of the row that starts with group i.
func (l groupList) rowHeight(i int) float64 {
	lines := 0
	for _, n := range l.notes[i:min(len(l.notes), i+l.cols)] {
		lines = max(lines, len(n))
	}
	return groupName + groupLine*float64(lines) + groupGap
}

// draw draws the list with its top left corner at at.
func (l groupList) draw(sc *scene.Scene, at geom.Vec) {
	for i := range l.names {
		if i > 0 && i%l.cols == 0 {
			at.Y += l.rowHeight(i - l.cols)
		}
		p := at.Add(geom.Vec{X: float64(i%l.cols) * l.column})
		y := groupName
		sc.Add(scene.Text{At: p.Add(geom.Vec{Y: y}), Text: l.names[i], Font: scene.Bold, Size: sizeText, Colour: ink()})
		for _, line := range l.notes[i] {
			y += groupLine
			sc.Add(scene.Text{At: p.Add(geom.Vec{Y: y}), Text: line, Size: sizeSmall, Colour: soft()})
		}
	}
}

// hatchStep is the distance of the hatching of what is left over, millimetres
// on the page: clearly wider than a line, so that it stays faint.
const hatchStep = 4.0

// keep draws a piece of felt that is left over: hatched, and its size in the
// middle where there is room, taken on the board.
func keep(box geom.Box, size string, b *board) []scene.Op {
	ops := []scene.Op{scene.Stroke{Lines: hatch(box, hatchStep), Width: scene.Points(lineHair), Colour: faint()},
		scene.Stroke{Lines: scene.Closed(scene.Rect(box)), Width: scene.Points(lineHair), Dash: dashCut(), Colour: soft()}}
	label := scene.Text{At: box.Centre(), Text: size, Size: sizeSmall, Anchor: scene.Middle, Colour: soft()}
	if box.Height() > box.Width() {
		label.Turn = -math.Pi / 2
	}
	// Centred on the height of its capitals.
	label.At = label.At.Add(geom.Vec{Y: scene.Regular.CapHeight(sizeSmall) / 2}.Rotate(label.Turn))
	room := label.Box().Grow(1)
	if room.Width() > box.Width() || room.Height() > box.Height() {
		return ops
	}
	b.take(room)
	return append(ops, scene.Fill{Rings: []geom.Ring{scene.Rect(room)}, Colour: white()}, label)
}

// hatch returns lines at 45° across a box.
func hatch(box geom.Box, step float64) []scene.Line {
	var out []scene.Line
	for s := step; s < box.Width()+box.Height(); s += step {
		a, b := geom.Vec{X: s}, geom.Vec{Y: s}
		if over := s - box.Width(); over > 0 {
			a = geom.Vec{X: box.Width(), Y: over}
		}
		if over := s - box.Height(); over > 0 {
			b = geom.Vec{X: over, Y: box.Height()}
		}
		out = append(out, scene.Line{Points: []geom.Vec{box.Min.Add(a), box.Min.Add(b)}})
	}
	return out
}
