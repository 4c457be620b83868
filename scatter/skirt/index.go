package skirt

// Index is Spots for those who ask by places.
type Index struct{ spots *Spots }

// NewIndex returns an empty index; see NewSpots.
func NewIndex(s Surface, low, high, size float64) *Index {
	return &Index{NewSpots(s, low, high, size)}
}

// Len returns how many identifiers have been given out.
func (x *Index) Len() int { return x.spots.Len() }

// At returns the place of identifier id.
func (x *Index) At(id int) Place { return x.spots.At(id).Place }

// Add puts p in and returns its identifier: 0, 1, 2, …
func (x *Index) Add(p Place) int { return x.spots.Add(x.spots.s.Spot(p)) }

// Remove takes id out of the grid; Move puts it back.
func (x *Index) Remove(id int) { x.spots.Remove(id) }

// Move puts id at p, whether it was in the grid or taken out.
func (x *Index) Move(id int, p Place) { x.spots.Move(id, x.spots.s.Spot(p)) }

// Near calls yield once for every place in the grid that can lie within reach
// of p along the cloth, and for some that lie a little farther; p's own
// identifier, where it has one, is among them.
func (x *Index) Near(p Place, reach float64, yield func(id int)) {
	s := x.spots.s
	if s.Cut == Outline {
		for id, in := range x.spots.in {
			if in && s.Dist(p, x.At(id)) <= reach {
				yield(id)
			}
		}
		return
	}
	x.spots.once(p, s.half(s.Spot(p), reach), reach, yield)
}
