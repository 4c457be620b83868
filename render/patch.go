package render

import (
	"strew/motif"
	"strew/motif/geom"
)

// patchSteps is in how many steps each side of a patch is drawn: a row that runs all
// round a full circle then bends by 4° a step, and its chords lie within 0.1 % of the
// radius from it.
const patchSteps = 96

// Patch returns the outline of a patch of one panel in the flat picture: between two
// distances down, and between two distances from the panel's left edge along each
// row. Where the panel is shown in several stretches there are several outlines. What
// lies off the cloth is not cut away.
func (f Flat) Patch(panel int, down, around [2]float64) []geom.Ring {
	round := f.cloth.ring(panel, down, around)
	var out []geom.Ring
	for _, v := range f.views {
		var r geom.Ring
		for _, l := range v.lying(round) {
			if l.here {
				r = append(r, f.of(v.toPage.Apply(l.at)))
			}
		}
		if len(r) > 2 {
			out = append(out, r)
		}
	}
	return out
}

// ring returns points round a patch: along its upper edge from left to right, and back
// along the lower one.
func (c Cloth) ring(panel int, down, around [2]float64) []Mark {
	s, nothing := c.Surface, &motif.Motif{}
	var out []Mark
	at := func(down, around float64) {
		if s.Closed() { // the panel's own cloth, not that across the seam
			around = min(max(around, 0), s.PanelGirth(down)-geom.Touch)
		}
		out = append(out, Mark{Motif: nothing, Size: 1, Point: s.PointAt(panel, min(max(down, 0), s.Drop), around)})
	}
	between := func(ends [2]float64, i int) float64 {
		return ends[0] + (ends[1]-ends[0])*float64(i)/patchSteps
	}
	for i := range patchSteps {
		at(down[0], between(around, i))
	}
	for i := range patchSteps {
		at(between(down, i), around[1])
	}
	for i := range patchSteps {
		at(down[1], between(around, patchSteps-i))
	}
	for i := range patchSteps {
		at(between(down, patchSteps-i), around[0])
	}
	return out
}
