package motif

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"strew/motif/geom"
)

const (
	// maxOverlapWork bounds the edges looked at to find which shapes of several
	// colours overlap; beyond it their boxes decide.
	maxOverlapWork = 4_000_000

	// maxLayers bounds the changes of colour in a pile; nobody sews a tenth of that.
	maxLayers = 2000
)

// layer holds shapes of one colour with nothing of another colour between
// them: what touches in it is one piece.
type layer struct {
	colour string
	parts  [][]face // of each shape
	boxes  []geom.Box
}

// pieces cuts the drawing's fills at the given scale. box is that of the
// shapes before scaling.
func (d *drawing) pieces(scale float64, box geom.Box) ([]Piece, error) {
	if far := scale * math.Max(box.Width(), box.Height()); !(far <= maxExtent) {
		return nil, fmt.Errorf("the outline is %.3g mm across, at most %d mm can be cut: look for a broken coordinate, or ask for a width", far, maxExtent)
	}
	toGrid := geom.Translation(box.Centre().Mul(-1)).Then(geom.Scaling(scale, scale))
	out, err := d.piecesOnGrid(toGrid)
	if err == nil && len(out) == 0 {
		return nil, fmt.Errorf("nothing of the drawing is large enough to cut (%.2g mm wide as it stands): ask for a width, or set the page size", scale*box.Width())
	}
	return out, err
}

func (d *drawing) piecesOnGrid(toGrid geom.Affine) ([]Piece, error) {
	points := 0
	var layers []*layer
	work := 0
	for _, s := range d.fills {
		faces, err := s.faces(toGrid, &points)
		if err != nil {
			return nil, err
		}
		if len(faces) > 0 {
			layers = lay(layers, s.colour, faces, &work)
		}
		if len(layers) > maxLayers {
			return nil, fmt.Errorf("the drawing lays felt of changing colours %d times and more over one another: use fewer colours", maxLayers)
		}
	}
	var out []Piece
	small, smallHoles := 0, 0
	for _, l := range layers {
		faces, err := l.merge()
		if err != nil {
			return nil, onPage(err, toGrid)
		}
		for _, f := range faces {
			r, dropped := f.region()
			if sliver(r) {
				small++
				continue
			}
			smallHoles += dropped
			out = append(out, Piece{Colour: l.colour, Region: r})
		}
	}
	if small > 0 {
		d.notes.add("left out: %s smaller than %v mm² or narrower than %g mm, too small to cut", count(small, "piece", "pieces"), geom.SliverArea, geom.SliverWidth)
	}
	if smallHoles > 0 {
		d.notes.add("filled in: %s smaller than %v mm² or narrower than %g mm, too small to cut", count(smallHoles, "hole", "holes"), geom.SliverArea, geom.SliverWidth)
	}
	return out, nil
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func sliver(r geom.Region) bool {
	area, edge := r.Area(), r.EdgeLength()
	// A strip of width w and length l has an area of w·l and an edge of 2(w+l).
	return area < geom.SliverArea || 2*area < geom.SliverWidth*edge
}

// faces returns the sound faces of s, its clips applied.
func (s shape) faces(toGrid geom.Affine, points *int) ([]face, error) {
	loops, err := snap(s.path, toGrid, points, s.isClip)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", s.from, err)
	}
	rule := nonZero
	if s.evenOdd {
		rule = evenOdd
	}
	faces, err := resolve([2][]loop{loops}, rule)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", s.from, onPage(err, toGrid))
	}
	for _, clip := range s.clips {
		if len(faces) == 0 {
			break
		}
		var area []loop
		for _, c := range clip {
			part, err := c.faces(toGrid, points)
			if err != nil {
				return nil, fmt.Errorf("%s: its clip path: %w", s.from, err)
			}
			area = append(area, loopsOf(part)...)
		}
		if faces, err = resolve([2][]loop{loopsOf(faces), area}, intersect); err != nil {
			return nil, fmt.Errorf("%s: %w", s.from, onPage(err, toGrid))
		}
	}
	return faces, nil
}

// onPage tells a fault's place, found on the grid, in millimetres of the page.
func onPage(err error, toGrid geom.Affine) error {
	var f *Fault
	if inv, ok := toGrid.Inverse(); ok && errors.As(err, &f) {
		f.At = inv.Apply(f.At)
	}
	return err
}

// snap steps along the curves of a path, in grid points. Points too far away
// for the grid are an error, or with nearer true are taken at its rim.
func snap(path []subpath, toGrid geom.Affine, points *int, nearer bool) ([]loop, error) {
	// Snapping moves a point by up to 0.7 grid steps.
	const tol = geom.FlattenTol - 1.0/perMM
	var loops []loop
	var ring geom.Ring
	for _, s := range path {
		var ok bool
		if ring, ok = s.transform(toGrid).flatten(tol, ring[:0]); ok {
			*points += len(ring)
		}
		if !ok || *points > maxPoints {
			return nil, manyPoints()
		}
		l := make(loop, len(ring))
		for i, p := range ring {
			if nearer {
				p.X = math.Max(-maxExtent, math.Min(maxExtent, p.X))
				p.Y = math.Max(-maxExtent, math.Min(maxExtent, p.Y))
			}
			if math.Abs(p.X) > maxExtent || math.Abs(p.Y) > maxExtent || !p.IsFinite() {
				return nil, fmt.Errorf("a point lies %.3g mm away, at most %d mm can be cut: look for a broken coordinate", math.Max(math.Abs(p.X), math.Abs(p.Y)), maxExtent)
			}
			l[i] = spot{int64(math.Round(p.X * perMM)), int64(math.Round(p.Y * perMM))}
		}
		loops = append(loops, l)
	}
	return loops, nil
}

func manyPoints() error {
	return fmt.Errorf("the outlines have more than %d points: simplify the drawing", maxPoints)
}

func loopsOf(faces []face) []loop {
	var out []loop
	for _, f := range faces {
		out = append(out, f.loops()...)
	}
	return out
}

// lay puts a shape on the pile: into the lowest layer of its colour that it
// can sink to without passing through a shape of another colour, else on top.
func lay(layers []*layer, colour string, faces []face, work *int) []*layer {
	box := geom.EmptyBox()
	for _, f := range faces {
		box = box.Union(f.box())
	}
	lowest := slices.IndexFunc(layers, func(l *layer) bool { return l.colour == colour })
	var into *layer
	for i := len(layers) - 1; lowest >= 0 && i >= lowest; i-- {
		if l := layers[i]; l.colour == colour {
			into = l
		} else if l.overlaps(faces, box, work) {
			break
		}
	}
	if into == nil {
		into = &layer{colour: colour}
		layers = append(layers, into)
	}
	into.parts = append(into.parts, faces)
	into.boxes = append(into.boxes, box)
	return layers
}

func (l *layer) overlaps(faces []face, box geom.Box, work *int) bool {
	loops := loopsOf(faces)
	for i, b := range l.boxes {
		if b.Gap(box) > 0 {
			continue
		}
		other := loopsOf(l.parts[i])
		for _, list := range [][]loop{loops, other} {
			for _, r := range list {
				*work += len(r)
			}
		}
		if *work > maxOverlapWork {
			return true
		}
		common, err := resolve([2][]loop{loops, other}, intersect)
		if err != nil {
			return true
		}
		// Neighbours drawn edge to edge overlap by slivers; those do not count.
		for _, f := range common {
			if r, _ := f.region(); !sliver(r) {
				return true
			}
		}
	}
	return false
}

// merge returns the faces of all shapes in the layer together.
func (l *layer) merge() ([]face, error) {
	if len(l.parts) == 1 {
		return l.parts[0], nil
	}
	var all []loop
	for _, p := range l.parts {
		all = append(all, loopsOf(p)...)
	}
	return resolve([2][]loop{all}, union)
}

func (f face) box() geom.Box { return f.outer.ring().Box() }

func (l loop) ring() geom.Ring {
	out := make(geom.Ring, len(l))
	for i, p := range l {
		out[i] = geom.Vec{X: float64(p.x) / perMM, Y: float64(p.y) / perMM}
	}
	return out
}

// region returns the face in millimetres without the holes too small to cut,
// and how many those were.
func (f face) region() (r geom.Region, dropped int) {
	r.Outer = f.outer.ring()
	for _, h := range f.holes {
		ring := h.ring()
		if sliver(geom.Region{Outer: ring}) {
			dropped++
			continue
		}
		r.Holes = append(r.Holes, ring)
	}
	return r, dropped
}
