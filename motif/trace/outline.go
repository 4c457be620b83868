package trace

import (
	"context"
	"math"

	"strew/motif/geom"
	"strew/motif/say"
)

// Accuracy of curves, in pixels, for pictures of different kinds.
const (
	cleanOff, cleanWindow     = 0.1, 4 // grey, without grain
	grainOff, grainWindow     = 0.3, 4
	bilevelOff, bilevelWindow = 0.25, 9 // two shades: edges lie up to 0.7 px off
	gateOff                   = 0.05    // two shades, set between the pixels
	// Pixels are small squares, and straight steps between their centres cut a
	// bend short: measured on discs of 10 to 100 pixels of known area.
	cleanPull, bilevelPull = 0.4, 0.15
	// drawnOff, in mm, is how far a steady hand strays from the line it means:
	// half of what scissors can follow.
	drawnOff   = geom.FlattenTol / 2
	mostOff    = 1.5 // pixels
	mostWindow = 25
	defaultArm = 7
	bilevelArm = 9
	drawnArmMM = 1.0 // mm; the pen rounds the corners of a drawn line
	mostArm    = 30
	// smoothTwice: smooth from 0 to 1 changes the slack by 2 to this power, down
	// and up from 0.5.
	smoothTwice = 2
)

// closeness is what decides how closely an edge is followed.
type closeness struct {
	ink     ink
	bilevel bool    // the picture has two shades only
	pixel   float64 // mm; 0 where it is not known yet
	smooth  float64 // Options.Smooth
}

// fitting returns how closely the edge of s is followed.
func (c closeness) fitting(s shape) fitting {
	const grain = 0.004 // of the page's brightness, after blurring
	f := fitting{arm: defaultArm, corner: cornerTurn, window: cleanWindow, off: cleanOff, pull: cleanPull}
	switch {
	case c.bilevel:
		f.arm, f.window, f.off, f.pull = bilevelArm, bilevelWindow, bilevelOff, bilevelPull
		if s.stroke == 0 {
			f.gates, f.off, f.pull = gateSmooth, gateOff, 0
		}
	case s.stroke > 0 || c.ink.noise > grain:
		f.window, f.off, f.pull = grainWindow, grainOff, 0
	}
	if s.stroke > 0 {
		f.arm = math.Max(f.arm, s.stroke)
		if c.pixel > 0 {
			f.off = math.Max(f.off, math.Min(mostOff, drawnOff/c.pixel))
			f.arm = math.Max(f.arm, math.Min(mostArm, drawnArmMM/c.pixel))
		}
		f.window = max(f.window, min(mostWindow, int(f.arm/2)))
	}
	k := math.Pow(2, smoothTwice*(2*c.smooth-1))
	f.off, f.gates = f.off*k, f.gates*math.Pow(k, 1.0/6)
	f.window = max(1, min(mostWindow, int(math.Round(float64(f.window)*math.Sqrt(k)))))
	f.corner *= math.Max(1, math.Sqrt(k)/1.3)
	return f
}

// fitShapes turns figures into curves, by figure and ring, and into regions of
// straight steps, both in pixels of the flat page. Where curves would meet or a
// ring turn inside out, all are fitted more closely; the last resort is the steps
// of the pixels.
func fitShapes(ctx context.Context, shapes []shape, flat homography, how closeness) (curves [][][]bezier, regions []geom.Region, err error) {
	rings := make([][]geom.Ring, len(shapes))
	for i, s := range shapes {
		for _, r := range s.Rings() {
			rings[i] = append(rings[i], flat.ring(r))
		}
	}
	const tries = 4
	for try := range tries {
		curves, regions = make([][][]bezier, len(shapes)), make([]geom.Region, len(shapes))
		var all []geom.Ring
		turned := false // a small ring fitted loosely can come out inside out
		for i, s := range shapes {
			if err := stopped(ctx); err != nil {
				return nil, nil, err
			}
			f := how.fitting(s)
			f.off /= math.Pow(2, float64(try))
			f.window = max(1, f.window>>try)
			for k, r := range rings[i] {
				c := polygon(r)
				if try < tries-1 {
					c = f.curve(r)
				}
				ring := flatten(c, flattenPixels)
				curves[i] = append(curves[i], c)
				if k == 0 {
					regions[i].Outer = ring
				} else {
					regions[i].Holes = append(regions[i].Holes, ring)
				}
				all = append(all, ring)
				turned = turned || ring.Area()*r.Area() <= 0
			}
		}
		if !turned && geom.Simple(all...) {
			return curves, regions, nil
		}
	}
	return nil, nil, say.Errorf("the outline crosses itself: draw it with a thinner pen, or scan it at a higher density")
}

// flattenPixels is how far straight steps may lie from a curve, in pixels: less
// than the accuracy of the edge.
const flattenPixels = 0.002

// polygon returns a ring as straight curves.
func polygon(r geom.Ring) []bezier {
	var out []bezier
	for i, p := range r {
		if q := r.At(i + 1); p != q {
			out = append(out, straight(p, q))
		}
	}
	return out
}
