package main

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
)

// drawingCommand writes a drawing for scripts: drawing FILE.png WHAT, on 400 ×
// 400 pixels. What is "ring" (a circle drawn with a pen, 240 pixels across the
// middle of the line), "open" (an eighth of it is missing), "two" (two filled
// discs, the first lower) or "blank".
func drawingCommand() {
	if len(os.Args) != 3 {
		fmt.Fprintln(os.Stderr, "drawing FILE.png WHAT")
		os.Exit(2)
	}
	disc := func(x, y, cx, cy, r float64) float64 { return r - math.Hypot(x-cx, y-cy) }
	in := map[string]func(x, y float64) float64{
		"blank": func(x, y float64) float64 { return -1 },
		"ring":  func(x, y float64) float64 { return 3 - math.Abs(disc(x, y, 200, 200, 120)) },
		"open": func(x, y float64) float64 {
			if a := math.Atan2(y-200, x-200); a > 0 && a < math.Pi/4 {
				return -1
			}
			return 3 - math.Abs(disc(x, y, 200, 200, 120))
		},
		"two": func(x, y float64) float64 {
			return math.Max(disc(x, y, 100, 220, 60), disc(x, y, 290, 200, 80))
		},
	}[os.Args[2]]
	m := image.NewGray(image.Rect(0, 0, 400, 400))
	for y := range 400 {
		for x := range 400 {
			cover := math.Max(0, math.Min(1, in(float64(x)+0.5, float64(y)+0.5)+0.5))
			m.SetGray(x, y, color.Gray{uint8(math.Round(235 - 180*cover))})
		}
	}
	f, err := os.Create(os.Args[1])
	if err == nil {
		err = png.Encode(f, m)
	}
	if err == nil {
		err = f.Close()
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
