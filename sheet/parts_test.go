package sheet

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
	"strew/motif/geom"
)

// insideAny reports whether p lies in one of the rings, on the edge included
// up to slack.
func insideAny(rings []geom.Ring, p geom.Vec, slack float64) bool {
	for _, r := range rings {
		if r.Contains(p) || r.EdgeDist(p) <= slack {
			return true
		}
	}
	return false
}

// The search outline holds the true one, and its parts hold it but for the
// ease of the outline.
func TestPartsCover(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawShape(t, "shape")
		f := newForm(0, Item{Shape: g}, 0)
		o := f.outline(rapid.SampledFrom([]detail{simple, fine, finest}).Draw(t, "detail"))
		fine, parts := o.felt, o.parts
		if fine.Area() < g.Area()-geom.Touch {
			t.Fatalf("simple outline has %v mm², the true one %v", fine.Area(), g.Area())
		}
		for _, p := range g.Outer {
			if !fine.Contains(p) && fine.EdgeDist(p) > geom.SamePoint {
				t.Fatalf("%v is lost by %v", p, fine.EdgeDist(p))
			}
		}
		for _, p := range parts {
			if len(hull(p)) != len(p) {
				t.Fatalf("%v is not convex", p)
			}
		}
		b := g.Box()
		for range 50 {
			p := geom.Vec{
				X: rapid.Float64Range(b.Min.X, b.Max.X).Draw(t, "x"),
				Y: rapid.Float64Range(b.Min.Y, b.Max.Y).Draw(t, "y"),
			}
			if g.Contains(p) && g.EdgeDist(p) > geom.Press && !insideAny(parts, p, 0) {
				t.Fatalf("%v lies in the shape, %v from its edge, and in no part", p, g.EdgeDist(p))
			}
		}
	})
}

// A clash tells of an overlap wherever the true outlines come closer than the
// gap: the slow and obvious way is the check.
func TestClashHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gap := rapid.SampledFrom([]float64{0, 2}).Draw(t, "gap")
		a, b := newForm(0, Item{Shape: drawShape(t, "a")}, gap), newForm(1, Item{Shape: drawShape(t, "b")}, gap)
		bs := newBodies([]*form{a, b}, rapid.SampledFrom([]Nap{AnyTurn, FourWay, TwoWay, OneWay}).Draw(t, "nap"), 300, 300, tables{})
		on := newBoard(300, 300, bs, nil)
		for range 10 {
			p := piece{body: bs.all[0], step: rapid.IntRange(0, bs.steps-1).Draw(t, "turn a")}
			q := piece{body: bs.all[1], step: rapid.IntRange(0, bs.steps-1).Draw(t, "turn b"), at: geom.Vec{
				X: rapid.Float64Range(-80, 80).Draw(t, "x"), Y: rapid.Float64Range(-80, 80).Draw(t, "y"),
			}}
			if on.between(p.body, p.step, q.body, q.step, q.at) > 0 {
				continue
			}
			at := func(p piece) geom.Region {
				l := p.laid()
				return l.true.Transform(geom.Placing(l.at, l.turn, 1, false))
			}
			if !apart(at(p), at(q), gap) {
				t.Fatalf("no clash, but the outlines are less than %v apart", gap)
			}
		}
	})
}

// Cut into cells a clash covers the same places, and tells depths alike: exactly
// but where all of a cell is covered, there to less than a cell's size. All
// planes of all polygons, asked one by one, are the check.
func TestClashIndex(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := newForm(0, Item{Shape: drawShape(t, "a")}, 2), newForm(1, Item{Shape: drawShape(t, "b")}, 2)
		bs := newBodies([]*form{a, b}, OneWay, 300, 300, tables{})
		c := newClash(bs.all[1], bs.all[0], rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn"), rapid.SampledFrom([]int{1, freeSteps}).Draw(t, "steps"))
		on := newBoard(300, 300, bs, nil)
		f := facing{price: bs.price(bs.all[1], bs.all[0])}
		var k *known
		f.see(on.learnOf(&k, c), &pose{cos: 1}, 1)
		for range 50 {
			x := rapid.Float64Range(c.box.Min.X-1, c.box.Max.X+1).Draw(t, "x")
			y := rapid.Float64Range(c.box.Min.Y-1, c.box.Max.Y+1).Draw(t, "y")
			want := c.slowly(x, y)
			got, off := on.overlap(&f, geom.Vec{X: x, Y: y}, math.Inf(1)), 2*grain
			if _, at, _, _ := on.find(&f, geom.Vec{X: x, Y: y}); at != nil && at.from == even {
				off = math.Hypot(1/c.scale.X, 1/c.scale.Y)
				if c.patches != nil {
					off *= float64(c.side / patchSide)
				}
			}
			if math.Abs(got-want) > off || want > 2*grain && got <= 0 || want == 0 && got > 0 {
				t.Fatalf("%v, %v lies %v deep by its cell and %v without", x, y, got, want)
			}
		}
	})
}

// slowly returns how deep a point lies, by all planes of all polygons.
func (c *clash) slowly(x, y float64) float64 {
	deep := 0.0
	for _, r := range c.polygons {
		least := math.Inf(1)
		for _, p := range c.planes[r.from:r.to] {
			least = min(least, p.depth(x, y))
		}
		deep = max(deep, least)
	}
	return deep
}

// Two pieces of one kind overlap as deep as the clash of their own two turns
// tells, though a board keeps clashes of up to half a turn only.
func TestOverlapOfAlike(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := newForm(0, Item{Shape: drawShape(t, "a")}, 2)
		bs := newBodies([]*form{f}, rapid.SampledFrom([]Nap{AnyTurn, FourWay, TwoWay}).Draw(t, "nap"), 300, 300, tables{})
		b := newBoard(300, 300, bs, nil)
		k := bs.all[0]
		if k.round {
			return // as deep at any turn
		}
		kp, kq := rapid.IntRange(0, bs.steps-1).Draw(t, "turn of one"), rapid.IntRange(0, bs.steps-1).Draw(t, "turn of the other")
		c := newClash(k, k, 2*math.Pi*float64(kq-kp)/float64(bs.steps), bs.steps)
		for range 20 {
			d := geom.Vec{X: rapid.Float64Range(-k.reach, k.reach).Draw(t, "x"), Y: rapid.Float64Range(-k.reach, k.reach).Draw(t, "y")}
			at := d.Rotate(-k.poses[kp].turn)
			want, off := c.slowly(at.X, at.Y), 1e-6
			if want > off {
				// Where a cell is covered depths are told to a patch's size.
				off = max(c.box.Width(), c.box.Height()) / patchSide * math.Sqrt2
			}
			if got := b.overlap(b.facing(k, kp, k, kq), d, math.Inf(1)); math.Abs(got-want) > off || (got > 0) != (want > 0) && want > 1e-6 {
				t.Fatalf("at %v they overlap %v deep, by the clash %v", d, got, want)
			}
		}
	})
}

// Bays of a smooth outline are told by few bends, each of which makes a part, and the
// outline still holds little more than the true one. The bounds are our own.
func TestBaysTakeFewParts(t *testing.T) {
	for _, waves := range []float64{3, 5} {
		var r geom.Ring
		for k := range 160 {
			a := 2 * math.Pi * float64(k) / 160
			q := 28 * (1 + 0.25*math.Cos(waves*a))
			r = append(r, geom.Vec{X: q * math.Cos(a), Y: q * math.Sin(a)})
		}
		f := newForm(0, Item{Shape: geom.Region{Outer: r}}, 0)
		fine, parts := f.outline(fine).felt, f.outline(fine).parts
		if wider := fine.Area()/f.area - 1; len(parts) > int(2*waves)+1 || wider < 0 || wider > 0.005 {
			t.Errorf("%v bays: %d parts, %.2f %% wider", waves, len(parts), 100*wider)
		}
	}
}

// Many kinds take fewer turns, so that their clashes stay in memory; few kinds, and
// felt with a nap, take those they would alone.
func TestStepsStayInMemory(t *testing.T) {
	forms := func(n, parts int) (fs []*form) {
		for range n {
			fs = append(fs, &form{parts: make([]geom.Ring, parts)})
		}
		return fs
	}
	for _, c := range []struct {
		nap           Nap
		kinds, parts  int
		least, atMost int
	}{
		{AnyTurn, 1, 5, freeSteps, freeSteps},
		{AnyTurn, 3, 14, fewSteps, fewSteps},
		{AnyTurn, 2, 40, leastSteps, leastSteps},
		{AnyTurn, 12, 14, fewestSteps, fewSteps / 2},
		{AnyTurn, 60, 30, fewestSteps, fewestSteps},
		{FourWay, 60, 30, 4, 4},
	} {
		got := napSteps(c.nap, forms(c.kinds, c.parts))
		if got < c.least || got > c.atMost {
			t.Errorf("%d kinds of %d parts at nap %v take %d turns, not %d to %d", c.kinds, c.parts, c.nap, got, c.least, c.atMost)
		}
		if all := c.kinds * (c.kinds + 1) / 2 * c.parts * c.parts * got; c.nap == AnyTurn && all > mostKept && got >= 2*fewestSteps {
			t.Errorf("%d polygons are kept of %d kinds, and %d turns", all, c.kinds, got)
		}
	}
}

// Bodies of few turns follow their forms most closely, unless they are so many that
// their clashes would fill the memory; those turned freely never do.
func TestDetailStaysInMemory(t *testing.T) {
	forms := func(n, parts int) (fs []*form) {
		for range n {
			fs = append(fs, &form{outlines: map[detail]*outline{finest: {parts: make([]geom.Ring, parts)}}})
		}
		return fs
	}
	for _, c := range []struct {
		kinds, parts, steps int
		want                detail
	}{
		{5, 40, 4, finest}, {5, 40, 1, finest}, {5, 40, leastSteps, fine}, {1, 3, freeSteps, fine},
		{60, 5, 4, finest}, {60, 30, 4, fine}, {60, 30, 1, fine},
	} {
		if got := detailFor(forms(c.kinds, c.parts), c.steps); got != c.want {
			t.Errorf("%d kinds of %d parts at %d turns have %d points, not %d", c.kinds, c.parts, c.steps, got.points, c.want.points)
		}
	}
}

// What a place costs by the rows of a board is the sum over all pieces, asked one
// by one without rows, on one sheet and on several, after pieces were moved.
func TestLookAsksAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var fs []*form
		for i := range rapid.IntRange(1, 3).Draw(t, "kinds") {
			fs = append(fs, newForm(i, Item{Shape: drawShape(t, fmt.Sprint("shape ", i))}, 2))
		}
		nap := rapid.SampledFrom([]Nap{AnyTurn, FourWay, OneWay}).Draw(t, "nap")
		bs := newBodies(fs, nap, 300, 300, tables{})
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		b := newBoard(300, 300, bs, rng)
		b.bins = rapid.IntRange(1, 3).Draw(t, "sheets")
		chance := func(k *body) spot {
			s := spot{step: k.may[rng.IntN(len(k.may))], bin: rng.IntN(b.bins)}
			s.at = b.clamp(k, s.step, b.chanceAt())
			return s
		}
		for range rapid.IntRange(2, 40).Draw(t, "pieces") {
			k := bs.all[rng.IntN(len(bs.all))]
			s := chance(k)
			b.add(piece{body: k, step: s.step, at: s.at, bin: s.bin})
		}
		for range 20 {
			i := rng.IntN(len(b.pieces))
			p := &b.pieces[i]
			s := chance(p.body)
			want := 0.0
			for j, q := range b.pieces {
				if j != i && q.bin == s.bin {
					want += b.between(p.body, s.step, q.body, q.step, q.at.Sub(s.at))
				}
			}
			if got := b.look(i, s, math.Inf(1)); math.Abs(got-want) > geom.SameRatio*(1+want) {
				t.Fatalf("the place costs %v by the rows and %v by all pieces", got, want)
			}
			p.step, p.at, p.bin = s.step, s.at, s.bin
			b.refresh(i)
		}
	})
}

// Places in a surveyed vicinity cost what they do on the whole board, at the turn of
// the survey and, where it was for all, at others.
func TestLookNearAsksAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var fs []*form
		for i := range rapid.IntRange(1, 3).Draw(t, "kinds") {
			fs = append(fs, newForm(i, Item{Shape: drawShape(t, fmt.Sprint("shape ", i))}, 2))
		}
		bs := newBodies(fs, rapid.SampledFrom([]Nap{AnyTurn, FourWay, OneWay}).Draw(t, "nap"), 300, 300, tables{})
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		b := newBoard(300, 300, bs, rng)
		for range rapid.IntRange(10, 60).Draw(t, "pieces") {
			k := bs.all[rng.IntN(len(bs.all))]
			b.add(piece{body: k, step: k.may[rng.IntN(len(k.may))], at: b.chanceAt()})
		}
		turning := rapid.Bool().Draw(t, "turning")
		i := rng.IntN(len(b.pieces))
		p := b.pieces[i]
		margin := rapid.Float64Range(0, 40).Draw(t, "margin")
		b.survey(i, &spot{step: p.step, at: p.at}, margin, turning)
		for range 20 {
			s := spot{step: p.step, at: p.at.Add(geom.Vec{X: margin * (2*rng.Float64() - 1), Y: margin * (2*rng.Float64() - 1)})}
			if turning {
				s.step = p.body.may[rng.IntN(len(p.body.may))]
			}
			want := b.look(i, s, math.Inf(1))
			if got := b.lookNear(i, &s, math.Inf(1)); math.Abs(got-want) > geom.SameRatio*(1+want) {
				t.Fatalf("the place costs %v in the vicinity and %v on the board", got, want)
			}
			limit := want * rng.Float64()
			if got := b.lookNear(i, &s, limit); got < limit*(1-geom.SameRatio) {
				t.Fatalf("the place costs %v, but %v where %v is enough", want, got, limit)
			}
		}
	})
}

// Sums of convex rings against the hull of all sums of points.
func TestConvexSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(label string) geom.Ring {
			var ps []geom.Vec
			for range rapid.IntRange(3, 8).Draw(t, label) {
				ps = append(ps, geom.Vec{X: float64(rapid.IntRange(-20, 20).Draw(t, "x")), Y: float64(rapid.IntRange(-20, 20).Draw(t, "y"))})
			}
			return hull(ps)
		}
		a, b := draw("a"), draw("b")
		if len(a) < 3 || len(b) < 3 {
			t.Skip("flat")
		}
		var all []geom.Vec
		for _, p := range a {
			for _, q := range b {
				all = append(all, p.Add(q))
			}
		}
		if got, want := convexSum(a, b).Area(), hull(all).Area(); math.Abs(got-want) > 1e-6 {
			t.Fatalf("area %v, want %v", got, want)
		}
	})
}
