package render

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/scatter/skirt"
)

// A layout that repeats round the skirt is printed and measured once: what is
// laid down again is the same paper, moved on.

// Part is what of the cloth is printed once, and which panels it serves.
type Part struct {
	stretch
	Panels []int // whole panels that are marked from this part, from 0; the first is drawn
	Higher []int // what to add to the marks' numbers there; nil where no single number does
	Times  int   // how many lie side by side on one panel; 1 for a whole panel
}

// Parts returns what of the cloth must be printed: where the layout comes round
// several times, one repeat; where panels carry the same marks, one of them;
// else every panel. Whether marks are the same is checked, not assumed.
func (c Cloth) Parts(marks []Mark) []Part {
	s := c.Surface
	n := max(1, s.Panels)
	sites := sitesOf(s, marks)
	if r := c.Repeat; s.Closed() && r > n && r%n == 0 && sites.repeats(s, float64(n)/float64(r)) {
		p := Part{stretch: stretch{s, 0, float64(n) / float64(r)}, Times: r / n}
		for k := range n {
			p.Panels = append(p.Panels, k)
		}
		return []Part{p}
	}
	period := n
	for k := 1; k < n; k++ {
		if s.Closed() && n%k == 0 && len(marks) > 0 && sites.repeats(s, float64(k)) {
			period = k
			break
		}
	}
	var out []Part
	for k := range period {
		p := Part{stretch: stretch{s, float64(k), float64(k + 1)}, Times: 1}
		for j := k; j < n; j += period {
			p.Panels = append(p.Panels, j)
		}
		p.Higher = higher(marks, p.Panels)
		out = append(out, p)
	}
	return out
}

// higher returns by how much the numbers on each panel exceed those of the
// first in order; nil where they do not all exceed them by the same.
func higher(marks []Mark, panels []int) []int {
	var of [][]Mark
	for _, k := range panels {
		var list []Mark
		for _, m := range marks {
			if m.Point.Panel == k {
				list = append(list, m)
			}
		}
		of = append(of, list)
	}
	out := make([]int, len(panels))
	for i, list := range of {
		if len(list) != len(of[0]) || len(list) == 0 {
			return nil
		}
		out[i] = list[0].Number - of[0][0].Number
		for j, m := range list {
			if m.Number-of[0][j].Number != out[i] || m.Point.At.Dist(of[0][j].Point.At) > sameMark {
				return nil
			}
		}
	}
	return out
}

// sameMark is how far apart, in millimetres, two copies of a mark may lie and
// count as the same: a tenth of the width of the finest line.
const sameMark = 0.02

// site is a mark without its panel: panels round, depth, and its turn against
// the cloth's own upright.
type site struct {
	u, down, turn, size float64
	name                string
}

type sites []site

func sitesOf(s skirt.Surface, marks []Mark) sites {
	out := make(sites, len(marks))
	for i, m := range marks {
		st := stretch{surface: s}
		out[i] = site{float64(m.Point.Panel) + st.share(m.Point), s.Down(m.Point.At), m.Turn - s.Upright(m.Point.At), m.Size, m.MotifName}
	}
	slices.SortFunc(out, func(a, b site) int { return cmp.Compare(a.down, b.down) })
	return out
}

// repeats reports whether the marks, moved on by that many panels, lie on
// marks.
func (list sites) repeats(s skirt.Surface, period float64) bool {
	n := float64(max(1, s.Panels))
	for _, a := range list {
		first, _ := slices.BinarySearchFunc(list, a.down-sameMark, func(b site, d float64) int { return cmp.Compare(b.down, d) })
		found := false
		for _, b := range list[first:] {
			if b.down > a.down+sameMark {
				break
			}
			d := math.Abs(math.Remainder(a.u+period-b.u, n)) * s.PanelGirth(a.down)
			turned := math.Abs(math.Remainder(a.turn-b.turn, 2*math.Pi))
			if d <= sameMark && turned < 1e-4 && sameSize(a.size, b.size) && a.name == b.name {
				found = true
				break
			}
		}
		if !found {
			return false
		}
	}
	return true
}

// Name says which part of the cloth it is: "panel 2", "one repeat, 1/3 of a
// panel".
func (p Part) Name(sayer say.Printer) string {
	if p.Times > 1 {
		return sayer.Say("one repeat, 1/%d of a panel", p.Times)
	}
	return sayer.Message(panelName(p.Panels[0], p.surface.Panels))
}

// Use says where else the part is used; "" where nowhere.
func (p Part) Use(sayer say.Printer) string {
	if p.Times > 1 {
		return sayer.Say("The layout repeats: this part is printed once and used %d times side by side on every panel. Its numbers are those of the first repeat; placement.png shows the others.", p.Times)
	}
	if len(p.Panels) == 1 {
		return ""
	}
	var also say.List
	for i, k := range p.Panels[1:] {
		if p.Higher == nil {
			also = append(also, say.New("panel %d", k+1))
		} else {
			also = append(also, say.New("panel %d (numbers + %d)", k+1, p.Higher[i+1]))
		}
	}
	if p.Higher == nil {
		return sayer.Say("All of panel %d is also used for %s. The marks' numbers there are in placement.png.", p.Panels[0]+1, also)
	}
	return sayer.Say("All of panel %d is also used for %s.", p.Panels[0]+1, also)
}

// here returns the marks whose glue points lie in the part.
func (p Part) here(marks []Mark) []lying {
	var out []lying
	for _, l := range p.lying(marks) {
		if l.here {
			out = append(out, l)
		}
	}
	return out
}

// cutEdges returns the lines along which the part is cut, outside its seams,
// where an allowance is added; a drawn panel's are left to the cutting table.
func (p Part) cutEdges(allowance float64) [][]geom.Vec {
	if allowance <= 0 || p.whole() || p.drawn() {
		return nil
	}
	drop := p.surface.Drop
	var out [][]geom.Vec
	_, left, right := p.seams()
	side := func(u, sign float64) {
		a, b := p.at(u, 0), p.at(u, drop)
		d := b.Sub(a)
		off := geom.Vec{X: d.Y, Y: -d.X}.Mul(sign * allowance / d.Len())
		out = append(out, []geom.Vec{a.Add(off), b.Add(off)})
	}
	if left {
		side(p.from, -1)
	}
	if right {
		side(p.to, 1)
	}
	return out
}
