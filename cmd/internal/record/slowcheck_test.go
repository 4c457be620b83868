package record

import (
	"encoding/json"
	"fmt"
	"math"
	"sort"
	"testing/fstest"
)

// A slow, plain check of a plan.json, by what its format says and by nothing of
// the program: every outline is placed, every edge measured against every edge,
// seams unrolled by the sewn angle of each mark or by the motion with which the
// panel was taken apart when it was drawn.

type xy struct{ x, y float64 }

func (a xy) turn(rad float64) xy {
	s, c := math.Sincos(rad)
	return xy{c*a.x - s*a.y, s*a.x + c*a.y}
}
func (a xy) plus(b xy) xy  { return xy{a.x + b.x, a.y + b.y} }
func (a xy) minus(b xy) xy { return xy{a.x - b.x, a.y - b.y} }

func pointToEdge(p, a, b xy) float64 {
	d, e := b.minus(a), p.minus(a)
	l := d.x*d.x + d.y*d.y
	t := 0.0
	if l > 0 {
		t = math.Max(0, math.Min(1, (d.x*e.x+d.y*e.y)/l))
	}
	return math.Hypot(e.x-t*d.x, e.y-t*d.y)
}

func edgeToEdge(a, b, c, d xy) float64 {
	side := func(a, b, c xy) float64 { return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x) }
	if side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0 {
		return 0
	}
	return math.Min(math.Min(pointToEdge(a, c, d), pointToEdge(b, c, d)), math.Min(pointToEdge(c, a, b), pointToEdge(d, a, b)))
}

// within is the even-odd rule over rings.
func within(p xy, rings ...[]xy) bool {
	in := false
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a.y > p.y) != (b.y > p.y) && p.x < a.x+(b.x-a.x)*(p.y-a.y)/(b.y-a.y) {
				in = !in
			}
		}
	}
	return in
}

// placedMark is a mark with its outer outlines in its panel's frame.
type placedMark struct {
	number, panel, row int
	at                 xy
	turn               float64
	down, around       float64
	rings              [][]xy
	reach              float64
}

// apart is the distance between two marks' outlines, the second turned about
// the origin and moved, up to what could matter.
func (m placedMark) apart(n placedMark, turn float64, move xy, upTo float64) float64 {
	c := n.at.turn(turn).plus(move)
	if math.Hypot(c.x-m.at.x, c.y-m.at.y) > m.reach+n.reach+upTo {
		return upTo
	}
	best := upTo
	for _, r := range m.rings {
		for _, s := range n.rings {
			moved := make([]xy, len(s))
			for i, p := range s {
				moved[i] = p.turn(turn).plus(move)
			}
			if within(moved[0], r) || within(r[0], moved) {
				return 0
			}
			for i, a := range r {
				for k, p := range moved {
					best = math.Min(best, edgeToEdge(a, r[(i+1)%len(r)], p, moved[(k+1)%len(moved)]))
				}
			}
		}
	}
	return best
}

// measuredPlan is what of a plan.json is measured.
type measuredPlan struct {
	document
	marks []placedMark
}

func readMeasured(data []byte) (measuredPlan, error) {
	var m measuredPlan
	if err := json.Unmarshal(data, &m.document); err != nil {
		return m, err
	}
	pieces := map[string][]docPiece{}
	for _, mo := range m.Motifs {
		pieces[mo.Name] = mo.Pieces
	}
	for _, q := range m.Placements {
		turn := float64(q.Turn) * math.Pi / 180
		p := placedMark{
			number: q.Mark, panel: q.Panel - 1, row: q.Row, at: xy{float64(q.X), float64(q.Y)}, turn: turn,
			down: float64(q.Down), around: float64(q.Around),
		}
		for _, pc := range pieces[q.Motif] {
			ring := make([]xy, len(pc.Outer))
			for i, v := range pc.Outer {
				o := xy{float64(v[0]) * float64(q.Size), float64(v[1]) * float64(q.Size)}
				p.reach = math.Max(p.reach, math.Hypot(o.x, o.y))
				ring[i] = o.turn(turn).plus(p.at)
			}
			p.rings = append(p.rings, ring)
		}
		if len(p.rings) == 0 {
			return m, fmt.Errorf("mark %d has no outline", q.Mark)
		}
		m.marks = append(m.marks, p)
	}
	return m, nil
}

// place says where a point of a panel's frame, which may lie beyond its side,
// is on the sewn cloth: the panel that it is really on, how far down and around.
func (m measuredPlan) place(panel int, p xy, straight bool) (on int, down, around float64) {
	s := m.Surface
	n := s.Panels
	switch s.Cut {
	case "rectangle":
		w := float64(s.PanelWidth)
		at := float64(panel)*w + p.x + w/2
		at = math.Mod(at+float64(n)*w, float64(n)*w)
		on = min(int(at/w), n-1)
		return on, p.y, at - float64(on)*w
	case "circle", "gores":
		a := float64(s.PanelAngle) * math.Pi / 180
		whole := a * float64(n)
		theta := math.Mod(math.Mod((float64(panel)+0.5)*a+math.Atan2(p.x, p.y), whole)+whole, whole)
		on = min(int(theta/a), n-1)
		rho, t := math.Hypot(p.x, p.y), theta-(float64(on)+0.5)*a
		if straight {
			y := rho * math.Cos(t)
			return on, y - float64(s.Inner), rho*math.Sin(t) + y*math.Tan(a/2)
		}
		return on, rho - float64(s.Inner), rho * (t + a/2)
	}
	return panel, p.y, p.x
}

// allowed is how far a plan read back from its rounded file may fall short.
const allowed = 2e-3

// faults measures a plan and says what is wrong with it.
func (in invented) faults(data []byte) (out []string) {
	fault := func(format string, args ...any) {
		if len(out) < 8 {
			out = append(out, fmt.Sprintf(format, args...))
		}
	}
	m, err := readMeasured(data)
	if err != nil {
		return []string{err.Error()}
	}
	c := m.Clearance
	between, waist, hem, seam := float64(c.Between), float64(c.Waist), float64(c.Hem), float64(c.Seam)
	if in.want > 0 && len(m.marks) != in.want {
		fault("%d marks, asked %d", len(m.marks), in.want)
	}
	if len(m.marks) == 0 {
		fault("no marks")
	}
	// A straight-edged gore tells itself by its two girths.
	s := m.Surface
	half := float64(s.PanelAngle) * math.Pi / 360
	straight := s.Cut == "gores" && in.straight
	for _, k := range m.marks {
		if in.drawn != nil {
			left := in.drawn.left(k.panel, k.at.y)
			if math.Abs(k.at.y-k.down) > 0.01 || math.Abs(k.at.x-left-k.around) > 0.01 {
				fault("mark %d says %.3f down, %.3f around, and lies %.3f down, %.3f around", k.number, k.down, k.around, k.at.y, k.at.x-left)
			}
		} else {
			at := k.at
			if k.around < 1e-3 { // on its left seam: a hair to the right
				if at = at.turn(-1e-7); s.Cut == "rectangle" {
					at = k.at.plus(xy{x: 1e-4})
				}
			}
			on, down, around := m.place(k.panel, at, straight)
			if on != k.panel || math.Abs(down-k.down) > 0.01 || math.Abs(around-k.around) > 0.01 {
				fault("mark %d says panel %d, %.3f down, %.3f around, and lies on panel %d, %.3f down, %.3f around", k.number, k.panel+1, k.down, k.around, on+1, down, around)
			}
		}
		for _, r := range k.rings {
			for i, a := range r {
				b := r[(i+1)%len(r)]
				for _, p := range []xy{a, {(a.x + b.x) / 2, (a.y + b.y) / 2}} {
					if in.drawn != nil {
						in.drawn.measure(k, p, waist, hem, seam, fault)
						continue
					}
					on, down, around := m.place(k.panel, p, straight)
					if down < waist-allowed || float64(s.Drop)-down < hem-allowed {
						fault("mark %d comes to %.3f below the waist and %.3f above the hem; asked %.3f and %.3f", k.number, down, float64(s.Drop)-down, waist, hem)
					}
					if seam > 0 {
						d := float64(s.PanelWidth)/2 - math.Abs(p.x)
						if s.Cut != "rectangle" {
							if d = math.Hypot(p.x, p.y); half-math.Abs(math.Atan2(p.x, p.y)) < math.Pi/2 {
								d *= math.Sin(half - math.Abs(math.Atan2(p.x, p.y)))
							}
						}
						if d < seam-allowed {
							fault("mark %d comes within %.3f of a seam, asked %.3f", k.number, d, seam)
						}
					}
					for _, t := range in.bare {
						if on == t.panel-1 && down > t.down[0]+allowed && down < t.down[1]-allowed && around > t.around[0]+allowed && around < t.around[1]-allowed {
							fault("mark %d lies on the bare patch", k.number)
						}
					}
				}
			}
		}
	}
	m.pairs(in, func(i, k int, turn float64, move xy) {
		if g := m.marks[i].apart(m.marks[k], turn, move, between+1); g < between-allowed || g == 0 && between > 0 {
			fault("marks %d and %d lie %.4f apart, asked %.4f", m.marks[i].number, m.marks[k].number, g, between)
		}
	})
	for _, t := range in.fixed {
		found := false
		for _, k := range m.marks {
			found = found || k.panel == t.panel-1 && math.Abs(k.down-t.down) < 0.01 && math.Abs(k.around-t.around) < 0.01
		}
		if !found {
			fault("the cutout placed by hand is missing")
		}
	}
	if m.Scatter.Pattern == "grid" && in.drawn == nil && !straight && len(in.fixed)+len(in.bare) == 0 {
		m.evenSteps(fault)
	}
	return out
}

// pairs calls do for every way in which two marks can come near each other: the
// second turned about the origin and moved lies in the first one's frame.
func (m measuredPlan) pairs(in invented, do func(i, k int, turn float64, move xy)) {
	s := m.Surface
	for i, a := range m.marks {
		for k, b := range m.marks {
			switch {
			case in.drawn != nil:
				if k < i && a.panel == b.panel {
					do(i, k, 0, xy{})
				}
				if in.drawn.sewn && a.panel == 0 && b.panel == 1 {
					do(i, k, -in.drawn.turn, xy{}.minus(in.drawn.move.turn(-in.drawn.turn)))
				}
			case s.Cut == "rectangle":
				w, round := float64(s.PanelWidth), float64(s.PanelWidth)*float64(s.Panels)
				for lap := -1; lap <= 1; lap++ {
					if k < i || k == i && lap == 1 {
						do(i, k, 0, xy{x: float64(b.panel-a.panel)*w + float64(lap)*round})
					}
				}
			default:
				// Frames differ by whole panels; the marks' own angles tell which
				// laps lie less than half a turn apart.
				angle := float64(s.PanelAngle) * math.Pi / 180
				of := func(q placedMark) float64 { return float64(q.panel)*angle + math.Atan2(q.at.x, q.at.y) }
				whole := angle * float64(s.Panels)
				laps := int(math.Ceil(math.Pi/whole)) + 1
				for lap := -laps; lap <= laps; lap++ {
					if k > i || k == i && lap <= 0 || math.Abs(of(b)+float64(lap)*whole-of(a)) >= math.Pi {
						continue
					}
					do(i, k, -(float64(b.panel-a.panel)*angle + float64(lap)*whole), xy{})
				}
			}
		}
	}
}

// evenSteps measures the steps of each row of a grid all round, the closing one
// too, along the row.
func (m measuredPlan) evenSteps(fault func(string, ...any)) {
	s := m.Surface
	rows := map[int][]float64{}
	girth := map[int]float64{}
	for _, k := range m.marks {
		width := float64(s.PanelWidth)
		if s.Cut != "rectangle" {
			width = float64(s.PanelAngle) * math.Pi / 180 * (float64(s.Inner) + k.down)
		}
		rows[k.row] = append(rows[k.row], float64(k.panel)*width+k.around)
		girth[k.row] = width * float64(s.Panels)
	}
	for row, at := range rows {
		sort.Float64s(at)
		step := girth[row] / float64(len(at))
		for i := range at {
			next := at[(i+1)%len(at)]
			if i == len(at)-1 {
				next += girth[row]
			}
			if len(at) > 1 && math.Abs(next-at[i]-step) > 0.1 {
				fault("row %d has a step of %.3f among steps of %.3f", row, next-at[i], step)
				return
			}
		}
	}
}

// drawnTruth is how the panels of an outline were made up: a shape cut along a
// straight line, its right part turned by turn about the origin and then moved.
type drawnTruth struct {
	panels [][][]xy // rings of each
	waist  int      // ring of the first panel that is the neck hole; -1: none
	sewn   bool
	turn   float64
	move   xy
	seams  [2][2]xy // on each panel
}

// draw makes up panels and their drawing.
func (d dice) draw(files fstest.MapFS) *drawnTruth {
	t := &drawnTruth{waist: -1}
	w, h := d.from(300, 900), d.from(300, 900)
	cut := w * d.from(0.4, 0.7)
	left := []xy{{0, d.from(0, 60)}, {cut, 0}, {cut, h}, {d.from(0, 80), h - d.from(0, 60)}, {d.from(0, 0.2) * w, h * d.from(0.4, 0.6)}}
	right := []xy{{cut, 0}, {w, d.from(0, 60)}, {w - d.from(0, 0.15)*w, h * d.from(0.4, 0.6)}, {w, h - d.from(0, 60)}, {cut, h}}
	t.panels = [][][]xy{{left}}
	if d.chance(0.6) {
		r, c := d.from(20, 50), xy{cut * 0.55, h * d.from(0.3, 0.5)}
		var hole []xy
		for i := range 48 {
			hole = append(hole, c.plus(xy{r, 0}.turn(2*math.Pi*float64(i)/48)))
		}
		t.panels[0] = append(t.panels[0], hole)
		if d.chance(0.7) {
			t.waist = 1
		}
	}
	if d.chance(0.7) {
		t.sewn = d.chance(0.7)
		t.turn = d.from(-1, 1)
		// To the right of all of the first, with its corner below the page's top.
		turned := make([]xy, len(right))
		low := xy{math.Inf(1), math.Inf(1)}
		for i, p := range right {
			turned[i] = p.turn(t.turn)
			low = xy{math.Min(low.x, turned[i].x), math.Min(low.y, turned[i].y)}
		}
		t.move = xy{cut + d.from(5, 40) - low.x, d.from(0, 30) - low.y}
		for i := range turned {
			turned[i] = turned[i].plus(t.move)
		}
		t.panels = append(t.panels, [][]xy{turned})
		t.seams = [2][2]xy{{left[1], left[2]}, {turned[0], turned[4]}}
	}
	svg := `<svg xmlns="http://www.w3.org/2000/svg" width="3000mm" height="2000mm" viewBox="0 0 3000 2000">`
	data := func(r []xy) string {
		out := ""
		for i, p := range r {
			out += fmt.Sprintf("%s%.9f %.9f", map[bool]string{true: "M", false: "L"}[i == 0], p.x, p.y)
		}
		return out
	}
	for _, p := range t.panels {
		svg += `<path fill="#888" fill-rule="evenodd" d="`
		for _, r := range p {
			svg += data(r) + "z"
		}
		svg += `"/>`
	}
	if t.sewn {
		svg += `<g fill="none" stroke="#000"><path id="left" d="` + data(t.seams[0][:]) + `"/><path id="right" d="` + data(t.seams[1][:]) + `"/></g>`
	}
	if t.waist >= 0 {
		svg += `<path id="neck" fill="none" stroke="#000" d="` + data(t.panels[0][t.waist]) + `z"/>`
	}
	files["panels.svg"] = &fstest.MapFile{Data: []byte(svg + "</svg>")}
	return t
}

// left is where the level row at y meets the panel's left edge.
func (t *drawnTruth) left(panel int, y float64) float64 {
	least := math.Inf(1)
	for _, r := range t.panels[panel] {
		for i, a := range r {
			if b := r[(i+1)%len(r)]; (a.y > y) != (b.y > y) {
				least = math.Min(least, a.x+(b.x-a.x)*(y-a.y)/(b.y-a.y))
			}
		}
	}
	return least
}

// measure measures a point of a mark's outline against the panel's edges.
func (t *drawnTruth) measure(k placedMark, p xy, waist, hem, seam float64, fault func(string, ...any)) {
	rings := t.panels[k.panel]
	if !within(p, rings...) {
		fault("mark %d reaches off its panel at %.3f, %.3f", k.number, p.x, p.y)
		return
	}
	for r, ring := range rings {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			asked, what := hem, "open edge"
			s := t.seams[k.panel]
			switch {
			case k.panel == 0 && r == t.waist:
				asked, what = waist, "waist edge"
			case t.sewn && r == 0 && (a == s[0] && b == s[1] || a == s[1] && b == s[0]):
				asked, what = seam, "seam"
			}
			if d := pointToEdge(p, a, b); d < asked-allowed {
				fault("mark %d comes within %.3f of the %s, asked %.3f", k.number, d, what, asked)
			}
		}
	}
}
