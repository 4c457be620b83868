package scatter

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

const (
	// swaps is how many swaps are tried for every mark: beyond that hardly any helps.
	swaps = 60
	// sameSize is how alike two neighbours of the same motif and size look, where 1 is
	// the same motif in another size.
	sameSize = 1.25
	// scattered is the part of the skirt's height by which sizes mix where small
	// ones go to the waist: enough that no border shows.
	scattered = 0.35
)

// mix decides the kind of every mark. Each panel gets its share of every motif,
// within one; then marks of a panel swap kinds while that separates alike
// neighbours (a 2-exchange). Marks placed by hand keep theirs.
func (d *draft) mix(ctx context.Context) error {
	if len(d.kinds) == 1 {
		for i := range d.marks {
			d.marks[i].kind = 0
		}
		return nil
	}
	m := mixing{draft: d, random: d.opt.random(streamMix), kinds: make([]int, len(d.marks))}
	panels := d.byPanel()
	for i, counts := range d.panelCounts(panels) {
		m.deal(panels[i], counts)
	}
	var err error
	if m.near, err = d.neighbours(ctx, d.marks, d.step); err != nil {
		return err
	}
	// A motif's sizes are dealt by place where small ones go to the waist.
	bySize := d.density.waist < 1-geom.SameRatio
	for _, panel := range panels {
		if err := m.exchange(ctx, panel); err != nil {
			return err
		}
		if bySize {
			m.smallUp(panel)
		}
	}
	for i := range d.marks {
		d.marks[i].kind = m.kinds[i]
	}
	return nil
}

// mixing is a mix in the making.
type mixing struct {
	*draft
	random *rand.Rand
	kinds  []int // of every mark
	near   [][]int32
}

// exchange swaps kinds of a panel's marks. Swaps that change nothing are made too:
// they lead out of local optima.
func (m *mixing) exchange(ctx context.Context, panel []int) error {
	for n := range swaps * len(panel) {
		if n%1024 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		a, b := panel[m.random.IntN(len(panel))], panel[m.random.IntN(len(panel))]
		ka, kb := m.kinds[a], m.kinds[b]
		if ka == kb || m.marks[a].fixed || m.marks[b].fixed {
			continue
		}
		if m.alike(a, kb, b)+m.alike(b, ka, a) <= m.alike(a, ka, b)+m.alike(b, kb, a) {
			m.kinds[a], m.kinds[b] = kb, ka
		}
	}
	return nil
}

// alike returns how alike a mark would be to its neighbours, one of them left
// out, if it carried a kind.
func (m *mixing) alike(i, kind, but int) float64 {
	all := m.draft.kinds
	sum := 0.0
	for _, k := range m.near[i] {
		if int(k) == but {
			continue
		}
		switch other := m.kinds[k]; {
		case other == kind:
			sum += sameSize
		case all[other].Motif == all[kind].Motif:
			sum++
		}
	}
	return sum
}

// byPanel groups the marks of a repeat by the panel they lie on; where a repeat
// is less than a panel, all are one group.
func (d *draft) byPanel() [][]int {
	n := max(1, d.surface.Panels/d.repeat)
	out := make([][]int, n)
	for i, m := range d.marks {
		p := 0
		if n > 1 {
			p = d.surface.Point(skirt.Settled(d.surface, m.at.Repeated(0, d.repeat))).Panel % n
		}
		out[p] = append(out[p], i)
	}
	return slices.DeleteFunc(out, func(p []int) bool { return len(p) == 0 })
}

// panelCounts returns how many marks of every panel carry each kind: for each
// panel and for the repeat as a whole within one of the share. Panels take their
// whole parts first; what is over goes to the motifs that are most behind.
func (d *draft) panelCounts(panels [][]int) [][]int {
	share := d.kinds.shares()
	sizes := make([][]int, len(share))
	for k, s := range d.kinds {
		sizes[s.Motif] = append(sizes[s.Motif], k)
	}
	behind := make([]float64, len(share))
	out := make([][]int, len(panels))
	dealt := make([]int, len(d.kinds)) // of every kind so far, to share sizes evenly
	for p, panel := range panels {
		n := len(panel)
		counts := make([]int, len(share))
		order := make([]int, len(share))
		left := n
		for m, part := range share {
			exact := part * float64(n)
			counts[m] = int(exact + geom.SameRatio)
			behind[m] += exact - float64(counts[m])
			left -= counts[m]
			order[m] = m
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(behind[b], behind[a]) })
		for _, m := range order {
			// A motif whose share of this panel is whole takes no more.
			if exact := share[m] * float64(n); left > 0 && exact-math.Floor(exact+geom.SameRatio) > geom.SameRatio {
				counts[m]++
				behind[m]--
				left--
			}
		}
		out[p] = make([]int, len(d.kinds))
		for m, c := range counts {
			for range c {
				least := sizes[m][0]
				for _, k := range sizes[m] {
					if dealt[k] < dealt[least] {
						least = k
					}
				}
				dealt[least]++
				out[p][least]++
			}
		}
	}
	return out
}

// deal gives a panel's marks their kinds in turn: along a row that is already a
// good mix.
func (m *mixing) deal(panel, counts []int) {
	left := slices.Clone(counts)
	n := 0
	for _, i := range panel {
		if at := m.marks[i]; at.fixed {
			m.kinds[i] = at.kind
			left[at.kind]--
		} else {
			n++
		}
	}
	giveWay(left)
	rate := make([]float64, len(left))
	for k, c := range left {
		rate[k] = float64(c) / float64(max(1, n))
	}
	owed := make([]float64, len(left))
	for k := range owed {
		if m.draft.kinds[k].strewn() {
			owed[k] = rate[k] * m.random.Float64() // so that panels do not all begin alike
		}
	}
	for _, i := range panel {
		if m.marks[i].fixed {
			continue
		}
		pick := -1
		for k := range left {
			owed[k] += rate[k]
			if left[k] > 0 && (pick < 0 || owed[k] > owed[pick]) {
				pick = k
			}
		}
		owed[pick]--
		left[pick]--
		m.kinds[i] = pick
	}
}

// giveWay takes from the kinds of which most are left, if more of another were
// placed by hand than its share.
func giveWay(left []int) {
	for k := range left {
		for left[k] < 0 {
			most := 0
			for o := range left {
				if left[o] > left[most] {
					most = o
				}
			}
			left[most]--
			left[k]++
		}
	}
}

// smallUp shares the sizes of every motif out anew, the smaller toward the waist.
func (m *mixing) smallUp(panel []int) {
	all := m.draft.kinds
	for motif := range all.shares() {
		type site struct {
			mark   int
			height float64
		}
		var sites []site
		var sizes []int
		for _, i := range panel {
			if !m.marks[i].fixed && all[m.kinds[i]].Motif == motif {
				sites = append(sites, site{i, m.marks[i].at.Down + (m.random.Float64()-0.5)*scattered*(m.high-m.low)})
				sizes = append(sizes, m.kinds[i])
			}
		}
		slices.SortStableFunc(sites, func(a, b site) int { return cmp.Compare(a.height, b.height) })
		slices.SortStableFunc(sizes, func(a, b int) int { return cmp.Compare(all[a].form.equal, all[b].form.equal) })
		for k, s := range sites {
			m.kinds[s.mark] = sizes[k]
		}
	}
}
