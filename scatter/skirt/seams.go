package skirt

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
)

// Seams of drawn panels: the stretches of edge that lines name, and how panels
// lie beside one another over them. Two seams are joined start to start, as they
// are drawn: the rigid motion that lays the second along the first in the
// least-squares sense (P. H. Schönemann, "A generalized solution of the
// orthogonal Procrustes problem", Psychometrika 31, 1966; in the plane one
// angle) carries the second panel beside the first. Where a curved seam is eased
// into another curve the cloth does not lie flat over it, and distances over it
// are as true as that fit.

// SeamEase is how much longer one side of a seam may be than the other, as a
// share of it, and SeamEaseMM the same in millimetres, whichever is more: that
// much is eased in when it is sewn; common practice, no source.
const (
	SeamEase   = 0.02
	SeamEaseMM = 2.0
)

// join is a seam as seen from one of its panels.
type join struct {
	from, to    int
	line        []geom.Vec // the seam on from
	box         geom.Box
	there, back geom.Affine // from's plane to to's, and back
	turn        float64     // of back
}

// seaming is drawn panels while their named lines are found and joined.
type seaming struct {
	*drawn
	drawing Drawing
	named   []part // so far
}

// find returns the stretch of edge that a named line runs along, none of which
// other named parts take.
func (d *seaming) find(key, name string) (part, error) {
	i := slices.IndexFunc(d.drawing.Lines, func(l Line) bool { return l.Name == name })
	if i < 0 {
		if len(d.drawing.Lines) == 0 {
			return part{}, say.Errorf("%s names a line %q, but the drawing has no named line; give the line along the edge an id", key, name)
		}
		names := make(say.List, len(d.drawing.Lines))
		for k, l := range d.drawing.Lines {
			names[k] = say.New("%q", l.Name)
		}
		return part{}, say.Errorf("%s names a line %q, which is not in the drawing; its named lines are %s", key, name, names)
	}
	p, err := d.along(d.drawing.Lines[i])
	if err != nil {
		return part{}, say.Errorf("%s: %s", key, err)
	}
	for _, other := range d.named {
		if p.panel == other.panel && p.ring == other.ring && p.overlaps(other, d.panels[p.panel].Rings()[p.ring].Length()) {
			return part{}, say.Errorf("%s: the lines %q and %q share a stretch of edge; let one end where the other starts", key, other.name, name)
		}
	}
	return p, nil
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
func (d *seaming) along(l Line) (part, error) {
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
		return part{}, say.Errorf("the line %q strays %s from the edge of the nearest panel; draw it along the edge, within %s", l.Name, say.Fine(off), say.Fine(geom.DrawnAlong))
	case second <= geom.DrawnAlong:
		return part{}, say.Errorf("the line %q runs along two edges at once; move the panels apart", l.Name)
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
		return part{}, say.Errorf("the line %q is %s long and the edge beside it %s; draw it once along the edge, from one end of the seam to the other", l.Name, say.Fine(length), say.Fine(ahead))
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
func (d *seaming) join(a, b part) error {
	la, lb := lineLength(a.line), lineLength(b.line)
	if math.Abs(la-lb) > math.Max(SeamEaseMM, SeamEase*math.Max(la, lb)) {
		return say.Errorf("seams: %q is %s long and %q %s; the sides of a seam may differ by %s, or by %g%%, which is eased in", a.name, say.Fine(la), b.name, say.Fine(lb), say.Fine(SeamEaseMM), SeamEase*100)
	}
	// Rings run with the cloth on one hand, so joined lines run one with its
	// ring and the other against.
	if a.against == b.against {
		return say.Errorf("seams: sewn start to start, %q and %q would lay their panels on top of each other; draw one of the two lines from its other end", a.name, b.name)
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
func (d *seaming) split() {
	d.parts = make([][]Edge, len(d.panels))
	for k, g := range d.panels {
		for r, ring := range g.Rings() {
			var on []part
			for _, p := range d.named {
				if p.panel == k && p.ring == r {
					on = append(on, p)
				}
			}
			slices.SortFunc(on, func(a, b part) int { return cmp.Compare(a.from, b.from) })
			for _, p := range on {
				d.parts[k] = append(d.parts[k], Edge{p.kind, p.line})
			}
			length := ring.Length()
			for i, p := range on {
				next := on[(i+1)%len(on)].from
				if i == len(on)-1 {
					next += length
				}
				if next-p.to > geom.SamePoint {
					d.parts[k] = append(d.parts[k], Edge{OpenEdge, stretchOf(ring, math.Mod(p.to, length), math.Mod(p.to, length)+next-p.to)})
				}
			}
			if len(on) == 0 {
				d.parts[k] = append(d.parts[k], Edge{OpenEdge, append(slices.Clone([]geom.Vec(ring)), ring[0])})
			}
		}
	}
}
