package render

import (
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/render/scene"
	"strew/scatter/skirt"
)

// Placement draws the numbered placement map for printing: each cutout as a
// cross at its glue point, a faint outline in its turn and its number; rows as
// thin lines with how far they lie below the waist seam, or else lines of equal
// depth. Numbers never overlap and never leave the page. Where one page would
// be too crowded to read, the cloth is split over several maps. Write them at
// PageDPI. Once the context ends the maps are not finished.
func Placement(ctx context.Context, c Cloth, marks []Mark) []*scene.Scene {
	ways := divisions(c.Surface)
	for way := 0; ; way++ {
		parts := ways[way]
		var pages []*scene.Scene
		crowded := false
		for i := 0; i < len(parts) && !crowded && ctx.Err() == nil; i++ {
			page, legible := c.mapPage(ctx, marks, parts[i], sheetOf{i + 1, len(parts), way+1 < len(ways)})
			crowded = !legible && way+1 < len(ways)
			pages = append(pages, page)
		}
		if !crowded || ctx.Err() != nil {
			return pages
		}
	}
}

// fewMarks on a map are not split further: where so few crowd, they do so in
// one spot, and leaders help more than another map.
const fewMarks = 60

// finestSplit is the largest number of maps for one panel: beyond it the
// cutouts would have to lie closer than their numbers are tall at true size.
const finestSplit = 8

// divisions lists the ways in which the cloth is spread over maps, the fewest
// maps first: all on one, then in runs of panels, then each panel in parts.
func divisions(s skirt.Surface) [][]stretch {
	n := max(1, s.Panels)
	var out [][]stretch
	for per := n; per >= 1; per-- {
		if maps := (n + per - 1) / per; per < n && maps == len(out[len(out)-1]) {
			continue
		}
		var parts []stretch
		for k := 0; k < n; k += per {
			parts = append(parts, stretch{s, float64(k), float64(min(n, k+per))})
		}
		out = append(out, parts)
	}
	for split := 2; split <= finestSplit; split++ {
		parts := make([]stretch, n*split)
		for i := range parts {
			parts[i] = stretch{s, float64(i) / float64(split), float64(i+1) / float64(split)}
		}
		out = append(out, parts)
	}
	return out
}

// layouts returns the ways in which a run of panels can be shown: joined in
// one piece where that lies flat, or panel by panel.
func layouts(part stretch) [][]stretch {
	n := part.to - part.from
	flat := !part.drawn() && !part.polar() || part.polar() && n*part.surface.Angle <= 2*math.Pi+geom.SameAngle
	var out [][]stretch
	if flat || n <= 1 {
		out = append(out, []stretch{part})
	}
	if n > 1 && !(flat && part.polar()) {
		// Straight panels in runs below one another, where that shows them larger.
		for per := math.Ceil(n / 2); flat && per > 1; per-- {
			var runs []stretch
			for u := part.from; u < part.to; u += per {
				runs = append(runs, stretch{part.surface, u, math.Min(part.to, u+per)})
			}
			out = append(out, runs)
		}
		var apart []stretch
		for u := part.from; u < part.to; u++ {
			apart = append(apart, stretch{part.surface, u, u + 1})
		}
		out = append(out, apart)
	}
	return out
}

// mostKinds is how many lines of motifs a map lists at most.
const mostKinds = 3

// sheetOf is which map of how many is drawn.
type sheetOf struct {
	number, of int
	mayBeMore  bool // the cloth can be spread over more maps yet
}

// mapPage draws one map and reports whether it can be read; one that cannot, and
// may be spread over more, is not finished.
func (c Cloth) mapPage(ctx context.Context, marks []Mark, part stretch, sheet sheetOf) (page *scene.Scene, legible bool) {
	const m = marginPage
	about := c.Describe(len(marks))
	if sheet.of > 1 {
		about = facts(c.Say("map %d of %d", sheet.number, sheet.of), about)
	}
	head := func(sc *scene.Scene) geom.Box {
		top := heading(sc, geom.Vec{X: m, Y: m}, sc.Width-2*m, c.Title, about, c.Say("Placement map: each cross is a glue point, with the number of its mark.")) + 2
		list := geom.Box{Max: geom.Vec{X: sc.Width - 2*m, Y: mostKinds * entryHeight}}
		foot := sc.Height - m - barHeight - legend(&scene.Scene{}, list, kinds(marks), c.Printer)
		return geom.Box{Min: geom.Vec{X: m, Y: top}, Max: geom.Vec{X: sc.Width - m, Y: foot}}
	}
	// The layout and the way to lay the paper that show the cloth largest.
	var chosen []stretch
	var scale float64
	var cols int
	var lying bool
	var rm room
	var on []contents
	for _, list := range layouts(part) {
		lies := make([]contents, len(list))
		for i, s := range list {
			lies[i] = s.contents(marks)
		}
		need := c.mapRoom(list, lies)
		for _, landscape := range []bool{false, true} {
			area := head(c.Paper.page(landscape))
			if k, n := arrange(list, geom.Vec{X: area.Width(), Y: area.Height()}, need.pad(), gapBlock); k > scale*1.03 {
				chosen, on, scale, cols, lying, rm = list, lies, k, n, landscape, need
			}
		}
	}
	sc := c.Paper.page(lying)
	area := head(sc)
	if scale <= 0 {
		return sc, true
	}
	shown := views(chosen, area, scale, cols, rm, gapBlock)
	for i := range shown {
		shown[i].on = on[i]
	}
	// In the middle of what is left between heading and foot.
	if spare := area.Max.Y - viewsBox(shown).Max.Y - rm.bottom; spare > 0 {
		for i := range shown {
			shown[i].toPage.F += spare / 2
		}
	}
	here, legible := c.drawMap(ctx, sc, newBoard(area), shown, sheet.mayBeMore)
	cut := slices.ContainsFunc(chosen, func(s stretch) bool { _, l, r := s.seams(); return !l || !r })
	c.footer(sc, here, cut, scale, area.Max.Y)
	return sc, legible || len(here) <= fewMarks
}

// footer draws scale bar, key and the motifs with their counts on this page.
func (c Cloth) footer(sc *scene.Scene, here []lyingOn, cut bool, scale, top float64) {
	m := marginPage
	on := make([]Mark, len(here))
	for i, h := range here {
		on[i] = h.mark
	}
	y := sc.Height - m - barHeight + 1
	bar := scaleBar(sc, geom.Vec{X: m, Y: y}, scale, 40, c.Printer)
	key := c.edgeKey()
	if cut {
		key = append(key, sample{name: c.Say("continued on another map"), width: lineSeam, dash: dashCut()})
	}
	lineKey(sc, geom.Vec{X: m + bar + 8, Y: y - 1.2}, key, false)
	legend(sc, geom.Box{Min: geom.Vec{X: m, Y: top}, Max: geom.Vec{X: sc.Width - m, Y: y - 1}}, kinds(on), c.Printer)
}
