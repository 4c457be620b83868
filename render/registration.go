package render

import (
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
)

// Registration marks are the ringed crosses by which pages are joined. Where two
// printed pages meet, both show two of them in the strip they share, at the same
// places of the drawing and with the same number, and say which page they meet.

// meeting is where two printed pages meet.
type meeting struct {
	number   int
	col, row int // of the page to the left or above
	beside   bool
	at       [2]geom.Vec // its ringed crosses in the drawing
}

// Lengths of a registration mark, in millimetres.
const (
	registrationRing = 2.6
	registrationArm  = 4.0
	registrationText = 28.0 // along the strip beyond the cross: "17a meets B13"

	// plate is the opacity of the white below a mark's words: a cut line below
	// them must still be seen.
	plate = 0.7
)

// registrationFree is how far registration marks keep off obstacles where they
// can, in millimetres: room for a cutout's number.
const registrationFree = 8.0

// registrations numbers where printed pages meet. The ringed crosses lie a quarter of the way
// from either end, or as near to there as the obstacles leave room.
func (g grid) registrations(obstacles []geom.Box) []meeting {
	var out []meeting
	add := func(col, row int, beside bool) {
		j := meeting{number: len(out) + 1, col: col, row: row, beside: beside}
		win := g.window(col, row)
		from, along, long := geom.Vec{X: win.Max.X - tileOverlap/2, Y: win.Min.Y}, geom.Vec{Y: 1}, win.Height()
		if !beside {
			from, along, long = geom.Vec{X: win.Min.X, Y: win.Max.Y - tileOverlap/2}, geom.Vec{X: 1}, win.Width()
		}
		strip := geom.BoxOf(from, from.Add(along.Mul(long))).Grow(tileOverlap + registrationFree)
		near := slices.DeleteFunc(slices.Clone(obstacles), func(o geom.Box) bool { return !o.Meets(strip) })
		for i, part := range []float64{0.25, 0.75} {
			want := part * long
			j.at[i] = from.Add(along.Mul(want))
			// Not into the corners, where four pages share the paper.
			low := math.Max(tileOverlap+registrationArm, want-0.22*long)
			high := math.Min(long-tileOverlap-registrationArm-registrationText, want+0.22*long)
			j.at[i] = from.Add(along.Mul(math.Max(low, math.Min(high, want))))
			if at, ok := freeRegistration(from, along, want, low, high, near); ok {
				j.at[i] = at
			}
		}
		out = append(out, j)
	}
	for row := range g.rows {
		for col := range g.cols {
			if !g.isPrinted(col, row) {
				continue
			}
			if g.isPrinted(col+1, row) {
				add(col, row, true)
			}
			if g.isPrinted(col, row+1) {
				add(col, row, false)
			}
		}
	}
	return out
}

// freeRegistration finds the place between low and high along the strip, nearest to
// want, at which a cross with its words is free of obstacles.
func freeRegistration(from, along geom.Vec, want, low, high float64, obstacles []geom.Box) (geom.Vec, bool) {
	for _, keep := range []float64{registrationFree, 0.5} {
		for off := 0.0; want-off >= low || want+off <= high; off += 2 {
			for _, s := range []float64{want + off, want - off} {
				at := from.Add(along.Mul(s))
				box := registrationBox(at, along)
				if s >= low && s <= high && !slices.ContainsFunc(obstacles, func(o geom.Box) bool { return overlap(box, o, keep) }) {
					return at, true
				}
			}
		}
	}
	return geom.Vec{}, false
}

// registrationBox is what a ringed cross and its words cover.
func registrationBox(at, along geom.Vec) geom.Box {
	return geom.BoxOf(at.Sub(along.Mul(registrationArm)), at.Add(along.Mul(registrationArm+registrationText))).Grow(tileOverlap/2 - registrationArm + 1).
		Union(geom.Box{Min: at, Max: at}.Grow(registrationArm))
}

// register draws a page's registration marks over its content, and takes their
// room.
func (t *tile) register(g grid, meetings []meeting, at [2]int, sayer say.Printer) {
	col, row := at[0], at[1]
	var lines, arms []scene.Line
	var plates []geom.Ring
	var words []scene.Op
	for _, j := range meetings {
		other := [2]int{j.col, j.row}
		if j.col == col && j.row == row {
			other[0]++
			if !j.beside {
				other = [2]int{j.col, j.row + 1}
			}
		} else if other != [2]int{col - 1, row} || !j.beside {
			if other != [2]int{col, row - 1} || j.beside {
				continue
			}
		}
		along, turn := geom.Vec{X: 1}, 0.0
		if j.beside {
			along, turn = geom.Vec{Y: 1}, math.Pi/2
		}
		a, b := t.frame.Min, t.frame.Max
		on := j.at[0].Add(t.toPage)
		if j.beside {
			a.X, b.X = on.X, on.X
		} else {
			a.Y, b.Y = on.Y, on.Y
		}
		t.dashes = append(t.dashes, geom.BoxOf(a, b).Grow(0.3))
		for i, at := range j.at {
			p := at.Add(t.toPage)
			t.taken = append(t.taken, registrationBox(p, along))
			arms = append(arms, scene.Line{Points: []geom.Vec{p.Sub(geom.Vec{X: registrationArm}), p.Add(geom.Vec{X: registrationArm})}},
				scene.Line{Points: []geom.Vec{p.Sub(geom.Vec{Y: registrationArm}), p.Add(geom.Vec{Y: registrationArm})}},
				scene.Line{Points: scene.Disc(p, registrationRing), Closed: true})
			// The dashed line stops before the cross and goes on after the words.
			lines = append(lines, scene.Line{Points: []geom.Vec{a, p.Sub(along.Mul(registrationArm + 0.5))}})
			code := itoa(j.number) + string(rune('a'+i))
			t.registrations = append(t.registrations, RegistrationMark{code, p})
			start := p.Add(along.Mul(registrationArm + 1.5))
			base := geom.Vec{Y: scene.Bold.CapHeight(sizeSub) / 2}.Rotate(turn)
			meets := sayer.Say("meets %s", g.name(other[0], other[1]))
			codeWide := scene.Bold.Width(code, sizeSub) + 1.5
			end := start.Add(along.Mul(codeWide + scene.Regular.Width(meets, sizeSmall)))
			a = end.Add(along)
			plates = append(plates, scene.Rect(geom.BoxOf(start, end).Grow(1.3)), scene.Disc(p, registrationRing))
			words = append(words, scene.Text{At: start.Add(base), Text: code, Font: scene.Bold, Size: sizeSub, Turn: turn, Colour: ink()},
				scene.Text{At: start.Add(base).Add(along.Mul(codeWide)), Text: meets, Size: sizeSmall, Turn: turn, Colour: ink()})
		}
		lines = append(lines, scene.Line{Points: []geom.Vec{a, b}})
	}
	t.Add(scene.Stroke{Lines: lines, Width: scene.Points(lineHair), Dash: dashMargin(), Colour: soft()},
		scene.Fill{Rings: plates, Colour: white().Faded(plate)},
		scene.Stroke{Lines: arms, Width: scene.Points(lineFine), Colour: ink()})
	t.Add(words...)
}
