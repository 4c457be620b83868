package skirt

import (
	"math"

	"strew/motif/geom"
)

// Spots is a set of spots that finds those near a spot. It is a uniform grid in rows and in shares
// of the way round, so it knows no seam: a row's cells close on themselves
// however large the sewn angle is, and a search that goes on past the last cell
// of a row comes to the first, one way round further. What is seen that way, or
// over a seam of an outline, is measured from where the searching spot would
// lie beside it, so that one subtraction gives every offset.
type Spots struct {
	s     Surface
	cell  float64 // height of a row of cells and least width of a cell
	low   float64 // Down of the first row's upper edge
	first []int   // number of each row's first cell; one more at the end
	cells [][]entry
	spots []Spot
	in    []bool // whether it is in the grid, not taken out
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
	x := &Spots{s: s, cell: math.Max((high-low)/float64(n), size*1e-3), low: low, first: make([]int, n+1)}
	for i := range n {
		// The narrow upper edge decides how many cells fit round.
		girth := s.Width
		if s.Closed() {
			girth = s.Girth(low + float64(i)*x.cell)
		}
		x.first[i+1] = x.first[i] + max(1, int(girth/size))
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
	x.sights(p, reach, func(cell []entry, at geom.Vec, theta float64, over int) {
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

// Within calls yield with the length of the way along the cloth to every spot
// within reach of p, round the waist hole where the straight line would leave
// the cloth. A spot reached in several ways may come several times.
func (x *Spots) Within(p Spot, reach float64, yield func(id int, dist float64)) {
	if !x.s.clear(p, reach) {
		x.roundHole(p, reach, func(id int) {
			if d := x.s.spotDist(p, x.spots[id]); d <= reach {
				yield(id, d)
			}
		})
		return
	}
	reach2 := reach * reach
	x.sights(p, reach, func(cell []entry, at geom.Vec, theta float64, _ int) {
		for i := range cell {
			q := &cell[i]
			dx, dy := q.at.X-at.X, q.at.Y-at.Y
			if d2 := dx*dx + dy*dy; d2 <= reach2 && math.Abs(q.theta-theta) < math.Pi {
				yield(int(q.id), math.Sqrt(d2))
			}
		}
	})
}

// Nearest returns the spot nearest to p along the cloth, other than but (-1:
// none), and its distance; -1 and +Inf where there is none. It looks within
// reach first and then ever farther, so a good guess is quick.
func (x *Spots) Nearest(p Spot, reach float64, but int) (id int, dist float64) {
	all := x.s.extent()
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
	if !x.s.clear(p, reach) {
		best = reach
		x.roundHole(p, reach, func(id int) {
			if d := x.s.spotDist(p, x.spots[id]); int32(id) != but && (d < best || who < 0 && d == best) {
				who, best = int32(id), d
			}
		})
		if who < 0 {
			return -1, math.Inf(1)
		}
		return int(who), best
	}
	x.sights(p, reach, func(cell []entry, at geom.Vec, theta float64, _ int) {
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

// extent is longer than any way along the cloth.
func (s Surface) extent() float64 {
	if s.Cut == Outline {
		return 2 * (s.Width + s.Drop)
	}
	return s.Girth(s.Drop) + 2*s.Outer()
}

// spotDist is Dist between spots.
func (s Surface) spotDist(p, q Spot) float64 {
	if s.Wedges() {
		d := q.Theta - p.Theta
		return s.arcDist(p.At.Len(), q.At.Len(), math.Abs(d-math.Round(d/s.total())*s.total()))
	}
	return s.Dist(p.Place, q.Place)
}

// sights calls visit with the spots of every cell that reaches within reach of
// p, by each way over in which the cell is seen: at and theta are p's own as
// they lie beside the cell.
func (x *Spots) sights(p Spot, reach float64, visit func(cell []entry, at geom.Vec, theta float64, over int)) {
	if x.s.Cut == Outline {
		x.drawnSights(p, reach, visit)
		return
	}
	half := x.s.half(p, reach)
	lap, at := 0, p.At // of the cells just visited
	for r, end := x.row(p.Down-reach), x.row(p.Down+reach); r <= end; r++ {
		row := x.cells[x.first[r]:x.first[r+1]]
		n := len(row)
		c := int(math.Floor((p.Round - half) * float64(n)))
		last := int(math.Floor((p.Round + half) * float64(n)))
		over := floorDiv(c, n)
		for k := c - over*n; c <= last; c++ {
			if len(row[k]) > 0 {
				if over != lap {
					lap, at = over, x.s.from(p, over)
				}
				visit(row[k], at, p.Theta-float64(over)*x.s.wind(), over)
			}
			if k++; k == n {
				k, over = 0, over+1
			}
		}
	}
}

// wind returns the sewn angle of the whole way round, 0 where nothing winds.
func (s Surface) wind() float64 {
	if s.Wedges() {
		return s.total()
	}
	return 0
}

func floorDiv(a, n int) int {
	q := a / n
	if a < 0 && q*n != a {
		q--
	}
	return q
}

// half returns how large a share of the way round, to either side of p, what
// is seen within reach of it can lie.
func (s Surface) half(p Spot, reach float64) float64 {
	if !s.Wedges() {
		return reach / (s.Width * float64(s.Panels))
	}
	// A straight line of length reach from radius rho spans at most the angle
	// whose sine is x = reach/rho: then it touches the circle of that radius.
	// That angle is at most x + (π/2 - 1)·x³, since all terms of its series are
	// positive, sum to π/2 at 1, and have powers of 3 and more after the first.
	angle := math.Pi
	if rho2 := p.At.Dot(p.At); reach*reach < rho2 {
		x := reach / math.Sqrt(rho2)
		angle = x + (math.Pi/2-1)*x*x*x
	}
	if s.Straight {
		// A row's share grows fastest, per angle, at the panel's sides.
		return math.Min(angle/math.Sin(s.Angle)/float64(s.Panels), math.Ceil(math.Pi/s.total()))
	}
	return angle / s.total()
}

// roundHole calls visit once for every spot whose way from p, round the waist
// hole, can be within reach: looking out from the apex, the waist seam between
// the two is no longer than the way.
func (x *Spots) roundHole(p Spot, reach float64, visit func(id int)) {
	angle := x.s.total() / 2
	if x.s.Inner > 0 {
		angle = math.Min(angle, reach/x.s.Inner)
	}
	half := angle / x.s.total()
	if x.s.Straight {
		half = math.Min(0.5, angle/math.Sin(x.s.Angle)/float64(x.s.Panels))
	}
	x.once(p.Place, half, reach, visit)
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

// drawnSights is sights on an outline: the spot's own panel as it is drawn,
// and beyond each seam within reach the panel that is sewn on there, as far as
// it lies within reach of that seam.
func (x *Spots) drawnSights(p Spot, reach float64, visit func(cell []entry, at geom.Vec, theta float64, over int)) {
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
	for i, j := range x.s.Drawn.joins {
		if j.from == p.panel && j.box.Gap(geom.Box{Min: p.At, Max: p.At}) <= reach {
			look(j.there.Apply(p.At), j.to, i+1, x.s.Drawn.joins[i^1].box)
		}
	}
}
