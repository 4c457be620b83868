package sheet

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
	"strew/motif/geom"
	"strew/sheet/search"
	"strew/sheet/shape"
	"strew/sheet/shapetest"
)

func mustPack(t testing.TB, items []Item, stock []Stock, opt Options) Lay {
	t.Helper()
	lay, err := Pack(context.Background(), items, stock, opt)
	if err != nil {
		t.Fatal(err)
	}
	return lay
}

// Squares tile: what fits exactly is laid exactly.
func TestExactTiles(t *testing.T) {
	a4 := Stock{Name: "A4", Width: 210, Height: 297}
	for _, c := range []struct {
		name   string
		shape  geom.Region
		count  int
		stock  Stock
		gap    float64
		sheets int
	}{
		{"six squares", shapetest.Rect(100, 100), 6, Stock{Name: "s", Width: 200, Height: 300}, 0, 1},
		{"seven squares", shapetest.Rect(100, 100), 7, Stock{Name: "s", Width: 200, Height: 300}, 0, 2},
		{"six squares with a gap", shapetest.Rect(98, 98), 6, Stock{Name: "s", Width: 198, Height: 298}, 2, 1},
		{"squares inside margins", shapetest.Rect(100, 100), 6, Stock{Name: "s", Width: 208, Height: 308, Margin: 4}, 0, 1},
		{"a sheet of one piece", shapetest.Rect(210, 297), 2, a4, 0, 2},
		{"a sheet of one piece, turned", shapetest.Rect(297, 210), 1, a4, 0, 1},
		{"thirds that are no float", shapetest.Rect(70, 99), 9, a4, 0, 1},
		{"tenths", shapetest.Rect(21, 29.7), 100, a4, 0, 1},
		{"triangles in pairs", geom.Region{Outer: geom.Ring{{}, {X: 70}, {Y: 99}}}, 18, a4, 0, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			lay := mustPack(t, []Item{{Name: c.name, Shape: c.shape, Colour: "#111111", Count: c.count}}, []Stock{c.stock}, Options{Gap: c.gap, Effort: 3})
			if len(lay.Sheets) != c.sheets || lay.Needs[0].AtLeast != c.sheets {
				t.Errorf("%d sheets, at least %d, want %d", len(lay.Sheets), lay.Needs[0].AtLeast, c.sheets)
			}
		})
	}
}

// A disc lies in the hole of a ring, and a square in the bay of a U.
func TestHolesAndBays(t *testing.T) {
	ring := geom.Region{Outer: shapetest.Ngon(64, 50, 0), Holes: []geom.Ring{shapetest.Ngon(64, 40, 0).Reversed()}}
	u := geom.Region{Outer: geom.Ring{{}, {X: 10}, {X: 10, Y: 90}, {X: 90, Y: 90}, {X: 90}, {X: 100}, {X: 100, Y: 100}, {Y: 100}}}
	for _, c := range []struct {
		name       string
		big, small geom.Region
	}{{"ring and disc", ring, shapetest.Disc(37)}, {"u and square", u, shapetest.Rect(75, 75)}} {
		lay := mustPack(t, []Item{
			{Name: "big", Shape: c.big, Colour: "#111111", Count: 1},
			{Name: "small", Shape: c.small, Colour: "#111111", Count: 1},
		}, []Stock{{Name: "s", Width: 101, Height: 101}}, Options{Gap: 2, Effort: 1})
		if len(lay.Sheets) != 1 {
			t.Errorf("%s: %d sheets, want 1", c.name, len(lay.Sheets))
		}
	}
}

func TestErrors(t *testing.T) {
	ginkgo := Item{Name: "ginkgo", Shape: shapetest.Rect(250, 310), Colour: "#d9a521", Count: 1}
	felt := Stock{Name: "craft felt A4", Width: 210, Height: 297, Margin: 4}
	for _, c := range []struct {
		name  string
		items []Item
		stock []Stock
		opt   Options
		as    any
		want  string
	}{
		{"too large", []Item{ginkgo}, []Stock{felt}, Options{}, new(*FitError), "ginkgo is 250 × 310 mm, too large for any sheet in #d9a521: the largest, craft felt A4, holds 202 × 289 mm inside its margins"},
		{"too wide for a roll", []Item{ginkgo}, []Stock{{Name: "felt by the metre", Width: 200, Roll: true}}, Options{}, new(*FitError), "felt by the metre, holds 200 mm across"},
		{"no stock", []Item{ginkgo}, nil, Options{}, new(*ColourError), "no sheets are listed"},
		{"other colour", []Item{ginkgo}, []Stock{{Name: "a", Width: 500, Height: 500, Colours: []string{"#123456"}}}, Options{}, new(*ColourError), "#123456"},
		{"margin", []Item{ginkgo}, []Stock{{Name: "a", Width: 50, Height: 500, Margin: 25}}, Options{}, new(*StockError), "leaves nothing"},
		{"gap", []Item{ginkgo}, []Stock{felt}, Options{Gap: -1}, new(*StockError), "-1 mm"},
		{"nan", []Item{ginkgo}, []Stock{felt}, Options{Gap: math.NaN()}, new(*StockError), "NaN"},
		{"no area", []Item{{Name: "line", Count: 1, Shape: geom.Region{Outer: geom.Ring{{}, {X: 1}}}}}, []Stock{felt}, Options{}, new(*StockError), "no area"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Pack(context.Background(), c.items, c.stock, c.opt)
			if err == nil || !errors.As(err, c.as) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %T with %q", err, c.as, c.want)
			}
		})
	}
}

// A lay that is stopped, at the start or while a roll is made shorter, is whole:
// Pack checks it before it returns it. It says that it was stopped.
func TestStopped(t *testing.T) {
	items := []Item{
		{Name: "a", Shape: geom.Region{Outer: shapetest.Ngon(5, 20, 9)}, Colour: "#111111", Count: 30},
		{Name: "b", Shape: shapetest.Rect(30, 12), Colour: "#111111", Count: 20},
		{Name: "c", Shape: shapetest.Rect(18, 18), Colour: "#222222", Count: 9},
	}
	for name, stock := range map[string]Stock{
		"sheets": {Name: "A4", Width: 210, Height: 297},
		"a roll": {Name: "roll", Roll: true, Width: 300},
	} {
		for _, at := range []int{0, 1, 2} { // calls of Progress
			ctx, cancel := context.WithCancel(context.Background())
			calls := 0
			stop := func(Progress) {
				if calls++; calls == at {
					cancel()
				}
			}
			if at == 0 {
				cancel()
			}
			lay, err := Pack(ctx, items, []Stock{stock}, Options{Gap: 2, Effort: 1, Progress: stop})
			cancel()
			if err != nil || !lay.Stopped || len(lay.Sheets) < 2 {
				t.Errorf("%s, stopped at call %d: %d sheets, stopped %t: %v", name, at, len(lay.Sheets), lay.Stopped, err)
			}
		}
	}
}

// The drawer comes first and costs nothing; of two stocks that hold the piece
// the cheaper one is bought.
func TestStockChoice(t *testing.T) {
	items := []Item{{Name: "a", Shape: shapetest.Rect(90, 90), Colour: "#AA0000", Count: 10}}
	lay := mustPack(t, items, []Stock{
		{Name: "small", Width: 100, Height: 100, Price: 1, InDrawer: 3, Colours: []string{"#aa0000"}},
		{Name: "large", Width: 200, Height: 200, Price: 3},
		{Name: "other", Width: 200, Height: 200, Price: 0.1, Colours: []string{"#00aa00"}},
	}, Options{Effort: 1})
	cost, small := 0.0, 0
	for _, n := range lay.Needs {
		cost += n.Cost
		if n.Stock == 0 {
			small = n.Drawer
		}
		if n.Sheets != n.Drawer+n.Buy {
			t.Errorf("%+v does not add up", n)
		}
	}
	// 3 from the drawer leave 7: one large (4) and three small make 6, two
	// large 6.
	if small != 3 || cost != 6 {
		t.Errorf("drawer %d, cost %v, want 3 and 6: %+v", small, cost, lay.Needs)
	}
}

// Of two stocks of squares the cheapest mixture is bought, as found by trying
// every number of each; where one is not sold only what lies in the drawer is
// taken.
func TestCheapestMixture(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 40).Draw(t, "pieces")
		var stock []Stock
		var holds []int
		for i := range 2 {
			a, b := rapid.IntRange(1, 4).Draw(t, "across"), rapid.IntRange(1, 3).Draw(t, "down")
			stock = append(stock, Stock{
				Name: fmt.Sprint("stock ", i), Width: 100 * float64(a), Height: 100 * float64(b),
				Price: float64(rapid.IntRange(1, 9*a*b).Draw(t, "price")) / 10, InDrawer: rapid.IntRange(0, 2).Draw(t, "drawer"),
			})
			holds = append(holds, a*b)
		}
		if rapid.Bool().Draw(t, "first not sold") {
			stock[0].NotSold = true
		}
		lay, err := Pack(context.Background(), []Item{{Name: "square", Shape: shapetest.Rect(100, 100), Colour: "#111111", Count: n}}, stock, Options{Gap: 0, Effort: rapid.IntRange(0, 1).Draw(t, "effort")})
		if err != nil {
			t.Fatal(err)
		}
		cost, first := 0.0, 0
		for _, d := range lay.Needs {
			cost += d.Cost
			if d.Stock == 0 {
				first = d.Buy
			}
		}
		left := n - stock[0].InDrawer*holds[0] - stock[1].InDrawer*holds[1]
		best := math.Inf(1)
		for a := 0; a == 0 || (a-1)*holds[0] < left && !stock[0].NotSold; a++ {
			b := max(0, (left-a*holds[0]+holds[1]-1)/holds[1])
			best = min(best, float64(a)*stock[0].Price+float64(b)*stock[1].Price)
		}
		if cost > best+1e-9 || stock[0].NotSold && first > 0 {
			t.Fatalf("costs %v, %v would do; %d of the first bought: %+v", cost, best, first, lay.Needs)
		}
	})
}

// Where the fewest sheets are asked for they are as few as squares allow, whatever
// they cost: those in the drawer, and the rest on sheets that hold enough. The
// last one is the cheapest that will do.
func TestFewestSheets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 40).Draw(t, "pieces")
		var stock []Stock
		var holds []int
		left, drawer := n, 0
		for i := range 2 {
			a, b := rapid.IntRange(1, 4).Draw(t, "across"), rapid.IntRange(1, 3).Draw(t, "down")
			stock = append(stock, Stock{
				Name: fmt.Sprint("stock ", i), Width: 100 * float64(a), Height: 100 * float64(b),
				Price: float64(rapid.IntRange(1, 99).Draw(t, "price")) / 10, InDrawer: rapid.IntRange(0, 2).Draw(t, "drawer"),
			})
			holds = append(holds, a*b)
			left -= stock[i].InDrawer * a * b
			drawer += stock[i].InDrawer
		}
		if left <= 0 {
			return // nothing to choose
		}
		items := []Item{{Name: "square", Shape: shapetest.Rect(100, 100), Colour: "#111111", Count: n}}
		lay, err := Pack(context.Background(), items, stock, Options{Fewest: true, Effort: rapid.IntRange(0, 1).Draw(t, "effort")})
		if err != nil {
			t.Fatal(err)
		}
		most := max(holds[0], holds[1])
		bought := (left + most - 1) / most
		if len(lay.Sheets) != drawer+bought {
			t.Fatalf("%d sheets, %d and %d from the drawer would do", len(lay.Sheets), bought, drawer)
		}
		cost := 0.0
		for _, d := range lay.Needs {
			cost += d.Cost
		}
		least := math.Inf(1) // of lays of one stock but for the last sheet
		for i, h := range holds {
			for j := range holds {
				if rest := left - (bought-1)*h; rest <= min(h, holds[j]) {
					least = min(least, float64(bought-1)*stock[i].Price+stock[j].Price)
				}
			}
		}
		if cost > least+1e-9 {
			t.Fatalf("costs %v, %v would do", cost, least)
		}
	})
}

// Felt that is not sold runs out, and the error says for what there is no room.
func TestFeltRunsOut(t *testing.T) {
	stock := []Stock{{Name: "offcut", Width: 200, Height: 100, InDrawer: 2, NotSold: true}}
	items := []Item{{Name: "square", Shape: shapetest.Rect(100, 100), Colour: "#111111", Count: 7}}
	_, err := Pack(context.Background(), items, stock, Options{Effort: 1})
	var e *ShortError
	if !errors.As(err, &e) || e.Left != 3 || e.More != 0 || e.Item != "square" || !strings.Contains(err.Error(), "there is no room for 3 of square") {
		t.Fatalf("%v", err)
	}
	items[0].Count = 4
	if lay := mustPack(t, items, stock, Options{Effort: 1}); lay.Needs[0].Buy != 0 || lay.Needs[0].Drawer != 2 {
		t.Errorf("%+v", lay.Needs)
	}
}

// gapBetween measures two regions the slow and obvious way.
func gapBetween(g, h geom.Region) float64 {
	best := math.Inf(1)
	for _, r := range g.Rings() {
		for i, a := range r {
			for _, s := range h.Rings() {
				for j, c := range s {
					best = math.Min(best, geom.SegmentGap(a, r.At(i+1), c, s.At(j+1)))
				}
			}
		}
	}
	if g.Contains(h.Outer[0]) || h.Contains(g.Outer[0]) {
		return 0
	}
	return best
}

// A search that shares what it finds out among its workers, turned freely, comes
// to the same lay on one core and on many, and so does one with hints.
func TestSameLayOnManyCores(t *testing.T) {
	star, hook := geom.Region{Outer: shapetest.Ngon(5, 28, 12)}, geom.Region{Outer: geom.Ring{{}, {X: 40}, {X: 40, Y: 9}, {X: 9, Y: 9}, {X: 9, Y: 30}, {Y: 30}}}
	stock := []Stock{{Name: "a", Width: 210, Height: 297, Margin: 4}}
	lays := func(workers int) (all []Lay) {
		opt := Options{Gap: 3, Effort: 3, Seed: 1, Workers: workers, Hints: &Hints{}}
		for _, n := range []int{14, 15, 16} {
			items := []Item{{Name: "star", Shape: star, Colour: "#111111", Count: n}, {Name: "hook", Shape: hook, Colour: "#111111", Count: 2 * n}}
			lay, err := Pack(context.Background(), items, stock, opt)
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, lay)
		}
		return all
	}
	one := lays(1)
	for _, workers := range []int{2, 8} {
		if !reflect.DeepEqual(one, lays(workers)) {
			t.Fatalf("another lay with %d workers", workers)
		}
	}
}

func TestPackHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gap := rapid.SampledFrom([]float64{0, 0.4, 2, 3, 10}).Draw(t, "gap")
		var items []Item
		for range rapid.IntRange(1, 3).Draw(t, "items") {
			items = append(items, Item{
				Name: "piece", Shape: shapetest.Draw(t, "shape"),
				Colour: rapid.SampledFrom([]string{"#111111", "#222222"}).Draw(t, "colour"),
				Count:  rapid.IntRange(0, 6).Draw(t, "count"),
			})
		}
		nap := rapid.SampledFrom([]Nap{AnyTurn, FourWay, TwoWay, OneWay}).Draw(t, "nap")
		stock := []Stock{{Name: "a", Width: 120, Height: rapid.Float64Range(110, 200).Draw(t, "height"), Margin: 4, Nap: nap, Price: 1, InDrawer: 1}}
		if rapid.Bool().Draw(t, "second") {
			stock = append(stock, Stock{Name: "b", Width: 100, Height: 100, Nap: OneWay, Price: 0.5, Colours: []string{"#111111"}})
		}
		opt := Options{Gap: gap, Effort: rapid.SampledFrom([]int{0, 0, 0, 0, 0, 1}).Draw(t, "effort"), Seed: rapid.Uint64().Draw(t, "seed"), Workers: 1}
		lay, err := Pack(context.Background(), items, stock, opt)
		if err != nil {
			t.Fatal(err)
		}
		opt.Workers = 8
		if again, _ := Pack(context.Background(), items, stock, opt); !reflect.DeepEqual(lay, again) {
			t.Fatal("another lay with 8 workers")
		}
		count := make([]int, len(items))
		for _, s := range lay.Sheets {
			st := stock[s.Stock]
			var rs []geom.Region
			area := 0.0
			for _, p := range s.Pieces {
				count[p.Item]++
				r := items[p.Item].Shape.Transform(geom.Placing(p.At, p.Turn, 1, false))
				area += r.Area()
				b := r.Box()
				if b.Min.X < st.Margin-geom.Touch || b.Min.Y < st.Margin-geom.Touch || b.Max.X > st.Width-st.Margin+geom.Touch || b.Max.Y > st.Height-st.Margin+geom.Touch {
					t.Fatalf("piece leaves its sheet: %v", b)
				}
				for _, q := range rs {
					if gap > 0 {
						if g := gapBetween(q, r); g < gap-geom.Touch {
							t.Fatalf("pieces %v mm apart, asked %v", g, gap)
						}
					} else if !shape.Apart(q, r, 0) {
						t.Fatal("pieces overlap")
					}
				}
				rs = append(rs, r)
				switch step := math.Abs(math.Remainder(p.Turn, math.Pi/2)); {
				case st.Nap == AnyTurn:
				case step > 1e-9,
					st.Nap == TwoWay && math.Abs(math.Remainder(p.Turn, math.Pi)) > 1e-9,
					st.Nap == OneWay && p.Turn != 0:
					t.Fatalf("turn %v on nap %v", p.Turn, st.Nap)
				}
				if items[p.Item].Colour != s.Colour {
					t.Fatal("wrong colour")
				}
			}
			if u := area / (st.Width * s.Height); math.Abs(u-s.Used) > 1e-9 {
				t.Fatalf("used %v, is %v", s.Used, u)
			}
		}
		for i, it := range items {
			if count[i] != it.Count {
				t.Fatalf("item %d laid %d times, wanted %d", i, count[i], it.Count)
			}
		}
		for _, n := range lay.Needs {
			if n.AtLeast > n.Sheets {
				t.Fatalf("bound %d over the %d used", n.AtLeast, n.Sheets)
			}
		}
	})
}

// The work that one more piece took is returned in epochs: one of them where there is
// room at once.
func TestFittedTellsItsWork(t *testing.T) {
	square := Item{Name: "square", Shape: shapetest.Rect(20, 20), Colour: "#111111", Count: 20}
	p := improver{filling{testCall([]Item{square}, Stock{Name: "sheet", Width: 100, Height: 100}, Options{Workers: 1})}}
	f := newForm(0, square.Shape, 0, 0)
	fill := p.fills(0, []want{{f, 12}})[0]
	const work = 80_000
	ls, took, ok := p.fitted(0, []want{{f, 13}}, fill, work)
	if !ok || len(ls) != 13 || took != work/search.Epochs {
		t.Errorf("13 squares where there is room for 25: %d laid, %v, in %d of %d", len(ls), ok, took, work)
	}
	if _, took, ok = p.fitted(0, []want{{f, 26}}, fill, work); ok || took > work {
		t.Errorf("26 squares where there is room for 25: laid %v, in %d of %d", ok, took, work)
	}
}

// testCall returns a call that lays the items on one stock.
func testCall(items []Item, st Stock, opt Options) *call {
	kept, _ := (*Cache)(nil).take()
	return newCall(context.Background(), items, []Stock{st}, opt, kept)
}
