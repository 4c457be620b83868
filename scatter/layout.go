package scatter

import (
	"cmp"
	"context"
	"math"
	"slices"

	"strew/scatter/skirt"
)

// layout copies the repeat round the skirt and numbers the marks panel by panel
// and row by row.
func (d *draft) layout(ctx context.Context) (Layout, error) {
	s := d.surface
	low, high := d.reach(d.marks)
	out := Layout{Spacing: d.step, RowSpacing: d.pitch, Repeat: d.repeat, Band: [2]float64{low, high}}
	if len(d.rows) == 0 {
		d.bandRows()
	} else {
		d.handRows()
	}
	n := len(d.marks)
	out.Placements = make([]Placement, n*d.repeat)
	err := inChunks(ctx, len(out.Placements), chunk, func(from, to int) {
		for i := from; i < to; i++ {
			m := &d.marks[i%n]
			at := skirt.Settled(s, m.at.Repeated(i/n, d.repeat))
			p := s.Point(at)
			out.Placements[i] = Placement{
				Kind: m.kind, Place: at, Point: p, Row: m.row, Fixed: m.fixed,
				Turn: math.Remainder(s.Upright(p.At)+m.turn, 2*math.Pi),
				Down: s.Down(p.At), Around: s.Around(p),
			}
		}
	})
	if err != nil {
		return out, err
	}
	slices.SortStableFunc(out.Placements, func(p, q Placement) int {
		return cmp.Or(cmp.Compare(p.Point.Panel, q.Point.Panel), cmp.Compare(p.Row, q.Row), cmp.Compare(p.Around, q.Around))
	})
	if len(d.rows) > 0 {
		out.Rows = d.rowsOf(out.Placements)
	}
	return out, ctx.Err()
}

// bandRows numbers the marks of a pattern without rows by bands one pitch high, so
// that the numbers run down the skirt.
func (d *draft) bandRows() {
	n := max(1, int(math.Round((d.high-d.low)/d.opt.pitch(d.step, d.opt.RowSpacing))))
	for i := range d.marks {
		part := (d.marks[i].at.Down - d.low) / (d.high - d.low)
		if math.IsNaN(part) {
			part = 0
		}
		d.marks[i].row = min(int(part*float64(n)), n-1) + 1
	}
}

// handRows puts marks placed by hand into the row they lie nearest to.
func (d *draft) handRows() {
	for i := range d.marks {
		m := &d.marks[i]
		if !m.fixed {
			continue
		}
		m.row = 1
		for k, r := range d.rows {
			if math.Abs(r.down-m.at.Down) < math.Abs(d.rows[m.row-1].down-m.at.Down) {
				m.row = k + 1
			}
		}
	}
}

// rowsOf returns how each row runs on each panel. A row's step is its whole
// girth over all its places, so it is equal all round, seams included and past
// places that were left out; marks placed by hand belong to no row.
func (d *draft) rowsOf(marks []Placement) []Row {
	s := d.surface
	var out []Row
	for _, m := range marks {
		if m.Fixed {
			continue
		}
		last := len(out) - 1
		if last >= 0 && out[last].Row == m.Row && out[last].Panel == m.Point.Panel+1 {
			out[last].Marks++
			continue
		}
		plan := d.rows[m.Row-1]
		step := plan.step * s.Width
		if plan.step == 0 {
			step = s.Girth(m.Down) / float64(plan.n*d.repeat)
		}
		out = append(out, Row{Row: m.Row, Panel: m.Point.Panel + 1, Marks: 1, Down: m.Down, First: m.Around, Step: step})
	}
	return out
}
