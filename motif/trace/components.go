package trace

import "image"

// run is a stretch of ink in a row: from <= x < to.
type run struct{ y, from, to int }

// component is a connected component of ink, pixels that meet at a corner
// included.
type component struct {
	box     image.Rectangle
	pixels  int
	runs    []run // in reading order
	touches bool  // it reaches the edge of the page
}

// components labels the connected components of ink, in reading order of their
// first runs: each run is joined with those it meets in the row above, by union
// and find (R. E. Tarjan, "Efficiency of a good but not linear set union
// algorithm", Journal of the ACM 22, 1975).
func (in ink) components() []component {
	byRow := make([][]run, in.h)
	overRows(in.h, func(from, to int) {
		for y := from; y < to; y++ {
			row := in.v[y*in.w : (y+1)*in.w]
			for x := in.rows[y].from; x < in.rows[y].to; x++ {
				if row[x] < in.low {
					continue
				}
				r := run{y: y, from: x}
				for x < in.rows[y].to && row[x] >= in.low {
					x++
				}
				r.to = x
				byRow[y] = append(byRow[y], r)
			}
		}
	})
	var runs []run
	var parent []int32
	find := func(i int32) int32 {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	above := 0 // the first run of the row above
	for y := range byRow {
		first := len(runs)
		k := above
		for _, r := range byRow[y] {
			id := int32(len(runs))
			runs, parent = append(runs, r), append(parent, id)
			for k < first && runs[k].to < r.from {
				k++
			}
			for j := k; j < first && runs[j].from <= r.to; j++ {
				a, b := find(int32(j)), find(id)
				parent[max(a, b)] = min(a, b)
			}
		}
		above = first
	}
	index := make([]int32, len(runs)) // of a root, its component
	var out []component
	for i, r := range runs {
		root := find(int32(i))
		if int(root) == i {
			index[i] = int32(len(out))
			out = append(out, component{box: image.Rect(r.from, r.y, r.to, r.y+1)})
		}
		b := &out[index[root]]
		b.box = b.box.Union(image.Rect(r.from, r.y, r.to, r.y+1))
		b.pixels += r.to - r.from
		b.runs = append(b.runs, r)
		b.touches = b.touches || in.atEnd(r)
	}
	return out
}

// atEnd reports whether a run reaches the edge of the page at the side, above or
// below.
func (in ink) atEnd(r run) bool {
	beside := func(y int) bool {
		return y < 0 || y >= in.h || r.from < in.rows[y].from || r.to > in.rows[y].to
	}
	return r.from <= in.rows[r.y].from || r.to >= in.rows[r.y].to || beside(r.y-1) || beside(r.y+1)
}
