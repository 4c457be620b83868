package skirt

import (
	"math"

	"strew/motif/geom"
)

// Margins are the clearances to the edges of the cloth, in millimetres, measured
// from true outlines.
type Margins struct{ Waist, Hem, Seam float64 }

// Disc is a circle in an upright frame or in a plane, in millimetres.
type Disc struct {
	At     geom.Vec
	Radius float64
}

// Band returns the highest and the lowest place, as Down, at which an outline
// turned in the upright frame, no farther from its anchor than reach, keeps
// clear of waist and hem. On an outline, where Down does not decide that, both
// are infinite.
func (m Margins) Band(s Surface, rings []geom.Ring, reach float64) (low, high float64) {
	return s.shape.band(rings, reach, m)
}

// Ends returns how far rings about an anchor at down, turned in the upright frame,
// are from the waist and from the hem, below 0 where they reach over it. On an
// outline, whose edges are among Margins.Edges, both are infinite.
func Ends(s Surface, rings []geom.Ring, down float64) (waist, hem float64) {
	return s.shape.ends(rings, down)
}

// straightEnds is Ends where waist and hem are level.
func straightEnds(rings []geom.Ring, down, drop float64) (waist, hem float64) {
	waist, hem = math.Inf(1), math.Inf(1)
	for _, r := range rings {
		b := r.Box()
		waist, hem = math.Min(waist, down+b.Min.Y), math.Min(hem, drop-down-b.Max.Y)
	}
	return waist, hem
}

// straightBand is Band where waist and hem are level.
func straightBand(rings []geom.Ring, drop float64, m Margins) (low, high float64) {
	low, high = math.Inf(-1), math.Inf(1)
	for _, r := range rings {
		b := r.Box()
		low = math.Max(low, m.Waist-b.Min.Y)
		high = math.Min(high, drop-m.Hem-b.Max.Y)
	}
	return low, high
}

// Inset returns how far from a seam, as a share of the whole way round, an
// anchor at down must lie so that discs about it, in the upright frame, keep
// clear of the seam to its left; 0 where seams need no clearance. s.Banded()
// must hold.
func (m Margins) Inset(s Surface, down float64, discs []Disc) float64 {
	if m.Seam <= 0 {
		return 0
	}
	return s.shape.inset(down, discs, m.Seam)
}

// OffSeams reports whether rings in a panel's frame keep clear of its two sides,
// but for slack. It is true on an outline, whose seams are among its Edges.
func (m Margins) OffSeams(s Surface, rings []geom.Ring, slack float64) bool {
	if m.Seam <= 0 {
		return true
	}
	for _, r := range rings {
		for _, p := range r {
			if s.shape.seamDist(p) < m.Seam-slack {
				return false
			}
		}
	}
	return true
}

// Margin is a line with cloth kept free along it, in millimetres.
type Margin struct {
	Line  []geom.Vec // in the panel's frame
	Clear float64    // the least distance of an outline
}

// Edges returns the edges of a panel, in its frame, whose clearance Band and
// Inset do not keep: none where rows run parallel to waist and hem.
func (m Margins) Edges(s Surface, panel int) []Margin {
	if s.Banded() {
		return nil
	}
	clear := map[EdgeKind]float64{WaistEdge: m.Waist, HemEdge: m.Hem, SeamEdge: m.Seam, OpenEdge: m.Hem}
	var out []Margin
	for _, e := range s.Edges(panel) {
		if e.Kind == SeamEdge && m.Seam == 0 && s.Closed() {
			continue // cutouts may lie over it
		}
		out = append(out, Margin{e.Line, clear[e.Kind]})
	}
	return out
}

// Room returns an upper bound, in mm², for the cloth that outlines which keep the
// margins and do not overlap cover together, each grown by r.
func (m Margins) Room(s Surface, r float64) float64 {
	if !s.Banded() {
		// Grown by r, a panel of area A and edge P covers at most A + P·r + π·r².
		area, edge := s.Cloth()
		return area + edge*r + float64(s.Panels)*math.Pi*r*r
	}
	top := math.Max(m.Waist-r, -s.Inner)
	bottom := s.Drop - m.Hem + r
	return (s.Girth(top) + s.Girth(bottom)) / 2 * (bottom - top)
}

// Bends returns where rows bend, as shares of the way round.
func Bends(s Surface) []float64 { return s.shape.bends() }

// PatchLine returns the edge of the patch of a panel between two distances down
// and two distances around, in the panel's frame and as far as it lies between
// the panel's sides, in straight steps of at most step along each row and
// across.
func PatchLine(s Surface, panel int, down, around [2]float64, step float64) []geom.Vec {
	width := func(down float64) float64 {
		if !s.Closed() {
			return math.Inf(1)
		}
		return s.PanelGirth(down)
	}
	top, bottom := math.Max(down[0], 0), math.Min(down[1], s.Drop)
	at := func(down, around float64) geom.Vec {
		return s.PointAt(panel, down, math.Min(math.Max(around, 0), width(down))).At
	}
	across := max(1, int(math.Ceil(math.Min(around[1]-around[0], width(bottom))/step)))
	along := max(1, int(math.Ceil((bottom-top)/step)))
	var line []geom.Vec
	for i := range across {
		line = append(line, at(top, around[0]+(around[1]-around[0])*float64(i)/float64(across)))
	}
	for i := range along {
		line = append(line, at(top+(bottom-top)*float64(i)/float64(along), around[1]))
	}
	for i := range across {
		line = append(line, at(bottom, around[1]+(around[0]-around[1])*float64(i)/float64(across)))
	}
	for i := range along {
		line = append(line, at(bottom+(top-bottom)*float64(i)/float64(along), around[0]))
	}
	return line
}

// A panel that bends far round on the flat comes near its own other end there,
// though no seam joins the two.

// EndsMeet reports whether marks at the two ends of one panel, at down or lower,
// can come within reach of each other on the flat panel and not on the sewn
// cloth.
func EndsMeet(s Surface, down, reach float64) bool {
	if s.Angle <= math.Pi || s.Panels < 2 {
		return false
	}
	return 2*(s.Inner+down)*math.Sin(math.Pi-s.Angle/2) < reach
}

// NearEnd reports whether a mark comes, on the flat panel, within reach of
// marks at the panel's other end. EndsMeet must hold.
func NearEnd(s Surface, p Point, reach float64) bool {
	r := p.At.Len()
	// The angle left open on the flat, and what reach spans beside it.
	open := 2*math.Pi - s.Angle
	span := math.Pi
	if reach < r {
		span = math.Asin(reach / r)
	}
	side := s.Angle/2 - math.Abs(math.Atan2(p.At.X, p.At.Y))
	return side+open/2 <= span
}
