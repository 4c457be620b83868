// Package nfp works out where one shape overlaps another: outlines of few
// points that hold the true one, their convex parts, the no-fit polygon of two
// shapes, and penetration fields, which give the depth of an overlap and the
// shortest way out of it. Lengths are in millimetres.
//
// Nothing here depends on what was asked before, so every value may be kept
// and shared.
package nfp

import (
	"context"

	"strew/motif/geom"
)

// Outline is a region of few points that holds a shape, and convex parts whose
// union is that region, inset by half of geom.Press.
type Outline struct {
	Felt  geom.Region // holds the shape
	Parts []geom.Ring // convex, inset
}

// NewOutline returns an outline that holds g at the given detail; ok is false where
// the context was done before.
func NewOutline(ctx context.Context, g geom.Region, d Detail) (o *Outline, ok bool) {
	felt := simplify(ctx, g, d)
	parts := convexParts(ctx, felt)
	if ctx.Err() != nil {
		return nil, false
	}
	return &Outline{felt, inset(parts, felt)}, true
}

// Bytes returns roughly how much memory the outline takes.
func (o *Outline) Bytes() int {
	n := ringBytes(o.Felt.Outer) + ringsBytes(o.Felt.Holes)
	return n + ringsBytes(o.Parts)
}

// ringBytes is what a ring takes: 16 bytes a point, and its slice.
func ringBytes(r geom.Ring) int { return 24 + 16*cap(r) }

func ringsBytes(rs []geom.Ring) int {
	n := 24
	for _, r := range rs {
		n += ringBytes(r)
	}
	return n
}
