package search

import (
	"context"
	"math"

	"strew/motif/geom"
)

// Compaction: pieces that overlap a little are pushed apart, all of them together.
// Where pieces fit one another exactly, as steps and notches do, a chain of them
// across the bed has no room to spare: one that is moved alone overlaps its
// neighbours again, and guided local search seldom ends. Here each pair that overlaps
// is pushed apart along its minimum translation vector, half of the depth each, sweep
// after sweep over all pairs.
//
// Moving all pieces of a layout together to remove its last overlaps, by linear
// programs, is from Z. Li, V. Milenkovic, European Journal of Operational
// Research 84, 1995; the sweeps are the projection of constraints of M. Müller and
// others, Position Based Dynamics, Journal of Visual Communication and Image
// Representation 18, 2007 (both cited from memory).

const (
	// nearBy is the share of a mean radius within which pieces may come to overlap
	// while they are pushed; what comes from farther is found at the end.
	nearBy = 0.2
	// After every jamSweeps the overlaps must sum to less than jamShare of what they
	// did before, or the pieces are jammed.
	jamSweeps, jamShare = 50, 0.7
	// hair is pushed more than asked for, so that the end is reached: less
	// than roundings of an outline, and than the inset of outlines.
	hair = geom.Press / 8
)

// nearPair are two pieces that may come to overlap.
type nearPair struct{ i, j int }

// nearPairs returns all pairs of pieces whose boxes are less than within apart.
func (b *state) nearPairs(within float64) []nearPair {
	var out []nearPair
	for i := range b.pieces {
		box := b.boxes[i]
		box.Min, box.Max = box.Min.Sub(geom.Vec{X: within, Y: within}), box.Max.Add(geom.Vec{X: within, Y: within})
		for j := range i {
			if b.pieces[i].bin == b.pieces[j].bin && !boxesApart(&box, &b.boxes[j]) {
				out = append(out, nearPair{i, j})
			}
		}
	}
	b.work += len(b.pieces) * len(b.pieces) / 16 // a pair of boxes counts as a sixteenth of an evaluation
	return out
}

// compact pushes pieces that overlap apart, all of them together, none turned, and
// reports whether none overlap any more.
func (b *state) compact(ctx context.Context) bool {
	r := 0.0
	for _, p := range b.pieces {
		r += p.body.radius / float64(len(b.pieces))
	}
	pairs := b.nearPairs(nearBy * r)
	last := math.Inf(1)
	for sweep := 1; ctx.Err() == nil; sweep++ {
		sum := 0.0
		for _, k := range pairs {
			sum += b.pushApart(&b.pieces[k.i], &b.pieces[k.j])
		}
		if sum == 0 {
			break
		}
		if sweep%jamSweeps == 0 {
			if sum > jamShare*last {
				break
			}
			last = sum
		}
	}
	b.refreshAll()
	return b.total() == 0
}

// pushApart moves two pieces apart if they overlap, and returns the depth they had.
func (b *state) pushApart(p, q *Piece) float64 {
	b.work += b.pairWork
	pBox, qBox := p.body.boxAt(p.step, p.at), q.body.boxAt(q.step, q.at)
	if boxesApart(&pBox, &qBox) {
		return 0
	}
	f := b.facing(p.body, p.step, q.body, q.step)
	depth, way := f.Translation(q.at.Sub(p.at))
	if depth -= b.slackOf(f.price); depth <= 0 {
		return 0
	}
	// Where one is stopped by the border the other goes all the way.
	push := way.Mul(depth + hair)
	left := push.Add(b.push(p, push.Mul(-0.5)))
	left = left.Sub(b.push(q, left))
	b.push(p, left.Mul(-1))
	return depth
}

// push moves a piece as far as the border lets it, and returns how far that was.
func (b *state) push(p *Piece, by geom.Vec) geom.Vec {
	was := p.at
	p.at = b.clamp(p.body, p.step, p.at.Add(by))
	return p.at.Sub(was)
}
