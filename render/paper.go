package render

import (
	"strings"

	"strew/render/scene"
)

// Paper is a size of paper, upright, in millimetres. The zero Paper is A4.
type Paper struct {
	Name          string
	Width, Height float64
}

// Large is the name of paper that is as large as it has to be: one page.
const Large = "large"

// Papers returns the sizes that can be asked for: ISO 216 (A4, A3) and
// ANSI/ASME Y14.1 sizes A and B (letter, tabloid).
func Papers() []Paper {
	return []Paper{
		{"A4", 210, 297},
		{"A3", 297, 420},
		{"letter", 8.5 * 25.4, 11 * 25.4},
		{"tabloid", 11 * 25.4, 17 * 25.4},
	}
}

// PaperNamed returns the size of that name, whichever case it is written in,
// and false where there is none. Large paper has no size of its own; what is
// drawn small in any case comes on A4 then.
func PaperNamed(name string) (Paper, bool) {
	if strings.EqualFold(name, Large) {
		return Paper{Name: Large}, true
	}
	for _, p := range Papers() {
		if strings.EqualFold(p.Name, name) {
			return p, true
		}
	}
	return Paper{}, false
}

// page returns an empty page of this paper, lying on its side where landscape.
func (p Paper) page(landscape bool) *scene.Scene {
	if p.Width <= 0 || p.Height <= 0 {
		p = Papers()[0]
	}
	if landscape {
		p.Width, p.Height = p.Height, p.Width
	}
	return &scene.Scene{Width: p.Width, Height: p.Height}
}

// called names the paper as a shop does.
func (p Paper) called() string {
	if p.Name == "" {
		return Papers()[0].Name
	}
	return p.Name
}
