package sheet

import (
	"cmp"
	"math"
	"slices"

	"strew/sheet/nfp"
	"strew/sheet/search"
	"strew/sheet/shape"
)

// Eliminating sheets. Felt comes in whole sheets, so a better lay is worth having only
// where it saves one: each try asks for just as many pieces on a sheet as that takes,
// and the tries end when the proven bound is reached, when the sheets would be fuller
// than any lay is likely to be, or when a try fails.

const (
	// fullest is the share of a sheet, pieces and sheet grown by half the gap,
	// over which no try is made.
	fullest = 0.97
	// mostMore is the share by which a try may ask for more felt on a sheet than
	// the best so far: fills are seldom so poor.
	mostMore = 0.25
	// triesWork is how many positions and pairs are evaluated for all tries at
	// effort 3, about a quarter of a second on two cores, and effortStep by how much
	// each step of effort changes that: to a minute at effort 10.
	triesWork  = 6_000_000
	effortStep = 2.1
	// insertShare is the part of the work in which pieces are inserted, which finds
	// soon what it finds at all.
	insertShare = 0.15
	// fewRepeats is up to how many sheets of one kind get the work of one try, and
	// mostRepeats how many tries' work more sheets get at most. From 5 to 9 differ by
	// no more than chance.
	fewRepeats  = 8
	mostRepeats = 5
	// leastLeft is the share of a kind's work below which what is left of it, after
	// pieces found, is not worth another try.
	leastLeft = 0.25
	// mostInserted bounds the pieces that are separated together on sheets, and so the
	// time of a round.
	mostInserted = 160
)

// tryWork returns how much work one try to save a sheet may take: the whole is
// shared out by the pieces wanted.
func (p improver) tryWork(wants []want) int {
	all := triesWork * math.Pow(effortStep, float64(p.opt.Effort-3))
	return int(all * float64(total(wants)) / float64(max(1, p.all)))
}

// fillOne lays one sheet of stock k with as much of the wants as it finds to fit; a
// roll takes them all, and is not yet made shorter.
func (p improver) fillOne(k int, wants []want) Sheet {
	var laid []shape.Laid
	if p.prepared(wants) {
		fills := p.fills(k, wants)
		laid = fills[0]
		if p.opt.Effort > 0 && !p.stock[k].Roll && len(wants) == 1 {
			laid = p.oneKind(k, wants[0], fills)
		}
	}
	if p.ctx.Err() != nil && (p.stock[k].Roll || len(laid) == 0) {
		laid = p.shelved(k, wants, laid)
	}
	return p.sheet(k, laid)
}

// prepared makes the forms ready for fills, and reports false where the context was
// done before.
func (p improver) prepared(wants []want) bool {
	for _, x := range wants {
		if !x.Prepare(p.ctx, nfp.Simple) {
			return false
		}
	}
	return p.ctx.Err() == nil
}

// oneKind returns a fill of stock k with one kind: the first of the fills, or one with
// more pieces where that saves a sheet.
func (p improver) oneKind(k int, x want, fills [][]shape.Laid) []shape.Laid {
	atLeast := p.sheetsAtLeast(k, []want{x})
	best := fills[0]
	spent := 0 // on strip fits: what is inserted is found soon, or given up soon
	for len(best) > 0 && p.ctx.Err() == nil {
		sheets := (x.n + len(best) - 1) / len(best)
		if sheets <= atLeast {
			break
		}
		n := (x.n + sheets - 2) / (sheets - 1)
		if float64(n)*x.Grown(p.ctx) > fullest*p.roomOf(k) || n > mostInserted || float64(n) > 1+(1+mostMore)*float64(len(best)) {
			break
		}
		// Where a sheet is repeated often one more piece on it saves many.
		all := p.tryWork([]want{x}) * max(1, min(mostRepeats, sheets/fewRepeats))
		work := all - spent
		if float64(work) < leastLeft*float64(all) {
			break
		}
		got, ok := p.inserted(k, want{x.form, n}, fills, int(insertShare*float64(work)))
		if !ok {
			var took int
			got, took, ok = p.fitted(k, []want{{x.form, n}}, best, work)
			spent += took
		}
		if !ok {
			break
		}
		best, fills = got, [][]shape.Laid{got}
	}
	return best
}

// inserted lays all of one kind on one sheet of stock k by inserting what is missing
// into the fills.
func (p improver) inserted(k int, x want, fills [][]shape.Laid, work int) ([]shape.Laid, bool) {
	bed := p.stock[k].bed()
	bs, ok := p.session.Bodies(p.ctx, []*shape.Form{x.Form}, bed)
	if !ok {
		return nil, false
	}
	o := search.Insertion{Bed: bed, Bins: 1, Work: work, Seed: p.opt.Seed, Workers: p.workers()}
	for _, f := range fills {
		o.Starts = append(o.Starts, bs.Pieces(f, 0))
	}
	o.Extra = func(s int) []*search.Body { return slices.Repeat(bs.All(), max(0, x.n-len(o.Starts[s]))) }
	got, ok := o.Run(p.ctx, bs)
	return search.LaidOn(got, 0), ok
}

// packedFuller returns a sheet of several kinds that is laid several times, with
// one more piece where that can be had, and one more again: of the kinds, the
// large ones first, of which there are enough left.
func (p improver) packedFuller(k int, s Sheet, waiting []want, times int) Sheet {
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
			if y.n = counts[y.Item]; y.Item == x.Item {
				y.n++
			}
			if grown += float64(y.n) * y.Grown(p.ctx); y.n > 0 {
				wants = append(wants, y)
			}
		}
		if (counts[x.Item]+1)*times > x.n || grown > fullest*p.roomOf(k) || len(s.Pieces) >= mostInserted {
			i++
			continue
		}
		got, _, ok := p.fitted(k, wants, p.laidOn(s, wants), work)
		if !ok {
			i++
			continue
		}
		s = p.sheet(k, got)
	}
	return s
}

// repeats returns how many of each item lie on the sheet, and how often it can be
// repeated with what is left, at most n times.
func repeats(s Sheet, left []want, n int) (counts map[int]int, times int) {
	counts, times = map[int]int{}, n
	for _, q := range s.Pieces {
		counts[q.Item]++
	}
	for _, w := range left {
		if c := counts[w.Item]; c > 0 {
			times = min(times, w.n/c)
		}
	}
	return counts, times
}

// eliminated tries to lay what lies on the sheets of stock k on one sheet less, as
// often as that succeeds, and reports the sheets each time.
func (p improver) eliminated(k int, sheets []Sheet, wants []want, tell func([]Sheet)) []Sheet {
	for p.opt.Effort > 0 && !p.stock[k].Roll && len(wants) > 1 && p.ctx.Err() == nil {
		own := p.emptiest(k, sheets, wants)
		if own == nil {
			break
		}
		fewer, ok := p.oneLess(k, sheets, own, wants)
		if !ok {
			break
		}
		sheets = fewer
		tell(sheets)
	}
	return sheets
}

// emptiest returns the numbers of the emptiest sheets of stock k, as many as can be
// worked on together; nil where one of them less is impossible or not likely.
func (p improver) emptiest(k int, sheets []Sheet, wants []want) []int {
	var own []int
	for i, s := range sheets {
		if s.Stock == k {
			own = append(own, i)
		}
	}
	slices.SortStableFunc(own, func(i, j int) int { return cmp.Compare(sheets[i].Used, sheets[j].Used) })
	count, grown, densest := 0, 0.0, 0.0
	var some []Sheet
	for _, i := range own {
		if count += len(sheets[i].Pieces); count > mostInserted {
			break
		}
		felt := p.grownOf(on(sheets[i:i+1], wants))
		grown += felt
		densest = max(densest, felt)
		some = append(some, sheets[i])
	}
	n := len(some)
	if n < 2 || grown > float64(n-1)*min(fullest*p.roomOf(k), (1+mostMore/2)*densest) || p.sheetsAtLeast(k, on(some, wants)) >= n {
		return nil
	}
	return own[:n]
}

// oneLess lays the pieces of the sheets own, of stock k, on one of them less.
func (p improver) oneLess(k int, sheets []Sheet, own []int, wants []want) ([]Sheet, bool) {
	bed := p.stock[k].bed()
	var fs []*shape.Form
	for _, x := range wants {
		if p.holds(k, x.form) {
			fs = append(fs, x.Form)
		}
	}
	bs, ok := p.session.Bodies(p.ctx, fs, bed)
	if !ok {
		return nil, false
	}
	var start []search.Piece
	for bin, i := range own[1:] {
		start = append(start, bs.Pieces(p.laidOn(sheets[i], wants), bin)...)
	}
	extra := search.BySize(bs.Pieces(p.laidOn(sheets[own[0]], wants), 0))
	o := search.Insertion{
		Bed: bed, Bins: len(own) - 1, Starts: [][]search.Piece{start}, Extra: func(int) []*search.Body { return extra },
		Work: p.tryWork(wants), Seed: p.opt.Seed, Workers: p.workers(),
	}
	got, ok := o.Run(p.ctx, bs)
	if !ok {
		return nil, false
	}
	out := slices.Clone(sheets)
	for bin, i := range own[1:] {
		out[i] = p.sheet(k, search.LaidOn(got, bin))
	}
	out = slices.Delete(out, own[0], own[0]+1)
	return slices.DeleteFunc(out, func(s Sheet) bool { return len(s.Pieces) == 0 }), true
}
