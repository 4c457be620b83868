package skirt

import (
	"math"

	"strew/motif/geom"
)

// Spot is a place made ready for measuring: it also knows where it lies in the
// plane onto which the cloth unrolls, so that nothing between two spots needs
// trigonometry. Make one with Surface.Spot.
//
// Beyond a full turn of a circle or of gores, sheets overlap in the plane; Theta
// tells them apart.
type Spot struct {
	Place
	At      geom.Vec // in the plane
	Upright float64  // turn of the upright frame in the plane
	Theta   float64  // wedges: the sewn angle, from 0 up to the whole way round
	panel   int      // outline
}

// Spots is a set of spots that finds those near a spot. It is a uniform grid in
// rows and in shares of the way round, so it knows no seam: a row's cells close on themselves
// however large the sewn angle is, and a search that goes on past the last cell
// of a row comes to the first, one way round further. What is seen that way, or
// over a seam of an outline, is measured from where the searching spot would
// lie beside it, so that one subtraction gives every offset.
type Spots struct {
	s      Surface
	closed bool // rows close on themselves; else panels lie apart, joined by joins
	joins  []join
	cell   float64 // height of a row of cells and least width of a cell
	low    float64 // Down of the first row's upper edge
	first  []int   // number of each row's first cell; one more at the end
	cells  [][]entry
	spots  []Spot
	in     []bool // whether it is in the grid, not taken out
}

// entry is what a cell knows of a spot: all that most searches ask for.
type entry struct {
	at    geom.Vec
	theta float64
	id    int32
	panel int32
}

// NewSpots returns an empty set for places whose Down lies between low and
// high, with cells of about the given size in millimetres.
func NewSpots(s Surface, low, high, size float64) *Spots {
	n := max(1, int(math.Ceil((high-low)/size)))
	x := &Spots{s: s, closed: s.Closed(), joins: s.shape.seams(), cell: math.Max((high-low)/float64(n), size*1e-3), low: low, first: make([]int, n+1)}
	for i := range n {
		// The narrow upper edge decides how many cells fit round.
		x.first[i+1] = x.first[i] + max(1, int(s.Span(low+float64(i)*x.cell)/size))
	}
	x.cells = make([][]entry, x.first[n])
	return x
}

// Len returns how many identifiers have been given out.
func (x *Spots) Len() int { return len(x.spots) }

// At returns the spot of identifier id.
func (x *Spots) At(id int) Spot { return x.spots[id] }

func (x *Spots) row(down float64) int {
	return min(max(int((down-x.low)/x.cell), 0), len(x.first)-2)
}

func (x *Spots) slot(p Place) *[]entry {
	r := x.row(p.Down)
	n := x.first[r+1] - x.first[r]
	return &x.cells[x.first[r]+min(max(int(p.Round*float64(n)), 0), n-1)]
}

// Add puts p in and returns its identifier: 0, 1, 2, …
func (x *Spots) Add(p Spot) int {
	id := len(x.spots)
	x.spots, x.in = append(x.spots, p), append(x.in, true)
	x.put(id)
	return id
}

// Remove takes id out of the grid; Move puts it back.
func (x *Spots) Remove(id int) {
	if !x.in[id] {
		return
	}
	x.in[id] = false
	slot := x.slot(x.spots[id].Place)
	for i, other := range *slot {
		if int(other.id) == id {
			*slot = append((*slot)[:i], (*slot)[i+1:]...)
			return
		}
	}
}

// Move puts id at p, whether it was in the grid or taken out.
func (x *Spots) Move(id int, p Spot) {
	x.Remove(id)
	x.spots[id], x.in[id] = p, true
	x.put(id)
}

func (x *Spots) put(id int) {
	p := &x.spots[id]
	slot := x.slot(p.Place)
	*slot = append(*slot, entry{p.At, p.Theta, int32(id), int32(p.panel)})
}

// Near calls yield for every spot seen within reach of p along a straight line
// on the unrolled cloth, once for each way in which it is seen: the offset from
// p in the plane, and over, which OverTurn takes for the turn of what is seen.
// p's own identifier, where it has one, is among them, with offset zero.
func (x *Spots) Near(p Spot, reach float64, yield func(id int, off geom.Vec, over int)) {
	reach2 := reach * reach
	x.cellsNear(p, reach, func(cell []entry, at geom.Vec, theta float64, over int) {
		for i := range cell {
			q := &cell[i]
			off := geom.Vec{X: q.at.X - at.X, Y: q.at.Y - at.Y}
			if off.X*off.X+off.Y*off.Y > reach2 || math.Abs(q.theta-theta) >= math.Pi {
				continue
			}
			if over != 0 {
				off = off.Rotate(x.s.OverTurn(over))
			}
			yield(int(q.id), off, over)
		}
	})
}

// Nearest returns the spot nearest to p along the cloth, other than but (-1:
// none), and its distance; -1 and +Inf where there is none. It looks within
// reach first and then ever farther, so a good guess is quick.
func (x *Spots) Nearest(p Spot, reach float64, but int) (id int, dist float64) {
	all := 2 * (x.s.Span(x.s.Drop) + x.s.Inner + x.s.Drop) // longer than any way along the cloth
	for {
		id, dist = x.nearestWithin(p, reach, int32(but))
		if id >= 0 || reach > all {
			return id, dist
		}
		reach *= 2
	}
}

func (x *Spots) nearestWithin(p Spot, reach float64, but int32) (int, float64) {
	who, best := int32(-1), reach*reach
	if !x.s.shape.straight(p, reach) {
		best = reach
		x.once(p.Place, x.s.shape.holeHalf(reach), reach, func(id int) {
			if d := x.s.Dist(p, x.spots[id]); int32(id) != but && (d < best || who < 0 && d == best) {
				who, best = int32(id), d
			}
		})
		if who < 0 {
			return -1, math.Inf(1)
		}
		return int(who), best
	}
	x.cellsNear(p, reach, func(cell []entry, at geom.Vec, theta float64, _ int) {
		for i := range cell {
			q := &cell[i]
			dx, dy := q.at.X-at.X, q.at.Y-at.Y
			d2 := dx*dx + dy*dy
			if (d2 < best || who < 0 && d2 == best) && q.id != but && math.Abs(q.theta-theta) < math.Pi {
				who, best = q.id, d2
			}
		}
	})
	if who < 0 {
		return -1, math.Inf(1)
	}
	return int(who), math.Sqrt(best)
}

// cellsNear calls visit with the spots of every cell that reaches within reach of
// p, by each way over in which the cell is seen: at and theta are p's own as
// they lie beside the cell.
func (x *Spots) cellsNear(p Spot, reach float64, visit func(cell []entry, at geom.Vec, theta float64, over int)) {
	if !x.closed {
		x.drawnCellsNear(p, reach, visit)
		return
	}
	half := x.s.shape.half(p, reach)
	lap, at, theta := 0, p.At, p.Theta // of the cells just visited
	for r, end := x.row(p.Down-reach), x.row(p.Down+reach); r <= end; r++ {
		row := x.cells[x.first[r]:x.first[r+1]]
		n := len(row)
		c := int(math.Floor((p.Round - half) * float64(n)))
		last := int(math.Floor((p.Round + half) * float64(n)))
		over := floorDiv(c, n)
		for k := c - over*n; c <= last; c++ {
			if len(row[k]) > 0 {
				if over != lap {
					lap, at, theta = over, x.beside(p, over), p.Theta+x.s.OverTurn(over)
				}
				visit(row[k], at, theta, over)
			}
			if k++; k == n {
				k, over = 0, over+1
			}
		}
	}
}

func floorDiv(a, n int) int {
	q := a / n
	if a < 0 && q*n != a {
		q--
	}
	return q
}

// beside returns where p lies in the plane of what it sees in way over.
func (x *Spots) beside(p Spot, over int) geom.Vec {
	if over == 0 {
		return p.At
	}
	return x.s.shape.beside(p, over)
}

// once calls visit once for every spot in the cells up to half a share of the
// way round and reach of down away.
func (x *Spots) once(p Place, half, reach float64, visit func(id int)) {
	for r, end := x.row(p.Down-reach), x.row(p.Down+reach); r <= end; r++ {
		row := x.cells[x.first[r]:x.first[r+1]]
		n := len(row)
		from := int(math.Floor((p.Round - half) * float64(n)))
		to := int(math.Floor((p.Round + half) * float64(n)))
		if to-from+1 >= n {
			from, to = 0, n-1
		}
		for c := from; c <= to; c++ {
			for _, q := range row[c-floorDiv(c, n)*n] {
				visit(int(q.id))
			}
		}
	}
}

// drawnCellsNear is cellsNear on an outline: the spot's own panel as it is drawn,
// and beyond each seam within reach the panel that is sewn on there, as far as
// it lies within reach of that seam.
func (x *Spots) drawnCellsNear(p Spot, reach float64, visit func(cell []entry, at geom.Vec, theta float64, over int)) {
	var own []entry
	look := func(at geom.Vec, panel, over int, seam geom.Box) {
		for r, end := x.row(at.Y-reach), x.row(at.Y+reach); r <= end; r++ {
			row := x.cells[x.first[r]:x.first[r+1]]
			n := len(row)
			wide := float64(n) / x.s.Width
			cell := func(x float64) int { return min(max(int(math.Floor(x*wide)), 0), n-1) }
			for c := cell(at.X - reach); c <= cell(at.X+reach); c++ {
				own = own[:0]
				for _, q := range row[c] {
					if q.panel == int32(panel) && seam.Gap(geom.Box{Min: q.at, Max: q.at}) <= reach {
						own = append(own, q)
					}
				}
				if len(own) > 0 {
					visit(own, at, 0, over)
				}
			}
		}
	}
	look(p.At, p.panel, 0, geom.Box{Max: geom.Vec{X: x.s.Width, Y: x.s.Drop}}.Grow(reach))
	for i, j := range x.joins {
		if j.from == p.panel && j.box.Gap(geom.Box{Min: p.At, Max: p.At}) <= reach {
			look(j.there.Apply(p.At), j.to, i+1, x.joins[i^1].box)
		}
	}
}
