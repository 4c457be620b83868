package trace

import (
	"math"
	"slices"
)

// The light on a page is uneven and the page has a shade of its own, so what
// counts is how much darker a place is than the bare page round it. This
// estimates that illumination in tiles. A quadratic surface is fitted first to
// the tiles along the border, where no drawing is, and then to every tile that
// lies near it, which leaves out tiles inside a filled figure. The ratio of bare
// tiles to the surface then corrects it where the light is uneven locally.

// surface is a polynomial of degree two in x and y, both from -1 to 1.
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

// between is where a pixel lies: share of the way from tile i to tile j.
type between struct {
	i, j  int
	share float32
}

// places returns where each of n pixels lies between the middles of tiles.
func places(n, tile, tiles int) []between {
	out := make([]between, n)
	for x := range out {
		f := math.Max(0, math.Min(float64(tiles-1), (float64(x)+0.5)/float64(tile)-0.5))
		i := int(f)
		out[x] = between{i, min(i+1, tiles-1), float32(f - float64(i))}
	}
	return out
}

// tiles returns for each tile the brightness that share of its pixels do not
// exceed, NaN where a tile holds hardly any page, and whether it lies at
// the page's border.
func tiles(p plane, rows []span, tile int, share float64) (l light, border []bool) {
	l = light{tile: tile, w: (p.w + tile - 1) / tile, h: (p.h + tile - 1) / tile}
	l.v = make([]float64, l.w*l.h)
	border = make([]bool, len(l.v))
	step := max(1, tile/24) // about 500 pixels of a tile are enough
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

// nearPage is how far, as a share, a tile of bare page may differ from the
// surface: lamps and shadows give that much, solid ink gives more.
const nearPage = 0.12

// illuminationOf estimates the brightness of the bare page under and round the
// drawing.
func illuminationOf(p plane, rows []span, dark bool) light {
	tile := max(8, min(64, min(p.w, p.h)/24))
	share := 0.7 // above the middle: lines darken a tile
	if dark {
		share = 0.3
	}
	l, border := tiles(p, rows, tile, share)
	start, ok := l.median(border)
	if !ok {
		for k := range l.v {
			l.v[k] = 128
		}
		return l
	}
	s := l.surface(border, start)
	ratio := l.ratioTo(s)
	for k := range l.v {
		x, y := l.place(k)
		l.v[k] = math.Max(1, s.at(x, y)) * ratio[k]
	}
	return l
}

// place returns the middle of tile k, both coordinates from -1 to 1.
func (l light) place(k int) (x, y float64) {
	return 2*(float64(k%l.w)+0.5)/float64(l.w) - 1, 2*(float64(k/l.w)+0.5)/float64(l.h) - 1
}

// median returns the median brightness of the marked tiles, and false where none
// of them holds any page.
func (l light) median(marked []bool) (float64, bool) {
	var known []float64
	for k, v := range l.v {
		if marked[k] && !math.IsNaN(v) {
			known = append(known, v)
		}
	}
	if len(known) == 0 {
		return 0, false
	}
	slices.Sort(known)
	return known[len(known)/2], true
}

// surface fits a quadratic surface to the tiles of bare page: by least squares,
// again and again to those near the last surface, at first at the border only.
func (l light) surface(border []bool, start float64) surface {
	s := surface{start}
	// Ten rounds let the page grow inward from the border.
	for round := range 10 {
		slack := nearPage
		if round == 0 {
			slack = 0.4 // the border's own light may fall off as much
		}
		var normal [6][7]float64
		n := 0
		for k, v := range l.v {
			x, y := l.place(k)
			if at := s.at(x, y); math.IsNaN(v) || round < 2 && !border[k] || math.Abs(v-at) > slack*at+2 {
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
		// A little weight holds the curved terms down where tiles are few.
		for i := range normal {
			normal[i][i] += 1e-6 * float64(n+1)
		}
		fitted, ok := solve6(normal)
		if !ok || n < 6 {
			break
		}
		s = fitted
	}
	return s
}

// ratioTo returns the brightness of each tile as a factor of the surface. Under
// ink, where it is unknown, it is interpolated from the tiles round about, each
// the mean of its four neighbours (Jacobi's method for Laplace's equation).
func (l light) ratioTo(s surface) []float64 {
	ratio := make([]float64, len(l.v))
	known := make([]bool, len(l.v))
	for k, v := range l.v {
		x, y := l.place(k)
		at := math.Max(1, s.at(x, y))
		ratio[k] = 1
		if !math.IsNaN(v) && math.Abs(v-at) <= nearPage*at+2 {
			ratio[k], known[k] = math.Max(v, 1)/at, true
		}
	}
	for range 2 * max(l.w, l.h) {
		next := slices.Clone(ratio)
		for k := range ratio {
			if known[k] {
				continue
			}
			sum, n := 0.0, 0.0
			i, j := k%l.w, k/l.w
			for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
				if a, b := i+d[0], j+d[1]; a >= 0 && b >= 0 && a < l.w && b < l.h {
					sum += ratio[b*l.w+a]
					n++
				}
			}
			next[k] = sum / n
		}
		ratio = next
	}
	return ratio
}

// solve6 solves six linear equations, with the right-hand side as seventh column.
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
