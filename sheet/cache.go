package sheet

import (
	"math"
	"slices"
	"sync"

	"strew/motif/geom"
	"strew/sheet/bound"
	"strew/sheet/nfp"
	"strew/sheet/search"
	"strew/sheet/shape"
)

// Cache keeps what lays work out about shapes: forms, no-fit polygons, penetration
// fields and bodies. It changes no lay: the same lay is found with it, without it and
// after any other calls, only sooner. It pays where the same shapes are laid again
// and again. The zero Cache is empty and ready.
//
// A Cache may be used by several calls one after another, and also at once: a call
// that finds it in use lays without it.
//
// Between calls it holds about 256 MB at most; the shapes least recently laid are
// dropped first. That is as much as one lay of many kinds works out (the search
// bounds its own fields so), and what a laptop can spare for a page that stays open.
type Cache struct {
	mu   sync.Mutex
	kept cached
}

// mostCached is how many bytes a Cache holds between calls, see Cache.
const mostCached = 256 << 20

// cached is what a lay works out about shapes. It serves one lay at a time.
type cached struct {
	forms []*form
	nfps  *polygons
	store search.Store
	calls int
}

// take returns what is kept for a call, and what to do after it.
func (c *Cache) take() (kept *cached, release func()) {
	if c == nil || !c.mu.TryLock() {
		fresh := &cached{}
		fresh.begin()
		return fresh, func() {}
	}
	c.kept.begin()
	return &c.kept, func() {
		c.kept.trim(mostCached)
		c.mu.Unlock()
	}
}

func (c *cached) begin() {
	if c.nfps == nil {
		c.nfps = newPolygons()
	}
	c.calls++
}

// form is an item's shape with all that is known of it.
type form struct {
	*shape.Form
	*bound.Shape
	kind     string                // the same for items alike, whatever is laid with them
	lattices map[rowsKey][]lattice // those found so far
	call     int                   // the last that used it
}

func newForm(item int, g geom.Region, gap, least float64) *form {
	f := shape.NewForm(item, g, gap, least)
	return &form{Form: f, Shape: bound.NewShape(g, f.Hull, gap), kind: shape.KeyOf(item, g, gap, 0), lattices: map[rowsKey][]lattice{}}
}

// want is a form with the number of copies asked for.
type want struct {
	*form
	n int
}

// form returns the form of an item at the gap, where the widest circle in the
// narrowest piece has the radius least: one kept, or a new one.
func (c *cached) form(item int, it Item, gap, least float64) *form {
	key := shape.KeyOf(item, it.Shape, gap, least)
	i := slices.IndexFunc(c.forms, func(f *form) bool { return f.Key == key })
	if i < 0 {
		i = len(c.forms)
		c.forms = append(c.forms, newForm(item, cloned(it.Shape), gap, least))
	}
	c.forms[i].call = c.calls
	return c.forms[i]
}

// inradius returns a radius no larger than that of the widest circle in the shape.
func (c *cached) inradius(g geom.Region) float64 {
	for _, f := range c.forms {
		if sameRegion(f.Region, g) {
			return f.Inradius()
		}
	}
	return bound.Inradius(g)
}

func sameRegion(a, b geom.Region) bool {
	return slices.EqualFunc(a.Rings(), b.Rings(), func(r, s geom.Ring) bool { return slices.Equal(r, s) })
}

// cloned returns a copy that the caller cannot change.
func cloned(g geom.Region) geom.Region {
	out := geom.Region{Outer: slices.Clone(g.Outer)}
	for _, h := range g.Holes {
		out.Holes = append(out.Holes, slices.Clone(h))
	}
	return out
}

// trim drops the forms least recently used until at most that many bytes are kept.
func (c *cached) trim(most int) {
	size := c.nfps.bytes + c.store.Bytes(nil)
	for _, f := range c.forms {
		size += f.Form.Bytes()
	}
	for size > most && len(c.forms) > 0 {
		oldest, at := math.MaxInt, 0
		for i, f := range c.forms {
			if f.call < oldest {
				oldest, at = f.call, i
			}
		}
		f := c.forms[at].Form
		size -= f.Bytes() + c.store.Bytes(f) + c.nfps.forget(f)
		c.store.Forget(f)
		c.forms = slices.Delete(c.forms, at, at+1)
	}
}

// polygons keeps no-fit polygons. The shared one is safe to use from several
// fillers; each keeps what it has asked for in a map of its own.
type polygons struct {
	m      map[[2]*shape.View]*nfp.Polygon
	mu     sync.Mutex
	bytes  int
	shared *polygons
}

func newPolygons() *polygons { return &polygons{m: map[[2]*shape.View]*nfp.Polygon{}} }

// local returns polygons for one filler, backed by c.
func (c *polygons) local() *polygons {
	l := newPolygons()
	l.shared = c
	return l
}

// of returns the no-fit polygon of b about a.
func (c *polygons) of(a, b *shape.View) *nfp.Polygon {
	k := [2]*shape.View{a, b}
	n := c.m[k]
	if n != nil {
		return n
	}
	if s := c.shared; s != nil {
		n = s.kept(k)
	} else {
		n = nfp.New(a.Parts(), b.Parts())
	}
	c.m[k] = n
	return n
}

// kept returns a polygon of the shared ones.
func (c *polygons) kept(k [2]*shape.View) *nfp.Polygon {
	c.mu.Lock()
	n := c.m[k]
	c.mu.Unlock()
	if n != nil {
		return n
	}
	n = nfp.New(k[0].Parts(), k[1].Parts())
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.m[k] == nil {
		c.bytes += n.Bytes()
	}
	c.m[k] = n
	return n
}

// forget drops the polygons of a form and returns how many bytes they took.
func (c *polygons) forget(f *shape.Form) int {
	sum := 0
	for k, n := range c.m {
		if k[0].Form == f || k[1].Form == f {
			sum += n.Bytes()
			delete(c.m, k)
		}
	}
	c.bytes -= sum
	return sum
}
