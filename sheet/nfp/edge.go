package nfp

import (
	"math"
	"slices"

	"strew/motif/geom"
)

// Grid cells and candidate planes. Each cell of a penetration field keeps the planes
// that may decide in it, so the depth of a point takes a few of the hundreds of planes
// a field may have.

// cell is one grid cell: free, covered, or with a border in it. A point in it has
// coordinates u and v, from -½ to ½ of its sides.
type cell struct {
	work  int32  // what it took to work out, in evaluated positions
	slope        // of a free or covered cell
	edges []edge // of a border cell, polygon by polygon, the deepest at the centre first
}

// slope is the depth at the cell's centre and its change along u and v; all 0 where
// it is free.
type slope struct{ depth, x, y float32 }

// edge is a candidate plane in cell coordinates: depth = c − x·u − y·v. Many are
// asked in turn, so it is kept small for the cache; single precision is exact to
// less than grain in a cell.
type edge struct {
	x, y, c float32
	end     int32 // where the edges of the same polygon end in their list; negative in the last polygon
}

const (
	// cellBytes and edgeBytes are what a cell and each of its edges take.
	cellBytes = 48
	edgeBytes = 16
	// cutWork is what working out one polygon in a cell counts, in evaluated
	// positions. It takes more, but must not starve the search of a small job.
	cutWork = 4
	// grain is taken off all depths in a border cell, in millimetres: more than an
	// edge's rounding in a cell 100 mm wide, so touching is never taken for overlap.
	grain = geom.Press / 40
	// shallow is the share of its centre's depth that every point of a covered cell
	// has at least: the fitted plane may fall below 0.
	shallow = 1. / 16
)

// patch is a square of cells: the polygons that matter in it or, where all of it is
// covered, its cells.
type patch struct {
	covered bool
	which   []int32
	cells   []cell // of a covered patch, row by row
}

// within reports whether no point of a cell lies deeper in polygon p than in q: for
// each edge of q one of p is as near everywhere.
func within(p, q []edge) bool {
	for i := range q {
		if !slices.ContainsFunc(p, func(e edge) bool { return e.below(&q[i]) }) {
			return false
		}
	}
	return true
}

// below reports whether no point of the cell lies deeper in e than in o.
func (e *edge) below(o *edge) bool {
	return o.c-e.c >= (abs(o.x-e.x)+abs(o.y-e.y))/2
}

func abs(x float32) float32 { return math.Float32frombits(math.Float32bits(x) &^ (1 << 31)) }
