package trace

// offset leads from a pixel to its nearest source.
type offset struct{ x, y int16 }

func (o offset) square() int { return int(o.x)*int(o.x) + int(o.y)*int(o.y) }

// far is an offset longer than any in a picture, short enough to be squared.
const far = 1 << 14

// distanceTransform returns for each of w × h pixels the offset to its nearest
// source. Offsets are passed on from neighbour to neighbour in two sweeps (8SED:
// P. E. Danielsson, "Euclidean distance mapping", Computer Graphics and Image
// Processing 14, 1980), which is wrong by a fraction of a pixel in rare places.
func distanceTransform(w, h int, source func(k int) bool) []offset {
	way := make([]offset, w*h)
	for k := range way {
		if !source(k) {
			way[k] = offset{far, far}
		}
	}
	offer := func(k, from int, dx, dy int16) {
		o := way[from]
		if o.x == far {
			return
		}
		o.x, o.y = o.x+dx, o.y+dy
		if o.square() < way[k].square() {
			way[k] = o
		}
	}
	sweep := func(y, next int, dy int16) {
		row := y * w
		for x := range w {
			if k := row + x; next >= 0 && next < h {
				offer(k, next*w+x, 0, dy)
				if x > 0 {
					offer(k, next*w+x-1, -1, dy)
				}
				if x < w-1 {
					offer(k, next*w+x+1, 1, dy)
				}
			}
			if x > 0 {
				offer(row+x, row+x-1, -1, 0)
			}
		}
		for x := w - 2; x >= 0; x-- {
			offer(row+x, row+x+1, 1, 0)
		}
	}
	for y := range h {
		sweep(y, y-1, -1)
	}
	for y := h - 1; y >= 0; y-- {
		sweep(y, y+1, 1)
	}
	return way
}
