package sheet

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
)

// Fewer sheets. Felt comes in whole sheets, so a better lay is worth having only
// where it saves one: each try asks for just as many pieces on a sheet as that
// takes, and the tries end when the proven bound is reached, when the sheets
// would be fuller than any lay is likely to be, or when a try fails.

const (
	// fullest is the share of a sheet, pieces and sheet grown by half the gap,
	// over which no try is made.
	fullest = 0.97
	// mostMore is the share by which a try may ask for more felt on a sheet than
	// the best so far: fills are seldom so poor.
	mostMore = 0.25
	// triesWork is how many places and pairs are looked at for all tries at
	// effort 3, about a quarter of a second on two cores, and effortStep by how much
	// each step of effort changes that: to a minute at effort 10.
	triesWork  = 6_000_000
	effortStep = 2.1
	// crowdShare is the part of the work in which pieces are crowded in, which
	// finds soon what it finds at all.
	crowdShare = 0.15
	// fewRepeats is up to how many sheets of one kind get the work of one try, and
	// mostRepeats how many tries' work more sheets get at most. From 5 to 9 differ by
	// no more than chance.
	fewRepeats  = 8
	mostRepeats = 5
	// leastLeft is the share of a kind's work below which what is left of it, after pieces
	// found, is not worth another try.
	leastLeft = 0.25
	// mostCrowded is how many pieces at most are separated together.
	mostCrowded = 160
)

// tryWork returns how much work one try to save a sheet may take: the whole is
// shared out by the pieces wanted.
func (p *packer) tryWork(wants []want) int {
	all := triesWork * math.Pow(effortStep, float64(p.opt.Effort-3))
	return int(all * float64(total(wants)) / float64(max(1, p.total)))
}

// room returns the area of stock k's inner rectangle grown by half the gap.
func (p *packer) room(k int) float64 {
	w, h := p.stock[k].inner()
	return (w + p.opt.Gap) * (h + p.opt.Gap)
}

// fuller returns a fill of stock k with one kind: the first of the fills, or
// one with more pieces where that saves a sheet.
func (p *packer) fuller(k int, x want, fills [][]laid) []laid {
	w, h := p.stock[k].inner()
	atLeast := sheetsAtLeast([]want{x}, w, h, p.opt.Gap)
	best := fills[0]
	spent := 0 // by squeezing: what is crowded in comes soon, or is given up soon
	for len(best) > 0 && p.ctx.Err() == nil {
		sheets := (x.n + len(best) - 1) / len(best)
		if sheets <= atLeast {
			break
		}
		n := (x.n + sheets - 2) / (sheets - 1)
		if float64(n)*x.grown() > fullest*p.room(k) || n > mostCrowded || float64(n) > 1+(1+mostMore)*float64(len(best)) {
			break
		}
		// Where a sheet is repeated often one more piece on it saves many.
		all := p.tryWork([]want{x}) * max(1, min(mostRepeats, sheets/fewRepeats))
		work := all - spent
		if float64(work) < leastLeft*float64(all) {
			break
		}
		got, ok := p.crowded(k, want{x.form, n}, fills, int(crowdShare*float64(work)))
		if !ok {
			var took int
			got, took, ok = p.squeezed(k, []want{{x.form, n}}, best, work)
			spent += took
		}
		if !ok {
			break
		}
		best, fills = got, [][]laid{got}
	}
	return best
}

// packedFuller returns a sheet of several kinds that is laid so many times, with
// one more piece where that can be had, and one more again: of the kinds, the
// large ones first, of which there are enough left.
func (p *packer) packedFuller(k int, s Sheet, waiting []want, times int) Sheet {
	if p.opt.Effort == 0 || times < fewRepeats {
		return s
	}
	work := p.tryWork(waiting) * min(mostRepeats, times/fewRepeats)
	for i := 0; i < len(waiting) && p.ctx.Err() == nil; {
		x := waiting[i]
		counts, _ := repeats(s, waiting, times)
		var wants []want
		grown := 0.0
		for _, y := range waiting {
			if y.n = counts[y.item]; y.item == x.item {
				y.n++
			}
			if grown += float64(y.n) * y.grown(); y.n > 0 {
				wants = append(wants, y)
			}
		}
		if (counts[x.item]+1)*times > x.n || grown > fullest*p.room(k) || len(s.Pieces) >= mostCrowded {
			i++
			continue
		}
		got, _, ok := p.squeezed(k, wants, p.laidOn(s, wants), work)
		if !ok {
			i++
			continue
		}
		s = p.sheet(k, got)
	}
	return s
}

// crowded lays all of one kind on one sheet of stock k by crowding what is
// missing into the fills.
func (p *packer) crowded(k int, x want, fills [][]laid, work int) ([]laid, bool) {
	w, h := p.stock[k].inner()
	bs := p.known.bodies([]*form{x.form}, p.stock[k].Nap, w, h)
	var starts [][]piece
	for _, f := range fills {
		starts = append(starts, bs.pieces(f, 0))
	}
	extra := func(s int) []*body { return slices.Repeat(bs.all, max(0, x.n-len(starts[s]))) }
	got, ok := crowd(p.ctx, bs, w, h, 1, starts, extra, work, p.opt.Seed, p.workers())
	return laidOf(got, 0), ok
}

// fewer tries to lay what lies on the sheets of stock k on one sheet less, as
// often as that works.
func (p *packer) fewer(k int, sheets []Sheet, wants []want) []Sheet {
	w, h := p.stock[k].inner()
	for p.opt.Effort > 0 && !p.stock[k].Roll && len(wants) > 1 && p.ctx.Err() == nil {
		// The emptiest sheets, as many as can be worked on together.
		var own []int
		for i, s := range sheets {
			if s.Stock == k {
				own = append(own, i)
			}
		}
		slices.SortStableFunc(own, func(i, j int) int { return cmp.Compare(sheets[i].Used, sheets[j].Used) })
		n, count, grown, densest := 0, 0, 0.0, 0.0
		for n < len(own) && count+len(sheets[own[n]].Pieces) <= mostCrowded {
			count += len(sheets[own[n]].Pieces)
			felt := grownOf(on([]Sheet{sheets[own[n]]}, wants))
			grown += felt
			densest = max(densest, felt)
			n++
		}
		if n < 2 || grown > float64(n-1)*min(fullest*p.room(k), (1+mostMore/2)*densest) || p.provenFull(k, sheets, own[:n], wants) {
			break
		}
		own = own[:n]
		var fs []*form
		for _, x := range wants {
			if p.holds(k, x.form) {
				fs = append(fs, x.form)
			}
		}
		bs := p.known.bodies(fs, p.stock[k].Nap, w, h)
		var start []piece
		for bin, i := range own[1:] {
			start = append(start, bs.pieces(p.laidOn(sheets[i], wants), bin)...)
		}
		var extra []*body
		for _, q := range bs.pieces(p.laidOn(sheets[own[0]], wants), 0) {
			extra = append(extra, q.body)
		}
		slices.SortStableFunc(extra, func(a, b *body) int { return cmp.Compare(b.weight, a.weight) })
		got, ok := crowd(p.ctx, bs, w, h, n-1, [][]piece{start}, func(int) []*body { return extra }, p.tryWork(wants), p.opt.Seed, p.workers())
		if !ok {
			break
		}
		for bin, i := range own[1:] {
			sheets[i] = p.sheet(k, laidOf(got, bin))
		}
		sheets = slices.DeleteFunc(slices.Delete(slices.Clone(sheets), own[0], own[0]+1), func(s Sheet) bool { return len(s.Pieces) == 0 })
	}
	return sheets
}

// provenFull reports whether the chosen sheets' pieces need as many sheets.
func (p *packer) provenFull(k int, sheets []Sheet, own []int, wants []want) bool {
	var some []Sheet
	for _, i := range own {
		some = append(some, sheets[i])
	}
	w, h := p.stock[k].inner()
	return sheetsAtLeast(on(some, wants), w, h, p.opt.Gap) >= len(own)
}

// form returns the form of an item.
func (p *packer) form(wants []want, item int) *form {
	for _, x := range wants {
		if x.item == item {
			return x.form
		}
	}
	panic("sheet: an item without a form")
}

// laidOn returns the pieces of a sheet in the coordinates of the search.
func (p *packer) laidOn(s Sheet, wants []want) []laid {
	m := p.stock[s.Stock].Margin
	var out []laid
	for _, q := range s.Pieces {
		out = append(out, laid{p.form(wants, q.Item).view(q.Turn, false), q.At.Sub(geom.Vec{X: m, Y: m})})
	}
	return out
}

// pieces returns the pieces that lie as the laid do, on the sheet bin.
func (c *bodies) pieces(ls []laid, bin int) []piece {
	var out []piece
	for _, l := range ls {
		q := c.piece(l)
		q.bin = bin
		out = append(out, q)
	}
	return out
}

// laidOf returns the laid that lie as the pieces on the sheet bin do.
func laidOf(ps []piece, bin int) []laid {
	var out []laid
	for _, q := range ps {
		if q.bin == bin {
			out = append(out, q.laid())
		}
	}
	return out
}
