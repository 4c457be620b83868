package sheet

import "strew/motif/geom"

// rows are a board's pieces by how far down they lie, so that a place is compared
// with few of them.
type rows struct {
	in    [][]int32 // of each row, the pieces whose boxes reach into it
	at    []stretch // of each piece, the rows it is noted in
	perMM float64
}

// stretch is the first and the last of some rows.
type stretch struct{ from, to int32 }

// piecesInRow is about how many pieces begin in a row.
const piecesInRow = 3

// reach returns the rows a box reaches into.
func (r *rows) reach(box *geom.Box) stretch {
	last := int32(len(r.in) - 1)
	return stretch{max(0, min(int32(box.Min.Y*r.perMM), last)), max(0, min(int32(box.Max.Y*r.perMM), last))}
}

// sort notes piece i in the rows its box reaches into, and no others.
func (r *rows) sort(i int, box *geom.Box) {
	now := r.reach(box)
	if now == r.at[i] {
		return
	}
	for k := r.at[i].from; k <= r.at[i].to; k++ {
		r.in[k] = without(r.in[k], int32(i))
	}
	r.at[i] = now
	for k := now.from; k <= now.to; k++ {
		r.in[k] = append(r.in[k], int32(i))
	}
}

// sortRows notes all pieces anew.
func (b *board) sortRows() {
	r := &b.rows
	n := max(1, len(b.pieces)/b.bins/piecesInRow)
	for len(r.in) < n {
		r.in = append(r.in, nil)
	}
	r.in = r.in[:n]
	for k := range r.in {
		r.in[k] = r.in[k][:0]
	}
	r.perMM = float64(n) / b.h
	for i := range b.pieces {
		r.at[i] = stretch{0, -1}
		r.sort(i, &b.boxes[i])
	}
}
