package skirt

import (
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
)

// Gores are n equal flared panels. With curved edges they are the sectors of one
// ring (circle.go), the longer for it the less they flare: top and hem differ by
// angle · drop. With straight edges each panel is a trapezoid, and its flare
// is drawn as the drop along the panel's middle (drafting by the measures of
// top, hem and length; geometry identities).

// NewGores returns the surface of n gores whose edges together are top long at
// the waist seam and hem long at the hem, drop below; straight edges are drawn
// straight across each panel, else they are arcs square to the panel's sides.
// It returns ErrNoFlare where the hem is no longer than the top, and
// ErrTooFlared where arcs would make a panel wider than a full turn.
func NewGores(top, hem, drop float64, n int, straight bool) (Surface, error) {
	if hem <= top {
		return Surface{}, ErrNoFlare
	}
	if straight {
		half := (hem - top) / float64(2*n) / drop
		return flared(n, drop, top/float64(2*n)/half, 2*math.Atan(half)), nil
	}
	angle := (hem - top) / float64(n) / drop
	if angle >= 2*math.Pi {
		return Surface{}, ErrTooFlared
	}
	return ring(Gores, n, drop, top/float64(n)/angle, angle), nil
}

// What NewGores refuses.
var (
	ErrNoFlare   = say.Errorf("the hem of gores must be longer than their top edge")
	ErrTooFlared = say.Errorf("each gore would be wider than a full turn")
)

// flared returns the surface of straight-edged gores.
func flared(panels int, drop, inner, angle float64) Surface {
	s := &trapezoids{cone{rows: rows{panels, drop}, angle: angle, inner: inner}}
	s.polar = s
	return Surface{Cut: Gores, Panels: panels, Drop: drop, Inner: inner, Angle: angle, Straight: true, shape: s}
}

// trapezoids are straight-edged gores. Their rows are straight across each panel
// and bend at the seams.
type trapezoids struct{ cone }

// side returns how far from its panel's middle a row ends that lies y below the
// apex.
func (t *trapezoids) side(y float64) float64 { return y * math.Tan(t.angle/2) }

func (t *trapezoids) banded() bool { return false }

func (t *trapezoids) down(at geom.Vec) float64 { return at.Y - t.inner }
func (t *trapezoids) panelGirth(down float64) float64 {
	return 2 * (t.inner + down) * math.Tan(t.angle/2)
}
func (t *trapezoids) around(p Point) float64   { return p.At.X + t.side(p.At.Y) }
func (t *trapezoids) upright(geom.Vec) float64 { return 0 }
func (t *trapezoids) inside(p Point) bool      { return t.cone.inside(p, t.down(p.At)) }

func (t *trapezoids) pointAt(_ int, down, around float64) geom.Vec {
	y := t.inner + down
	return geom.Vec{X: around - t.side(y), Y: y}
}

func (t *trapezoids) across(down float64) []geom.Vec {
	y := t.inner + down
	return []geom.Vec{{X: -t.side(y), Y: y}, {X: t.side(y), Y: y}}
}

func (t *trapezoids) edges(int) []Edge { return edgesOf(t.across(0), t.across(t.drop)) }

func (t *trapezoids) outline(int) geom.Region { return outlineOf(t.across(0), t.across(t.drop)) }

func (t *trapezoids) point(p Place) Point {
	panel, part := t.split(p.Round)
	y := t.inner + p.Down
	return Point{panel, geom.Vec{X: 2 * part * y * math.Tan(t.angle/2), Y: y}}
}

func (t *trapezoids) placeOf(p Point) Place {
	return Place{t.rows.place(p, p.At.X/(2*p.At.Y*math.Tan(t.angle/2))), t.down(p.At)}
}

// fold: rows bend at the seams, so a copy holds whole panels.
func (t *trapezoids) fold(_ Surface, n int) (Surface, bool) {
	if t.panels%n != 0 {
		return Surface{}, false
	}
	return flared(t.panels/n, t.drop, t.inner, t.angle), true
}

// of implements polar.
func (t *trapezoids) of(p Place) (theta, rho, upright float64) {
	k, part := t.split(p.Round)
	y := t.inner + p.Down
	x := 2 * part * y * math.Tan(t.angle/2)
	upright = (float64(k) + 0.5) * t.angle
	return upright + math.Atan2(x, y), math.Hypot(x, y), upright
}

// place implements polar.
func (t *trapezoids) place(theta, rho float64) Place {
	k, part := t.split(wrap(theta / t.total()))
	a := part * t.angle
	return Place{
		wrap((float64(k) + 0.5 + math.Tan(a)/(2*math.Tan(t.angle/2))) / float64(t.panels)),
		rho*math.Cos(a) - t.inner,
	}
}

// share implements polar: a row's share grows fastest, per angle, at the
// panel's sides.
func (t *trapezoids) share(angle float64) float64 {
	return angle / math.Sin(t.angle) / float64(t.panels)
}

func (t *trapezoids) bends() []float64 {
	out := make([]float64, t.panels)
	for k := range out {
		out[k] = float64(k) / float64(t.panels)
	}
	return out
}

func (t *trapezoids) band(rings []geom.Ring, _ float64, m Margins) (low, high float64) {
	return straightBand(rings, t.drop, m)
}

func (t *trapezoids) ends(rings []geom.Ring, down float64) (waist, hem float64) {
	return straightEnds(rings, down, t.drop)
}

func (t *trapezoids) pieces(split int, allowance float64) (boxes []geom.Vec, cuttingLength float64, ok bool) {
	box := geom.Vec{X: 2*t.side(t.outer()) + 2*allowance/math.Cos(t.angle/2), Y: t.drop + allowance}
	if split > 1 {
		// The hem's corners lie farther out than its middle.
		box.X, box.Y = t.box(split, t.outer()/math.Cos(t.angle/2), allowance)
		box.Y += allowance
	}
	return slices.Repeat([]geom.Vec{box}, split*t.panels), t.drop + allowance, true
}
