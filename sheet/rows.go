package sheet

import "strew/motif/geom"

// rows are a board's pieces by their sheet and how far down they lie, so that a
// place is compared with few of them.
type rows struct {
	in    [][]resident // of each row, sheet by sheet, the pieces whose boxes reach into it
	each  int          // so many rows a sheet
	at    []stretch    // of each piece, the rows it is noted in
	perMM float64
}

// resident is a piece noted in a row.
type resident struct {
	frame
	piece   int32
	first   int32 // the first row it is noted in
	place   geom.Vec
	variant int32 // its body and turn, see board.variants
}

// stretch is the first and the last of some rows.
type stretch struct{ from, to int32 }

// frame is a box in whole units, a little larger: comparing two of them
// takes one branch, which a processor guesses better than four.
type frame struct{ left, right, top, bottom int32 }

// unitsPerMM is how many units of a frame make a millimetre: the longest rolls
// stay far below what 32 bits hold.
const unitsPerMM = 256

func frameOf(b *geom.Box) frame {
	return frame{
		int32(b.Min.X*unitsPerMM) - 1, int32(b.Max.X*unitsPerMM) + 1,
		int32(b.Min.Y*unitsPerMM) - 1, int32(b.Max.Y*unitsPerMM) + 1,
	}
}

// apart reports whether the frames have nothing in common.
func (f *frame) apart(g *frame) bool {
	return (f.right-g.left)|(g.right-f.left)|(f.bottom-g.top)|(g.bottom-f.top) < 0
}

// piecesInRow is about how many pieces begin in a row.
const piecesInRow = 6

// reach returns the rows a box on sheet bin reaches into.
func (r *rows) reach(box *geom.Box, bin int) stretch {
	first, last := int32(bin*r.each), int32(r.each-1)
	return stretch{first + max(0, min(int32(box.Min.Y*r.perMM), last)), first + max(0, min(int32(box.Max.Y*r.perMM), last))}
}

// sort notes piece i in the rows its box on its sheet reaches into, and in no
// others.
func (r *rows) sort(i int, p *piece, box *geom.Box) {
	for k := r.at[i].from; k <= r.at[i].to; k++ {
		in := r.in[k]
		last := len(in) - 1
		for j := range in {
			if int(in[j].piece) == i {
				in[j] = in[last]
				break
			}
		}
		r.in[k] = in[:last]
	}
	now := r.reach(box, p.bin)
	r.at[i] = now
	s := resident{frameOf(box), int32(i), now.from, p.at, int32(p.body.id*len(p.body.poses) + p.step)}
	for k := now.from; k <= now.to; k++ {
		r.in[k] = append(r.in[k], s)
	}
}

// sortRows notes all pieces anew.
func (b *board) sortRows() {
	r := &b.rows
	r.each = max(1, len(b.pieces)/b.bins/piecesInRow)
	for len(r.in) < r.each*b.bins {
		r.in = append(r.in, nil)
	}
	r.in = r.in[:r.each*b.bins]
	for k := range r.in {
		r.in[k] = r.in[k][:0]
	}
	r.perMM = float64(r.each) / b.h
	for i := range b.pieces {
		r.at[i] = stretch{0, -1}
		r.sort(i, &b.pieces[i], &b.boxes[i])
	}
}
