package render

import (
	"slices"

	"strew/motif"
	"strew/motif/geom"
)

// Hung is a skirt as it hangs, in numbers from which it can be drawn from any
// side: a mesh of nodes between lines down and rows round the cloth, with the felt
// on it. It is the skirt of Worn with half the columns, since a fold on a screen
// is some thirty pixels wide. A place on the mesh is a geom.Vec of columns round
// the skirt from the left edge of panel 1, which may be below 0 or beyond the last,
// and millimetres down the cloth.
type Hung struct {
	Columns int // of cells all round; seams lie between two, equally far apart
	Gathers int // rows of cells from the top in which gathers run together
	Rows    []HungRow
	Band    []geom.Vec // the waistband seen from above, as HungRow.Nodes; closed
	Felts   []HungFelt // the lower of two that lie on one another first
	Anchors []geom.Vec // of each mark, on the mesh
	InFront int        // cutouts that show from the front, as ShowInFront counts them
}

// HungRow is one row round the skirt. All of it hangs at one height.
type HungRow struct {
	Down, Drop float64    // from the waist seam: along the cloth; straight down; millimetres
	Nodes      []geom.Vec // of each column's left edge: x to the viewer's right, y towards the viewer of the front
}

// HungFelt is a piece of felt on the mesh. Its outline is simplified: it lies within
// hungTol of the true one.
type HungFelt struct {
	Mark   int // its place in the list of marks
	Colour string
	Region geom.Region
}

const (
	// screenDetail halves the columns of print.
	screenDetail = 0.5
	// hungTol, in millimetres, is a third of a pixel of a skirt that fills a screen.
	hungTol = 0.3
	// bandPoints draws the band, an ellipse, within 0.15 % of its radius.
	bandPoints = 60
)

// Hang hangs the skirt. It takes what Worn takes, and a drawing of the skirt from
// its numbers should say, as Worn does, that the folds are an estimate.
func Hang(c Cloth, marks []Mark) Hung {
	simple := map[*motif.Motif]*motif.Motif{}
	thin := make([]Mark, len(marks))
	for i, m := range marks {
		if simple[m.Motif] == nil {
			simple[m.Motif] = simplified(m.Motif)
		}
		thin[i], thin[i].Motif = m, simple[m.Motif]
	}
	w := newWorn(c, thin, screenDetail)
	out := Hung{Columns: w.columns, Gathers: w.hang.gathers(), InFront: ShowInFront(c, marks)}
	for _, r := range w.hang.rows {
		out.Rows = append(out.Rows, HungRow{r.down, r.drop, r.nodes})
	}
	for i := range bandPoints {
		out.Band = append(out.Band, w.hang.outline[i*len(w.hang.outline)/bandPoints].Mul(c.Waist))
	}
	onMesh := geom.Scaling(float64(w.columns), 1)
	for _, a := range w.anchors {
		out.Anchors = append(out.Anchors, onMesh.Apply(a))
	}
	n := 0
	for i, m := range thin {
		for _, p := range m.Motif.Pieces {
			out.Felts = append(out.Felts, HungFelt{i, p.Colour, w.felts[n].region.Transform(onMesh)})
			n++
		}
	}
	return out
}

// simplified returns the motif with the outlines of its pieces simplified.
func simplified(m *motif.Motif) *motif.Motif {
	out := *m
	out.Pieces = nil
	for _, p := range m.Pieces {
		q := motif.Piece{Colour: p.Colour, Region: geom.Region{Outer: simplifiedRing(p.Region.Outer)}}
		for _, h := range p.Region.Holes {
			q.Region.Holes = append(q.Region.Holes, simplifiedRing(h))
		}
		out.Pieces = append(out.Pieces, q)
	}
	return &out
}

// simplifiedRing returns a ring of fewer points within hungTol of r (D. Douglas and
// T. Peucker, 1973), and r itself where nothing would be left. It is for drawing:
// the result may touch itself.
func simplifiedRing(r geom.Ring) geom.Ring {
	far := 0 // from the first point; the two part the ring into lines
	for i := range r {
		if r[i].Dist(r[0]) > r[far].Dist(r[0]) {
			far = i
		}
	}
	closed := append(slices.Clone(r), r[0])
	out := append(simplifiedLine(geom.Ring{r[0]}, closed[:far+1]), simplifiedLine(nil, closed[far:])...)
	if out = out[:len(out)-1]; len(out) < 3 {
		return r
	}
	return out
}

// simplifiedLine appends what is kept of the line after its first point.
func simplifiedLine(out, line geom.Ring) geom.Ring {
	last := len(line) - 1
	far, dist := 0, hungTol
	for i := 1; i < last; i++ {
		if d := geom.PointSegment(line[i], line[0], line[last]); d > dist {
			far, dist = i, d
		}
	}
	if far == 0 {
		return append(out, line[last])
	}
	return simplifiedLine(simplifiedLine(out, line[:far+1]), line[far:])
}
