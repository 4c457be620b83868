package trace

import (
	"image"
	"image/color"
	"runtime"

	"golang.org/x/sync/errgroup"
)

// maxWorked is the most pixels worked on; a larger picture is halved. An A4 page
// at 400 dpi is not.
const maxWorked = 24_000_000

// plane is a grey picture, 0 black to 255 white, row by row.
type plane struct {
	w, h int
	pix  []uint8
}

// bandRows is how many rows one call of overRows works on: few enough that all
// cores end at about the same time, enough that starting it costs nothing.
const bandRows = 64

// overRows calls do for bands of rows on all cores. Each call must write to its
// own rows only, so that the result does not depend on the number of cores.
func overRows(h int, do func(from, to int)) {
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for from := 0; from < h; from += bandRows {
		g.Go(func() error {
			do(from, min(from+bandRows, h))
			return nil
		})
	}
	_ = g.Wait() // no call fails
}

// greyOf returns the luma of a picture on a white ground.
func greyOf(img image.Image) plane {
	b := img.Bounds()
	p := plane{w: b.Dx(), h: b.Dy()}
	p.pix = make([]uint8, p.w*p.h)
	// 8-bit luma of ITU-R BT.601, as JPEG has it, in 16 bits of fraction.
	luma := func(r, g, b uint32) uint8 { return uint8((19595*r + 38470*g + 7471*b + 1<<15) >> 16) }
	overRows(p.h, func(from, to int) {
		for y := from; y < to; y++ {
			row := p.pix[y*p.w : (y+1)*p.w]
			switch m := img.(type) {
			case *image.YCbCr:
				copy(row, m.Y[m.YOffset(b.Min.X, b.Min.Y+y):])
			case *image.Gray:
				copy(row, m.Pix[m.PixOffset(b.Min.X, b.Min.Y+y):])
			case *image.RGBA: // premultiplied: white shines through what is missing
				s := m.Pix[m.PixOffset(b.Min.X, b.Min.Y+y):]
				for x := range row {
					s := s[4*x : 4*x+4 : 4*x+4]
					row[x] = uint8(min(255, uint32(luma(uint32(s[0]), uint32(s[1]), uint32(s[2])))+255-uint32(s[3])))
				}
			case *image.NRGBA:
				s := m.Pix[m.PixOffset(b.Min.X, b.Min.Y+y):]
				for x := range row {
					s := s[4*x : 4*x+4 : 4*x+4]
					a := uint32(s[3])
					row[x] = uint8((uint32(luma(uint32(s[0]), uint32(s[1]), uint32(s[2])))*a + 255*(255-a) + 127) / 255)
				}
			case *image.Paletted:
				s := m.Pix[m.PixOffset(b.Min.X, b.Min.Y+y):]
				var table [256]uint8
				for i, c := range m.Palette {
					table[i] = onWhite(c)
				}
				for x := range row {
					row[x] = table[s[x]]
				}
			default:
				for x := range row {
					row[x] = onWhite(img.At(b.Min.X+x, b.Min.Y+y))
				}
			}
		}
	})
	return p
}

// isColoured reports whether a picture may hold more than grey.
func isColoured(img image.Image) bool {
	switch img.(type) {
	case *image.Gray, *image.Gray16:
		return false
	}
	return true
}

// darkestOf returns the least of red, green and blue of a picture on a white
// ground.
func darkestOf(img image.Image) plane {
	b := img.Bounds()
	p := plane{w: b.Dx(), h: b.Dy()}
	p.pix = make([]uint8, p.w*p.h)
	overRows(p.h, func(from, to int) {
		for y := from; y < to; y++ {
			for x := range p.w {
				r, g, b, a := img.At(b.Min.X+x, b.Min.Y+y).RGBA()
				p.pix[y*p.w+x] = uint8((min(r, g, b) + 0xffff - a) >> 8)
			}
		}
	})
	return p
}

// onWhite returns the luma of c on a white ground.
func onWhite(c color.Color) uint8 {
	r, g, b, a := c.RGBA()
	y := (19595*r+38470*g+7471*b+1<<15)>>16 + (0xffff - a)
	return uint8(min(y, 0xffff) >> 8)
}

// upright returns the picture turned by EXIF orientation o, 1 to 8; any other
// value leaves it as it is.
func (p plane) upright(o int) plane {
	if o < 2 || o > 8 {
		return p
	}
	q := plane{w: p.w, h: p.h, pix: make([]uint8, len(p.pix))}
	if o >= 5 {
		q.w, q.h = p.h, p.w
	}
	overRows(q.h, func(from, to int) {
		for y := from; y < to; y++ {
			for x := range q.w {
				sx, sy := x, y
				switch o {
				case 2:
					sx = p.w - 1 - x
				case 3:
					sx, sy = p.w-1-x, p.h-1-y
				case 4:
					sy = p.h - 1 - y
				case 5:
					sx, sy = y, x
				case 6:
					sx, sy = y, p.h-1-x
				case 7:
					sx, sy = p.w-1-y, p.h-1-x
				case 8:
					sx, sy = p.w-1-y, x
				}
				q.pix[y*q.w+x] = p.pix[sy*p.w+sx]
			}
		}
	})
	return q
}

// half returns the picture with each 2 by 2 pixels averaged.
func (p plane) half() plane { return p.shrink(2) }

// shrink returns the picture with each k by k pixels averaged; what is left at the
// right and the bottom is dropped.
func (p plane) shrink(k int) plane {
	q := plane{w: p.w / k, h: p.h / k}
	q.pix = make([]uint8, q.w*q.h)
	overRows(q.h, func(from, to int) {
		sums := make([]int, q.w)
		for y := from; y < to; y++ {
			clear(sums)
			for j := range k {
				row := p.pix[(y*k+j)*p.w:]
				for x := range sums {
					for _, v := range row[x*k : x*k+k] {
						sums[x] += int(v)
					}
				}
			}
			for x, s := range sums {
				q.pix[y*q.w+x] = uint8((s + k*k/2) / (k * k))
			}
		}
	})
	return q
}

// bilevel reports whether the picture has two shades at most.
func (p plane) bilevel() bool {
	a, b := p.pix[0], p.pix[0]
	for _, v := range p.pix {
		if v != a && v != b {
			if a != b {
				return false
			}
			b = v
		}
	}
	return true
}
