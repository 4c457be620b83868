package geom

import "strings"

// Paper is a size of paper, upright, in millimetres.
type Paper struct {
	Name          string
	Width, Height float64
}

// A4 returns the size that is meant if none is named.
func A4() Paper { return Paper{"A4", 210, 297} }

// Papers returns the sizes of paper that people draw and print on: the A series
// of ISO 216, sizes A and B of ANSI/ASME Y14.1 (letter, tabloid), and legal,
// which is 8½ × 14 in by common practice.
func Papers() []Paper {
	const in = 25.4
	return []Paper{
		A4(),
		{"letter", 8.5 * in, 11 * in},
		{"A3", 297, 420},
		{"A5", 148, 210},
		{"legal", 8.5 * in, 14 * in},
		{"tabloid", 11 * in, 17 * in},
	}
}

// PaperNamed returns the size of that name, in upper or lower case, and false
// if there is none.
func PaperNamed(name string) (Paper, bool) {
	for _, p := range Papers() {
		if strings.EqualFold(p.Name, name) {
			return p, true
		}
	}
	return Paper{}, false
}
