package search

import (
	"math"

	"strew/motif/geom"
)

// price is what an overlap of two bodies costs, by its depth and by the root of that,
// and the radius of the smaller one. Large shapes, which are harder to place, weigh
// more than small ones.
type price struct{ plain, root, radius float64 }

// penalty is how overlaps are charged.
type penalty struct {
	linear bool    // see costOf
	slack  float64 // see slackOf
}

// costOf returns what an overlap of the depth costs, not weighted. By its root, as in
// the paper that separate.go cites, one deep overlap is better than many; linear, many
// shallow ones are as good as a deep one. Each suits some jobs.
func (b *penalty) costOf(of *price, depth float64) float64 {
	if depth <= 0 {
		return 0
	}
	if b.linear {
		return of.plain * depth
	}
	return of.root * math.Sqrt(depth)
}

// depthFor returns the depth at which a pair costs a little more than c.
func (b *penalty) depthFor(of *price, c float64) float64 {
	c *= 1 + geom.SameRatio
	if b.linear {
		return c / of.plain
	}
	return c * c / (of.root * of.root)
}

// slackOf returns the depth to which two bodies may overlap at no cost: the slack
// times the smaller one's radius.
func (b *penalty) slackOf(of *price) float64 { return b.slack * of.radius }
