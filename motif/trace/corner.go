package trace

import (
	"math"

	"strew/motif/geom"
)

// A corner turns by the same angle however close one looks; a round bend turns
// less over a shorter length. So the turn is measured between arms of two lengths:
// lines fitted to the points before and after, those next to the corner left out
// because the pixels round it off. The corner lies where its arms cross.

// cornerTurn is the least turn of a corner, and cornerKeep the share of it that
// arms of half the length must measure; on a round bend they measure two thirds,
// as the points next to the corner are left out of both.
const (
	cornerTurn = 38 * math.Pi / 180
	cornerKeep = 0.82
	// cornerBlunt is how far, in pixels along the edge, pixels round a corner off.
	cornerBlunt = 1.5
	// cornerMove is how far, in pixels, a corner may lie from the traced edge: a
	// tip of 30° loses two.
	cornerMove = 3.5
)

// corner is a corner of a ring: the index of its point, and where it lies.
type corner struct {
	index int
	at    geom.Vec
}

// line is a straight line through at along the unit vector along.
type line struct{ at, along geom.Vec }

// lineThrough fits a line to points by total least squares: it runs along the
// principal axis of their scatter, in the direction from the first to the last.
func lineThrough(p []geom.Vec) line {
	var mid geom.Vec
	for _, v := range p {
		mid = mid.Add(v)
	}
	mid = mid.Mul(1 / float64(len(p)))
	var xx, xy, yy float64
	for _, v := range p {
		d := v.Sub(mid)
		xx, xy, yy = xx+d.X*d.X, xy+d.X*d.Y, yy+d.Y*d.Y
	}
	a := math.Atan2(2*xy, xx-yy) / 2
	along := geom.Vec{X: math.Cos(a), Y: math.Sin(a)}
	if along.Dot(p[len(p)-1].Sub(p[0])) < 0 {
		along = along.Mul(-1)
	}
	return line{mid, along}
}

// arms fits lines of the given length to the points before and after point i of a
// ring of even steps.
func arms(r geom.Ring, i int, length, step float64) (before, after line) {
	from, to := int(math.Ceil(cornerBlunt/step)), max(int(length/step), int(math.Ceil(cornerBlunt/step))+2)
	var b, a []geom.Vec
	for k := from; k <= to; k++ {
		a = append(a, r.At(i+k))
		b = append(b, r.At(i-(from+to)+k))
	}
	return lineThrough(b), lineThrough(a)
}

// turn returns the angle between two lines, from 0 to π.
func turn(a, b line) float64 {
	return math.Abs(math.Atan2(a.along.Cross(b.along), a.along.Dot(b.along)))
}

// corners returns the corners of a ring of even steps that turn by least or more,
// each at its point.
func corners(r geom.Ring, arm, step, least float64) []corner {
	reach := int(arm / step)
	if len(r) < 4*reach {
		return nil
	}
	turns := make([]float64, len(r))
	for i := range r {
		b, a := arms(r, i, arm, step)
		t := turn(b, a)
		if t < least {
			continue
		}
		b, a = arms(r, i, arm/2, step)
		if turn(b, a) >= cornerKeep*t {
			turns[i] = t
		}
	}
	var out []corner
	for i, t := range turns {
		if t == 0 {
			continue
		}
		best := true
		for k := -reach; k <= reach && best; k++ {
			u := turns[((i+k)%len(r)+len(r))%len(r)]
			best = u < t || u == t && k >= 0
		}
		if !best {
			continue
		}
		out = append(out, corner{i, r[i]})
	}
	return out
}

// evenly returns points along a ring at equal steps of about step, and the step.
func evenly(r geom.Ring, step float64) (geom.Ring, float64) {
	around := r.Length()
	n := max(8, int(math.Round(around/step)))
	return r.Resampled(n), around / float64(n)
}
