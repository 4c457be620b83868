package trace

import (
	"image"
	"math"

	"strew/motif/geom"
)

// field is a window of values on a picture: pixel (x, y) of the window is pixel
// (x, y) + at of the picture. Its outermost pixels must be outside.
type field struct {
	at   image.Point
	w, h int
	v    []float32
}

// alone returns the ink of one component in a window with pad pixels round it.
// Other components are reduced to what counts as bare page.
func (in ink) alone(c component, pad int) field {
	f := field{at: c.box.Min.Sub(image.Pt(pad, pad)), w: c.box.Dx() + 2*pad, h: c.box.Dy() + 2*pad}
	f.v = make([]float32, f.w*f.h)
	below := math.Nextafter32(in.low, 0)
	for y := range f.h {
		sy := y + f.at.Y
		if sy < 0 || sy >= in.h {
			continue
		}
		for x := max(0, -f.at.X); x < f.w && x+f.at.X < in.w; x++ {
			f.v[y*f.w+x] = min(below, in.v[sy*in.w+x+f.at.X])
		}
	}
	for _, r := range c.runs {
		copy(f.v[(r.y-f.at.Y)*f.w+r.from-f.at.X:], in.v[r.y*in.w+r.from:r.y*in.w+r.to])
	}
	return f
}

// onEdge keeps crossings off the centres of pixels, where several would coincide
// on a pixel of exactly the value asked for.
const onEdge = 0.01

// The directions of a walk along an edge, clockwise as seen from up.
const (
	up = iota
	right
	down
	left
)

// contours returns the lines along which the field, linear between the centres of
// neighbouring pixels, has the value t, in the picture's coordinates (the centre
// of a pixel is half past its number). Outer rings run clockwise as seen, holes
// the other way; rings are simple and do not meet.
//
// It is marching squares (W. E. Lorensen, H. E. Cline, "Marching cubes",
// SIGGRAPH 1987, in the plane), walked edge by edge with the inside on the right
// hand. In the ambiguous case, two opposite corners inside, the mean of the four
// decides whether they are connected.
func (f field) contours(t float32) []geom.Ring {
	seen := make([]bool, len(f.v))
	var rings []geom.Ring
	for y := 1; y < f.h-1; y++ {
		for x := 0; x < f.w-1; x++ {
			k := y*f.w + x
			if f.v[k] < t && f.v[k+1] >= t && !seen[k] {
				rings = append(rings, f.walk(x, y, t, seen))
			}
		}
	}
	return rings
}

// walk follows the ring that crosses between pixel (x, y), outside, and the one to
// its right, inside. It marks in seen the pixels on the left where it goes up.
func (f field) walk(x, y int, t float32, seen []bool) geom.Ring {
	var ring geom.Ring
	// Pixels o (outside, on the left hand) and i (inside, on the right hand).
	ox, oy, ix, iy, heading := x, y, x+1, y, up
	for {
		if heading == up {
			k := oy*f.w + ox
			if seen[k] {
				return ring
			}
			seen[k] = true
		}
		a, b := f.v[oy*f.w+ox], f.v[iy*f.w+ix]
		s := math.Max(onEdge, math.Min(1-onEdge, float64((t-a)/(b-a))))
		ring = append(ring, geom.Vec{
			X: float64(f.at.X+ox) + 0.5 + s*float64(ix-ox),
			Y: float64(f.at.Y+oy) + 0.5 + s*float64(iy-oy),
		})
		dx, dy := 0, 0
		switch heading {
		case up:
			dy = -1
		case right:
			dx = 1
		case down:
			dy = 1
		case left:
			dx = -1
		}
		fl, fr := f.v[(oy+dy)*f.w+ox+dx], f.v[(iy+dy)*f.w+ix+dx]
		turnLeft := fl >= t
		if turnLeft && fr < t { // two opposite corners
			turnLeft = (a+b+fl+fr)/4 >= t
		}
		switch {
		case turnLeft:
			ix, iy = ox+dx, oy+dy
			heading = (heading + 3) % 4
		case fr >= t:
			ox, oy, ix, iy = ox+dx, oy+dy, ix+dx, iy+dy
		default:
			ox, oy = ix+dx, iy+dy
			heading = (heading + 1) % 4
		}
	}
}
