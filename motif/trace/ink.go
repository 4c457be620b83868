package trace

import (
	"context"
	"math"
	"slices"

	"strew/motif/say"
)

// span is the part of a row that belongs to the page: from <= x < to.
type span struct{ from, to int }

// ink is the picture as ink on a bare page: 0 where the page is bare, 1 where it
// is as dark as can be; noise makes it negative in places. Pixels off the page
// are 0.
type ink struct {
	w, h  int
	v     []float32
	rows  []span
	low   float32 // less than this is bare page
	dark  bool    // the drawing is light on dark
	noise float64 // standard deviation of bare page, after blurring
}

// wholePage returns the spans of a picture that is page throughout.
func wholePage(w, h int) []span {
	rows := make([]span, h)
	for y := range rows {
		rows[y] = span{0, w}
	}
	return rows
}

// isDarkPage reports whether the drawing is light on dark: the border of the page
// is dark, and what is brighter stands out more than what is darker.
func isDarkPage(p plane, rows []span) bool {
	var all, edge [256]int
	na, ne := 0, 0
	step := max(1, min(p.w, p.h)/400)
	frame := max(1, min(p.w, p.h)/40)
	for y := 0; y < p.h; y += step {
		for x := rows[y].from; x < rows[y].to; x += step {
			v := p.pix[y*p.w+x]
			all[v]++
			na++
			if x < rows[y].from+frame || x >= rows[y].to-frame || y < frame || y >= p.h-frame {
				edge[v]++
				ne++
			}
		}
	}
	rank := func(count *[256]int, n int, share float64) float64 {
		left, v := int(share*float64(n)), 0
		for ; v < 255 && left >= count[v]; v++ {
			left -= count[v]
		}
		return float64(v)
	}
	middle := rank(&edge, ne, 0.5)
	return middle < 110 && rank(&all, na, 0.995)-middle > 2*(middle-rank(&all, na, 0.005)) && rank(&all, na, 0.995)-middle > 30
}

// darkestPage is the least brightness that ink is measured against: on a darker
// page a single grey level would count as ink.
const darkestPage = 24

// Limits of ink, as shares of the page's brightness.
const (
	leastInk = 0.05 // fainter marks are shadows, creases and dirt
	faintest = 0.25 // of the darkest ink: the faint places of the drawing
	sure     = 5    // standard deviations, beyond which noise does not reach
)

var errBlank = say.Errorf("the page is blank: nothing on it is clearly darker than the paper; draw with a darker pen, or scan with more contrast")

// findInk returns how much darker the picture is than its bare page, or brighter
// where the drawing is light on dark, without grain.
func findInk(ctx context.Context, p plane, rows []span) (ink, error) {
	in := ink{w: p.w, h: p.h, rows: rows, v: make([]float32, p.w*p.h)}
	dark := isDarkPage(p, rows)
	in.dark = dark
	bare := illuminationOf(p, rows, dark)
	if err := stopped(ctx); err != nil {
		return ink{}, err
	}
	across, along := places(p.w, bare.tile, bare.w), places(p.h, bare.tile, bare.h)
	overRows(p.h, func(from, to int) {
		tiles := make([]float32, bare.w)
		for y := from; y < to; y++ {
			at := along[y]
			for i := range tiles {
				a, b := bare.v[at.i*bare.w+i], bare.v[at.j*bare.w+i]
				tiles[i] = float32(a + float64(at.share)*(b-a))
			}
			out, pix := in.v[y*p.w:(y+1)*p.w], p.pix[y*p.w:(y+1)*p.w]
			for x := rows[y].from; x < rows[y].to; x++ {
				at := across[x]
				page := tiles[at.i] + at.share*(tiles[at.j]-tiles[at.i])
				if v := float32(pix[x]); dark {
					out[x] = (v - page) / 255
				} else {
					out[x] = (page - v) / max(page, darkestPage)
				}
			}
		}
	})
	// Grain is blurred away before edges are looked for; a clean picture keeps its
	// own edges.
	const grain = 0.008
	for range 2 {
		if in.noise = in.measureNoise(); in.noise < grain {
			break
		}
		if err := stopped(ctx); err != nil {
			return ink{}, err
		}
		in.blur()
		in.noise = in.measureNoise()
	}
	darkest := in.rank(0.999)
	in.low = float32(math.Max(leastInk, math.Max(sure*in.noise, faintest*darkest)))
	return in, nil
}

// inkBins is how many steps ink from -1 to 1 is counted in.
const inkBins = 2000

// rank returns the ink that share of the page does not exceed.
func (in ink) rank(share float64) float64 {
	var count [inkBins]int
	n := 0
	step := max(1, min(in.w, in.h)/1000)
	for y := 0; y < in.h; y += step {
		for x := in.rows[y].from; x < in.rows[y].to; x += step {
			k := int((in.v[y*in.w+x] + 1) * inkBins / 2)
			count[max(0, min(inkBins-1, k))]++
			n++
		}
	}
	left, k := int(share*float64(n)), 0
	for ; k < inkBins-1 && left >= count[k]; k++ {
		left -= count[k]
	}
	return 2*float64(k)/inkBins - 1
}

// measureNoise returns the standard deviation of the grain: the median of the
// differences of pixels a little apart, so that neither ink nor blur counts.
func (in ink) measureNoise() float64 {
	const apart = 4
	var diffs []float32
	step := max(1, in.h/200)
	for y := 0; y < in.h; y += step {
		r := in.rows[y]
		for x := r.from; x+apart < r.to; x += max(1, (r.to-r.from)/200) {
			d := in.v[y*in.w+x] - in.v[y*in.w+x+apart]
			diffs = append(diffs, max(d, -d))
		}
	}
	if len(diffs) == 0 {
		return 0
	}
	slices.Sort(diffs)
	// The median of |difference| of two normal values is 0.6745·√2·σ.
	return float64(diffs[len(diffs)/2]) / 0.9539
}

// blur averages each pixel with its neighbours, weights 1 2 1 each way.
func (in *ink) blur() {
	out := make([]float32, len(in.v))
	overRows(in.h, func(from, to int) {
		sum := make([]float32, in.w)
		for y := from; y < to; y++ {
			up, here, down := in.line(y-1), in.line(y), in.line(y+1)
			for x := range sum {
				sum[x] = up[x] + 2*here[x] + down[x]
			}
			o := out[y*in.w : (y+1)*in.w]
			for x := in.rows[y].from; x < in.rows[y].to; x++ {
				l, r := max(x-1, 0), min(x+1, in.w-1)
				o[x] = (sum[l] + 2*sum[x] + sum[r]) / 16
			}
		}
	})
	in.v = out
}

func (in *ink) line(y int) []float32 {
	y = max(0, min(in.h-1, y))
	return in.v[y*in.w : (y+1)*in.w]
}
