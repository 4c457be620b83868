package shape

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"math"
	"sync"

	"strew/motif/geom"
	"strew/sheet/nfp"
)

// Form is an item's shape made ready for laying at one gap. What is costly is worked
// out when first asked for; a Form may be used by several goroutines at once.
type Form struct {
	Item   int         // the caller's number for it
	Key    string      // the same for forms that are alike in every way
	Region geom.Region // the true outline
	Hull   geom.Ring   // of Region, with positive area
	Area   float64     // of Region
	Gap    float64     // between pieces
	least  float64     // see solid

	mu       sync.Mutex
	filled   *geom.Region // see solid
	outlines map[nfp.Detail]*nfp.Outline
	views    map[viewKey]*View
}

type viewKey struct {
	turn     float64
	mirrored bool
}

// NewForm returns the form of a region. Least is the radius of the widest circle in
// the narrowest of all pieces laid with it.
func NewForm(item int, g geom.Region, gap, least float64) *Form {
	return &Form{
		Item: item, Key: KeyOf(item, g, gap, least), Region: g, Hull: geom.Hull(g.Outer), Area: g.Area(), Gap: gap, least: least,
		outlines: map[nfp.Detail]*nfp.Outline{}, views: map[viewKey]*View{},
	}
}

// KeyOf returns the key of the form that NewForm would return.
func KeyOf(item int, g geom.Region, gap, least float64) string {
	var of []byte
	add := func(v float64) { of = binary.LittleEndian.AppendUint64(of, math.Float64bits(v)) }
	add(float64(item))
	add(gap)
	add(least)
	for _, r := range g.Rings() {
		add(float64(len(r)))
		for _, p := range r {
			add(p.X)
			add(p.Y)
		}
	}
	sum := sha256.Sum256(of)
	return string(sum[:])
}

// Prepare works the outline at a detail out, so that Outline returns at once. It
// reports false where the context was done before.
func (f *Form) Prepare(ctx context.Context, d nfp.Detail) bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.outline(ctx, d) != nil
}

// Outline returns an outline that holds the form at the detail.
func (f *Form) Outline(d nfp.Detail) *nfp.Outline {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.outline(context.Background(), d)
}

func (f *Form) outline(ctx context.Context, d nfp.Detail) *nfp.Outline {
	if o := f.outlines[d]; o != nil {
		return o
	}
	o, ok := nfp.NewOutline(ctx, f.solid(), d)
	if ok {
		f.outlines[d] = o
	}
	return o
}

// solid returns the region with every hole filled that nothing goes into: the widest
// circle of a piece in a hole, grown by the gap, would have to fit the hole's own
// widest circle. Holes cost the search far more than their felt is worth.
func (f *Form) solid() geom.Region {
	if f.filled == nil {
		g := geom.Region{Outer: f.Region.Outer}
		for _, h := range f.Region.Holes {
			if _, r := geom.Pole([]geom.Region{{Outer: h}}, geom.FlattenTol); r+geom.FlattenTol >= f.least+f.Gap {
				g.Holes = append(g.Holes, h)
			}
		}
		f.filled = &g
	}
	return *f.filled
}

// Turned returns the box of the form at the turn.
func (f *Form) Turned(turn float64) geom.Box {
	return f.Hull.Transform(geom.Rotation(turn)).Box()
}

// Bytes returns roughly how much memory the form takes.
func (f *Form) Bytes() int {
	f.mu.Lock()
	defer f.mu.Unlock()
	n := 512 + 16*cap(f.Hull)
	for _, o := range f.outlines {
		n += o.Bytes()
	}
	for _, v := range f.views {
		n += v.bytes()
	}
	return n
}

// View is a form at one turn, or that mirrored in the line x = y: a lay that
// fills columns is a lay of mirrored pieces that fills rows.
type View struct {
	*Form
	Turn     float64  // radians, clockwise as seen
	Mirrored bool     // in the line x = y, after the turn
	Box      geom.Box // of the true outline
	once     sync.Once
	parts    []geom.Ring
}

// View returns the form turned, and then mirrored if asked for; always the same view
// for the same turn.
func (f *Form) View(turn float64, mirrored bool) *View {
	f.mu.Lock()
	defer f.mu.Unlock()
	k := viewKey{turn, mirrored}
	v := f.views[k]
	if v == nil {
		v = &View{Form: f, Turn: turn, Mirrored: mirrored}
		v.Box = f.Hull.Transform(v.affine()).Box()
		f.views[k] = v
	}
	return v
}

func (v *View) affine() geom.Affine {
	m := geom.Rotation(v.Turn)
	if v.Mirrored {
		m = m.Then(geom.Affine{B: 1, C: 1})
	}
	return m
}

// Parts returns convex parts of a simple outline of the view, grown by half the gap.
func (v *View) Parts() []geom.Ring {
	v.once.Do(func() {
		m := v.affine()
		for _, p := range v.Outline(nfp.Simple).Parts {
			v.parts = append(v.parts, nfp.Offset(nfp.Oriented(p.Transform(m), 1), v.Gap/2))
		}
	})
	return v.parts
}

// bytes returns roughly how much memory the view takes: its parts have about as
// many points as the outline they are of, and as many again for the corners that
// are cut.
func (v *View) bytes() int {
	n := 160
	for _, p := range v.parts {
		n += 24 + 16*cap(p)
	}
	return n
}

// Laid is a view at a place on a bed.
type Laid struct {
	*View
	At geom.Vec // of the origin of its frame
}

// Upright returns the piece as it lies, in a view that is not mirrored.
func (l Laid) Upright() Laid {
	if !l.Mirrored {
		return l
	}
	return Laid{l.Form.View(l.Turn, false), geom.Vec{X: l.At.Y, Y: l.At.X}}
}

// EndOf returns how far down a bed the laid reach; for such as were laid on the bed
// mirrored, how far across by as much felt.
func EndOf(ls []Laid, bed Bed) float64 {
	end := 0.0
	for _, l := range ls {
		y := l.At.Y + l.Box.Max.Y
		if l.Mirrored {
			y *= bed.Height() / bed.Width()
		}
		end = math.Max(end, y)
	}
	return end
}
