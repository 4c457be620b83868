package search

import (
	"context"
	"math"
	"slices"
	"sync/atomic"

	"strew/motif/geom"
	"strew/sheet/nfp"
	"strew/sheet/shape"
)

// Penetration fields are kept from one lay to the next, since to work one out costs
// as much as many evaluations. What a search does must not depend on that, so its
// work is counted as if every lay began with nothing: a Session notes what its own
// lay has asked for, and a worker learns from it before it begins and where epochs
// meet.

// Store keeps bodies and penetration fields for lays to come. It changes no lay. The
// zero Store is empty and ready; it serves one lay at a time.
type Store struct {
	sets   []*set
	fields map[pairing][]atomic.Pointer[nfp.Field]
}

// set is the bodies of some forms on a bed.
type set struct {
	bed    shape.Bed
	all    []*Body
	steps  int
	prices []price                       // of every two bodies
	fields [][]atomic.Pointer[nfp.Field] // of bodies p and q ≤ p at p(p+1)/2 + q, by turns
}

// pairing is what the fields of two bodies depend on: their forms, how closely they
// follow these, and at which turns these lie.
type pairing struct {
	p, q         *shape.Form
	detail       nfp.Detail
	pBase, qBase float64
	steps        int
}

func pair(p, q *Body, steps int) pairing {
	return pairing{p.Form, q.Form, p.detail, p.poses[0].turn, q.poses[0].turn, steps}
}

// Bytes returns roughly how much memory the fields take in which the form is one of
// the two; for nil, all of them.
func (s *Store) Bytes(f *shape.Form) int {
	sum := 0
	for k, t := range s.fields {
		if f != nil && k.p != f && k.q != f {
			continue
		}
		sum += 8 * len(t)
		for i := range t {
			if c := t[i].Load(); c != nil {
				sum += c.Bytes()
			}
		}
	}
	return sum
}

// Forget drops all that is known of a form.
func (s *Store) Forget(f *shape.Form) {
	for k := range s.fields {
		if k.p == f || k.q == f {
			delete(s.fields, k)
		}
	}
	s.sets = slices.DeleteFunc(s.sets, func(c *set) bool {
		return slices.ContainsFunc(c.all, func(b *Body) bool { return b.Form == f })
	})
}

// set returns the bodies of the forms on the bed; nil where the context was done
// before they were ready.
func (s *Store) set(ctx context.Context, fs []*shape.Form, bed shape.Bed) *set {
	for _, c := range s.sets {
		if c.bed == bed && slices.EqualFunc(c.all, fs, func(b *Body, f *shape.Form) bool { return b.Form == f }) {
			return c
		}
	}
	if s.fields == nil {
		s.fields = map[pairing][]atomic.Pointer[nfp.Field]{}
	}
	parts, ok := countParts(ctx, fs, nfp.Simple)
	if !ok {
		return nil
	}
	c := &set{bed: bed, steps: napSteps(bed.Nap, parts)}
	var finest []int
	if c.steps <= nfp.FewTurns {
		if finest, ok = countParts(ctx, fs, nfp.Finest); !ok {
			return nil
		}
	}
	d := detailFor(finest, c.steps)
	for i, f := range fs {
		if !f.Prepare(ctx, d) {
			return nil
		}
		b := newBody(f, d, c.steps, bed)
		b.id = i
		c.all = append(c.all, b)
		for _, a := range c.all {
			k := pair(b, a, c.steps)
			if s.fields[k] == nil {
				s.fields[k] = make([]atomic.Pointer[nfp.Field], c.steps)
			}
			c.fields = append(c.fields, s.fields[k])
		}
	}
	for _, p := range c.all {
		for _, q := range c.all {
			w, r := p.weight*q.weight, min(p.radius, q.radius)
			c.prices = append(c.prices, price{w, w * math.Sqrt(r), r})
		}
	}
	s.sets = append(s.sets, c)
	return c
}

// countParts returns how many parts each form has at a detail; ok is false where the
// context was done before.
func countParts(ctx context.Context, fs []*shape.Form, d nfp.Detail) (n []int, ok bool) {
	for _, f := range fs {
		if !f.Prepare(ctx, d) {
			return nil, false
		}
		n = append(n, len(f.Outline(d).Parts))
	}
	return n, true
}

// Asked is what lays have asked for, whatever a Store holds: the less is left to ask
// for, the more of its work a search has for its positions.
type Asked map[askedFor]ledgers

// askedFor is a pairing by what its forms are.
type askedFor struct {
	p, q string
	pairing
}

// ledgers are those of two bodies' fields by how many turns more the second is turned
// than the first; nil where none was asked for.
type ledgers []atomic.Pointer[nfp.Ledger]

// of returns the ledgers of two bodies.
func (a Asked) of(p, q *Body, steps int) ledgers {
	k := askedFor{p.Key, q.Key, pair(p, q, steps)}
	k.pairing.p, k.pairing.q = nil, nil // an equal form will do
	if a[k] == nil {
		a[k] = make(ledgers, steps)
	}
	return a[k]
}

// Session is one lay's use of a Store.
type Session struct {
	store *Store
	asked Asked
	made  map[*set]*Bodies
}

// NewSession begins a lay that uses the store and goes on from what earlier lays asked
// for, or from nothing; it adds to asked.
func NewSession(s *Store, asked Asked) *Session {
	return &Session{s, asked, map[*set]*Bodies{}}
}

// Bodies are bodies that are searched together in one lay.
type Bodies struct {
	*set
	ledgers []ledgers // as set.fields
}

// Bodies returns the bodies of the forms on the bed; ok is false where the context was
// done before they were ready.
func (s *Session) Bodies(ctx context.Context, fs []*shape.Form, bed shape.Bed) (c *Bodies, ok bool) {
	of := s.store.set(ctx, fs, bed)
	if of == nil {
		return nil, false
	}
	c = s.made[of]
	if c == nil {
		c = &Bodies{set: of}
		for i, b := range of.all {
			for _, a := range of.all[:i+1] {
				c.ledgers = append(c.ledgers, s.asked.of(b, a, of.steps))
			}
		}
		s.made[of] = c
	}
	return c, true
}

// All returns the bodies in the order of their forms.
func (c *Bodies) All() []*Body { return c.all }

func (c *Bodies) price(p, q *Body) *price { return &c.prices[p.id*len(c.all)+q.id] }

// field returns the field of q over p, q turned by that many steps more, and its ledger.
// Several workers may ask at once.
func (c *Bodies) field(p, q *Body, steps int) (*nfp.Field, *nfp.Ledger) {
	i := p.id*(p.id+1)/2 + q.id
	kept := &c.fields[i][steps]
	f := kept.Load()
	if f == nil {
		turn := q.poses[0].turn - p.poses[0].turn + 2*math.Pi*float64(steps)/float64(c.steps)
		if f = newField(p, q, turn, c.steps); !kept.CompareAndSwap(nil, f) {
			f = kept.Load()
		}
	}
	at := &c.ledgers[i][steps]
	if at.Load() == nil {
		at.CompareAndSwap(nil, nfp.NewLedger(f))
	}
	return f, at.Load()
}

// newField returns the penetration field of q, turned, over p, where each takes the
// given number of turns.
func newField(p, q *Body, turn float64, steps int) *nfp.Field {
	m := geom.Rotation(turn)
	turned := make([]geom.Ring, len(q.parts))
	for i, r := range q.parts {
		turned[i] = r.Transform(m)
	}
	return nfp.NewField(p.parts, turned, steps)
}

// Piece returns the piece that lies as l does on the bin, or as nearly as its turns
// allow; exact is false where that is another turn.
func (c *Bodies) Piece(l shape.Laid, bin int) (q Piece, exact bool) {
	for _, b := range c.all {
		if b.Form != l.Form {
			continue
		}
		k := b.nearest(l.Turn)
		if l.Mirrored {
			l.At = geom.Vec{X: l.At.Y, Y: l.At.X}
		}
		exact = b.round || math.Abs(math.Remainder(b.poses[k].turn-l.Turn, 2*math.Pi)) <= geom.SameAngle
		return Piece{body: b, step: k, at: l.At.Add(b.centre.Rotate(l.Turn)), bin: bin}, exact
	}
	panic("search: a form without a body")
}

// Pieces returns the pieces that lie as the laid do, or as nearly, on the bin.
func (c *Bodies) Pieces(ls []shape.Laid, bin int) []Piece {
	var out []Piece
	for _, l := range ls {
		q, _ := c.Piece(l, bin)
		out = append(out, q)
	}
	return out
}

// BySize returns the bodies of the pieces, those of the largest hull first.
func BySize(ps []Piece) []*Body {
	var out []*Body
	for _, q := range ps {
		out = append(out, q.body)
	}
	slices.SortStableFunc(out, func(a, b *Body) int {
		switch {
		case a.weight > b.weight:
			return -1
		case a.weight < b.weight:
			return 1
		}
		return 0
	})
	return out
}
