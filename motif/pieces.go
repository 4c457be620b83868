package motif

import (
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
)

const (
	// maxOverlapWork limits the edges examined to find which shapes of different
	// colours overlap; beyond it their bounding boxes decide.
	maxOverlapWork = 4_000_000

	// maxLayers limits the changes of colour in a pile; nobody sews a tenth of that.
	maxLayers = 2000
)

// layer holds shapes of one colour with no other colour between them: what
// touches in it is one piece.
type layer struct {
	colour string
	parts  [][]face // of each shape
	boxes  []geom.Box
}

// cutting is what a drawing's fills give at one scale.
type cutting struct {
	pieces   []Piece
	slivers  int // pieces too small to cut, left out
	pinholes int // holes too small to cut, filled in
}

// notes says what is too small to cut.
func (c cutting) notes() []say.Message {
	var out []say.Message
	if c.slivers > 0 {
		out = append(out, say.Many(c.slivers,
			"%d piece smaller than %v mm² or narrower than %s is left out: too small to cut",
			"%d pieces smaller than %v mm² or narrower than %s are left out: too small to cut", geom.SliverArea, say.Fine(geom.SliverWidth)))
	}
	if c.pinholes > 0 {
		out = append(out, say.Many(c.pinholes,
			"%d hole smaller than %v mm² or narrower than %s is filled in: too small to cut",
			"%d holes smaller than %v mm² or narrower than %s are filled in: too small to cut", geom.SliverArea, say.Fine(geom.SliverWidth)))
	}
	return out
}

// cut cuts the drawing's fills at the given scale. box is that of the shapes
// before scaling.
func (d *drawing) cut(scale float64, box geom.Box) (cutting, error) {
	if !(scale*math.Max(box.Width(), box.Height()) <= maxExtent) {
		return cutting{}, say.Errorf("the outline is larger than %s, the most that can be cut: look for a broken coordinate, or ask for a width", geom.Length(maxExtent))
	}
	toGrid := geom.Translation(box.Centre().Mul(-1)).Then(geom.Scaling(scale, scale))
	out, err := d.cutOnGrid(toGrid)
	if err == nil && len(out.pieces) == 0 {
		return cutting{}, say.Errorf("nothing in the drawing is large enough to cut (it is %s wide): ask for a width, or set the page size", say.Fine(scale*box.Width()))
	}
	return out, err
}

func (d *drawing) cutOnGrid(toGrid geom.Affine) (cutting, error) {
	points := 0
	var layers []*layer
	work := 0
	for _, s := range d.fills {
		faces, err := s.faces(toGrid, &points)
		if err != nil {
			return cutting{}, err
		}
		if len(faces) > 0 {
			layers = lay(layers, s.colour, faces, &work)
		}
		if len(layers) > maxLayers {
			return cutting{}, say.Errorf("the drawing stacks more than %d layers of alternating colours: use fewer colours", maxLayers)
		}
	}
	var out cutting
	for _, l := range layers {
		faces, err := l.merge()
		if err != nil {
			return cutting{}, onPage(err, toGrid)
		}
		for _, f := range faces {
			r, dropped := f.region()
			if sliver(r) {
				out.slivers++
				continue
			}
			out.pinholes += dropped
			out.pieces = append(out.pieces, Piece{Colour: l.colour, Region: r})
		}
	}
	return out, nil
}

// sliver reports whether a region is too small or too narrow to cut.
func sliver(r geom.Region) bool {
	area, edge := r.Area(), r.EdgeLength()
	// A strip of width w and length l has an area of w·l and an edge of 2(w+l).
	return area < geom.SliverArea || 2*area < geom.SliverWidth*edge
}

// faces returns the sound faces of s, clipped by its clip paths.
func (s shape) faces(toGrid geom.Affine, points *int) ([]face, error) {
	loops, err := onGrid(s.path, toGrid, points, s.isClip)
	if err != nil {
		return nil, say.Errorf("%s: %s", s.from, err)
	}
	rule := nonZero
	if s.evenOdd {
		rule = evenOdd
	}
	faces, err := resolve([2][]loop{loops}, rule)
	if err != nil {
		return nil, say.Errorf("%s: %s", s.from, onPage(err, toGrid))
	}
	for _, clip := range s.clips {
		if len(faces) == 0 {
			break
		}
		var area []loop
		for _, c := range clip {
			part, err := c.faces(toGrid, points)
			if err != nil {
				return nil, say.Errorf("%s: its clip path: %s", s.from, err)
			}
			area = append(area, loopsOf(part)...)
		}
		if faces, err = resolve([2][]loop{loopsOf(faces), area}, intersect); err != nil {
			return nil, say.Errorf("%s: %s", s.from, onPage(err, toGrid))
		}
	}
	return faces, nil
}

// onPage returns err with a fault's place, found on the grid, moved to the page.
func onPage(err error, toGrid geom.Affine) error {
	if inv, ok := toGrid.Inverse(); ok {
		return moved(err, inv)
	}
	return err
}

// onGrid flattens a path and rounds it to the grid. Points too far away for the
// grid are an error; with clamp set they are moved to its rim.
func onGrid(path []subpath, toGrid geom.Affine, points *int, clamp bool) ([]loop, error) {
	// Rounding moves a point by up to 0.7 grid steps.
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
			if clamp {
				p.X = math.Max(-maxExtent, math.Min(maxExtent, p.X))
				p.Y = math.Max(-maxExtent, math.Min(maxExtent, p.Y))
			}
			if math.Abs(p.X) > maxExtent || math.Abs(p.Y) > maxExtent || !p.IsFinite() {
				return nil, say.Errorf("a point lies more than %s away, the most that can be cut: look for a broken coordinate", geom.Length(maxExtent))
			}
			l[i] = spot{int64(math.Round(p.X * perMM)), int64(math.Round(p.Y * perMM))}
		}
		loops = append(loops, l)
	}
	return loops, nil
}

func manyPoints() error {
	return say.Errorf("the outlines have more than %d points: simplify the drawing", maxPoints)
}

func loopsOf(faces []face) []loop {
	var out []loop
	for _, f := range faces {
		out = append(out, f.loops()...)
	}
	return out
}

// lay adds a shape to the pile: to the lowest layer of its colour that it can
// sink to without passing through a shape of another colour, else on top. work
// counts the edges examined.
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

// overlaps reports whether the faces overlap a shape of l by more than a sliver.
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
		// Neighbours drawn edge to edge overlap by slivers, which do not count.
		for _, f := range common {
			if r, _ := f.region(); !sliver(r) {
				return true
			}
		}
	}
	return false
}

// merge returns the faces of the union of all shapes in the layer.
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

// region returns the face in millimetres, without holes too small to cut, and how
// many of those it has.
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
