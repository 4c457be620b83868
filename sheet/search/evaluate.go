package search

import "strew/motif/geom"

// Evaluating positions. An evaluation asks only the pieces whose boxes reach over the
// piece's, and stops once the position is worse than one known before.

const (
	// evaluateWork and nearWork are what an evaluation counts beside the pairs it
	// asks, over the whole bed and among the neighbours gathered: about the time it
	// takes, in pairs.
	evaluateWork = 3
	nearWork     = 2
)

// position is where a piece may lie, and its weighted cost there.
type position struct {
	step int
	at   geom.Vec
	bin  int
	cost float64
}

// evaluate returns the weighted cost of piece i at another position, or something
// over limit as soon as it is sure to be over.
func (b *state) evaluate(i int, s position, limit float64) float64 {
	p := b.pieces[i].body
	box := p.boxAt(s.step, s.at)
	f := frameOf(&box)
	rows := b.reach(&box, s.bin)
	b.work += evaluateWork + int(rows.to-rows.from)
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

// against returns the weighted cost of a body at a position against a piece on the
// bed, or something over limit.
func (b *state) against(p *Body, s *position, from []facing, r *resident, weight, limit float64) float64 {
	b.work += b.pairWork
	var f *facing
	if from != nil && from[r.variant].Ready() {
		f = &from[r.variant]
	} else {
		q := &b.pieces[r.piece]
		f = b.facing(p, s.step, q.body, q.step)
	}
	at, u, v := f.Find(r.place.Sub(s.at))
	if at == nil {
		return 0
	}
	slack := b.slackOf(f.price)
	d := 0.0
	if at.Covered() {
		d = at.Depth(u, v)
	} else {
		// Deeper than this cannot win; the exact depth is not needed.
		d = f.BorderDepth(at, u, v, b.depthFor(f.price, limit/weight)+slack)
	}
	if d -= slack; d <= 0 {
		return 0
	}
	return weight * b.costOf(f.price, d)
}

// gather notes what a piece may come to lie against at positions up to margin away:
// as it is turned there, or however it is turned.
func (b *state) gather(i int, s *position, margin float64, turning bool) {
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
	b.work += evaluateWork + int(rows.to-rows.from)
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

// evaluateNear is evaluate for a position among the neighbours gathered.
func (b *state) evaluateNear(i int, s *position, limit float64) float64 {
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
