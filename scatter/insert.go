package scatter

import (
	"context"
	"math"

	"strew/motif/say"
	"strew/scatter/skirt"
)

// number makes a draft have exactly n marks: by farthest-point insertion, a mark
// where the cloth is barest (T. F. Gonzalez, "Clustering to minimize the maximum
// intercluster distance", Theoretical Computer Science 38, 1985), or by
// closest-pair removal, taking out the most crowded. Marks placed by hand stay.
func (d *draft) number(ctx context.Context, n int) error {
	if len(d.marks) < n {
		return d.insert(ctx, n)
	}
	if len(d.marks) > n {
		return d.remove(ctx, n)
	}
	return nil
}

// remove takes out marks until there are n.
func (d *draft) remove(ctx context.Context, n int) error {
	x, err := d.index(ctx, d.marks, d.step)
	if err != nil {
		return err
	}
	next := make([]int, len(d.marks)) // every mark's nearest, and
	far := make([]float64, len(d.marks))
	for i := range d.marks {
		next[i], far[i] = x.Nearest(x.At(i), d.step, i)
	}
	gone := make([]bool, len(d.marks))
	for range len(d.marks) - n {
		if err := ctx.Err(); err != nil {
			return err
		}
		worst, least, last := -1, math.Inf(1), -1
		for i := len(d.hands); i < len(d.marks); i++ {
			if gone[i] {
				continue
			}
			if last = i; far[i] < least {
				worst, least = i, far[i]
			}
		}
		if worst < 0 { // none has a neighbour
			worst = last
		}
		gone[worst] = true
		x.Remove(worst)
		for i := range d.marks {
			if !gone[i] && next[i] == worst {
				next[i], far[i] = x.Nearest(x.At(i), d.step, i)
			}
		}
	}
	left := d.marks[:0]
	for i, m := range d.marks {
		if !gone[i] {
			left = append(left, m)
		}
	}
	d.marks = left
	return nil
}

// insert adds marks until there are n.
func (d *draft) insert(ctx context.Context, n int) error {
	gap := math.Max(d.sampleGap(), d.step/5)
	var bare []skirt.Spot
	d.sample(gap, func(at skirt.Spot) bool {
		if d.offHand(at) {
			bare = append(bare, at)
		}
		return ctx.Err() == nil
	})
	if len(bare) < n-len(d.marks) {
		d.crowded = tooLittleCloth()
		return ctx.Err()
	}
	x, err := d.index(ctx, d.marks, d.step)
	if err != nil {
		return err
	}
	far := make([]float64, len(bare))
	for i, at := range bare {
		if _, far[i] = x.Nearest(at, d.step, -1); x.Len() == 0 {
			far[i] = math.Inf(1)
		}
	}
	for len(d.marks) < n {
		if err := ctx.Err(); err != nil {
			return err
		}
		best := 0
		for i := range far {
			if far[i] > far[best] {
				best = i
			}
		}
		m := mark{at: bare[best].Place, kind: -1, row: 1, low: d.low, high: d.high}
		d.marks = append(d.marks, m)
		y := skirt.NewSpots(d.fold, d.low, d.high, d.step)
		y.Add(bare[best])
		for i, at := range bare {
			if _, l := y.Nearest(at, d.step, -1); l < far[i] {
				far[i] = l
			}
		}
	}
	return nil
}

// tooLittleCloth says that the cloth has no room for a count.
func tooLittleCloth() say.Message { return say.New("they need more cloth than there is") }
