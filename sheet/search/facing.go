package search

import (
	"context"

	"strew/sheet/nfp"
)

// facing is how two bodies meet, each at a pose, and what their overlap costs.
type facing struct {
	nfp.Facing
	price *price
}

const (
	// A worker keeps at most mostFacings, which stay in a processor's cache; of kinds
	// that take at most nfp.FewTurns turns mostNapped, since those stay near it and
	// most of them are met again and again.
	mostFacings = 4096
	mostNapped  = 65536
	// cachedFields is how many fields at most stay in a processor's cache, where one
	// is looked up as soon as a position.
	cachedFields = 512
	// fieldWork is what working out one polygon of a field counts, in evaluated
	// positions and pairs. It takes more, but must not starve the search of a small
	// job.
	fieldWork = 10
)

// lookup is a worker's own knowledge of the fields, and its count of work.
type lookup struct {
	bodies   *Bodies
	known    []*nfp.Local // of every two bodies, by turns; nil where never asked for
	facings  []facing     // of every two bodies at every two of their poses, where these are few
	variants int          // bodies at poses
	faced    facing       // the last one, where they are many
	work     int          // evaluated positions and pairs so far
	pairWork int          // what evaluating a pair costs
	ctx      context.Context
	stopped  bool // the context was done when last a field was asked for
}

// init makes the lookup ready. It must not be moved afterwards.
func (b *lookup) init(ctx context.Context, bs *Bodies) {
	n := len(bs.all)
	b.ctx = ctx
	b.bodies, b.known, b.variants, b.pairWork = bs, make([]*nfp.Local, n*(n+1)/2*bs.steps), n*bs.steps, 1
	if b.uncached() {
		b.pairWork = 2
	}
	most := mostFacings
	if bs.steps <= nfp.FewTurns {
		most = mostNapped
	}
	if n := b.variants * b.variants; n <= most {
		b.facings = make([]facing, n)
	}
	b.learn()
}

// uncached reports whether the fields are more than a processor's cache holds.
func (b *lookup) uncached() bool { return len(b.known) > cachedFields }

// learn takes over what the whole lay has asked for so far, without work. No other
// worker may be busy meanwhile.
func (b *lookup) learn() {
	for i, t := range b.bodies.ledgers {
		for step := range t {
			if l := t[step].Load(); l != nil {
				b.local(i*b.bodies.steps+step, l).Learn()
			}
		}
	}
}

// local returns the worker's copy of a field.
func (b *lookup) local(i int, l *nfp.Ledger) *nfp.Local {
	if b.known[i] == nil {
		b.known[i] = nfp.NewLocal(l, &b.work)
	}
	return b.known[i]
}

// field returns the worker's copy of the field of q over p, q turned by that many steps
// more. One that the worker has not learned of counts as work, whether or not another
// worker was first.
func (b *lookup) field(p, q *Body, steps int) *nfp.Local {
	i := (p.id*(p.id+1)/2+q.id)*b.bodies.steps + steps
	if k := b.known[i]; k != nil && k.IsBound() {
		return k
	}
	// One evaluation may ask for many fields, and each takes as long as thousands.
	b.stopped = b.ctx.Err() != nil
	f, l := b.bodies.field(p, q, steps)
	if b.known[i] == nil {
		b.work += fieldWork * len(p.parts) * len(q.parts)
	}
	k := b.local(i, l)
	k.Bind(f)
	return k
}

// facing returns how p at pose kp meets q at pose kq. It holds until the next one
// is asked for.
func (b *lookup) facing(p *Body, kp int, q *Body, kq int) *facing {
	if b.facings == nil {
		b.face(&b.faced, p, kp, q, kq)
		return &b.faced
	}
	f := &b.facings[(p.id*b.bodies.steps+kp)*b.variants+q.id*b.bodies.steps+kq]
	if !f.Ready() {
		b.face(f, p, kp, q, kq)
	}
	return f
}

// facingsOf returns how p at pose kp meets every body at every pose, those not asked
// for yet not ready; nil where they are many.
func (b *lookup) facingsOf(p *Body, kp int) []facing {
	if b.facings == nil {
		return nil
	}
	i := (p.id*b.bodies.steps + kp) * b.variants
	return b.facings[i : i+b.variants]
}

// face works out a facing.
func (b *lookup) face(f *facing, p *Body, kp int, q *Body, kq int) {
	f.price = b.bodies.price(p, q)
	sign := 1.0
	if p.id < q.id {
		p, kp, q, kq, sign = q, kq, p, kp, -1
	}
	// Turned back so that p lies at its first pose. A round body takes any turn.
	rel := kq - kp
	switch {
	case q.round:
		rel = 0
	case p.round:
		kp, rel = kq, 0
	}
	if rel < 0 {
		rel += b.bodies.steps
	}
	if p == q && 2*rel > b.bodies.steps {
		// Seen from the other piece, which is the same.
		kp, rel, sign = kq, b.bodies.steps-rel, -sign
	}
	k := b.field(p, q, rel)
	f.Facing = k.Face(p.poses[kp].sin, p.poses[kp].cos, sign)
}
