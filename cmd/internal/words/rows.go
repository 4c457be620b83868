package words

import (
	"math"
	"strconv"

	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/scatter"
)

// rows says how the marks are arranged.
func rows(t Text) string {
	l := t.Strewn.Layout
	text := pattern(t)
	if mixed := mixed(t); mixed != "" {
		text = t.Say("%s; %s", text, mixed)
	}
	if l.Repeat > 1 && len(l.Placements) > 1 {
		text = t.Say("%s; %s", text, say.Many(l.Repeat, "the layout goes once round the skirt", "the layout is repeated %d times round the skirt"))
	}
	return text
}

func pattern(t Text) string {
	l := t.Strewn.Layout
	if len(l.Rows) == 0 {
		e := t.Even
		return t.Say("loose polka, %s to mark in all at a spacing of %s; nearest neighbours at least %s apart, %s on average; widest bare spot %s across, %s",
			say.Many(len(l.Placements), "%d cutout", "%d cutouts"), geom.Length(l.Spacing), geom.Length(e.NearestMin), geom.Length(e.NearestMean), geom.Length(2*e.EmptyRadius), emptyAt(t))
	}
	name := t.Say("grid")
	switch scatter.Pattern(t.Project.Scatter.Pattern) {
	case scatter.HemBand:
		name = t.Say("hem band")
	case scatter.Polka:
		name = t.Say("polka")
	}
	r := rowsOf(l)
	length := func(mm float64) string { return t.Length(mm) }
	count := func(n float64) string { return strconv.Itoa(int(n)) }
	switch {
	case len(l.Placements) == 1:
		return t.Say("%s of a single cutout, %s", name, below(t, r.down.low))
	case r.rows == 1:
		return t.Say("%s, one row of %d, %s, %s from one to the next", name, int(r.marks.low), below(t, r.down.low), geom.Length(r.step.low))
	}
	return t.Say("%s, %d rows %s apart, from %s to %s; %s a row, %s from one to the next",
		name, r.rows, geom.Length(l.RowSpacing), geom.Length(r.down.low), below(t, r.down.high),
		t.span(count(r.marks.low), count(r.marks.high)), t.span(length(r.step.low), length(r.step.high)))
}

// rowSpans are the extremes of all rows.
type rowSpans struct {
	rows              int
	down, step, marks span
}

type span struct{ low, high float64 }

func (s *span) widen(v float64) { s.low, s.high = math.Min(s.low, v), math.Max(s.high, v) }

func rowsOf(l scatter.Layout) rowSpans {
	none := span{math.Inf(1), 0}
	out := rowSpans{down: none, step: none, marks: none}
	perRow := map[int]int{}
	for _, r := range l.Rows {
		out.down.widen(r.Down)
		out.step.widen(r.Step)
		perRow[r.Row] += r.Marks
	}
	for _, n := range perRow {
		out.marks.widen(float64(n))
	}
	out.rows = len(perRow)
	return out
}

// mixed says whether several motifs are mixed at least as well as a random mix
// would be; "" where there is one motif only.
func mixed(t Text) string {
	e := t.Even
	switch {
	case e.Neighbours == 0:
		return ""
	case float64(e.Alike) <= e.AlikeByChance:
		return t.Say("the motifs are well mixed")
	}
	return t.Say("the motifs are mixed unevenly")
}

// emptyAt says where the largest empty circle lies.
func emptyAt(t Text) string {
	at := t.Even.EmptyAt
	where := below(t, t.Cloth.Surface.PlaceOf(at).Down)
	if t.Cloth.Surface.Panels > 1 {
		return t.Say("on panel %d, %s", at.Panel+1, where)
	}
	return where
}

// below says how far down something lies, and from what that is measured.
func below(t Text, down float64) string {
	if !t.Cloth.Surface.Closed() {
		return t.Say("%s below the top of the drawing", geom.Length(down))
	}
	return t.Say("%s below the waist seam", geom.Length(down))
}

// yielded says that the felt would be enough for more cutouts than the cloth holds;
// "" if the cloth holds them all. It names no number of the felt's: no more are
// tried than cover the cloth.
func yielded(t Text) string {
	placed, _ := t.Totals()
	if placed >= t.Strewn.Yields {
		return ""
	}
	felt := say.New("felt for %s", t.money(t.Project.Scatter.Budget))
	if n := t.Project.Scatter.Sheets; n > 0 {
		felt = say.Many(n, "%d sheet of felt", "%d sheets of felt")
	}
	return t.Say("%d is the most found to fit on the cloth; %s would be enough for more", placed, felt)
}

// upright returns a mark's turn in radians against its own upright: its top toward
// the waist along the cloth.
func upright(c stage.Cloth, m scatter.Placement) float64 {
	return m.Turn - c.Surface.Upright(m.Point.At)
}
