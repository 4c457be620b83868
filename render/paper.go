package render

import (
	"strings"

	"strew/motif/geom"
	"strew/render/scene"
)

// Paper is the paper that pages are drawn for, upright, in millimetres: a size
// of geom.Papers, or Large. The zero Paper is A4.
type Paper geom.Paper

// Large is the name of paper that is as large as it has to be: one page. It has
// no size of its own; what is drawn small in any case comes on A4 then.
const Large = "large"

// PaperNamed returns the paper of that name, in upper or lower case, and false
// if there is none.
func PaperNamed(name string) (Paper, bool) {
	if strings.EqualFold(name, Large) {
		return Paper{Name: Large}, true
	}
	p, ok := geom.PaperNamed(name)
	return Paper(p), ok
}

// page returns an empty page of this paper, lying on its side where landscape.
func (p Paper) page(landscape bool) *scene.Scene {
	if p.Width <= 0 || p.Height <= 0 {
		p = Paper(geom.A4())
	}
	if landscape {
		p.Width, p.Height = p.Height, p.Width
	}
	return &scene.Scene{Width: p.Width, Height: p.Height}
}

// called names the paper as a shop does.
func (p Paper) called() string {
	if p.Name == "" {
		return geom.A4().Name
	}
	return p.Name
}
