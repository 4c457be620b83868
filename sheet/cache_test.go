package sheet

import (
	"context"
	"fmt"
	"reflect"
	"sync"
	"testing"

	"pgregory.net/rapid"
	"strew/motif/geom"
	"strew/sheet/shapetest"
)

// smallJob is a small job of laying.
type smallJob struct {
	items []Item
	stock []Stock
	opt   Options
}

func (j smallJob) lay(t rapid.TB, c *Cache, h *Hints) Lay {
	j.opt.Cache, j.opt.Hints = c, h
	lay, err := Pack(context.Background(), j.items, j.stock, j.opt)
	if err != nil {
		t.Fatal(err)
	}
	return lay
}

// drawJobs draws small jobs that share shapes, so that what one works out may serve
// another: in other counts, at other gaps, with other naps and beds, under the same and
// under other numbers.
func drawJobs(t *rapid.T) []smallJob {
	var shapes []geom.Region
	for i := range 3 {
		shapes = append(shapes, shapetest.Draw(t, fmt.Sprint("shape ", i)))
	}
	var jobs []smallJob
	for range rapid.IntRange(2, 3).Draw(t, "jobs") {
		var j smallJob
		for range rapid.IntRange(1, 2).Draw(t, "kinds") {
			j.items = append(j.items, Item{
				Name: "piece", Shape: rapid.SampledFrom(shapes).Draw(t, "shape"), Colour: "#111111",
				Count: rapid.IntRange(1, 5).Draw(t, "count"),
			})
		}
		st := Stock{
			Name: "felt", Width: 140, Height: rapid.SampledFrom([]float64{140, 150}).Draw(t, "height"), Margin: 3,
			Nap: rapid.SampledFrom([]Nap{AnyTurn, FourWay, OneWay}).Draw(t, "nap"), Price: 1,
		}
		j.stock = []Stock{st}
		j.opt = Options{
			Gap: rapid.SampledFrom([]float64{0, 2}).Draw(t, "gap"), Effort: rapid.SampledFrom([]int{0, 1}).Draw(t, "effort"),
			Seed: rapid.Uint64Range(0, 1).Draw(t, "seed"),
		}
		jobs = append(jobs, j)
	}
	return jobs
}

// The same lay is found with a cache and without, after any other lays, also where the
// cache has dropped some of what it held.
func TestCacheChangesNoLay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		jobs := drawJobs(t)
		alone := make([]Lay, len(jobs))
		for i, j := range jobs {
			alone[i] = j.lay(t, nil, nil)
		}
		var c Cache
		for range rapid.IntRange(2, 3).Draw(t, "lays") {
			i := rapid.IntRange(0, len(jobs)-1).Draw(t, "job")
			if got := jobs[i].lay(t, &c, nil); !reflect.DeepEqual(got, alone[i]) {
				t.Fatal("another lay with a cache")
			}
			if rapid.IntRange(0, 3).Draw(t, "drop in four") == 0 {
				c.kept.trim(rapid.IntRange(0, 200_000).Draw(t, "bytes left"))
			}
		}
	})
}

// A search goes as deep with a cache as without: its work counts by what it asks, not by
// what is known. The job is one on which a search that is charged less finds more.
func TestCacheChangesNoSearch(t *testing.T) {
	star := geom.Region{Outer: shapetest.Ngon(5, 28, 12)}
	hook := geom.Region{Outer: geom.Ring{{}, {X: 40}, {X: 40, Y: 9}, {X: 9, Y: 9}, {X: 9, Y: 30}, {Y: 30}}}
	stock := []Stock{{Name: "a", Width: 210, Height: 297, Margin: 4}}
	var c Cache
	var h Hints
	hinted := false
	for _, n := range []int{14, 15, 16, 14, 15} {
		j := smallJob{[]Item{{Name: "star", Shape: star, Colour: "#111111", Count: n}, {Name: "hook", Shape: hook, Colour: "#111111", Count: 2 * n}},
			stock, Options{Gap: 3, Effort: 3, Seed: 1}}
		alone := j.lay(t, nil, nil)
		if got := j.lay(t, &c, nil); !reflect.DeepEqual(got, alone) {
			t.Fatalf("another lay of %d with a cache", n)
		}
		hinted = hinted || !reflect.DeepEqual(j.lay(t, nil, &h), alone)
	}
	if !hinted {
		t.Error("hints change none of these lays, so they are no check of the cache")
	}
}

// Lays with hints are the same with any cache.
func TestHintsNeedNoCache(t *testing.T) {
	for seed := range 10 {
		jobs := rapid.Custom(drawJobs).Example(seed)
		var with, without Hints
		var c Cache
		for i := range 2 * len(jobs) {
			j := jobs[i*i%len(jobs)]
			if !reflect.DeepEqual(j.lay(t, &c, &with), j.lay(t, nil, &without)) {
				t.Fatalf("seed %d: another lay with hints and a cache than with hints alone", seed)
			}
			if i%3 == 1 {
				c.kept.trim(0)
			}
		}
	}
}

// Lays at the same time may share a cache.
func TestCacheAtOnce(t *testing.T) {
	j := smallJob{[]Item{{Name: "star", Shape: geom.Region{Outer: shapetest.Ngon(5, 28, 12)}, Colour: "#111111", Count: 20}},
		[]Stock{{Name: "a", Width: 210, Height: 297}}, Options{Gap: 2, Effort: 1}}
	want := j.lay(t, nil, nil)
	var c Cache
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			if !reflect.DeepEqual(j.lay(t, &c, nil), want) {
				t.Error("another lay")
			}
		})
	}
	wg.Wait()
}

// A cache holds no more than asked, and drops what was used longest ago first.
func TestCacheDropsOldest(t *testing.T) {
	var c Cache
	stock := []Stock{{Name: "a", Width: 210, Height: 297}}
	for i := range 6 {
		j := smallJob{[]Item{{Name: "star", Shape: geom.Region{Outer: shapetest.Ngon(5, 20+float64(i), 9)}, Colour: "#111111", Count: 30}},
			stock, Options{Gap: 2, Effort: 1}}
		j.lay(t, &c, nil)
	}
	if len(c.kept.forms) != 6 {
		t.Fatalf("%d forms, want 6", len(c.kept.forms))
	}
	size := func() int {
		n := c.kept.nfps.bytes + c.kept.store.Bytes(nil)
		for _, f := range c.kept.forms {
			n += f.Form.Bytes()
		}
		return n
	}
	all := size()
	c.kept.trim(all / 2)
	if n := len(c.kept.forms); size() > all/2 || n == 0 || n == 6 {
		t.Errorf("%d bytes of %d and %d forms left", size(), all, n)
	}
	for _, f := range c.kept.forms {
		if f.call <= 6-len(c.kept.forms) {
			t.Errorf("the form of call %d was kept, %d are left", f.call, len(c.kept.forms))
		}
	}
	if c.kept.trim(0); size() != 0 {
		t.Errorf("%d bytes left of nothing", size())
	}
}

// Lays found with hints of earlier counts are sound, and not a sheet and more
// worse than those found without.
func TestHints(t *testing.T) {
	st := []Stock{{Name: "s", Width: 150, Height: 120, Margin: 3}}
	var h Hints
	items := []Item{
		{Name: "triangle", Shape: geom.Region{Outer: geom.Ring{{}, {X: 40}, {X: 13, Y: 36}}}, Colour: "#111111"},
		{Name: "square", Shape: shapetest.Rect(25, 25), Colour: "#111111"},
	}
	for _, n := range []int{1, 9, 30, 14, 30} {
		items[0].Count, items[1].Count = n, n/2
		with, err := Pack(context.Background(), items, st, Options{Gap: 2, Effort: 2, Hints: &h})
		if err != nil {
			t.Fatal(err)
		}
		without, err := Pack(context.Background(), items, st, Options{Gap: 2, Effort: 2})
		if err != nil {
			t.Fatal(err)
		}
		isWhole(t, items, st, with)
		if len(with.Sheets) > len(without.Sheets)+1 {
			t.Errorf("%d: %d sheets with hints, %d without", n, len(with.Sheets), len(without.Sheets))
		}
	}
	// Other shapes under the same numbers are not taken for the known ones.
	items[0].Shape = shapetest.Rect(60, 30)
	lay, err := Pack(context.Background(), items, st, Options{Gap: 2, Effort: 2, Hints: &h})
	if err != nil {
		t.Fatal(err)
	}
	isWhole(t, items, st, lay)
}

// isWhole checks that a lay holds every piece, 2 mm apart.
func isWhole(t *testing.T, items []Item, st []Stock, lay Lay) {
	t.Helper()
	laid := make([]int, len(items))
	for _, s := range lay.Sheets {
		for _, q := range s.Pieces {
			laid[q.Item]++
		}
		if err := check(items, st[s.Stock], s, 2); err != nil {
			t.Error(err)
		}
	}
	for i, n := range laid {
		if n != items[i].Count {
			t.Errorf("%d of %s laid, want %d", n, items[i].Name, items[i].Count)
		}
	}
}
