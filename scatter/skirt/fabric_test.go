package skirt_test

import (
	"errors"
	"math"
	"testing"

	"strew/scatter/skirt"
)

// One piece when twice the cutting length fits the fabric width, otherwise two
// halves from four times it (common practice, no source).
func TestCircleFromCloth(t *testing.T) {
	girth := 2 * math.Pi * 200.0 // radius 200
	for _, c := range []struct {
		name           string
		drop, width    float64
		panels, layers int
		pieces         int
		length         float64
	}{
		{"one piece", 500, 1500, 1, 1, 1, 1400},
		{"two halves", 600, 1500, 1, 1, 2, 3200},
		{"two halves by design", 600, 1500, 2, 1, 2, 3200},
		{"two halves side by side", 500, 1500, 2, 1, 2, 1400},
		{"three layers of halves", 600, 1500, 2, 3, 2, 9600},
	} {
		s := skirt.NewCircle(girth, c.drop, 1, c.panels)
		f, err := skirt.CutFrom(s, c.width, 12, 100, c.layers)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if f.CuttingLength != s.Inner+c.drop {
			t.Errorf("%s: cutting length %g, want radius + drop = %g", c.name, f.CuttingLength, s.Inner+c.drop)
		}
		if f.Pieces != c.pieces || math.Abs(f.Length-c.length) > 1e-6 || f.Seamed != (c.pieces > 1) {
			t.Errorf("%s: %d pieces from %g mm, want %d from %g", c.name, f.Pieces, f.Length, c.pieces, c.length)
		}
	}
}

func TestRectangleFromCloth(t *testing.T) {
	// Two panels of 1200 × 570, allowance 10: 1220 × 580. On 1500 mm cloth they
	// lie across it, one below the other: 1160 mm.
	f, err := skirt.CutFrom(skirt.NewRectangle(2400, 570, 2), 1500, 10, 100, 1)
	if err != nil {
		t.Fatal(err)
	}
	if f.Pieces != 2 || f.Length != 1200 || f.CuttingLength != 580 {
		t.Errorf("got %+v", f)
	}
}

func TestEighthsOfAYard(t *testing.T) {
	const step = 914.4 / 8
	f, err := skirt.CutFrom(skirt.NewRectangle(1000, 900, 1), 1200, 0, step, 1)
	if err != nil {
		t.Fatal(err)
	}
	if f.Length != 8*step { // 900 mm is a little under one yard
		t.Errorf("%g mm, want one yard", f.Length)
	}
}

func TestTooNarrowCloth(t *testing.T) {
	_, err := skirt.CutFrom(skirt.NewCircle(1360, 3000, 1, 1), 1500, 12, 100, 1)
	var wide *skirt.TooWide
	if !errors.As(err, &wide) || wide.Width != 1500 || wide.Needs <= 1500 {
		t.Fatalf("got %v", err)
	}
}
