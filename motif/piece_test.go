package motif

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
)

func ringOf(xy ...float64) geom.Ring {
	var out geom.Ring
	for i := 0; i < len(xy); i += 2 {
		out = append(out, geom.Vec{X: xy[i], Y: xy[i+1]})
	}
	return out
}

func regionOf(outer geom.Ring, holes ...geom.Ring) geom.Region {
	return geom.Region{Outer: outer, Holes: holes}
}

func box(x, y, w, h float64) geom.Ring { return ringOf(x, y, x+w, y, x+w, y+h, x, y+h) }

// drawStar draws a star-shaped piece of 8 to 60 mm, holed or not.
func drawStar(t *rapid.T) geom.Region {
	n := rapid.IntRange(3, 16).Draw(t, "corners")
	var r geom.Ring
	for i := range n {
		r = append(r, geom.Vec{X: rapid.Float64Range(6, 30).Draw(t, "reach")}.Rotate(2*math.Pi*float64(i)/float64(n)))
	}
	g := regionOf(r)
	if rapid.Bool().Draw(t, "holed") {
		side := rapid.Float64Range(0.5, 2).Draw(t, "hole")
		g.Holes = []geom.Ring{box(-side/2, -side/2, side, side).Reversed()}
	}
	return g
}

// Lengths grow with the piece, areas with its square, angles and counts not at
// all; none of them changes under a turn or a mirror.
func TestMeasuresScaleTurnAndMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawStar(t)
		k := rapid.Float64Range(0.2, 8).Draw(t, "scale")
		turn, flip := rapid.Float64Range(0, 7).Draw(t, "turn"), rapid.Bool().Draw(t, "mirrored")
		moved := g.Transform(geom.Placing(geom.Vec{X: 20, Y: -9}, turn, k, flip))
		if flip { // outer rings run clockwise, holes the other way
			moved.Outer = moved.Outer.Reversed()
			for i, h := range moved.Holes {
				moved.Holes[i] = h.Reversed()
			}
		}
		a, b := measurePiece(g), measurePiece(moved)
		same := func(what string, got, want, tol float64) {
			if math.Abs(got-want) > tol {
				t.Fatalf("%s: %.9g, want %.9g", what, got, want)
			}
		}
		const round = 1e-9 // relative
		same("area", b.Area, k*k*a.Area, round*k*k*a.Area)
		same("edge", b.Edge, k*a.Edge, round*k*a.Edge)
		same("least width", b.LeastWidth, k*a.LeastWidth, round*k*a.Edge)
		same("widest circle", b.Widest.Radius, k*a.Widest.Radius, geom.PoleTol*(1+k))
		// A place may be the widest circle, which is found to a tolerance.
		same("felt", b.Felt.Width(), k*a.Felt.Width(), 2*geom.PoleTol*(1+k))
		same("slot", b.Slot.Width(), k*a.Slot.Width(), 2*geom.PoleTol*(1+k))
		same("inner corner", b.InnerCorner.Angle, a.InnerCorner.Angle, 1e-6)
		if a.Corners != b.Corners || a.Holes != b.Holes {
			t.Fatalf("%d corners and %d holes, and %d and %d once moved", a.Corners, a.Holes, b.Corners, b.Holes)
		}
	})
}

// The ends of a place lie on the edge; felt lies between those of a narrow place
// and not between those of a slot.
func TestPlacesLieWhereTheyAreSaid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawStar(t)
		m := measurePiece(g)
		if !g.Contains(m.Widest.At) || math.Abs(g.EdgeDist(m.Widest.At)-m.Widest.Radius) > 1e-9 {
			t.Fatalf("%+v is no circle that just fits", m.Widest)
		}
		if mid := m.Felt.From.Lerp(m.Felt.To, 0.5); !g.Contains(mid) {
			t.Fatalf("no felt at %v", mid)
		}
		if m.Felt.Width() > 2*m.Widest.Radius+1e-9 {
			t.Fatalf("felt %g wide at its narrowest, but a circle of %g is the widest in it", m.Felt.Width(), 2*m.Widest.Radius)
		}
		if m.Slot != (Place{}) {
			if mid := m.Slot.From.Lerp(m.Slot.To, 0.5); g.Contains(mid) {
				t.Fatalf("felt in the middle of the slot at %v", mid)
			}
		}
		if c := m.InnerCorner; c != (Corner{}) && (g.EdgeDist(c.At) > 1e-9 || !c.Inner || c.Angle <= 0 || c.Angle >= math.Pi) {
			t.Fatalf("%+v is no inner corner", c)
		}
	})
}

// The pentagram's corners are 36° at the tips and 108° between them (Euclid,
// Elements IV.11: the isosceles triangle with base angles twice the third).
func TestCornersOfKnownFigures(t *testing.T) {
	var star geom.Ring
	inner := 20 * math.Sin(math.Pi/10) / math.Cos(math.Pi/5)
	for i := range 10 {
		r := 20.0
		if i%2 == 1 {
			r = inner
		}
		star = append(star, geom.Vec{X: r}.Rotate(math.Pi*float64(i)/5))
	}
	var round geom.Ring
	for i := range 200 {
		round = append(round, geom.Vec{X: 20}.Rotate(math.Pi*float64(i)/100))
	}
	for _, c := range []struct {
		name    string
		g       geom.Region
		corners int
		degrees float64 // of the sharpest inner one, 0 for none
	}{
		{"pentagram", regionOf(star), 10, 108},
		{"triangle", regionOf(ringOf(0, 0, 40, 0, 0, 30)), 3, 0},
		{"disc", regionOf(round), 0, 0},
		{"L", regionOf(ringOf(0, 0, 30, 0, 30, 12, 12, 12, 12, 30, 0, 30)), 6, 90},
		{"square hole", regionOf(round, box(-5, -5, 10, 10).Reversed()), 4, 90},
		{"triangle hole 3, 4, 5", regionOf(round, ringOf(-4, -3, -4, 3, 4, -3)), 3, math.Atan2(3, 4) * 180 / math.Pi},
	} {
		list := corners(c.g)
		if len(list) != c.corners {
			t.Errorf("%s: %d corners, want %d: %+v", c.name, len(list), c.corners, list)
		}
		if got := sharpestInner(list).Angle * 180 / math.Pi; math.Abs(got-c.degrees) > 1e-6 {
			t.Errorf("%s: sharpest inner corner %.6f°, want %g°", c.name, got, c.degrees)
		}
	}
	for _, p := range corners(regionOf(star)) {
		want := 36.0
		if p.Inner {
			want = 108
		}
		if math.Abs(p.Angle*180/math.Pi-want) > 1e-6 {
			t.Errorf("pentagram: corner of %g°, want %g°", p.Angle*180/math.Pi, want)
		}
	}
}

// A notch of any angle is found at its tip; one that is flatter than 150° is a curve.
func TestNotchAngles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.Float64Range(4, 149).Draw(t, "degrees") * math.Pi / 180
		deep := math.Min(20, 25/math.Tan(angle/2))
		half := deep * math.Tan(angle/2)
		g := regionOf(ringOf(0, 0, 30-half, 0, 30, deep, 30+half, 0, 60, 0, 60, 40, 0, 40))
		c := sharpestInner(corners(g))
		if math.Abs(c.Angle-angle) > 1e-9 || c.At.Dist(geom.Vec{X: 30, Y: deep}) > 1e-9 {
			t.Fatalf("corner of %g° at %v, want %g° at the notch's tip", c.Angle*180/math.Pi, c.At, angle*180/math.Pi)
		}
	})
	if c := sharpestInner(corners(regionOf(ringOf(0, 0, 30, 3, 60, 0, 60, 40, 0, 40)))); c != (Corner{}) {
		t.Errorf("a dent of 169° is a corner of %g°", c.Angle*180/math.Pi)
	}
}

// Areas, edges and least widths of figures that geometry gives exactly.
func TestPieceOfKnownFigures(t *testing.T) {
	frame := measurePiece(regionOf(box(-20, -10, 40, 20), box(-5, -5, 10, 10).Reversed()))
	if frame.Area != 700 || frame.Edge != 160 || frame.Width != 40 || frame.Height != 20 || frame.LeastWidth != 20 || frame.Holes != 1 ||
		math.Abs(frame.SmallestHole.Radius-5) > geom.PoleTol || math.Abs(frame.Felt.Width()-5) > 1e-9 {
		t.Errorf("frame: %+v", frame)
	}
	// A right triangle 80, 60, 100: area 2400, edge 240, least height 48, inradius 20.
	tri := measurePiece(regionOf(ringOf(0, 0, 80, 0, 0, 60)))
	if tri.Area != 2400 || tri.Edge != 240 || math.Abs(tri.LeastWidth-48) > 1e-9 || math.Abs(tri.Widest.Radius-20) > geom.PoleTol || tri.Slot != (Place{}) {
		t.Errorf("triangle: %+v", tri)
	}
}

// The cylinder of 16 CFR 1501.4 is 2.25 in (57.15 mm) deep at its deepest.
func TestSmallParts(t *testing.T) {
	for _, c := range []struct {
		name  string
		g     geom.Region
		size  float64
		small bool
	}{
		{"square just as wide as the cylinder is deep", regionOf(box(0, 0, 57.15, 57.15)), 1, true},
		{"square wider than that", regionOf(box(0, 0, 57.16, 57.16)), 1, false},
		{"the same at 99 %", regionOf(box(0, 0, 57.16, 57.16)), 0.99, true},
		{"long strip: it rolls up", regionOf(box(0, 0, 400, 30)), 1, true},
		{"leaf of 60 mm", regionOf(box(0, 0, 60, 60)), 1, false},
		{"in the cylinder as it lies", regionOf(box(0, 0, 25, 31)), 1, true},
	} {
		if got := measurePiece(c.g).IsSmallPart(c.size); got != c.small {
			t.Errorf("%s: small part %v, want %v", c.name, got, c.small)
		}
	}
	// Whatever lies flat in the cylinder, upright or across, is a small part.
	rapid.Check(t, func(t *rapid.T) {
		g := drawStar(t)
		b := g.Transform(geom.Rotation(rapid.Float64Range(0, 7).Draw(t, "turn"))).Box()
		if fits := b.Width() <= 1.25*25.4 && b.Height() <= 2.25*25.4; fits && !measurePiece(g).IsSmallPart(1) {
			t.Fatalf("%g × %g mm fits and is no small part", b.Width(), b.Height())
		}
	})
}

// Weight and time follow from the units of their allowances.
func TestHandling(t *testing.T) {
	a4 := measurePiece(regionOf(box(0, 0, 210, 297))) // ISO 216: 1/16 m² less rounding
	if got, want := DefaultAllowances().Weight(a4), 0.210*0.297*180; math.Abs(got-want) > 1e-9 {
		t.Errorf("A4 weighs %g g, want %g", got, want)
	}
	frame := measurePiece(regionOf(box(-20, -10, 40, 20), box(-5, -5, 10, 10).Reversed()))
	if got, want := (Allowances{Speed: 4, Corner: 3, Hole: 7}).Seconds(frame), 160.0/4+8*3+7; math.Abs(got-want) > 1e-9 {
		t.Errorf("the frame takes %g s, want %g", got, want)
	}
}
