package search

import "strew/motif/geom"

// rows sort a state's pieces by their bin and how far down they lie, so that a
// position is compared with few of them.
type rows struct {
	in    [][]resident // of each row, bin by bin, the pieces whose boxes reach into it
	each  int          // rows of a bin
	at    []stretch    // of each piece, the rows it is noted in
	perMM float64
}

// resident is a piece noted in a row.
type resident struct {
	frame
	piece   int32
	first   int32 // the first row it is noted in
	place   geom.Vec
	variant int32 // its body and pose, see lookup.variants
}

// neighbours are the pieces near a position: evaluations close to it ask no others.
type neighbours struct {
	at     geom.Vec
	margin float64 // how far from at, along x or y, a position may be
	in     []resident
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

// piecesInRow is about how many pieces begin in a row: fewer make more rows to read,
// more make more pieces to compare.
const piecesInRow = 6

// reach returns the rows that a box on a bin reaches into.
func (r *rows) reach(box *geom.Box, bin int) stretch {
	first, last := int32(bin*r.each), int32(r.each-1)
	return stretch{first + max(0, min(int32(box.Min.Y*r.perMM), last)), first + max(0, min(int32(box.Max.Y*r.perMM), last))}
}

// note notes piece i in the rows its box on its bin reaches into, and in no others.
func (r *rows) note(i int, p *Piece, box *geom.Box) {
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

// noteAll notes all pieces anew, on the given number of bins of that height.
func (r *rows) noteAll(pieces []Piece, boxes []geom.Box, bins int, height float64) {
	r.each = max(1, len(pieces)/bins/piecesInRow)
	for len(r.in) < r.each*bins {
		r.in = append(r.in, nil)
	}
	r.in = r.in[:r.each*bins]
	for k := range r.in {
		r.in[k] = r.in[k][:0]
	}
	r.perMM = float64(r.each) / height
	for i := range pieces {
		r.at[i] = stretch{0, -1}
		r.note(i, &pieces[i], &boxes[i])
	}
}
