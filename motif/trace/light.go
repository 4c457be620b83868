package trace

import (
	"context"
	"errors"
	"math"
	"slices"
)

// The light on a page is uneven and the page has a shade of its own, so what
// counts is how much darker a place is than the bare page round it. The page
// is measured in tiles. A smooth surface of the second degree is fitted first
// to the tiles along the border, where no drawing is, and then to every tile
// that lies near it, which leaves out tiles inside a filled figure. Tiles of
// bare page then set the surface right where the light has spots of its own.

// span is the part of a row that belongs to the page: from <= x < to.
type span struct{ from, to int }

// ink is the picture as ink on a bare page: 0 where the page is bare, 1 where
// it is as dark as can be; noise makes it negative in places. Pixels off the
// page are 0.
type ink struct {
	w, h  int
	v     []float32
	rows  []span
	low   float32 // what is less is bare page
	dark  bool    // the drawing is light on dark
	noise float64 // standard deviation of bare page, after blurring
}

// wholePage returns the spans of a picture that is all page.
func wholePage(w, h int) []span {
	rows := make([]span, h)
	for y := range rows {
		rows[y] = span{0, w}
	}
	return rows
}

// surface is a polynomial of the second degree in x and y, both from -1 to 1.
type surface [6]float64

func terms(x, y float64) [6]float64 { return [6]float64{1, x, y, x * x, x * y, y * y} }

func (s surface) at(x, y float64) float64 {
	sum := 0.0
	for i, t := range terms(x, y) {
		sum += s[i] * t
	}
	return sum
}

// light is the brightness of the bare page in tiles.
type light struct {
	tile, w, h int
	v          []float64
}

// between says that a pixel lies share of the way from tile i to tile j.
type between struct {
	i, j  int
	share float32
}

// places returns where n pixels lie between the middles of tiles.
func places(n, tile, tiles int) []between {
	out := make([]between, n)
	for x := range out {
		f := math.Max(0, math.Min(float64(tiles-1), (float64(x)+0.5)/float64(tile)-0.5))
		i := int(f)
		out[x] = between{i, min(i+1, tiles-1), float32(f - float64(i))}
	}
	return out
}

// tiles returns the brightness of each tile that is not exceeded by share of
// its pixels, NaN where a tile holds hardly any page, and whether it lies at
// the page's border.
func tiles(p plane, rows []span, tile int, share float64) (l light, border []bool) {
	l = light{tile: tile, w: (p.w + tile - 1) / tile, h: (p.h + tile - 1) / tile}
	l.v = make([]float64, l.w*l.h)
	border = make([]bool, len(l.v))
	step := max(1, tile/24) // some 500 pixels are enough
	overRows(l.h, func(from, to int) {
		for j := from; j < to; j++ {
			for i := range l.w {
				var count [256]int
				n, all := 0, 0
				for y := j * tile; y < min((j+1)*tile, p.h); y += step {
					row := rows[y]
					for x := i * tile; x < (i+1)*tile; x += step {
						all++
						if x >= row.from && x < row.to {
							count[p.pix[y*p.w+x]]++
							n++
						}
					}
				}
				k := j*l.w + i
				border[k] = n < all || i == 0 || j == 0 || i == l.w-1 || j == l.h-1
				if n*4 < all || n == 0 {
					l.v[k] = math.NaN()
					continue
				}
				left := int(share * float64(n-1))
				v := 0
				for ; left >= count[v]; v++ {
					left -= count[v]
				}
				l.v[k] = float64(v)
			}
		}
	})
	return l, border
}

// nearPage is how far, as a share, a tile of bare page may lie off the smooth
// surface: lamps and shadows give that much, solid ink gives more.
const nearPage = 0.12

// barePage estimates the brightness of the page under and round the drawing.
func barePage(p plane, rows []span, dark bool) light {
	tile := max(8, min(64, min(p.w, p.h)/24))
	share := 0.7 // above the middle: lines darken a tile
	if dark {
		share = 0.3
	}
	l, good := tiles(p, rows, tile, share)
	place := func(k int) (x, y float64) {
		return 2*(float64(k%l.w)+0.5)/float64(l.w) - 1, 2*(float64(k/l.w)+0.5)/float64(l.h) - 1
	}
	var edge []float64
	for k, v := range l.v {
		if good[k] && !math.IsNaN(v) {
			edge = append(edge, v)
		}
	}
	if len(edge) == 0 {
		for k := range l.v {
			l.v[k] = 128
		}
		return l
	}
	slices.Sort(edge)
	s := surface{edge[len(edge)/2]}
	// Ten rounds let the page grow inward from the border.
	for round := range 10 {
		slack := nearPage
		if round == 0 {
			slack = 0.4 // the border's own light may fall off as much
		}
		var normal [6][7]float64
		n := 0
		for k, v := range l.v {
			x, y := place(k)
			if at := s.at(x, y); math.IsNaN(v) || round < 2 && !good[k] || math.Abs(v-at) > slack*at+2 {
				continue
			}
			n++
			t := terms(x, y)
			for i := range t {
				for j := range t {
					normal[i][j] += t[i] * t[j]
				}
				normal[i][6] += t[i] * v
			}
		}
		// A little weight holds the curved terms down where few tiles speak.
		for i := range normal {
			normal[i][i] += 1e-6 * float64(n+1)
		}
		fitted, ok := solve6(normal)
		if !ok || n < 6 {
			break
		}
		s = fitted
	}
	// What the surface leaves over, as a factor; unknown under ink, where it
	// spreads in from the tiles round about.
	over := make([]float64, len(l.v))
	known := make([]bool, len(l.v))
	for k, v := range l.v {
		x, y := place(k)
		at := math.Max(1, s.at(x, y))
		over[k] = 1
		if !math.IsNaN(v) && math.Abs(v-at) <= nearPage*at+2 {
			over[k], known[k] = math.Max(v, 1)/at, true
		}
	}
	for range 2 * max(l.w, l.h) {
		next := slices.Clone(over)
		for k := range over {
			if known[k] {
				continue
			}
			sum, n := 0.0, 0.0
			i, j := k%l.w, k/l.w
			for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
				if a, b := i+d[0], j+d[1]; a >= 0 && b >= 0 && a < l.w && b < l.h {
					sum += over[b*l.w+a]
					n++
				}
			}
			next[k] = sum / n
		}
		over = next
	}
	for k := range l.v {
		x, y := place(k)
		l.v[k] = math.Max(1, s.at(x, y)) * over[k]
	}
	return l
}

// solve6 solves six linear equations, with the right side as seventh column.
func solve6(m [6][7]float64) (x surface, ok bool) {
	rows := make([][]float64, len(m))
	for i := range m {
		rows[i] = m[i][:]
	}
	ok = solve(rows)
	for i := range m {
		x[i] = m[i][6]
	}
	return x, ok
}

// solve solves n linear equations in place by elimination, the largest pivot
// first; the right side is the last column, and the answer takes its place.
func solve(m [][]float64) bool {
	n := len(m)
	for c := range n {
		best := c
		for r := c + 1; r < n; r++ {
			if math.Abs(m[r][c]) > math.Abs(m[best][c]) {
				best = r
			}
		}
		m[c], m[best] = m[best], m[c]
		if m[c][c] == 0 || math.IsNaN(m[c][c]) {
			return false
		}
		for r := range n {
			if r == c {
				continue
			}
			f := m[r][c] / m[c][c]
			for k := c; k <= n; k++ {
				m[r][k] -= f * m[c][k]
			}
		}
	}
	for r := range n {
		m[r][n] /= m[r][r]
	}
	return true
}

// isDarkPage reports whether the drawing is light on dark: the page's border
// is dark, and what is brighter than it stands out more than what is darker.
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

// darkestPage is the least brightness that ink is measured against; on a page
// darker than that a single step of the picture would count as ink.
const darkestPage = 24

// Limits of ink, as shares of the page's brightness.
const (
	leastInk = 0.05 // fainter marks are shade, creases and dirt
	faintest = 0.25 // of the darkest ink: a drawing's own faint places
	sure     = 5    // standard deviations above which noise does not reach
)

var errBlank = errors.New("the page is blank: nothing on it is clearly darker than the paper; draw with a darker pen, or scan with more contrast")

// findInk sets the picture off against its bare page.
func findInk(ctx context.Context, p plane, rows []span) (ink, error) {
	in := ink{w: p.w, h: p.h, rows: rows, v: make([]float32, p.w*p.h)}
	dark := isDarkPage(p, rows)
	in.dark = dark
	bare := barePage(p, rows, dark)
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
	// Grain is blurred away before the edge is looked for, but a clean picture
	// keeps its own edge.
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

// bins of ink for ranks, over -1 to 1.
const inkBins = 2000

// rank returns the ink that is not exceeded by share of the page.
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

// measureNoise returns the standard deviation of the grain, from differences
// of pixels a little apart, so that neither ink nor blur counts.
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

// blur spreads each pixel over three by three with weights 1 2 1.
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
