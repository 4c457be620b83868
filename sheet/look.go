package sheet

import "strew/motif/geom"

// What a place would cost a piece. A look asks only the pieces whose boxes reach
// over the piece's, and of these no more than show that the place is worse than one
// known before.

// What a look costs beside the pairs it asks, over all the board and in a vicinity, in
// the places looked at that work is counted in.
const (
	lookWork = 3
	nearWork = 2
)

// look returns the weighted cost of piece i at another place, or something
// over limit as soon as it is sure to be over.
func (b *board) look(i int, s spot, limit float64) float64 {
	p := b.pieces[i].body
	box := p.boxAt(s.step, s.at)
	f := frameOf(&box)
	rows := b.reach(&box, s.bin)
	b.work += lookWork + int(rows.to-rows.from)
	from := b.facingsOf(p, s.step)
	weight := b.weight[i]
	sum := 0.0
	for row := rows.from; row <= rows.to; row++ {
		in := b.in[row]
		for k := range in {
			r := &in[k]
			if f.apart(&r.frame) || row > max(rows.from, r.first) || int(r.piece) == i {
				continue
			}
			if sum += b.against(p, &s, from, r, weight[r.piece], limit-sum); sum >= limit {
				return sum
			}
		}
	}
	return sum
}

// against returns the weighted cost of a body at a place against one that lies on the
// board, or something over limit.
func (b *board) against(p *body, s *spot, from []facing, r *resident, weight, limit float64) float64 {
	b.work += b.pairWork
	var f *facing
	if from != nil && from[r.variant].known != nil {
		f = &from[r.variant]
	} else {
		q := &b.pieces[r.piece]
		f = b.facing(p, s.step, q.body, q.step)
	}
	k, at, u, v := b.find(f, r.place.Sub(s.at))
	if at == nil {
		return 0
	}
	slack := b.slackOf(f.price)
	d := 0.0
	if at.from == even {
		d = at.deep(u, v)
	} else {
		// As deep as this the place is no use, and how much deeper is no matter.
		d = k.deep(at, u, v, b.deepFor(f.price, limit/weight)+slack)
	}
	if d -= slack; d <= 0 {
		return 0
	}
	return weight * b.penalty(f.price, d)
}

// vicinity is what lies near a place: looks at places near by ask no others.
type vicinity struct {
	at     geom.Vec
	margin float64 // so far from at, along x or y, a place may be
	in     []resident
}

// survey notes what a piece may come to lie against at places up to margin from a
// spot: as it is turned there, or however it is turned.
func (b *board) survey(i int, s *spot, margin float64, turning bool) {
	p := b.pieces[i].body
	box := p.boxAt(s.step, s.at)
	if turning {
		box = geom.BoxOf(s.at).Grow(p.reach)
	}
	box = box.Grow(margin)
	v := &b.near
	v.at, v.margin, v.in = s.at, margin, v.in[:0]
	f := frameOf(&box)
	rows := b.reach(&box, s.bin)
	b.work += lookWork + int(rows.to-rows.from)
	for row := rows.from; row <= rows.to; row++ {
		in := b.in[row]
		for k := range in {
			r := &in[k]
			if !f.apart(&r.frame) && row <= max(rows.from, r.first) && int(r.piece) != i {
				v.in = append(v.in, *r)
			}
		}
	}
}

// lookNear is look for a place in the vicinity surveyed.
func (b *board) lookNear(i int, s *spot, limit float64) float64 {
	p := b.pieces[i].body
	box := p.boxAt(s.step, s.at)
	f := frameOf(&box)
	b.work += nearWork
	from := b.facingsOf(p, s.step)
	weight := b.weight[i]
	sum := 0.0
	in := b.near.in
	for k := range in {
		r := &in[k]
		if f.apart(&r.frame) {
			continue
		}
		if sum += b.against(p, s, from, r, weight[r.piece], limit-sum); sum >= limit {
			if k > 0 {
				in[k-1], in[k] = in[k], in[k-1] // what decides is soon asked first
			}
			return sum
		}
	}
	return sum
}
