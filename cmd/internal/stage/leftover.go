package stage

import (
	"cmp"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"strew/motif/geom"
	"strew/sheet"
)

// UsefulLeast is the shortest side, in millimetres, of a piece of felt that counts
// as left over: smaller scraps are thrown away; common practice, no source.
const UsefulLeast = 50.0

// leftOver finds what each sheet leaves.
func leftOver(items []sheet.Item, f Felt, lay sheet.Lay) [][]geom.Box {
	out := make([][]geom.Box, len(lay.Sheets))
	again := func(i int) bool {
		return i > 0 && lay.Sheets[i-1].Stock == lay.Sheets[i].Stock && slices.Equal(lay.Sheets[i-1].Pieces, lay.Sheets[i].Pieces)
	}
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i, s := range lay.Sheets {
		if again(i) {
			continue
		}
		g.Go(func() error {
			out[i] = sheet.LeftOver(items, stockOf(f.Sheets[s.Stock]), s, UsefulLeast)
			return nil
		})
	}
	_ = g.Wait() // no sheet fails
	for i := range out {
		if again(i) {
			out[i] = out[i-1]
		}
	}
	return out
}

// Remnants is what is left over in one size, on sheets of one kind.
type Remnants struct {
	Box    geom.Box // of the first one, in its sheet's frame; its size is that of all
	Stock  int      // index of the kind of sheet
	Colour string   // "#rrggbb"
	Sheets []int    // their numbers, ascending; one with two such pieces is listed twice
}

// Remnants lists what is left over, the largest first.
func (l Laid) Remnants() []Remnants {
	var out []Remnants
	for i, boxes := range l.LeftOver {
		s := l.Lay.Sheets[i]
		for _, b := range boxes {
			same := func(r Remnants) bool {
				return r.Stock == s.Stock && r.Colour == s.Colour && r.Box.Width() == b.Width() && r.Box.Height() == b.Height()
			}
			j := slices.IndexFunc(out, same)
			if j < 0 {
				j = len(out)
				out = append(out, Remnants{Box: b, Stock: s.Stock, Colour: s.Colour})
			}
			out[j].Sheets = append(out[j].Sheets, s.Number)
		}
	}
	area := func(r Remnants) float64 { return r.Box.Width() * r.Box.Height() }
	slices.SortStableFunc(out, func(a, b Remnants) int { return cmp.Compare(area(b), area(a)) })
	return out
}

// sheetsOf returns how many sheets a lay takes, of all colours, those in the
// drawer included.
func sheetsOf(l sheet.Lay) int {
	sum := 0
	for _, n := range l.Needs {
		sum += n.Sheets
	}
	return sum
}

// FeltCost returns what the felt to buy costs, in the project's currency, and
// whether all of it has a price.
func (p Plan) FeltCost() (sum float64, all bool) {
	all = true
	for _, n := range p.Laid.Lay.Needs {
		all = all && (p.Project.Sheets[n.Stock].PriceSet || n.Buy == 0)
	}
	return costOf(p.Laid.Lay), all
}

func costOf(l sheet.Lay) float64 {
	sum := 0.0
	for _, n := range l.Needs {
		sum += n.Cost
	}
	return sum
}
