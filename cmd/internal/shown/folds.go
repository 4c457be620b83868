package shown

import (
	"math"

	"strew/cmd/internal/results"
	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/render"
)

// Folds is the skirt as it hangs, to be drawn from any side: render.Hung with the
// colours of the cloth. Heights are millimetres below the waist seam.
type Folds struct {
	Columns   int        `json:"columns"`
	Panels    int        `json:"panels"`  // a seam lies at the left edge of each
	Gathers   int        `json:"gathers"` // rows of cells in which gathers run together
	Rows      []FoldsRow `json:"rows"`
	Band      FoldsBand  `json:"band"`
	Net       FoldsNet   `json:"net"`
	Felts     []Felt     `json:"felts"`
	Marks     []float64  `json:"marks"` // of each glue point: columns round, millimetres down
	ShowFront int        `json:"shows_front"`
}

// FoldsRow is the nodes of one row from panel 1's left edge round: x to the right of
// who looks at the front, z towards her.
type FoldsRow struct {
	Down float64   `json:"down"` // along the cloth
	Drop float64   `json:"drop"` // straight down
	X    []float64 `json:"x"`
	Z    []float64 `json:"z"`
}

// FoldsBand is the waistband from above, a closed line.
type FoldsBand struct {
	Height float64   `json:"height"`
	X      []float64 `json:"x"`
	Z      []float64 `json:"z"`
}

// FoldsNet is the cloth's colours.
type FoldsNet struct {
	Colour  string  `json:"colour"`
	Opacity float64 `json:"opacity"` // of one layer, 0 to 1
	Layers  int     `json:"layers"`
	Lining  string  `json:"lining"` // "": none
	Lined   float64 `json:"lined"`  // down the cloth to where the lining ends
}

// Felt is a piece of felt as rings for the even-odd rule, each of columns round and
// millimetres down in turn.
type Felt struct {
	Mark   int         `json:"mark"` // from 1
	Colour string      `json:"colour"`
	Rings  [][]float64 `json:"rings"`
}

// FoldsOf returns a plan's skirt as it hangs; false where nothing hangs: without a
// skirt, and for drawn panels, which do not say how they are worn.
func FoldsOf(p stage.Plan) (Folds, bool) {
	if p.LayOnly || !p.Cloth.Surface.Closed() {
		return Folds{}, false
	}
	cloth := results.Cloth(p)
	h := render.Hang(cloth, results.Marks(p))
	out := Folds{
		Columns: h.Columns, Panels: cloth.Surface.Panels, Gathers: h.Gathers, ShowFront: h.InFront,
		Net:   FoldsNet{Colour: cloth.Colour, Opacity: cloth.Opacity, Layers: max(1, cloth.Layers)},
		Felts: []Felt{}, Marks: pairs(h.Anchors),
	}
	if l := cloth.Lining; l != nil {
		out.Net.Lining, out.Net.Lined = l.Colour, tenth(max(0, cloth.Surface.Drop-l.ShorterBy))
	}
	for _, r := range h.Rows {
		x, z := apart(r.Nodes)
		out.Rows = append(out.Rows, FoldsRow{tenth(r.Down), tenth(r.Drop), x, z})
	}
	out.Band.Height = tenth(cloth.Waistband)
	out.Band.X, out.Band.Z = apart(h.Band)
	for _, f := range h.Felts {
		one := Felt{Mark: f.Mark + 1, Colour: f.Colour}
		for _, r := range f.Region.Rings() {
			one.Rings = append(one.Rings, pairs(r))
		}
		out.Felts = append(out.Felts, one)
	}
	return out, true
}

// tenth rounds millimetres to a tenth, a fraction of a pixel.
func tenth(mm float64) float64 { return math.Round(mm*10)/10 + 0 }

// apart returns the coordinates of points in lists of their own.
func apart(points []geom.Vec) (x, y []float64) {
	for _, p := range points {
		x, y = append(x, tenth(p.X)), append(y, tenth(p.Y))
	}
	return x, y
}

// pairs returns points of the mesh as columns round, to a hundredth, some tenth of a
// millimetre, and millimetres down, in turn.
func pairs(points []geom.Vec) []float64 {
	out := make([]float64, 0, 2*len(points))
	for _, p := range points {
		out = append(out, math.Round(p.X*100)/100+0, tenth(p.Y))
	}
	return out
}
