package search

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"strew/motif/geom"
	"strew/sheet/shape"
	"strew/sheet/shapetest"
)

// squaresRoll is a strand on a roll of 48 squares of 20 mm that touch, so many side by side.
func squaresRoll(across int, seed uint64) *worker {
	w, h := 20*float64(across), 960/float64(across)
	bs := bodiesOf(shape.NewBed(w, math.Inf(1), shape.OneWay), formOf(0, shapetest.Rect(20, 20), 0))
	b := newSeparator(context.Background(), bs.bed.CutAt(h), 1, bs, rand.New(rand.NewPCG(seed, 1)))
	for i := range 48 {
		b.add(Piece{body: bs.all[0], at: geom.Vec{X: 10 + 20*float64(i%across), Y: 10 + 20*float64(i/across)}})
	}
	r := roll{b.save(), h}
	return &worker{b: b, first: r, best: r, top: r, bold: fineStep}
}

// While a part is searched all else stays as it lay, but that what is below the cut has
// moved up with the end; and whatever overlaps after the cut may move.
func TestWindowKeepsTheRest(t *testing.T) {
	for seed := range uint64(60) {
		across := 4
		if seed%2 == 1 {
			across = 16 // those that overlap are more than a part may have by itself
		}
		s := squaresRoll(across, seed)
		if !s.byWindows() {
			t.Fatal("48 pieces are not searched by parts")
		}
		const share = 0.02
		if !s.cutWindow(share) {
			t.Fatal("no cut")
		}
		b := s.b
		cut := b.save()
		free := b.mobile()
		if len(free) < leastWindow || len(free) > mostWindow+2*across {
			t.Errorf("seed %d: %d pieces may move", seed, len(free))
		}
		up := share * s.best.h
		for i, p := range cut {
			was := s.best.at[i].at
			if d := was.Y - p.at.Y; p.at.X != was.X || math.Abs(d) > 1e-9 && math.Abs(d-up) > 1e-9 {
				t.Errorf("seed %d: the cut moves a piece by %v, not by %v", seed, was.Sub(p.at), up)
			}
			if len(b.hits[i]) > 0 && !slices.Contains(free, i) {
				t.Errorf("seed %d: piece %d overlaps and may not move", seed, i)
			}
		}
		if b.total() == 0 {
			t.Fatal("nothing overlaps after the cut")
		}
		for range 200 {
			if at := b.randomAt(); at.X < 0 || at.X > b.bed.Width() || at.Y < b.window.from || at.Y > b.window.to {
				t.Fatalf("seed %d: a place at %v, the part reaches from %v to %v", seed, at, b.window.from, b.window.to)
			}
		}
		b.swapLarge()
		for range 20 {
			b.round(context.Background(), math.MaxInt)
			b.updateWeights()
		}
		moved := 0
		for i, p := range b.pieces {
			if p.at != cut[i].at || p.step != cut[i].step {
				moved++
				if !slices.Contains(free, i) {
					t.Errorf("seed %d: piece %d has moved", seed, i)
				}
			}
		}
		if moved == 0 {
			t.Errorf("seed %d: no piece has moved", seed)
		}
		if s.cut(share); b.window != nil {
			t.Error("the next cut of the whole roll leaves a part")
		}
	}
}

// The longer nothing is found, the more may move: all in the end.
func TestWindowWidens(t *testing.T) {
	most := func(tries int) int {
		n := 0
		for seed := range uint64(80) {
			s := squaresRoll(4, seed)
			s.tries = tries
			s.cutWindow(fineStep)
			n = max(n, len(s.b.mobile()))
		}
		return n
	}
	if few, all := most(0), most(100); few >= 40 || all < 44 {
		t.Errorf("at first %d of 48 may move, later %d", few, all)
	}
}

// A strand goes on from a roll that is a little longer than the shortest, and keeps that;
// where none that is longer by no more than record can be had it does not.
func TestAccept(t *testing.T) {
	for _, c := range []struct {
		top  float64 // of squares that lie on 240 at best
		want bool
	}{{240, true}, {240 / (1 + 2*record), false}} {
		went, opened := 0, 0
		for seed := range uint64(20) {
			s := squaresRoll(4, seed)
			s.top.h = c.top
			s.cutWindow(fineStep)
			level := s.b.window.level
			s.pool = []failed{{s.b.total() + 1, nil}, {s.b.total(), s.b.save()}}
			top, best := s.top, s.best
			if !s.accept(context.Background(), math.MaxInt) {
				if s.best.h != best.h {
					t.Error("goes on from elsewhere all the same")
				}
				continue
			}
			went++
			if s.top.h != top.h || !slices.Equal(s.top.at, top.at) {
				t.Error("the shortest roll has changed")
			}
			if s.best.h > c.top*(1+record) || s.best.h < c.top {
				t.Errorf("goes on from %v, the shortest is %v", s.best.h, c.top)
			}
			s.b.setHeight(s.best.h)
			if s.b.restore(s.best.at); s.b.total() > 0 {
				t.Error("pieces overlap on the roll it goes on from")
			}
			if level > 40 && level < 200 {
				opened++
			}
		}
		if got := went > 10; got != c.want || got && opened == 0 {
			t.Errorf("top %v: went %d times of 20, %d of them cut amid the roll", c.top, went, opened)
		}
	}
}
