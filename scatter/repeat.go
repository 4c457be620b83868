package scatter

import (
	"slices"

	"strew/motif/say"
)

// How often a layout repeats round the skirt.

// repeatOf returns the repeat asked for, or the largest smaller one that suits the
// cloth and what is bare or fixed on it.
func repeatOf(b band) (int, error) {
	keeps := func(n int) bool { return b.surface.Folds(n) && (n == 1 || b.comesAgain(n)) }
	n := max(1, b.opt.Repeat)
	if keeps(n) {
		return n, nil
	}
	if b.opt.RepeatSet {
		no := &Impossible{Key: "scatter.repeat", Try: say.New("a repeat of 1 would do")}
		if b.surface.Folds(n) {
			no.Why = say.New("the layout cannot repeat %d times round: the bare patches and fixed cutouts are not the same each time round", n)
		} else {
			no.Why = say.New("the layout cannot repeat %d times round: %d copies do not meet the seams of %d panels", n, n, b.surface.Panels)
		}
		return 0, no
	}
	for !keeps(n) {
		n--
	}
	return n, nil
}

// comesAgain reports whether everything bare or placed by hand recurs n times
// round the skirt.
func (b *band) comesAgain(n int) bool {
	if len(b.opt.Bare)+len(b.opt.Fixed) == 0 {
		return true
	}
	panels := b.surface.Panels
	if panels%n != 0 {
		return false
	}
	for _, p := range b.opt.Bare {
		p.Panel = (p.Panel + panels/n) % panels
		if !slices.Contains(b.opt.Bare, p) {
			return false
		}
	}
	for _, h := range b.opt.Fixed {
		h.Panel = (h.Panel + panels/n) % panels
		if !slices.Contains(b.opt.Fixed, h) {
			return false
		}
	}
	return true
}

// repeatsToTry lists the repeats to try: the one asked for and, where the maker did
// not insist, smaller ones that divide it.
func (o *Options) repeatsToTry() []int {
	out := []int{o.Repeat}
	if !o.RepeatSet {
		for r := o.Repeat - 1; r >= 1; r-- {
			if o.Repeat%r == 0 {
				out = append(out, r)
			}
		}
	}
	return out
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
