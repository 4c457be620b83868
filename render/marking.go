package render

import (
	"fmt"

	"strew/motif/geom"
	"strew/render/scene"
)

// Marking draws the marking paper: every panel at true size with its rows, its
// edges and every cutout's glue point, outline and number, cut into pages of
// the paper that overlap. Pages that would show nothing of the cloth are left
// out.
func Marking(c Cloth, marks []Mark) []*scene.Scene {
	const edge = 12.0 // white round the panel, for its name
	var pages []*scene.Scene
	for k := range max(1, c.Surface.Panels) {
		s := stretch{c.Surface, float64(k), float64(k + 1)}
		rm := c.mapRoom([]stretch{s}, marks)
		rm = room{max(rm.left, edge), max(rm.top, edge), max(rm.right, edge), max(rm.bottom, edge)}
		box := s.box()
		big := &scene.Scene{Width: box.Width() + rm.left + rm.right, Height: box.Height() + rm.top + rm.bottom}
		all := geom.Box{Max: geom.Vec{X: big.Width, Y: big.Height}}
		c.drawMap(big, newBoard(all), views([]stretch{s}, all, 1, 1, rm, 0), marks, truePen())
		name := fmt.Sprintf("%s  ·  %s  ·  true size, print at 100 %%", c.Title, panelName(k, c.Surface.Panels))
		pages = append(pages, Tile(big, name, c.Paper)...)
	}
	return pages
}
