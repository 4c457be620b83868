package trace

import (
	"context"
	"math"
	"strings"

	"strew/motif/geom"
	"strew/motif/say"
)

// A sheet of paper in a photo is found as a bright quadrilateral in a small copy
// (quadrilateral.go); its sides are then measured in the photo itself
// (sheetedge.go). The crossings of the sides are the corners, which give the
// perspective (homography.go).

// PaperSizes returns the names of the sheets that can be found in a photo.
func PaperSizes() []string {
	var names []string
	for _, p := range geom.Papers() {
		names = append(names, strings.ToLower(p.Name))
	}
	return names
}

// sheetMargin, in mm, is the strip along the sheet's edges that is ignored: its
// shadow and curled rim.
const sheetMargin = 2.5

var errNoSheet = say.Errorf("no sheet of paper was found in the picture: lay it on a clearly darker, plain ground, and take the photo so that all four corners show with a little of the ground round them")

// findSheet finds a sheet of paper of the named size.
func findSheet(ctx context.Context, p plane, name string) (page, error) {
	size, _ := geom.PaperNamed(name)
	const smallSide = 400 // pixels; enough to see a sheet by
	k := max(1, max(p.w, p.h)/smallSide)
	small := p.shrink(k)
	quad, ok := brightQuadrilateral(small)
	if err := stopped(ctx); err != nil {
		return page{}, err
	}
	if !ok {
		return page{}, errNoSheet
	}
	for i := range quad {
		quad[i] = quad[i].Mul(float64(k))
	}
	for _, reach := range []float64{2.5*float64(k) + 3, 0.8*float64(k) + 4} {
		if quad, ok = p.sharpen(quad, reach); !ok {
			return page{}, errNoSheet
		}
	}
	c := fromTopLeft(quad)
	across := (c[0].Dist(c[1]) + c[3].Dist(c[2])) / 2
	high := (c[1].Dist(c[2]) + c[0].Dist(c[3])) / 2
	w, h := size.Width, size.Height
	if across > high {
		w, h = h, w
	}
	out := page{corners: c[:], pixel: math.Sqrt(w * h / (across * high))}
	fw, fh := w/out.pixel, h/out.pixel
	onPage := [4]geom.Vec{{}, {X: fw}, {X: fw, Y: fh}, {Y: fh}}
	var ok2 bool
	out.flat, ok = homographyOf(c, onPage)
	out.back, ok2 = homographyOf(onPage, c)
	if !ok || !ok2 {
		return page{}, errNoSheet
	}
	out.rows = rowsInside(c, sheetMargin/out.pixel, p)
	if shape := across / high / (w / h); shape < 0.75 || shape > 1.33 {
		out.note = say.New("the sheet in the picture looks %.2f times as long as wide, and %s paper is %.2f: is it that size, and all of it in the picture?",
			math.Max(across, high)/math.Min(across, high), size.Name, size.Height/size.Width)
	}
	return out, nil
}

// rowsInside returns the part of each row of p that lies in a quadrilateral, at
// least inset pixels from its sides.
func rowsInside(corners [4]geom.Vec, inset float64, p plane) []span {
	var q [4]geom.Vec
	for i, c := range corners {
		before, after := corners[(i+3)%4], corners[(i+1)%4]
		b, a := before.Sub(c), after.Sub(c)
		// Along both sides by the inset over the sine of the corner.
		k := inset / math.Abs(b.Cross(a)/(b.Len()*a.Len()))
		q[i] = c.Add(b.Mul(k / b.Len())).Add(a.Mul(k / a.Len()))
	}
	rows := make([]span, p.h)
	for y := range rows {
		lo, hi := math.Inf(1), math.Inf(-1)
		v := float64(y) + 0.5
		for i, a := range q {
			b := q[(i+1)%4]
			if (a.Y > v) != (b.Y > v) {
				x := a.X + (v-a.Y)/(b.Y-a.Y)*(b.X-a.X)
				lo, hi = math.Min(lo, x), math.Max(hi, x)
			}
		}
		if lo < hi {
			rows[y] = span{max(0, int(math.Ceil(lo))), min(p.w, int(hi))}
		}
		if rows[y].to <= rows[y].from {
			rows[y] = span{}
		}
	}
	return rows
}

// fromTopLeft returns four corners in clockwise order from the one nearest to the
// top left.
func fromTopLeft(q [4]geom.Vec) [4]geom.Vec {
	if geom.Ring(q[:]).Area() < 0 {
		q[1], q[3] = q[3], q[1]
	}
	first := 0
	for i, c := range q {
		if c.X+c.Y < q[first].X+q[first].Y {
			first = i
		}
	}
	var out [4]geom.Vec
	for i := range out {
		out[i] = q[(first+i)%4]
	}
	return out
}
