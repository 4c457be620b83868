package scatter

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// layout copies the repeat round the skirt, numbers the marks panel by panel
// and row by row, and measures what came out.
func (j *job) layout(d *draft) (Layout, error) {
	s := j.surface
	out := Layout{
		Spacing: d.step, RowSpacing: d.pitch, Repeat: d.repeat, Notes: j.notes,
		Placements: make([]Placement, 0, len(d.marks)*d.repeat),
	}
	if len(d.rows) == 0 {
		j.bandRows(d)
	} else {
		j.handRows(d)
	}
	marks := make([]mark, 0, cap(out.Placements))
	for k := range d.repeat {
		for _, m := range d.marks {
			m.at = onPanel(s, m.at.Repeated(k, d.repeat))
			p := s.Point(m.at)
			out.Placements = append(out.Placements, Placement{
				Kind: m.kind, Point: p, Row: m.row, Fixed: m.fixed,
				Turn: math.Remainder(s.Upright(p.At)+m.turn, 2*math.Pi),
				Down: s.Down(p.At), Around: s.Around(p),
			})
			marks = append(marks, m)
		}
	}
	order := make([]int, len(marks))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		p, q := out.Placements[a], out.Placements[b]
		return cmp.Or(cmp.Compare(p.Point.Panel, q.Point.Panel), cmp.Compare(p.Row, q.Row), cmp.Compare(p.Around, q.Around))
	})
	sorted := make([]Placement, len(order))
	sites := make([]mark, len(order))
	for i, k := range order {
		sorted[i], sites[i] = out.Placements[k], marks[k]
	}
	out.Placements = sorted
	if len(d.rows) > 0 {
		out.Rows = rowsOf(s, sorted, d)
	}
	var err error
	out.Evenness, err = j.evenness(sites, d)
	return out, err
}

// seamSlack is the share of the way round within which a mark counts as lying
// on a seam: it then belongs to the panel that begins there.
const seamSlack = 1e-12

func onPanel(s skirt.Surface, p skirt.Place) skirt.Place {
	if !s.Closed() {
		return p
	}
	n := float64(s.Panels)
	if k := math.Round(p.Round * n); math.Abs(p.Round*n-k) < seamSlack*n {
		p.Round = k / n
		if p.Round >= 1 {
			p.Round = 0
		}
		if s.Wedges() && s.Angle >= 2*math.Pi-geom.SameAngle {
			// Both edges of a whole ring lie on one line: a hair inside the left one
			// the mark's place says which it is, in files too.
			p.Round += 10 * geom.SamePoint / s.Girth(p.Down)
		}
	}
	return p
}

// bandRows numbers the marks of a pattern without rows by bands one pitch high,
// so that a maker works her way down the skirt.
func (j *job) bandRows(d *draft) {
	n := max(1, int(math.Round((j.zone.high-j.zone.low)/j.pitch(d.step, j.opt.RowSpacing))))
	for i := range d.marks {
		part := (d.marks[i].at.Down - j.zone.low) / (j.zone.high - j.zone.low)
		if math.IsNaN(part) {
			part = 0
		}
		d.marks[i].row = min(int(part*float64(n)), n-1) + 1
	}
}

// handRows puts marks placed by hand into the row they lie nearest to.
func (j *job) handRows(d *draft) {
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

// rowsOf reports how each row runs on each panel. A row's step is its whole
// girth over all its places, so it is equal all round, seams included and past
// places that were left out; marks placed by hand stand in no row.
func rowsOf(s skirt.Surface, marks []Placement, d *draft) []Row {
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
