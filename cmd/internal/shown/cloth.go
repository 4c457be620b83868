package shown

import (
	"math"

	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/render"
)

// Cloth is the cloth of one part, its top left corner at the origin: x across it,
// y along it.
type Cloth struct {
	Part   string       `json:"part"`  // "net" or "lining"
	Words  string       `json:"words"` // how much to buy, and how it is cut
	Colour string       `json:"colour"`
	Width  float64      `json:"width"`
	Length float64      `json:"length"` // to buy
	Shapes []string     `json:"shapes"` // outlines without seam allowances
	Pieces []ClothPiece `json:"pieces"`
}

// ClothPiece is where a shape lies: turned about its origin, then moved to X, Y.
type ClothPiece struct {
	Shape int     `json:"shape"` // index into the shapes
	Name  string  `json:"name"`
	X     float64 `json:"x"`
	Y     float64 `json:"y"`
	Turn  float64 `json:"turn"`
	// Box is what the piece takes on the cloth with its allowances: x, y, width, height.
	Box    [4]float64 `json:"box"`
	Middle [2]float64 `json:"middle"` // where its name goes
	Room   [2]float64 `json:"room"`   // that the name may take there, across the cloth and along it
}

// ClothOf returns how net and lining are cut from their cloth, in rows across it;
// none without a skirt.
func ClothOf(p stage.Plan) []Cloth {
	out := []Cloth{}
	text := words.Of(p, words.Drawn{})
	for _, f := range p.Cloth.Fabric {
		c := Cloth{
			Part: string(f.Part), Words: text.Fabric(f), Colour: p.Project.Skirt.Colour,
			Width: round(f.Width), Length: round(f.Length), Shapes: []string{}, Pieces: []ClothPiece{},
		}
		if l := p.Project.Lining; f.Part == stage.Lining && l != nil {
			c.Colour = l.Colour
		}
		shapeOf := map[string]int{} // equal shapes once
		var middles, rooms []geom.Vec
		for _, l := range f.Rows {
			rings := render.ClothPiece(f.Surface, f.Split, l.Piece, l.Box)
			d := ringPath(rings, clothDecimals)
			shape, known := shapeOf[d]
			if !known {
				shape = len(c.Shapes)
				shapeOf[d] = shape
				c.Shapes = append(c.Shapes, d)
				g := geom.Region{Outer: rings[0], Holes: rings[1:]} // for the even-odd rule; the first is the outside
				middle := middleOf(g)
				middles, rooms = append(middles, middle), append(rooms, roomAt(g, middle))
			}
			size := l.Lying()
			at, turn, room := l.At, 0.0, rooms[shape]
			if l.Turned {
				at.X, turn = at.X+size.X, math.Pi/2
				room.X, room.Y = room.Y, room.X
			}
			c.Pieces = append(c.Pieces, ClothPiece{
				Shape: shape, Name: text.Message(pieceName(f, l.Layer, l.Piece)), X: round(at.X), Y: round(at.Y), Turn: degrees(turn),
				Box:    boxOf(geom.Box{Min: l.At, Max: l.At.Add(size)}),
				Middle: pointOf(geom.Placing(at, turn, 1, false).Apply(middles[shape])), Room: pointOf(room),
			})
		}
		out = append(out, c)
	}
	return out
}

const nameTol = 5 // millimetres: a name is not placed finer

// middleOf returns where a name fits best inside a region: the middle of its box
// where that lies well inside, else the centre of the widest circle.
func middleOf(g geom.Region) geom.Vec {
	const well = 0.5 // of the widest circle's radius: a middle looks better than a little more room
	widest, radius := geom.Pole([]geom.Region{g}, nameTol)
	if c := g.Box().Centre(); g.Contains(c) && g.EdgeDist(c) >= well*radius {
		return c
	}
	return widest
}

// roomAt returns how wide and how high something may be that has its middle at a
// point of a region, if it is only a line in the other direction.
func roomAt(g geom.Region, middle geom.Vec) geom.Vec {
	free := func(way geom.Vec) float64 {
		far := 0.0
		for g.Contains(middle.Add(way.Mul(far+nameTol))) && g.Contains(middle.Sub(way.Mul(far+nameTol))) {
			far += nameTol
		}
		return 2 * far
	}
	return geom.Vec{X: free(geom.Vec{X: 1}), Y: free(geom.Vec{Y: 1})}
}

// pieceName says which piece it is: "layer 1, panel 2", "part 1 of 2"; as much of
// it as there is to tell apart.
func pieceName(f stage.Fabric, layer, piece int) say.Message {
	panel := say.New("panel %d", piece/f.Split+1)
	if f.Split > 1 {
		panel = say.New("panel %d, part %d", piece/f.Split+1, piece%f.Split+1)
	}
	switch {
	case f.Layers > 1 && f.Pieces > 1:
		return say.New("layer %d, %s", layer+1, panel)
	case f.Layers > 1:
		return say.New("layer %d", layer+1)
	case f.Pieces > 1:
		return panel
	}
	return say.New("one piece")
}
