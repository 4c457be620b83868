package geom

import (
	"testing"

	"pgregory.net/rapid"
)

// Boxes meet exactly where there is no gap between them.
func TestBoxesMeetWithoutGap(t *testing.T) {
	corner := rapid.Custom(func(t *rapid.T) Vec {
		return Vec{float64(rapid.IntRange(-5, 5).Draw(t, "x")), float64(rapid.IntRange(-5, 5).Draw(t, "y"))}
	})
	rapid.Check(t, func(t *rapid.T) {
		b, c := BoxOf(corner.Draw(t, "a"), corner.Draw(t, "b")), BoxOf(corner.Draw(t, "c"), corner.Draw(t, "d"))
		if b.Meets(c) != (b.Gap(c) == 0) {
			t.Fatalf("%v and %v: meet %v, gap %v", b, c, b.Meets(c), b.Gap(c))
		}
	})
}
