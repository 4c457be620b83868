package raster

import (
	"math"

	"strew/motif/geom"
)

// The rasterizer keeps the cells that a path crosses in a list for each row of
// pixels, so a path of very many parts takes quadratic time. Parts that touch no
// pixel in common are therefore drawn in several paths; the picture is the same.

// batchParts is about how many parts are drawn as one path: few enough for short
// lists.
const batchParts = 24

// batches shares parts with the boxes given, in pixels, out over paths: parts
// whose boxes meet are in the same one.
func batches(boxes []geom.Box) [][]int {
	all := make([]int, len(boxes))
	for i := range all {
		all[i] = i
	}
	if len(boxes) <= batchParts {
		return [][]int{all}
	}
	var out [][]int
	var batch []int
	for _, group := range meeting(boxes) {
		if len(batch) > 0 && len(batch)+len(group) > batchParts {
			out, batch = append(out, batch), nil
		}
		batch = append(batch, group...)
	}
	return append(out, batch)
}

// meeting groups the boxes that meet, or are linked by others that do. Groups
// and their members are in the order of the boxes.
func meeting(boxes []geom.Box) [][]int {
	const side = 64.0 // pixels: some cross or letter
	root := make([]int, len(boxes))
	find := func(i int) int {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	cells := map[[2]int][]int{}
	for i, b := range boxes {
		root[i] = i
		if b.IsEmpty() {
			continue
		}
		for x := int(math.Floor(b.Min.X / side)); x <= int(math.Floor(b.Max.X/side)); x++ {
			for y := int(math.Floor(b.Min.Y / side)); y <= int(math.Floor(b.Max.Y/side)); y++ {
				for _, j := range cells[[2]int{x, y}] {
					if boxes[j].Meets(b) {
						// The earlier one stands for both, so that groups keep their order.
						r, s := find(i), find(j)
						root[max(r, s)] = min(r, s)
					}
				}
				cells[[2]int{x, y}] = append(cells[[2]int{x, y}], i)
			}
		}
	}
	at := make([]int, len(boxes)) // of each root, its group counted from 1
	var groups [][]int
	for i := range boxes {
		r := find(i)
		if at[r] == 0 {
			groups = append(groups, nil)
			at[r] = len(groups)
		}
		groups[at[r]-1] = append(groups[at[r]-1], i)
	}
	return groups
}
