package scatter

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Streams of random numbers, one for each thing decided, so that a change of
// one does not stir the others.
const (
	streamEven uint64 = iota + 1
	streamMix
	streamTurn
	streamLoose
)

func (j *job) random(stream uint64) *rand.Rand {
	return rand.New(rand.NewPCG(j.opt.Seed, stream))
}

// neighbourReach, in steps, is how far two marks may be apart to count as
// neighbours: past the six of a staggered pattern (1 step) and the diagonal of
// a square one (√2), short of the next ring of either (√3, 2).
const neighbourReach = 1.5

// neighbours lists for every mark the other marks within neighbourReach, in the
// lengths of the density.
func neighbours(f folded, marks []mark, step float64) [][]int32 {
	reach := neighbourReach * step
	low, high := math.Inf(1), math.Inf(-1)
	for _, m := range marks {
		low, high = math.Min(low, m.at.Down), math.Max(high, m.at.Down)
	}
	x := skirt.NewSpots(f.fold, low, high, reach)
	for _, m := range marks {
		x.Add(f.fold.Spot(m.at))
	}
	out := make([][]int32, len(marks))
	parallel((len(marks)+chunk-1)/chunk, func(c int) {
		for i := c * chunk; i < min(len(marks), (c+1)*chunk); i++ {
			here := x.At(i)
			wide := reach
			mt := metric{}
			if !f.density.flat {
				along, across := f.density.at(here.Down)
				wide *= math.Max(along, across)
				mt = f.density.metricAt(here.Down, here.Upright)
			}
			x.Near(here, wide, func(k int, off geom.Vec, _ int) {
				if !f.density.flat && length(mt.to.Linear(off)) > reach {
					return
				}
				if k != i && !slices.Contains(out[i], int32(k)) {
					out[i] = append(out[i], int32(k))
				}
			})
		}
	})
	return out
}

// mix decides which mark carries which kind. Each panel gets of every motif its
// share within one; then marks of a panel swap kinds as long as that parts alike
// neighbours. Marks placed by hand keep theirs.
func (j *job) mix(d *draft) {
	if len(j.shapes) == 1 {
		for i := range d.marks {
			d.marks[i].kind = 0
		}
		return
	}
	r := j.random(streamMix)
	f := j.fold(d.repeat)
	panels := j.panelsOf(d)
	kinds := make([]int, len(d.marks))
	for i, counts := range j.panelCounts(d, panels) {
		j.deal(d, f, panels[i], counts, kinds, r)
	}
	near := neighbours(f, d.marks, d.step)
	// A motif's sizes are dealt by place where small ones go to the waist.
	bySize := f.density.waist < 1-geom.SameRatio
	alike := func(i, kind, but int) float64 {
		sum := 0.0
		for _, k := range near[i] {
			if int(k) == but {
				continue
			}
			switch other := kinds[k]; {
			case other == kind:
				sum += 1.25 // same motif in the same size looks more alike
			case j.shapes[other].Motif == j.shapes[kind].Motif:
				sum++
			}
		}
		return sum
	}
	// Sixty tries a mark: past that hardly any swap still helps. Swaps that change
	// nothing are made too: they lead out of corners.
	for _, panel := range panels {
		for range 60 * len(panel) {
			a, b := panel[r.IntN(len(panel))], panel[r.IntN(len(panel))]
			ka, kb := kinds[a], kinds[b]
			if ka == kb || d.marks[a].fixed || d.marks[b].fixed {
				continue
			}
			if alike(a, kb, b)+alike(b, ka, a) <= alike(a, ka, b)+alike(b, kb, a) {
				kinds[a], kinds[b] = kb, ka
			}
		}
		if bySize {
			j.smallUp(d, panel, kinds, r)
		}
	}
	for i := range d.marks {
		d.marks[i].kind = kinds[i]
	}
}

// panelsOf groups the marks of a repeat by the panel they lie on; where a repeat
// is less than a panel, all are one group.
func (j *job) panelsOf(d *draft) [][]int {
	n := max(1, j.surface.Panels/d.repeat)
	out := make([][]int, n)
	for i, m := range d.marks {
		p := 0
		if n > 1 {
			p = j.surface.Point(onPanel(j.surface, m.at.Repeated(0, d.repeat))).Panel % n
		}
		out[p] = append(out[p], i)
	}
	return slices.DeleteFunc(out, func(p []int) bool { return len(p) == 0 })
}

// panelCounts returns how many marks of every panel carry each kind: for each
// panel and for the repeat as a whole within one of the share. Panels take their
// whole parts first; what is over goes to the motifs that are most behind.
func (j *job) panelCounts(d *draft, panels [][]int) [][]int {
	share := j.shareOfMotif()
	behind := make([]float64, len(share))
	out := make([][]int, len(panels))
	dealt := make([]int, len(j.shapes)) // of every kind so far, to share sizes evenly
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
		out[p] = make([]int, len(j.shapes))
		for m, c := range counts {
			var sizes []int
			for k, s := range j.shapes {
				if s.Motif == m {
					sizes = append(sizes, k)
				}
			}
			for range c {
				least := sizes[0]
				for _, k := range sizes {
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

// shareOfMotif returns every motif's part of the mix; they sum to 1.
func (j *job) shareOfMotif() []float64 {
	var share []float64
	for _, s := range j.shapes {
		for len(share) <= s.Motif {
			share = append(share, 0)
		}
		share[s.Motif] = math.Max(0, s.Share)
	}
	sum := 0.0
	for _, x := range share {
		sum += x
	}
	for i := range share {
		share[i] /= sum
	}
	return share
}

// deal gives a panel's marks their kinds in turn: along a row that is already a
// good mix.
func (j *job) deal(d *draft, f folded, panel, counts []int, kinds []int, r *rand.Rand) {
	left := slices.Clone(counts)
	n := 0
	for _, i := range panel {
		if m := d.marks[i]; m.fixed {
			kinds[i] = m.kind
			left[m.kind]--
		} else {
			n++
		}
	}
	// Where more of a kind were placed by hand than its share, others give way.
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
	rate := make([]float64, len(left))
	for k, c := range left {
		rate[k] = float64(c) / float64(max(1, n))
	}
	owed := make([]float64, len(left))
	for k := range owed {
		if j.shapes[k].strewn() {
			owed[k] = rate[k] * r.Float64() // so that panels do not all begin alike
		}
	}
	for _, i := range panel {
		if d.marks[i].fixed {
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
		kinds[i] = pick
	}
}

// scattered is the part of the skirt's height by which sizes mix where small ones
// go to the waist: so much that no border shows.
const scattered = 0.35

// smallUp shares the sizes of every motif out anew, the smaller toward the waist.
func (j *job) smallUp(d *draft, panel, kinds []int, r *rand.Rand) {
	for motif := range j.shareOfMotif() {
		type site struct {
			mark   int
			height float64
		}
		var sites []site
		var sizes []int
		for _, i := range panel {
			if !d.marks[i].fixed && j.shapes[kinds[i]].Motif == motif {
				sites = append(sites, site{i, d.marks[i].at.Down + (r.Float64()-0.5)*scattered*(j.zone.high-j.zone.low)})
				sizes = append(sizes, kinds[i])
			}
		}
		slices.SortStableFunc(sites, func(a, b site) int { return cmp.Compare(a.height, b.height) })
		slices.SortStableFunc(sizes, func(a, b int) int { return cmp.Compare(j.shapes[a].form.equal, j.shapes[b].form.equal) })
		for k, s := range sites {
			kinds[s.mark] = sizes[k]
		}
	}
}

// kindCounts returns about how many of n marks carry each kind: motifs by share,
// then a motif's sizes equally.
func (j *job) kindCounts(n int) []int {
	share := j.shareOfMotif()
	out := make([]int, len(j.shapes))
	sizes := make([][]int, len(share))
	for i, s := range j.shapes {
		sizes[s.Motif] = append(sizes[s.Motif], i)
	}
	for m, k := range shareOut(n, share) {
		for i, c := range shareOut(k, make([]float64, len(sizes[m]))) {
			out[sizes[m][i]] = c
		}
	}
	return out
}
