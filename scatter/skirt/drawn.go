package skirt

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"strew/motif/geom"
)

// An outline cut is drawn true to size: panels as closed shapes, and lines that
// run along their edges and name parts of them. A named part is a seam where it
// is joined to another one, or the waist edge; all other edges are open. Two
// seams are joined start to start, as they are drawn: the rigid motion that
// lays the second along the first in the least-squares sense (P. H. Schönemann,
// "A generalized solution of the orthogonal Procrustes problem", Psychometrika
// 31, 1966; in the plane one angle) carries the second panel beside the first.
// Where a curved seam is eased into another curve the cloth does not lie flat
// over it, and distances over it are as true as that fit.

// Drawn holds the panels of an outline, their edges and their joins.
type Drawn struct {
	panels []geom.Region
	rings  []geom.Edges // of each panel
	edges  [][]Edge
	joins  []join // each seam twice running, once from either side
}

// join is a seam as seen from one of its panels.
type join struct {
	from, to    int
	line        []geom.Vec // the seam on from
	box         geom.Box
	there, back geom.Affine // from's plane to to's, and back
	turn        float64     // of back
}

// Drawing is what a maker drew: panels in their order, and named lines.
type Drawing struct {
	Panels []geom.Region
	Lines  []Line
}

// Line is a named line along a panel's edge; a closed one is a whole edge.
type Line struct {
	Name   string
	Points []geom.Vec
	Closed bool
}

// SeamEase is how much longer one side of a seam may be than the other, as a
// share of it, or in millimetres where that is more: so much is eased in when
// it is sewn; common practice, no source.
const (
	SeamEase   = 0.02
	SeamEaseMM = 2.0
)

// NewOutline returns the surface of drawn panels. seams pairs the names of
// lines that are sewn together, start to start; waist names the lines along the
// edges that take the waist clearance.
func NewOutline(d Drawing, seams [][2]string, waist []string) (Surface, error) {
	s := Surface{Cut: Outline, Panels: len(d.Panels), Drawn: &Drawn{panels: d.Panels}}
	for _, g := range d.Panels {
		box := g.Box()
		s.Width, s.Drop = math.Max(s.Width, box.Max.X), math.Max(s.Drop, box.Max.Y)
		s.Drawn.rings = append(s.Drawn.rings, geom.EdgesOf(g.Rings()...))
	}
	var parts []part
	find := func(key, name string) (part, error) {
		i := slices.IndexFunc(d.Lines, func(l Line) bool { return l.Name == name })
		if i < 0 {
			return part{}, fmt.Errorf("%s names a line %q, which the drawing does not hold; %s", key, name, d.names())
		}
		p, err := s.Drawn.along(d.Lines[i])
		if err != nil {
			return part{}, fmt.Errorf("%s: %w", key, err)
		}
		for _, other := range parts {
			if p.panel == other.panel && p.ring == other.ring && p.overlaps(other, d.Panels[p.panel].Rings()[p.ring].Length()) {
				return part{}, fmt.Errorf("%s: the lines %q and %q share a stretch of edge; let one end where the other starts", key, other.name, name)
			}
		}
		return p, nil
	}
	for _, name := range waist {
		p, err := find("waist_edge", name)
		if err != nil {
			return Surface{}, err
		}
		p.kind = WaistEdge
		parts = append(parts, p)
	}
	for _, pair := range seams {
		var side [2]part
		for i, name := range pair {
			p, err := find("seams", name)
			if err != nil {
				return Surface{}, err
			}
			if p.closed {
				return Surface{}, fmt.Errorf("seams: the line %q goes all the way round an edge; a seam has a start and an end", name)
			}
			p.kind = SeamEdge
			side[i], parts = p, append(parts, p)
		}
		if err := s.Drawn.join(side[0], side[1]); err != nil {
			return Surface{}, err
		}
	}
	s.Drawn.split(parts)
	return s, nil
}

func (d Drawing) names() string {
	if len(d.Lines) == 0 {
		return "it holds no named line: give the line along the edge an id"
	}
	list := make([]string, len(d.Lines))
	for i, l := range d.Lines {
		list[i] = fmt.Sprintf("%q", l.Name)
	}
	return "its named lines are " + strings.Join(list, ", ")
}

// part is a stretch of a panel's edge that a line names.
type part struct {
	kind        EdgeKind
	name        string
	panel, ring int
	from, to    float64    // along the ring as it runs; to may lie beyond its end
	line        []geom.Vec // the edge itself, from the line's start to its end
	against     bool       // the line runs against the ring
	closed      bool
}

// overlaps reports whether two parts of one ring, of the given length, share
// more than a touch.
func (p part) overlaps(q part, length float64) bool {
	if p.closed || q.closed {
		return true
	}
	for _, shift := range [3]float64{-length, 0, length} {
		if math.Min(p.to, q.to+shift)-math.Max(p.from, q.from+shift) > geom.DrawnAlong {
			return true
		}
	}
	return false
}

// along finds the stretch of edge that a line runs along.
func (d *Drawn) along(l Line) (part, error) {
	best, off, second := part{}, math.Inf(1), math.Inf(1)
	for k, g := range d.panels {
		for r, ring := range g.Rings() {
			far := 0.0
			for _, p := range l.Points {
				far = math.Max(far, ring.EdgeDist(p))
			}
			if far < off {
				best, off, second = part{name: l.Name, panel: k, ring: r, closed: l.Closed}, far, off
			} else {
				second = math.Min(second, far)
			}
		}
	}
	switch {
	case off > geom.DrawnAlong:
		return part{}, fmt.Errorf("the line %q strays %.1f mm from the edge of the nearest panel; draw it along the edge, within %g mm", l.Name, off, geom.DrawnAlong)
	case second <= geom.DrawnAlong:
		return part{}, fmt.Errorf("the line %q runs along two edges at once; move the panels apart", l.Name)
	}
	ring := d.panels[best.panel].Rings()[best.ring]
	if best.closed {
		best.to = ring.Length()
		best.line = append(slices.Clone([]geom.Vec(ring)), ring[0])
		return best, nil
	}
	total, length := ring.Length(), 0.0
	for i := 1; i < len(l.Points); i++ {
		length += l.Points[i].Dist(l.Points[i-1])
	}
	a, b := offset(ring, l.Points[0]), offset(ring, l.Points[len(l.Points)-1])
	ahead := math.Mod(b-a+total, total)
	if math.Abs(total-ahead-length) < math.Abs(ahead-length) {
		best.against = true
		a, b, ahead = b, a, total-ahead
	}
	if math.Abs(ahead-length) > math.Max(4*geom.DrawnAlong, SeamEase*length) || ahead <= geom.DrawnAlong {
		return part{}, fmt.Errorf("the line %q is %.1f mm long and the edge beside it %.1f mm; draw it once along the edge, from one end of the seam to the other", l.Name, length, ahead)
	}
	best.from, best.to = a, a+ahead
	best.line = stretchOf(ring, best.from, best.to)
	if best.against {
		slices.Reverse(best.line)
	}
	return best, nil
}

// offset returns how far along the ring the point of it nearest to p lies.
func offset(ring geom.Ring, p geom.Vec) float64 {
	at, best, out := 0.0, math.Inf(1), 0.0
	for i, a := range ring {
		b := ring.At(i + 1)
		c := geom.ClosestOnSegment(p, a, b)
		if d := p.Dist(c); d < best {
			best, out = d, at+a.Dist(c)
		}
		at += a.Dist(b)
	}
	return out
}

// stretchOf returns the line along the ring from one offset to another, which
// may lie beyond the ring's end.
func stretchOf(ring geom.Ring, from, to float64) []geom.Vec {
	var line []geom.Vec
	at := 0.0
	for i := 0; at < to && i < 2*len(ring); i++ {
		a, b := ring.At(i), ring.At(i+1)
		step := a.Dist(b)
		if step > 0 && at+step > from {
			if len(line) == 0 {
				line = append(line, a.Lerp(b, math.Max(0, (from-at)/step)))
			}
			line = append(line, a.Lerp(b, math.Min(1, (to-at)/step)))
		}
		at += step
	}
	return line
}

// join sews the second part to the first.
func (d *Drawn) join(a, b part) error {
	la, lb := lineLength(a.line), lineLength(b.line)
	if math.Abs(la-lb) > math.Max(SeamEaseMM, SeamEase*math.Max(la, lb)) {
		return fmt.Errorf("seams: %q is %.1f mm long and %q %.1f mm; sides of a seam may differ by %g mm, or %g%%, which is eased in", a.name, la, b.name, lb, SeamEaseMM, SeamEase*100)
	}
	// Rings run with the cloth on one hand, so joined lines run one with its
	// ring and the other against.
	if a.against == b.against {
		return fmt.Errorf("seams: sewn start to start, %q and %q would lay their panels on one another; draw one of the two lines from its other end", a.name, b.name)
	}
	back := fit(b.line, a.line)
	there, _ := back.Inverse()
	turn := math.Atan2(back.B, back.A)
	d.joins = append(d.joins,
		join{a.panel, b.panel, a.line, geom.BoxOf(a.line...), there, back, turn},
		join{b.panel, a.panel, b.line, geom.BoxOf(b.line...), back, there, -turn})
	return nil
}

func lineLength(line []geom.Vec) float64 {
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += line[i].Dist(line[i-1])
	}
	return sum
}

// fit returns the rigid motion that lays one line along another, matched by
// shares of their lengths.
func fit(from, to []geom.Vec) geom.Affine {
	const samples = 64
	p, q := even(from, samples), even(to, samples)
	var cp, cq geom.Vec
	for i := range p {
		cp, cq = cp.Add(p[i].Mul(1/float64(len(p)))), cq.Add(q[i].Mul(1/float64(len(q))))
	}
	sin, cos := 0.0, 0.0
	for i := range p {
		u, v := p[i].Sub(cp), q[i].Sub(cq)
		sin += u.Cross(v)
		cos += u.Dot(v)
	}
	return geom.Translation(cp.Mul(-1)).Then(geom.Rotation(math.Atan2(sin, cos))).Then(geom.Translation(cq))
}

// even returns n+1 points at equal steps along a line.
func even(line []geom.Vec, n int) []geom.Vec {
	out := make([]geom.Vec, 0, n+1)
	step, at, k := lineLength(line)/float64(n), 0.0, 1
	for i := range n {
		want := float64(i) * step
		for k < len(line)-1 && at+line[k].Dist(line[k-1]) < want {
			at += line[k].Dist(line[k-1])
			k++
		}
		l := line[k].Dist(line[k-1])
		if l == 0 {
			l = 1
		}
		out = append(out, line[k-1].Lerp(line[k], math.Min(1, (want-at)/l)))
	}
	return append(out, line[len(line)-1])
}

// split cuts every edge at the parts that are named.
func (d *Drawn) split(parts []part) {
	d.edges = make([][]Edge, len(d.panels))
	for k, g := range d.panels {
		for r, ring := range g.Rings() {
			var on []part
			for _, p := range parts {
				if p.panel == k && p.ring == r {
					on = append(on, p)
				}
			}
			slices.SortFunc(on, func(a, b part) int {
				if a.from < b.from {
					return -1
				}
				return 1
			})
			for _, p := range on {
				d.edges[k] = append(d.edges[k], Edge{p.kind, p.line})
			}
			length := ring.Length()
			for i, p := range on {
				next := on[(i+1)%len(on)].from
				if i == len(on)-1 {
					next += length
				}
				if next-p.to > geom.SamePoint {
					d.edges[k] = append(d.edges[k], Edge{OpenEdge, stretchOf(ring, math.Mod(p.to, length), math.Mod(p.to, length)+next-p.to)})
				}
			}
			if len(on) == 0 {
				d.edges[k] = append(d.edges[k], Edge{OpenEdge, append(slices.Clone([]geom.Vec(ring)), ring[0])})
			}
		}
	}
}

// panelAt returns the panel that holds p, else the one nearest to it.
func (d *Drawn) panelAt(p geom.Vec) int {
	best, near := 0, math.Inf(1)
	for k, e := range d.rings {
		if e.Contains(p) {
			return k
		}
	}
	for k, e := range d.rings {
		if dist := e.Dist(p); dist < near {
			best, near = k, dist
		}
	}
	return best
}

func (d *Drawn) seen(s Surface, p, q Place, yield func(off geom.Vec, turn float64)) {
	a, b := s.Point(p), s.Point(q)
	if a.Panel == b.Panel {
		yield(b.At.Sub(a.At), 0)
	}
	for _, j := range d.joins {
		if j.from == a.Panel && j.to == b.Panel {
			yield(j.back.Apply(b.At).Sub(a.At), j.turn)
		}
	}
}

// dist returns the length of a way within a panel or over one seam, as short
// as any way there can be: the straight line, and where that passes the seam by
// no less than from the one to the seam and on to the other.
func (d *Drawn) dist(p, q Point) float64 {
	best := math.Inf(1)
	if p.Panel == q.Panel {
		best = p.At.Dist(q.At)
	}
	for i, j := range d.joins {
		if j.from == p.Panel && j.to == q.Panel {
			over := toLine(p.At, j.line) + toLine(q.At, d.joins[i^1].line)
			best = math.Min(best, math.Max(over, j.back.Apply(q.At).Dist(p.At)))
		}
	}
	return best
}

func toLine(p geom.Vec, line []geom.Vec) float64 {
	best := math.Inf(1)
	for i := 1; i < len(line); i++ {
		best = math.Min(best, geom.PointSegment(p, line[i-1], line[i]))
	}
	return best
}
