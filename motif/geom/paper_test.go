package geom

import (
	"math"
	"testing"
)

// ISO 216: A3 is 297 × 420 mm, A4 210 × 297 mm, A5 148 × 210 mm. ANSI/ASME
// Y14.1: A is 8.5 × 11 in (letter), B 11 × 17 in (tabloid). Legal, 8.5 × 14 in,
// is common practice.
func TestPaperSizes(t *testing.T) {
	const in = 25.4
	for name, want := range map[string][2]float64{
		"A3": {297, 420}, "A4": {210, 297}, "a5": {148, 210},
		"Letter": {8.5 * in, 11 * in}, "LEGAL": {8.5 * in, 14 * in}, "tabloid": {11 * in, 17 * in},
	} {
		p, ok := PaperNamed(name)
		if !ok || math.Abs(p.Width-want[0]) > 1e-9 || math.Abs(p.Height-want[1]) > 1e-9 {
			t.Errorf("%s is %v, want %v", name, p, want)
		}
	}
	if p, ok := PaperNamed("A7"); ok {
		t.Errorf("A7 is %v, want none", p)
	}
	if p, ok := PaperNamed(A4().Name); !ok || p != A4() {
		t.Errorf("A4 by name is %v", p)
	}
}
