package skirt

import "math"

// Index finds the places near a place on a closed surface. It is a uniform
// grid in rows and in shares of the way round, so it knows no seam: a row's
// cells close on themselves however large the sewn angle is.
type Index struct {
	s     Surface
	cell  float64 // height of a row of cells and least width of a cell
	low   float64 // Down of the first row's upper edge
	rows  [][][]int32
	where []Place
}

// NewIndex returns an empty index for places whose Down lies between low and
// high, with cells of about the given size in millimetres.
func NewIndex(s Surface, low, high, size float64) *Index {
	n := max(1, int(math.Ceil((high-low)/size)))
	x := &Index{s: s, cell: math.Max((high-low)/float64(n), size*1e-3), low: low, rows: make([][][]int32, n)}
	for i := range x.rows {
		// The narrow upper edge decides how many cells fit round.
		girth := s.Girth(low + float64(i)*x.cell)
		x.rows[i] = make([][]int32, max(1, int(girth/size)))
	}
	return x
}

// Len returns how many identifiers have been given out.
func (x *Index) Len() int { return len(x.where) }

// At returns the place of identifier id.
func (x *Index) At(id int) Place { return x.where[id] }

func (x *Index) row(down float64) int {
	return min(max(int((down-x.low)/x.cell), 0), len(x.rows)-1)
}

func (x *Index) slot(p Place) *[]int32 {
	row := x.rows[x.row(p.Down)]
	return &row[min(int(p.Round*float64(len(row))), len(row)-1)]
}

// Add puts p in and returns its identifier: 0, 1, 2, …
func (x *Index) Add(p Place) int {
	id := len(x.where)
	x.where = append(x.where, p)
	slot := x.slot(p)
	*slot = append(*slot, int32(id))
	return id
}

// Remove takes id out of the grid; Move puts it back.
func (x *Index) Remove(id int) {
	slot := x.slot(x.where[id])
	for i, other := range *slot {
		if int(other) == id {
			*slot = append((*slot)[:i], (*slot)[i+1:]...)
			return
		}
	}
}

// Move puts id at p, whether it was in the grid or taken out.
func (x *Index) Move(id int, p Place) {
	x.Remove(id)
	x.where[id] = p
	slot := x.slot(p)
	*slot = append(*slot, int32(id))
}

// Near calls yield once for every place in the grid that can lie within reach
// of p along the cloth, and for some that lie a little farther; p's own
// identifier, where it has one, is among them.
func (x *Index) Near(p Place, reach float64, yield func(id int)) {
	half := x.half(p, reach)
	for r := x.row(p.Down - reach); r <= x.row(p.Down+reach); r++ {
		row := x.rows[r]
		n := len(row)
		from := int(math.Floor((p.Round - half) * float64(n)))
		to := int(math.Floor((p.Round + half) * float64(n)))
		if to-from+1 >= n {
			from, to = 0, n-1
		}
		for c := from; c <= to; c++ {
			for _, id := range row[((c%n)+n)%n] {
				yield(int(id))
			}
		}
	}
}

// half returns how large a share of the way round, to either side of p, places
// within reach of it can lie.
func (x *Index) half(p Place, reach float64) float64 {
	if x.s.Cut == Rectangle {
		return reach / x.s.Girth(p.Down)
	}
	// A straight line of length reach from radius rho spans at most the angle
	// whose sine is reach/rho: then it touches the circle of that radius.
	rho := x.s.Inner + p.Down
	if reach >= rho {
		return 0.5
	}
	return math.Asin(reach/rho) / (x.s.Angle * float64(x.s.Panels))
}
