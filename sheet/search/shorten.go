package search

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"golang.org/x/sync/errgroup"
	"strew/sheet/shape"
)

// Making a roll shorter, step by step (exploration and compression of the paper named
// in separate.go): its end is moved in, the pieces pushed over one another there are
// separated again, and where that fails two large pieces change places before the next
// try. At the end come small steps that take out the last slack (compression).
//
// Two workers with random sources of their own work side by side in epochs of a fixed
// amount of work, so the result does not depend on how many cores there are. After
// each epoch both go on from the shorter roll if the other is far behind. A worker
// that comes to a stop, as few pieces of few turns soon do, begins again from the
// first roll with other weights. In the last epoch both compress the shortest roll.
//
// Every other worker searches loosely: pieces may overlap by a little, and each roll
// it finds is compacted (compact.go) to the shortest length that succeeds; it goes on
// from the loose one. So it gets past the places where pieces fit one another exactly
// and one alone cannot be moved in. The other one searches a roll of many pieces by
// windows (window.go).

const (
	// Workers is how many search side by side: as many as a small laptop has cores.
	Workers = 2
	// Epochs is how many equal parts the work has; the last one compresses.
	Epochs = 8
	// MostTogether is how many pieces are searched together at most: three workers'
	// tables of costs and weights of as many pairs take 430 MB.
	MostTogether = 3000
	// atGoal is how near the length asked for, in millimetres, a roll only needs
	// compression.
	atGoal = 0.1
	// looseEpochs is the epoch after which a loose worker drops its slack.
	looseEpochs = Epochs - 2
	// looseLeast is the epoch after which it does so where the other worker, searching
	// by windows, is ahead.
	looseLeast = 1
	// compressShare is the share of the last epoch left to compression where rolls are
	// searched by windows: in an eighth of the work it gains two thirds of what it can,
	// and windows more in the rest.
	compressShare = 1. / 8
)

// hope is the share of the length that a roll may still lose from each epoch on, in
// our own trials. If that would save no step that it is sold by, the search ends.
var hope = [Epochs]float64{1, 0.06, 0.05, 0.04, 0.04, 0.03, 0.02, 0.003}

// Roll is pieces on an open bed, to be made shorter.
type Roll struct{ sep *separator }

// seedStream is the random stream of what is done before the workers begin, which
// have the streams below it.
const seedStream = Workers

// NewRoll returns a roll of the pieces on a bed, open or closed; pieces may overlap. Ok
// is false where the context was done before.
func NewRoll(ctx context.Context, bed shape.Bed, bs *Bodies, pieces []Piece, seed uint64) (r *Roll, ok bool) {
	b := newSeparator(ctx, bed, 1, bs, rand.New(rand.NewPCG(seed, seedStream)))
	return &Roll{b}, b.fill(ctx, pieces)
}

// Uncached reports whether the roll's penetration fields are more than a processor's
// cache holds: evaluations then take nearly twice as long.
func (r *Roll) Uncached() bool { return r.sep.uncached() }

// End returns how far down the pieces reach.
func (r *Roll) End() float64 { return r.sep.end() }

// Height returns the length of the bed.
func (r *Roll) Height() float64 { return r.sep.bed.Height() }

// CutAt moves the lower end of the bed.
func (r *Roll) CutAt(height float64) { r.sep.setHeight(height) }

// Laid returns the pieces as they lie.
func (r *Roll) Laid() []shape.Laid { return LaidOn(r.sep.pieces, 0) }

const (
	// drawnOut is how much longer a roll is made if its pieces do not come apart at
	// the search's turns, and draws how many times at most.
	drawnOut = 1.01
	draws    = 3
)

var (
	apartEndurance  = endurance{50, 2}
	loosenEndurance = endurance{100, 3}
)

// ComeApart separates pieces that were laid at other turns than the search's: where
// they do not come apart within the work, they begin anew on a bed that is drawn
// out. It reports whether they came apart.
func (r *Roll) ComeApart(ctx context.Context, work int) bool {
	b := r.sep
	from := b.save()
	for n := 0; !b.separate(ctx, work, apartEndurance); n++ {
		if n == draws || ctx.Err() != nil {
			return false
		}
		b.setHeight(b.bed.Height() * drawnOut)
		for i := range from {
			from[i].at.Y *= drawnOut
		}
		b.restore(from)
		b.resetWeights()
	}
	return true
}

// Separate moves the pieces, on the bed as it is, until none overlap, and reports
// whether it got there within the work.
func (r *Roll) Separate(ctx context.Context, work int) bool {
	return r.sep.separate(ctx, work, loosenEndurance)
}

// Shortening is how a roll is made shorter.
type Shortening struct {
	Goal    float64                         // no shorter length is of use
	Cut     func(float64) float64           // rounds a length up to what must be bought
	Work    int                             // evaluated positions and pairs, about
	Wait    int                             // the work without a shorter roll after which a worker begins again
	Seed    uint64                          // of all that is random
	Workers int                             // goroutines; the result does not depend on it
	Told    func(epoch int, length float64) // after each epoch, the shortest length so far; may be nil
}

// Shorten makes the roll shorter. It must hold no overlap, and holds none afterwards.
func (r *Roll) Shorten(ctx context.Context, o Shortening) {
	ws, ok := newWorkers(ctx, r.sep, o)
	if !ok {
		return
	}
	for epoch := 0; epoch < Epochs; epoch++ {
		last := epoch == Epochs-1
		top := shortest(ws)
		for _, s := range ws {
			s.begin(epoch, top)
		}
		var g errgroup.Group
		g.SetLimit(o.Workers)
		for _, s := range ws {
			g.Go(func() error {
				if last {
					s.finish(ctx, o.Work/Epochs, o.Wait)
				} else {
					s.explore(ctx, o.Work/Epochs, o.Wait)
				}
				return nil
			})
		}
		_ = g.Wait() // no worker fails
		h := shortest(ws).top.h
		if o.Told != nil {
			o.Told(epoch+1, h)
		}
		if h <= o.Goal || epoch+1 < Epochs && o.Cut(h*(1-hope[epoch+1])) >= o.Cut(h) || ctx.Err() != nil {
			break
		}
		if h <= o.Goal+atGoal {
			epoch = max(epoch, Epochs-2) // only compression is left
		}
	}
	top := shortest(ws).top
	r.sep.setHeight(top.h)
	r.sep.restore(top.at)
}

// newWorkers returns workers that begin from where the pieces lie; ok is false where
// the context was done before.
func newWorkers(ctx context.Context, b *separator, o Shortening) (ws []*worker, ok bool) {
	ws = make([]*worker, Workers)
	for k := range ws {
		c, ok := b.clone(ctx, rand.New(rand.NewPCG(o.Seed, uint64(k))))
		if !ok {
			return nil, false
		}
		c.raise = gentle
		c.setHeight(c.end())
		r := roll{c.save(), c.bed.Height()}
		ws[k] = &worker{b: c, slack: slack * float64(k%2), first: r, best: r, top: r, bold: boldStep, goal: o.Goal}
	}
	return ws, true
}

// shortest returns the worker with the shortest roll.
func shortest(ws []*worker) *worker {
	return slices.MinFunc(ws, func(a, b *worker) int { return cmp.Compare(a.top.h, b.top.h) })
}

// begin readies a worker for an epoch: it learns what the others have asked for, and
// goes on from the top worker's roll where it is far behind.
func (s *worker) begin(epoch int, top *worker) {
	s.b.learn()
	behind := top.top.h < s.top.h*(1-2*fineStep)
	if s.slack > 0 && (epoch == looseEpochs || behind && epoch >= looseLeast && len(s.b.pieces) >= manyPieces) {
		s.slack = 0
		s.follow(s)
	}
	if epoch == Epochs-1 || s.again == 0 && behind {
		s.follow(top)
	}
}

// finish spends the last epoch.
func (s *worker) finish(ctx context.Context, work, wait int) {
	if s.byWindows() {
		compression := int(compressShare * float64(work))
		s.explore(ctx, work-compression, wait)
		s.follow(s)
		work = compression
	}
	s.compress(ctx, work)
}

// patient is the work that a worker which is to reach a given length may do without
// finding anything shorter, before it begins again, as a share of the work scale; for
// more or less work in all it grows as the root of that.
const patient = 0.15

// Wait returns that work, for the work in all and the scale that patient is a share of: restarts reach a given length sooner than patience. On a roll no length is
// given, and only tries count.
func Wait(work, scale int) int { return int(patient * math.Sqrt(float64(work)*float64(scale))) }
