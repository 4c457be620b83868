package search

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
	"strew/motif/geom"
	"strew/sheet/nfp"
	"strew/sheet/shape"
	"strew/sheet/shapetest"
)

// There is an overlap wherever the true outlines come closer than the
// gap: the slow and obvious way is the check.
func TestOverlapHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gap := rapid.SampledFrom([]float64{0, 2}).Draw(t, "gap")
		a, b := formOf(0, shapetest.Draw(t, "a"), gap), formOf(1, shapetest.Draw(t, "b"), gap)
		bs := bodiesOf(shape.NewBed(300, 300, rapid.SampledFrom([]shape.Nap{shape.AnyTurn, shape.FourWay, shape.TwoWay, shape.OneWay}).Draw(t, "nap")), a, b)
		on := newSeparator(context.Background(), bs.bed.CutAt(300), 1, bs, nil)
		for range 10 {
			p := Piece{body: bs.all[0], step: rapid.IntRange(0, bs.steps-1).Draw(t, "turn a")}
			q := Piece{body: bs.all[1], step: rapid.IntRange(0, bs.steps-1).Draw(t, "turn b"), at: geom.Vec{
				X: rapid.Float64Range(-80, 80).Draw(t, "x"), Y: rapid.Float64Range(-80, 80).Draw(t, "y"),
			}}
			if on.between(p.body, p.step, q.body, q.step, q.at) > 0 {
				continue
			}
			if !shape.Apart(trueOutline(p), trueOutline(q), gap) {
				t.Fatalf("no overlap, but the outlines are less than %v apart", gap)
			}
		}
	})
}

// slowDepth returns the penetration depth of a point, by all edges of all rings.
func slowDepth(n *nfp.Polygon, p geom.Vec) float64 {
	deep := 0.0
	for _, r := range n.Rings {
		least := math.Inf(1)
		for i, a := range r {
			if e := r.At(i + 1).Sub(a); e.Len() >= geom.SamePoint {
				least = min(least, e.Cross(p.Sub(a))/e.Len()-nfp.OnEdge)
			}
		}
		deep = max(deep, least)
	}
	return deep
}

// Two pieces of one kind overlap as deep as the no-fit polygon of their own
// two turns gives, though a worker keeps fields of up to half a turn only.
func TestOverlapOfAlike(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := formOf(0, shapetest.Draw(t, "a"), 2)
		bs := bodiesOf(shape.NewBed(300, 300, rapid.SampledFrom([]shape.Nap{shape.AnyTurn, shape.FourWay, shape.TwoWay}).Draw(t, "nap")), f)
		b := newSeparator(context.Background(), bs.bed.CutAt(300), 1, bs, nil)
		k := bs.all[0]
		if k.round {
			return // as deep at any turn
		}
		kp, kq := rapid.IntRange(0, bs.steps-1).Draw(t, "turn of one"), rapid.IntRange(0, bs.steps-1).Draw(t, "turn of the other")
		turn := geom.Rotation(2 * math.Pi * float64(kq-kp) / float64(bs.steps))
		var turned []geom.Ring
		for _, r := range k.parts {
			turned = append(turned, r.Transform(turn))
		}
		n := nfp.New(k.parts, turned)
		for range 20 {
			d := geom.Vec{X: rapid.Float64Range(-k.reach, k.reach).Draw(t, "x"), Y: rapid.Float64Range(-k.reach, k.reach).Draw(t, "y")}
			at := d.Rotate(-k.poses[kp].turn)
			want, off := slowDepth(n, at), 1e-6
			if want > off {
				// Where a cell is covered depths are told to a patch's size.
				off = max(n.Box.Width(), n.Box.Height()) / 8 * math.Sqrt2
			}
			if got := b.facing(k, kp, k, kq).Depth(d); math.Abs(got-want) > off || (got > 0) != (want > 0) && want > 1e-6 {
				t.Fatalf("at %v they overlap %v deep, by the polygon %v", d, got, want)
			}
		}
	})
}

// What a position costs by the rows is the sum over all pieces, asked one
// by one without rows, on one sheet and on several, after pieces were moved.
func TestEvaluateAsksAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var fs []*shape.Form
		for i := range rapid.IntRange(1, 3).Draw(t, "kinds") {
			fs = append(fs, formOf(i, shapetest.Draw(t, fmt.Sprint("shape ", i)), 2))
		}
		nap := rapid.SampledFrom([]shape.Nap{shape.AnyTurn, shape.FourWay, shape.OneWay}).Draw(t, "nap")
		bs := bodiesOf(shape.NewBed(300, 300, nap), fs...)
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		b := newSeparator(context.Background(), bs.bed.CutAt(300), 1, bs, rng)
		b.bins = rapid.IntRange(1, 3).Draw(t, "sheets")
		chance := func(k *Body) position {
			s := position{step: k.may[rng.IntN(len(k.may))], bin: rng.IntN(b.bins)}
			s.at = b.clamp(k, s.step, b.randomAt())
			return s
		}
		for range rapid.IntRange(2, 40).Draw(t, "pieces") {
			k := bs.all[rng.IntN(len(bs.all))]
			s := chance(k)
			b.add(Piece{body: k, step: s.step, at: s.at, bin: s.bin})
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
			if got := b.evaluate(i, s, math.Inf(1)); math.Abs(got-want) > geom.SameRatio*(1+want) {
				t.Fatalf("the place costs %v by the rows and %v by all pieces", got, want)
			}
			p.step, p.at, p.bin = s.step, s.at, s.bin
			b.refresh(i)
		}
	})
}

// Places in a surveyed vicinity cost what they do on the whole board, at the turn of
// the survey and, where it was for all, at others.
func TestEvaluateNearAsksAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var fs []*shape.Form
		for i := range rapid.IntRange(1, 3).Draw(t, "kinds") {
			fs = append(fs, formOf(i, shapetest.Draw(t, fmt.Sprint("shape ", i)), 2))
		}
		bs := bodiesOf(shape.NewBed(300, 300, rapid.SampledFrom([]shape.Nap{shape.AnyTurn, shape.FourWay, shape.OneWay}).Draw(t, "nap")), fs...)
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		b := newSeparator(context.Background(), bs.bed.CutAt(300), 1, bs, rng)
		for range rapid.IntRange(10, 60).Draw(t, "pieces") {
			k := bs.all[rng.IntN(len(bs.all))]
			b.add(Piece{body: k, step: k.may[rng.IntN(len(k.may))], at: b.randomAt()})
		}
		turning := rapid.Bool().Draw(t, "turning")
		i := rng.IntN(len(b.pieces))
		p := b.pieces[i]
		margin := rapid.Float64Range(0, 40).Draw(t, "margin")
		b.gather(i, &position{step: p.step, at: p.at}, margin, turning)
		for range 20 {
			s := position{step: p.step, at: p.at.Add(geom.Vec{X: margin * (2*rng.Float64() - 1), Y: margin * (2*rng.Float64() - 1)})}
			if turning {
				s.step = p.body.may[rng.IntN(len(p.body.may))]
			}
			want := b.evaluate(i, s, math.Inf(1))
			if got := b.evaluateNear(i, &s, math.Inf(1)); math.Abs(got-want) > geom.SameRatio*(1+want) {
				t.Fatalf("the place costs %v in the vicinity and %v on the board", got, want)
			}
			limit := want * rng.Float64()
			if got := b.evaluateNear(i, &s, limit); got < limit*(1-geom.SameRatio) {
				t.Fatalf("the place costs %v, but %v where %v is enough", want, got, limit)
			}
		}
	})
}
