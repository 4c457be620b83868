package search

import (
	"context"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
	"strew/motif/geom"
	"strew/sheet/shape"
	"strew/sheet/shapetest"
)

// The way out of an overlap is the way in which its depth lessens fastest: depths
// at places near by are the check, wherever they tell of one way.
func TestTranslation(t *testing.T) {
	// Depths are told to some 1e-5 mm, so that the places are not too near.
	const h = 0.1
	tried, checked := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		tried++
		a, b := formOf(0, shapetest.Draw(t, "a"), 2), formOf(1, shapetest.Draw(t, "b"), 2)
		bs := bodiesOf(shape.NewBed(300, 300, rapid.SampledFrom([]shape.Nap{shape.AnyTurn, shape.FourWay, shape.TwoWay, shape.OneWay}).Draw(t, "nap")), a, b)
		on := newSeparator(context.Background(), bs.bed.CutAt(300), 1, bs, nil)
		p, q := bs.all[rapid.IntRange(0, 1).Draw(t, "one")], bs.all[rapid.IntRange(0, 1).Draw(t, "other")]
		kp, kq := rapid.IntRange(0, bs.steps-1).Draw(t, "turn of one"), rapid.IntRange(0, bs.steps-1).Draw(t, "turn of the other")
		f := on.facing(p, kp, q, kq)
		r := p.reach + q.reach
		for range 20 {
			d := geom.Vec{X: rapid.Float64Range(-r, r).Draw(t, "x"), Y: rapid.Float64Range(-r, r).Draw(t, "y")}
			deep := func(x, y float64) float64 {
				return f.Depth(d.Add(geom.Vec{X: x, Y: y}))
			}
			depth, way := f.Translation(d)
			if want := deep(0, 0); depth != want {
				t.Fatalf("%v deep by the way out, %v without", depth, want)
			}
			if depth == 0 {
				continue
			}
			ahead := geom.Vec{X: depth - deep(h, 0), Y: depth - deep(0, h)}.Mul(1 / h)
			back := geom.Vec{X: deep(-h, 0) - depth, Y: deep(0, -h) - depth}.Mul(1 / h)
			if ahead.Sub(back).Len() > 5e-3*ahead.Len() || ahead.Len() == 0 {
				continue // where two ways are as short, or deep inside
			}
			checked++
			if off := ahead.Mul(1 / ahead.Len()).Sub(way).Len(); off > 1e-2 {
				t.Fatalf("at %v the way out is %v, by depths near by %v", d, way, ahead)
			}
		}
	})
	if checked < tried {
		t.Errorf("only %d ways were checked of %d pairs", checked, tried)
	}
}

// Pushed apart, pieces keep the gap and stay on the board, each as it was turned;
// where they cannot, none are said to.
func TestCompactHolds(t *testing.T) {
	tried, done := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		tried++
		gap := rapid.SampledFrom([]float64{0, 2}).Draw(t, "gap")
		var fs []*shape.Form
		for i := range 2 {
			fs = append(fs, formOf(i, shapetest.Draw(t, "shape"), gap))
		}
		bs := bodiesOf(shape.NewBed(300, 300, rapid.SampledFrom([]shape.Nap{shape.AnyTurn, shape.FourWay, shape.TwoWay, shape.OneWay}).Draw(t, "nap")), fs...)
		b := newSeparator(context.Background(), bs.bed.CutAt(300), 1, bs, nil)
		for range rapid.IntRange(2, 8).Draw(t, "pieces") {
			k := bs.all[rapid.IntRange(0, 1).Draw(t, "which")]
			b.add(Piece{body: k, step: k.may[rapid.IntRange(0, len(k.may)-1).Draw(t, "turn")], at: geom.Vec{
				X: rapid.Float64Range(0, 300).Draw(t, "x"), Y: rapid.Float64Range(0, 300).Draw(t, "y"),
			}})
		}
		before := b.save()
		ok := b.compact(context.Background())
		if ok {
			done++
		}
		for i, p := range b.pieces {
			if p.step != before[i].step || p.body != before[i].body {
				t.Fatalf("piece %d was turned", i)
			}
			one := trueOutline(p)
			if box := one.Box(); box.Min.X < -geom.Touch || box.Min.Y < -geom.Touch || box.Max.X > 300+geom.Touch || box.Max.Y > 300+geom.Touch {
				t.Fatalf("piece %d lies past the border: %v", i, box)
			}
			for _, q := range b.pieces[:i] {
				if ok && !shape.Apart(one, trueOutline(q), gap) {
					t.Fatalf("piece %d keeps no gap of %v", i, gap)
				}
			}
		}
	})
	if done*10 < tried {
		t.Errorf("pushed apart %d times only of %d", done, tried)
	}
}

// Squares that fill a row exactly, pushed over one another by up to half a millimetre,
// all find their places again; one more than the row holds does not.
func TestCompactExactFit(t *testing.T) {
	for _, c := range []struct {
		n    int
		want bool
	}{{5, true}, {6, false}} {
		bs := bodiesOf(shape.NewBed(100, 20, shape.OneWay), formOf(0, shapetest.Rect(20, 20), 0))
		b := newSeparator(context.Background(), bs.bed.CutAt(20), 1, bs, nil)
		for i := range c.n {
			b.add(Piece{body: bs.all[0], at: geom.Vec{X: 10 + 20*float64(i)*4/float64(c.n-1) + 0.5*math.Sin(float64(i)), Y: 10}})
		}
		if b.total() == 0 {
			t.Fatal("nothing overlaps before")
		}
		if got := b.compact(context.Background()); got != c.want {
			t.Errorf("%d squares in a row for 5: pushed apart %v, want %v", c.n, got, c.want)
		}
	}
}

// An overlap up to the slack costs nothing, a deeper one does.
func TestSlack(t *testing.T) {
	bs := bodiesOf(shape.NewBed(100, 100, shape.OneWay), formOf(0, shapetest.Rect(20, 20), 0))
	for _, c := range []struct {
		x     float64
		costs bool
	}{{30.1, false}, {29.7, false}, {29.5, true}, {25, true}} {
		b := newSeparator(context.Background(), bs.bed.CutAt(100), 1, bs, nil)
		b.slack = 0.04 // 0.4 mm of a radius of 10
		b.add(Piece{body: bs.all[0], at: geom.Vec{X: 10, Y: 10}})
		b.add(Piece{body: bs.all[0], at: geom.Vec{X: c.x, Y: 10}})
		if got := b.total() > 0; got != c.costs {
			t.Errorf("at %v it costs %v", c.x, b.total())
		}
		if got := b.evaluate(1, position{at: b.pieces[1].at}, math.Inf(1)); (got > 0) != c.costs {
			t.Errorf("at %v a look costs %v", c.x, got)
		}
	}
}

// Where a try has failed by a hair, on a roll a little too short, the strand goes on from
// the shortest roll on which the pieces do fit; where they lie deep in one another it
// stays where it was.
func TestRescue(t *testing.T) {
	for _, c := range []struct {
		over float64 // by which the pieces of the failed try reach over one another
		top  float64 // the length of the shortest roll known
		want bool
	}{{0.3, 102, true}, {12, 102, false}, {0.3, 100, false}} {
		bs := bodiesOf(shape.NewBed(20, math.Inf(1), shape.OneWay), formOf(0, shapetest.Rect(20, 20), 0))
		on := func(h, apart float64) *separator {
			b := newSeparator(context.Background(), bs.bed.CutAt(h), 1, bs, nil)
			for i := range 5 {
				b.add(Piece{body: bs.all[0], at: geom.Vec{X: 10, Y: 10 + apart*float64(i)}})
			}
			return b
		}
		top := roll{on(c.top, c.top/5).save(), c.top}
		b := on(100-4*c.over, 20-c.over)
		if b.total() == 0 {
			t.Fatal("nothing overlaps before")
		}
		was := b.save()
		s := &worker{b: b, first: top, best: top, top: top, tries: 7, pool: []failed{{}}}
		if got := s.rescue(context.Background()); got != c.want {
			t.Errorf("over by %v: rescued %v, want %v", c.over, got, c.want)
		}
		if !c.want {
			if s.top.h != c.top || s.tries != 7 || b.bed.Height() != 100-4*c.over || !slices.Equal(b.pieces, was) {
				t.Errorf("over by %v: the roll is %v long and the board %v after %d tries", c.over, s.top.h, b.bed.Height(), s.tries)
			}
			continue
		}
		if s.top.h < 100-5*geom.Press || s.top.h > 100*(1+4*compactLast) || s.best.h != s.top.h || len(s.pool) > 0 || s.tries > 0 {
			t.Errorf("over by %v: five squares of 20 lie on %v", c.over, s.top.h)
		}
		b.setHeight(s.top.h)
		if b.restore(s.top.at); b.total() > 0 {
			t.Errorf("over by %v: pieces still overlap", c.over)
		}
	}
}
