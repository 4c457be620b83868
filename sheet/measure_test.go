//go:build measure

package sheet

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"os"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"strew/motif/geom"
	"strew/sheet/shapetest"
)

// petals is a smooth outline of n waves, r·(1 + wave·cos nφ).
func petals(n int, r, wave float64) geom.Region {
	var out geom.Ring
	for k := range 160 {
		a := 2 * math.Pi * float64(k) / 160
		q := r * (1 + wave*math.Cos(float64(n)*a))
		out = append(out, geom.Vec{X: q * math.Cos(a), Y: q * math.Sin(a)})
	}
	return geom.Region{Outer: out}
}

// bean is a smooth outline with one bay.
func bean(r float64) geom.Region {
	var out geom.Ring
	for k := range 120 {
		a := 2 * math.Pi * float64(k) / 120
		q := r * (1 - 0.45*math.Exp(-4*(a-math.Pi)*(a-math.Pi)))
		out = append(out, geom.Vec{X: 1.5 * q * math.Cos(a), Y: q * math.Sin(a)})
	}
	return geom.Region{Outer: out}
}

// crescent is the felt between two arcs.
func crescent(r float64) geom.Region {
	var out geom.Ring
	for k := range 120 {
		a, x := math.Pi/2+math.Pi*float64(k)/60, r
		if k >= 60 {
			a, x = 3*math.Pi/2-math.Pi*float64(k-60)/60, 0.55*r
		}
		out = append(out, geom.Vec{X: x * math.Cos(a), Y: r * math.Sin(a)})
	}
	return geom.Region{Outer: out}
}

// smallJobs are 126 jobs of one to three kinds that would take up from 0.72 to 0.84 of
// one to three sheets, where a better lay often saves one.
func smallJobs(st Stock, gap float64) (jobs [][]Item) {
	shapes := []geom.Region{petals(5, 28, 0.25), bean(18), {Outer: shapetest.Ngon(5, 22, 10)}, crescent(30), petals(3, 20, 0.4), {Outer: shapetest.Ngon(7, 15, 15)}}
	bed := st.bed()
	for _, mix := range [][]int{{0}, {1}, {2}, {3}, {4}, {5}, {0, 1}, {2, 3}, {4, 5}, {0, 3}, {1, 2}, {0, 1, 2}, {3, 4, 5}, {1, 3, 4}} {
		for _, room := range []float64{0.72, 0.78, 0.84, 1.44, 1.56, 1.68, 2.16, 2.34, 2.52} {
			var items []Item
			grown := 0.0
			for _, k := range mix {
				items = append(items, Item{Name: "kind", Shape: shapes[k], Colour: "#111111"})
				grown += newForm(0, items[len(items)-1].Shape, gap, 0).Grown(context.Background())
			}
			for i := range items {
				items[i].Count = int(room * (bed.Width() + gap) * (bed.Height() + gap) / grown)
			}
			jobs = append(jobs, items)
		}
	}
	return jobs
}

// packomania is the largest radius of n equal discs in the unit square, from
// E. Specht's tables at packomania.com.
var packomania = map[int]float64{10: 0.148204322565, 20: 0.111382347512, 30: 0.091671057986, 39: 0.081367527047}

// figure is one row of what is measured.
type figure struct {
	effort           int
	strew, reference float64
	what             string // the figure's unit and what the reference is
	more             string
}

// TestFigures measures what the lay is held to, each row beside a reference: the
// best known density of the rolls in the folder STREW_LAYS, a proven bound, a
// table or a theorem. Instances are JSON files with outlines, counts and a
// roll's width or a sheet's size; a roll is scaled to a width of 1000 mm, x and
// y swapped so that its length runs down.
//
//	STREW_LAYS=DIR [STREW_EFFORT=10] [STREW_SEEDS=1,2,3] [STREW_ONLY=name] go test -tags measure -run Figures -v -timeout 2h ./sheet
//
// DIR counts from this package where it is not absolute. STREW_ONLY takes the
// rows whose name begins so. Rows of the tool's own jobs have an effort of their
// own. Of several seeds the mean and the worst of the rolls are told as well.
func TestFigures(t *testing.T) {
	effort := 3
	if e := os.Getenv("STREW_EFFORT"); e != "" {
		n, err := strconv.Atoi(e)
		if err != nil {
			t.Fatal(err)
		}
		effort = n
	}
	var seeds []uint64
	for _, s := range strings.Split(cmp.Or(os.Getenv("STREW_SEEDS"), "1"), ",") {
		n, err := strconv.ParseUint(s, 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		seeds = append(seeds, n)
	}
	fmt.Printf("%-28s %6s %9s %9s %7s %7s %7s\n", "job", "effort", "strew", "reference", "ratio", "s", "cpu s")
	row := func(name string, measure func() figure) (got float64) {
		if !strings.HasPrefix(name, os.Getenv("STREW_ONLY")) {
			return 0
		}
		start, cpu := time.Now(), cpuTime()
		f := measure()
		s, c := time.Since(start).Seconds(), (cpuTime() - cpu).Seconds()
		fmt.Printf("%-28s %6d %9.4g %9.4g %7.4f %7.2f %7.2f  %s %s\n", name, f.effort, f.strew, f.reference, f.strew/f.reference, s, c, f.what, f.more)
		return f.strew
	}
	pack := func(items []Item, st Stock, gap float64, effort int, seed uint64) Lay {
		lay, err := Pack(context.Background(), items, []Stock{st}, Options{Gap: gap, Effort: effort, Seed: seed})
		if err != nil {
			t.Fatal(err)
		}
		return lay
	}
	sheets := func(items []Item, st Stock, gap float64, effort int) func() figure {
		return func() figure {
			lay := pack(items, st, gap, effort, 1)
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			return figure{effort: effort, strew: float64(len(lay.Sheets)), reference: float64(lay.Needs[0].AtLeast),
				what: "sheets; proven least", more: fmt.Sprintf("(%d MB)", m.Sys>>20)}
		}
	}

	for _, in := range instances(t) {
		if !in.stock.Roll {
			row(in.name, sheets(in.items, in.stock, in.gap, effort))
			if len(in.items) == 1 {
				row(in.name+", most on a sheet", func() figure { return mostOnASheet(in, effort, pack) })
			}
			continue
		}
		sum, worst := 0.0, math.Inf(1)
		for _, seed := range seeds {
			got := row(in.name, func() figure {
				lay := pack(in.items, in.stock, in.gap, effort, seed)
				return figure{effort: effort, strew: 100 * lay.Sheets[0].Used, reference: in.best, what: "%; best known", more: fmt.Sprintf("(seed %d)", seed)}
			})
			sum, worst = sum+got, min(worst, got)
		}
		if len(seeds) > 1 && sum > 0 {
			fmt.Printf("%-28s %6d mean %.2f, worst %.2f of %d seeds\n", in.name, effort, sum/float64(len(seeds)), worst, len(seeds))
		}
	}

	a4 := Stock{Name: "A4", Width: 210, Height: 297, Margin: 4}
	three := func(n int) []Item {
		return []Item{
			{Name: "petals", Shape: petals(5, 28, 0.25), Colour: "#111111", Count: n},
			{Name: "bean", Shape: bean(18), Colour: "#111111", Count: n},
			{Name: "star", Shape: geom.Region{Outer: shapetest.Ngon(5, 20, 9)}, Colour: "#111111", Count: n},
		}
	}
	row("2001 of three kinds", sheets(three(667), a4, 3, 3))
	row("10000 of one kind", sheets([]Item{{Name: "bean", Shape: bean(18), Colour: "#111111", Count: 10000}}, a4, 3, 3))
	row("10000 of one kind, crescents", sheets([]Item{{Name: "crescent", Shape: crescent(30), Colour: "#111111", Count: 10000}}, a4, 3, 3))
	row("home, 150 of three kinds", sheets(three(50), a4, 3, 3))
	row("home, 90 of three kinds", sheets(three(30), a4, 3, 3))
	row("home, 60 petals", sheets(three(60)[:1], a4, 3, 3))
	row("home, 60 beans", sheets(three(60)[1:2], a4, 3, 3))
	row("126 small jobs", func() figure {
		f := figure{effort: 3, what: "sheets in all; proven least"}
		for _, items := range smallJobs(a4, 3) {
			lay := pack(items, a4, 3, 3, 1)
			f.strew += float64(len(lay.Sheets))
			f.reference += float64(lay.Needs[0].AtLeast)
		}
		return f
	})
	for _, n := range []int{10, 20, 30, 39} {
		row(fmt.Sprintf("discs, %d in a square", n), func() figure {
			d := []Item{{Name: "disc", Shape: geom.Region{Outer: shapetest.Ngon(96, 98.5*packomania[n], 0)}, Colour: "#111111", Count: n}}
			lay := pack(d, Stock{Name: "square", Width: 100, Height: 100}, 0, 10, 1)
			return figure{effort: 10, strew: float64(len(lay.Sheets)), reference: 1, what: "squares; at 0.985 of Packomania's radius"}
		})
	}
	for _, c := range []struct {
		sides int
		best  float64
	}{{5, 0.92131}, {7, 0.89269}} {
		row(fmt.Sprintf("lattice of %d-gons", c.sides), func() figure {
			f := newForm(0, geom.Region{Outer: shapetest.Ngon(c.sides, 500, 0)}, 0, 0)
			return figure{strew: f.Form.Area / densest(newRower(f.Form, false)).cell(), reference: c.best, what: "of the plane; Kuperberg and Kuperberg 1990"}
		})
	}
}

// mostOnASheet finds how many of an instance's one kind lie on one sheet, asking
// for one more each time; the reference is how many are not proven too many.
func mostOnASheet(in job, effort int, pack func([]Item, Stock, float64, int, uint64) Lay) figure {
	p := testCall(in.items, in.stock, Options{Gap: in.gap})
	f := newForm(0, in.items[0].Shape, in.gap, 0)
	cap := 1
	for p.sheetsAtLeast(0, []want{{f, cap + 1}}) == 1 {
		cap++
	}
	items := []Item{in.items[0]}
	items[0].Count = cap
	most := len(pack(items, in.stock, in.gap, 0, 1).Sheets[0].Pieces)
	for most < cap {
		items[0].Count = most + 1
		if len(pack(items, in.stock, in.gap, effort, 1).Sheets) > 1 {
			break
		}
		most++
	}
	return figure{effort: effort, strew: float64(most), reference: float64(cap), what: "pieces; proven most"}
}
