package motif

import (
	"slices"
	"sort"
)

// border is an edge of the outline, with the felt on one side.
type border struct {
	edge
	swap  bool // the felt is on the side of smaller y: the outline runs from b to a
	below int  // the next border below its start, -1 for none
}

// bordersOf sweeps over edges that share nothing but ends, in sweep order of
// their starts, and returns those with felt on one side only, in the same order.
// It is the plane sweep of M. I. Shamos and D. Hoey ("Geometric intersection
// problems", FOCS 1976): status holds the edges that the sweep line crosses, from
// smaller to larger y, with the winding numbers above each.
func bordersOf(edges []edge, inside func([2]int) bool) ([]border, error) {
	type strip struct {
		edge  int
		above [2]int
		top   int // the last border at or below this edge, -1 for none
	}
	ends := make([]spot, 0, 2*len(edges))
	for _, e := range edges {
		ends = append(ends, e.a, e.b)
	}
	slices.SortFunc(ends, spot.compare)
	ends = slices.Compact(ends)

	var (
		borders []border
		status  []strip
		fresh   []strip
		next    int
		work    int
	)
	for _, p := range ends {
		lo := sort.Search(len(status), func(i int) bool {
			e := edges[status[i].edge]
			return turn(e.a, e.b, p) <= 0
		})
		hi := lo
		for hi < len(status) && edges[status[hi].edge].b == p {
			hi++
		}
		fresh = fresh[:0]
		for ; next < len(edges) && edges[next].a == p; next++ {
			fresh = append(fresh, strip{edge: next})
		}
		slices.SortFunc(fresh, func(s, t strip) int {
			return -turn(p, edges[s.edge].b, edges[t.edge].b)
		})
		var w [2]int
		top := -1
		if lo > 0 {
			w, top = status[lo-1].above, status[lo-1].top
		}
		for i := range fresh {
			e := edges[fresh[i].edge]
			was := inside(w)
			w[0] += e.w[0]
			w[1] += e.w[1]
			if is := inside(w); is != was {
				borders = append(borders, border{edge: e, swap: was, below: top})
				top = len(borders) - 1
			}
			fresh[i].above, fresh[i].top = w, top
		}
		if hi-lo != len(fresh) {
			if work += (len(status) - hi) / 8; work > maxWork {
				return nil, tangled(p)
			}
		}
		status = slices.Replace(status, lo, hi, fresh...)
	}
	return borders, nil
}
