package render

import (
	"cmp"
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/render/scene"
)

// The painter's algorithm: what is farther away is drawn first, and what is nearer
// over it. The cloth is drawn in cells between lines down and rows round, each with
// the felt on it. Seen from above, of two places on one line of sight the nearer
// one is the higher. So cells are drawn from the hem upwards, and round the skirt
// fold by fold from the farthest to the nearest, a fold's felt after its cloth.
// Where folds only grow on their way down, columns of cells keep one order and are
// drawn whole. A fold's inner side is then never seen, except where a few cells cut
// its corner. Where gathers run together it is seen, so there all the cells of a
// row that may be seen are drawn one by one. Net is translucent, and a slanting
// view crosses more of it; its colour is computed over the lining, or over the far
// side of the skirt, so that every cell is one solid colour.

// The worn picture, in millimetres at ScreenDPI.
const (
	wornEach = 116.0 // the most that one view is wide
	wornHigh = 132.0 // and high
	// wornTilt is the angle from above at which the skirt is seen: enough for the
	// hem to show its folds.
	wornTilt = 13 * math.Pi / 180
	// seamless widens every cell, so that no gap shows between two: some half a
	// pixel.
	seamless = 0.1
	lap      = 1.5 * seamless // of a row over the next
	feltLap  = 2 * lap        // of its felt, which would show a pale line else
	// printDetail draws a fold as finely as the picture shows it.
	printDetail = 1.0
	// shades is how many steps of light are told apart from the darkest cell to
	// the brightest: cells of one colour are drawn as one.
	shades = 40
)

// Worn draws the skirt as it hangs, from the front and from the back: the middle
// of panel 1 is in front. It takes a cloth with a Waist and any cut but an
// outline. Its folds are an estimate, and it says so. Write it at ScreenDPI. Once
// the context ends it is not finished.
func Worn(ctx context.Context, c Cloth, marks []Mark) *scene.Scene {
	const m = marginScreen
	w := newWorn(c, marks, printDetail)
	front, back := w.look(1), w.look(-1)
	box := front.box().Union(back.box())
	k := math.Min(wornEach/box.Width(), wornHigh/box.Height())
	width := math.Max(skirtNarrow, 2*box.Width()*k+4*m+2*m)
	sc := &scene.Scene{Width: width}
	top := heading(sc, geom.Vec{X: m, Y: m}, width-2*m, c.Title, facts(c.Say("as it hangs"), c.Describe(len(marks)))) + 2*gapBlock
	bottom := top + box.Height()*k
	for i, v := range []*look{front, back} {
		middle := width * (0.25 + 0.5*float64(i))
		v.toPage = geom.Scaling(k, k).Then(geom.Translation(geom.Vec{X: middle, Y: top - box.Min.Y*k}))
		sc.Add(v.draw(ctx)...)
		name := [2]string{c.Say("front"), c.Say("back")}[i]
		y := bottom + 6
		sc.Add(scene.Text{At: geom.Vec{X: middle, Y: y}, Text: name, Font: scene.Bold, Size: sizeSub, Anchor: scene.Middle, Colour: ink()},
			scene.Text{At: geom.Vec{X: middle, Y: y + 4}, Text: c.Many(len(marks), "%[2]d of %[1]d cutout shows", "%[2]d of %[1]d cutouts show", v.showing()), Size: sizeText, Anchor: scene.Middle, Colour: soft()})
	}
	y := bottom + 18
	for _, line := range scene.Regular.Wrap(c.Say("The folds are an estimate: how many there are and where they fall are guesses; the girth at every height is exact. A cutout counts as showing if its glue point shows."), sizeSmall, width-2*m, 3) {
		sc.Add(scene.Text{At: geom.Vec{X: m, Y: y}, Text: line, Size: sizeSmall, Colour: soft()})
		y += scene.Points(sizeSmall) * 1.3
	}
	sc.Height = y + m - 2
	return sc
}

// ShowInFront returns how many cutouts show from the front of the skirt as it
// hangs, on the terms of Worn.
func ShowInFront(c Cloth, marks []Mark) int {
	return newWorn(c, marks, printDetail).look(1).showing()
}

// worn is a skirt as it hangs with its cutouts, cut into cells.
type worn struct {
	cloth   Cloth
	hang    hang
	columns int      // of cells all round
	nodes   [][]hung // a line down for each column's left edge
	felts   []hungFelt
	on      [][]int // felts that lie on each column
	anchors []geom.Vec
}

// hungFelt is a piece of felt in shares of the way round and millimetres down.
type hungFelt struct {
	region geom.Region
	colour scene.Colour
}

// newWorn hangs the skirt at a detail; see newHang.
func newWorn(c Cloth, marks []Mark, detail float64) worn {
	w := worn{cloth: c, hang: newHang(c.Surface, c.Waist, detail)}
	w.columns = w.hang.columns
	w.on = make([][]int, w.columns)
	for j := range w.columns {
		line := make([]hung, len(w.hang.rows))
		for i, r := range w.hang.rows {
			line[i] = hung{r.nodes[j].X, r.drop, r.nodes[j].Y}
		}
		w.nodes = append(w.nodes, line)
	}
	for _, m := range marks {
		place := geom.Placing(m.Point.At, m.Turn, m.Size, false)
		onto := func(r geom.Ring) geom.Ring {
			out := make(geom.Ring, len(r))
			for i, p := range r.Transform(place) {
				out[i] = w.hang.place(m.Point.Panel, p, m.Point.At)
			}
			return out
		}
		w.anchors = append(w.anchors, w.hang.place(m.Point.Panel, m.Point.At, m.Point.At))
		for _, p := range m.Motif.Pieces {
			f := hungFelt{colour: felt(p.Colour), region: geom.Region{Outer: onto(p.Region.Outer)}}
			for _, hole := range p.Region.Holes {
				f.region.Holes = append(f.region.Holes, onto(hole))
			}
			box := f.region.Outer.Box()
			for j := w.column(box.Min.X); j <= w.column(box.Max.X); j++ {
				k := (j%w.columns + w.columns) % w.columns
				w.on[k] = append(w.on[k], len(w.felts))
			}
			w.felts = append(w.felts, f)
		}
	}
	return w
}

// column returns the column of cells at a share of the way round, which may be
// before the first or beyond the last.
func (w worn) column(share float64) int { return int(math.Floor(share * float64(w.columns))) }

// look is the skirt from one side.
type look struct {
	worn
	side   float64 // 1 from the front, -1 from the back
	nodes  [][]geom.Vec
	toward [][]float64  // of each node, the viewer
	facing [][]bool     // of each cell: it is seen from outside
	spans  [][2]float64 // of each column: its left and right ends
	toPage geom.Affine
}

func (w worn) look(side float64) *look {
	v := &look{worn: w, side: side, toPage: geom.Identity()}
	for _, line := range w.nodes {
		at, toward := make([]geom.Vec, len(line)), make([]float64, len(line))
		for i, p := range line {
			at[i], toward[i] = v.seen(p), p.toward*side
		}
		v.nodes, v.toward = append(v.nodes, at), append(v.toward, toward)
	}
	for j := range v.columns {
		facing := make([]bool, len(v.hang.rows)-1)
		for i := range facing {
			q := v.cell(j, i)
			facing[i] = q[2].Sub(q[0]).Cross(q[3].Sub(q[1])) > 0
		}
		v.facing = append(v.facing, facing)
		b := geom.BoxOf(v.nodes[j]...).Union(geom.BoxOf(v.nodes[(j+1)%v.columns]...))
		v.spans = append(v.spans, [2]float64{b.Min.X, b.Max.X})
	}
	return v
}

// seen projects a place in the room, square to the picture.
func (v *look) seen(p hung) geom.Vec {
	sin, cos := math.Sincos(wornTilt)
	return geom.Vec{X: p.x * v.side, Y: p.y*cos + p.toward*v.side*sin}
}

// box returns the box round what is drawn.
func (v *look) box() geom.Box {
	b := geom.EmptyBox()
	for _, line := range v.nodes {
		b = b.Union(geom.BoxOf(line...))
	}
	for _, r := range v.band() {
		b = b.Union(r.Box())
	}
	return b
}

// cell returns the corners of the cell right of line j below row i: left top,
// right top, right bottom, left bottom.
func (v *look) cell(j, i int) [4]geom.Vec {
	a, b := v.nodes[j], v.nodes[(j+1)%v.columns]
	return [4]geom.Vec{a[i], b[i], b[i+1], a[i+1]}
}

// faces reports whether the cell is seen from outside.
func (v *look) faces(j, i int) bool { return v.facing[j][i] }

// folds lists the runs of neighbouring columns that show in rows from up to
// end, the farthest first.
func (v *look) folds(from, end int) [][]int {
	return v.runs(end, func(j int) bool {
		for i := from; i < end; i++ {
			if v.faces(j, i) {
				return true
			}
		}
		return false
	})
}

// gatherRuns lists the runs of neighbouring cells of one row that are seen from
// the same side, the farthest first: all those from outside, and from inside
// those on the viewer's side of the body.
func (v *look) gatherRuns(row int) [][]int {
	runs := v.runs(row+1, func(j int) bool { return v.faces(j, row) })
	runs = append(runs, v.runs(row+1, func(j int) bool { return !v.faces(j, row) && v.toward[j][row] > 0 })...)
	slices.SortStableFunc(runs, func(a, b []int) int { return cmp.Compare(v.near(a, row+1), v.near(b, row+1)) })
	return runs
}

// runs lists the runs of neighbouring columns that are in, the farthest first at
// the line under a row.
func (v *look) runs(line int, in func(column int) bool) [][]int {
	start := 0
	for j := range v.columns {
		if !in(j) {
			start = j
		}
	}
	var runs [][]int
	open := false
	for k := range v.columns {
		j := (start + 1 + k) % v.columns
		if in(j) && !open {
			runs = append(runs, nil)
		}
		if open = in(j); open {
			runs[len(runs)-1] = append(runs[len(runs)-1], j)
		}
	}
	slices.SortStableFunc(runs, func(a, b []int) int { return cmp.Compare(v.near(a, line), v.near(b, line)) })
	return runs
}

// near returns how near to the viewer a run of columns is at a line.
func (v *look) near(run []int, line int) float64 {
	sum := 0.0
	for _, j := range run {
		sum += v.toward[j][line]
	}
	return sum / float64(len(run))
}

// showing counts the cutouts whose glue points face the viewer with no cloth
// before them.
func (v *look) showing() int {
	n := 0
	for _, a := range v.anchors {
		if v.shows(a) {
			n++
		}
	}
	return n
}

func (v *look) shows(a geom.Vec) bool {
	j := (v.column(a.X)%v.columns + v.columns) % v.columns
	i := v.hang.rowAt(a.Y)
	if !v.faces(j, i) {
		return false
	}
	p := v.onPicture(j, a)
	for k, span := range v.spans {
		if p.X < span[0] || p.X > span[1] {
			continue
		}
		for r := range i + 1 { // of two places on one line of sight the nearer is the higher
			if !v.faces(k, r) || v.toward[k][r] <= v.toward[j][i] || k == j && r == i {
				continue
			}
			if q := v.cell(k, r); geom.Ring(q[:]).Contains(p) {
				return false
			}
		}
	}
	return true
}

// onPicture returns where a place of the cloth on column j, or just beside it, is
// seen.
func (v *look) onPicture(j int, at geom.Vec) geom.Vec {
	i := v.hang.rowAt(at.Y)
	rows := v.hang.rows
	t := (at.Y - rows[i].down) / (rows[i+1].down - rows[i].down)
	u := at.X * float64(v.columns)
	u -= float64(v.column(at.X))
	q := v.cell(j, i)
	return q[0].Lerp(q[1], u).Lerp(q[3].Lerp(q[2], u), t)
}

// draw draws the skirt and its band.
func (v *look) draw(ctx context.Context) []scene.Op {
	inside, outside := v.band()[0], v.band()[1]
	net := v.solid(0, 1)
	hole := scene.Fill{Rings: []geom.Ring{inside.Transform(v.toPage)}, Colour: net.Mixed(scene.Colour{}, 0.55)}
	var ops []scene.Op
	if v.cloth.Waistband <= 0 {
		ops = append(ops, hole)
	}
	paint := func(runs [][]int, from, end int) {
		for _, run := range runs {
			if ctx.Err() != nil {
				return
			}
			for _, j := range run {
				ops = append(ops, v.clothOps(j, from, end)...)
			}
			for _, j := range run {
				ops = append(ops, v.feltOps(j, from, end)...)
			}
		}
	}
	low, end := v.hang.gathers(), len(v.hang.rows)-1
	paint(v.folds(low, end), low, end)
	for i := low - 1; i >= 0; i-- {
		paint(v.gatherRuns(i), i, i+1)
	}
	if v.cloth.Waistband > 0 {
		ops = append(ops, hole)
	}
	return append(ops, v.bandOps(outside)...)
}

// light returns how the cell is lit, -1 dark to 1 bright, and the slant at which
// it is seen, 1 straight on to 0 along it.
func (v *look) light(j, i int) (lit, slant float64) {
	k := (j + 1) % v.columns
	a, b := v.worn.nodes[j][i+1], v.worn.nodes[k][i+1]
	d := geom.Vec{X: (b.x - a.x) * v.side, Y: (b.toward - a.toward) * v.side}
	n := d.Len()
	if n == 0 {
		return 0, 1
	}
	// Outward, the viewer being at y > 0; the lamp stands before her, to the left.
	out := geom.Vec{X: -d.Y / n, Y: d.X / n}
	step := func(x float64) float64 { return math.Round(x*shades) / shades }
	return step(1.5*(out.X*-0.5+out.Y*0.87) - 0.62), step(math.Max(0, out.Y))
}

// shaded returns the colour in that light; much says how strongly it takes it.
func shaded(c scene.Colour, lit, much float64) scene.Colour {
	if lit < 0 {
		return c.Mixed(scene.Colour{}, math.Min(0.85, -lit*0.55*much))
	}
	return c.Mixed(white(), lit*0.22*much)
}

// solid returns the colour of the net at a depth, seen at a slant, over what is
// behind it.
func (v *look) solid(down, slant float64) scene.Colour {
	c := v.cloth
	net := felt(c.Colour)
	layers := float64(max(1, c.Layers))
	behind := white()
	if c.Lining != nil && down <= c.Surface.Drop-c.Lining.ShorterBy {
		behind = felt(c.Lining.Colour)
	} else {
		behind = behind.Mixed(net, 1-math.Pow(1-c.Opacity, layers)) // the skirt's far side
	}
	// No more than three times the net is crossed: folds are round.
	through := layers / math.Max(1.0/3, slant)
	return behind.Mixed(net, 1-math.Pow(1-c.Opacity, through))
}

// clothOps draws a column's cells in rows from up to end, those of one colour
// below one another as one.
func (v *look) clothOps(j, from, end int) []scene.Op {
	rows := v.hang.rows
	lined := math.Inf(1) // where the lining ends
	if l := v.cloth.Lining; l != nil {
		lined = v.cloth.Surface.Drop - l.ShorterBy
	}
	type slab struct {
		left, right []geom.Vec // from top to bottom
		colour      scene.Colour
		last        int // row
	}
	var slabs []slab
	var lines []scene.Op
	seam := j%(v.columns/max(1, v.cloth.Surface.Panels)) == 0
	for i := from; i < end; i++ {
		beside := i < v.hang.gathers() || i > 0 && v.faces(j, i-1) || i < len(rows)-2 && v.faces(j, i+1)
		if !v.faces(j, i) && !beside {
			continue
		}
		lit, slant := v.light(j, i)
		if !v.faces(j, i) {
			lit, slant = -0.4, 0.2
		}
		q := v.cell(j, i)
		for k, p := range q {
			q[k] = v.toPage.Apply(p)
		}
		top, bottom := rows[i].down, rows[i+1].down
		part := func(from, to float64) {
			colour := shaded(v.solid(top+(bottom-top)*(from+to)/2, slant), lit, 1)
			left, right := q[0].Lerp(q[3], to), q[1].Lerp(q[2], to)
			if n := len(slabs) - 1; n >= 0 && slabs[n].colour == colour && slabs[n].last >= i-1 {
				slabs[n].left, slabs[n].right, slabs[n].last = append(slabs[n].left, left), append(slabs[n].right, right), i
				return
			}
			slabs = append(slabs, slab{[]geom.Vec{q[0].Lerp(q[3], from), left}, []geom.Vec{q[1].Lerp(q[2], from), right}, colour, i})
		}
		if lined > top && lined < bottom {
			t := (lined - top) / (bottom - top)
			part(0, t)
			part(t, 1)
		} else {
			part(0, 1)
		}
		edge := shaded(v.solid(top, slant), lit-0.7, 1)
		if seam {
			lines = append(lines, scene.Stroke{Lines: scene.Open(q[0], q[3]), Width: scene.Points(lineHair), Colour: edge})
		}
		if i == len(rows)-2 {
			lines = append(lines, scene.Stroke{Lines: scene.Open(q[3], q[2]), Width: scene.Points(lineFine), Colour: edge})
		}
	}
	var ops []scene.Op
	for k, s := range slices.Backward(slabs) { // each laps over the one below
		var ring geom.Ring
		for _, p := range s.left {
			ring = append(ring, p.Add(geom.Vec{X: -seamless}))
		}
		for _, p := range slices.Backward(s.right) {
			ring = append(ring, p.Add(geom.Vec{X: seamless}))
		}
		if k < len(slabs)-1 || s.last < len(rows)-2 {
			n := len(s.left)
			ring[n-1].Y += lap
			ring[n].Y += lap
		}
		ops = append(ops, scene.Fill{Rings: []geom.Ring{ring}, Colour: s.colour})
	}
	return append(ops, lines...)
}

// feltOps draws what of the cutouts lies on a column in rows from up to end.
func (v *look) feltOps(j, first, end int) []scene.Op {
	var ops []scene.Op
	for _, f := range v.on[j] {
		piece := v.felts[f]
		box := piece.region.Outer.Box()
		// A cutout over the first panel's left edge lies before it or beyond the last.
		turn := math.Round((box.Centre().X*float64(v.columns) - float64(j)) / float64(v.columns))
		left := turn + float64(j)/float64(v.columns)
		right := turn + float64(j+1)/float64(v.columns)
		last := min(end-1, v.hang.rowAt(box.Max.Y))
		for from := max(first, v.hang.rowAt(box.Min.Y)); from <= last; from++ {
			if !v.faces(j, from) {
				continue
			}
			to := from
			for to < last && v.faces(j, to+1) {
				to++
			}
			ops = append(ops, v.strip(j, piece, left, right, from, to)...)
			from = to
		}
	}
	return ops
}

// strip draws the part of a piece between two lines down, on some rows of
// cells of column j.
func (v *look) strip(j int, piece hungFelt, left, right float64, from, to int) []scene.Op {
	top, bottom := v.hang.rows[from].down, v.hang.rows[to+1].down
	page := func(p geom.Vec) geom.Vec {
		i := min(to, max(from, v.hang.rowAt(p.Y)))
		rows := v.hang.rows
		t := (p.Y - rows[i].down) / (rows[i+1].down - rows[i].down)
		u := (p.X - left) * float64(v.columns)
		q := v.cell(j, i)
		at := v.toPage.Apply(q[0].Lerp(q[1], u).Lerp(q[3].Lerp(q[2], u), t))
		switch {
		case u < geom.SameRatio:
			at.X -= seamless
		case u > 1-geom.SameRatio:
			at.X += seamless
		}
		if t > 1-geom.SameRatio && i == to {
			at.Y += feltLap
		}
		return at
	}
	var rings []geom.Ring
	for _, r := range piece.region.Rings() {
		cut := halfPlane(halfPlane(r, left, 1), right, -1)
		if box := r.Box(); box.Min.Y < top || box.Max.Y > bottom {
			cut = transposed(halfPlane(halfPlane(transposed(cut), top, 1), bottom, -1))
		}
		if len(cut) < 3 {
			continue
		}
		for i, p := range cut {
			cut[i] = page(p)
		}
		rings = append(rings, cut)
	}
	if len(rings) == 0 {
		return nil
	}
	lit, _ := v.light(j, (from+to)/2)
	return []scene.Op{scene.Fill{Rings: rings, Colour: shaded(piece.colour, lit, 0.7), EvenOdd: true}}
}

// transposed exchanges x and y.
func transposed(r geom.Ring) geom.Ring {
	out := make(geom.Ring, len(r))
	for i, p := range r {
		out[i] = geom.Vec{X: p.Y, Y: p.X}
	}
	return out
}

// band returns the waistband's inside as seen over its front edge, and its
// outside. Without a waistband both lie at the waist seam.
func (v *look) band() [2]geom.Ring {
	const n = 60
	var rim, low geom.Ring
	outline := v.hang.outline
	for i := range 4 * n {
		p := outline[i*len(outline)/(4*n)].Mul(v.hang.waist)
		// From the viewer's right round by the front to her left, and then behind.
		p = geom.Vec{X: p.X, Y: p.Y * v.side}
		rim = append(rim, v.seen(hung{p.X, -v.cloth.Waistband, p.Y}))
		if p.Y*v.side >= -geom.Touch {
			low = append(low, v.seen(hung{p.X, 0, p.Y}))
		}
	}
	var front geom.Ring
	for i, p := range rim {
		if q := outline[i*len(outline)/(4*n)]; q.Y >= -geom.Touch {
			front = append(front, p)
		}
	}
	byX := func(r geom.Ring) {
		slices.SortStableFunc(r, func(a, b geom.Vec) int { return cmp.Compare(a.X, b.X) })
	}
	byX(front)
	byX(low)
	slices.Reverse(low)
	return [2]geom.Ring{rim, append(front, low...)}
}

// bandOps draws the band's outside, in upright stripes as it turns from the
// light.
func (v *look) bandOps(outside geom.Ring) []scene.Op {
	if v.cloth.Waistband <= 0 {
		return nil
	}
	c := felt(v.cloth.Colour)
	if v.cloth.Lining != nil {
		c = v.solid(0, 1.0/3)
	}
	var ops []scene.Op
	n := len(outside) / 2
	for i := range n - 1 {
		a, b := outside[i], outside[i+1]
		d, e := outside[2*n-1-i], outside[2*n-2-i]
		ring := geom.Ring{a, b, e, d}.Transform(v.toPage)
		ring[0].X, ring[3].X = ring[0].X-seamless, ring[3].X-seamless
		ring[1].X, ring[2].X = ring[1].X+seamless, ring[2].X+seamless
		x := -1 + 2*(float64(i)+0.5)/float64(n-1)
		out := geom.Vec{X: math.Sin(x * math.Pi / 2), Y: math.Cos(x * math.Pi / 2)}
		ops = append(ops, scene.Fill{Rings: []geom.Ring{ring}, Colour: shaded(c, 1.5*(out.X*-0.5+out.Y*0.87)-0.62, 0.8)})
	}
	ring := outside.Transform(v.toPage)
	return append(ops, scene.Stroke{Lines: scene.Closed(ring), Width: scene.Points(lineFine), Colour: edgeOf(c)})
}
