package scatter

import (
	"context"
	"fmt"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/scatter/skirt"
)

// Cutouts placed by hand are checked once; then they are marks that never move.

// byHand returns the marks placed by hand on one repeat.
func (f *domain) byHand() []mark {
	var out []mark
	for _, h := range f.opt.Fixed {
		if h.Kind < 0 || h.Kind >= len(f.kinds) || h.Panel < 0 || h.Panel >= f.surface.Panels {
			continue // refused by checkFixed
		}
		p := f.surface.PlaceOf(f.surface.PointAt(h.Panel, h.Down, h.Around))
		if int(p.Round*float64(f.repeat)) != 0 && f.repeat > 1 {
			continue // a copy brings it
		}
		p = p.Folded(f.repeat)
		out = append(out, mark{at: p, kind: h.Kind, turn: h.Turn, fixed: true, low: h.Down, high: h.Down})
	}
	return out
}

// fixedKey and bareKey return the project's key of the i-th such table.
func fixedKey(i int, key string) string { return fmt.Sprintf("fixed.%d.%s", i, key) }
func bareKey(i int, key string) string  { return fmt.Sprintf("bare.%d.%s", i, key) }

// where names a cutout placed by hand as its maker wrote it.
func (b *band) where(h Fixed) say.Message {
	return say.New("the %s fixed on panel %d, %s down and %s around", b.kinds[h.Kind].Name, h.Panel+1, say.Length(h.Down), say.Length(h.Around))
}

// checkFixed refuses a cutout placed by hand that does not lie on the cloth,
// breaks a clearance, or lies on another.
func checkFixed(b band) error {
	if len(b.opt.Fixed) == 0 {
		return nil
	}
	// Each one against the cloth alone: another one is no edge of that.
	alone := b
	alone.opt.Fixed = nil
	f := alone.domain(1)
	for i, h := range b.opt.Fixed {
		if h.Kind < 0 || h.Kind >= len(b.kinds) {
			return &Impossible{Key: fixedKey(i, "motif"), Why: say.New("fixed cutout %d names no motif", i+1)}
		}
		if h.Panel < 0 || h.Panel >= b.surface.Panels {
			return &Impossible{
				Key: fixedKey(i, "panel"),
				Why: say.Many(b.surface.Panels, "a %[2]s is fixed on panel %[3]d, and there is %[1]d", "a %[2]s is fixed on panel %[3]d, and there are %[1]d", b.kinds[h.Kind].Name, h.Panel+1),
				Try: say.New("name one of the panels"),
			}
		}
		if err := checkPlaced(&f, i, h); err != nil {
			return err
		}
	}
	f = b.domain(1)
	return checkApart(&f)
}

// checkPlaced checks cutout i placed by hand against the edges and bare patches.
func checkPlaced(f *domain, i int, h Fixed) error {
	s, c, k := f.surface, f.opt.Clearance, &f.kinds[h.Kind]
	p := s.PointAt(h.Panel, h.Down, h.Around)
	if !s.Inside(p) || s.Closed() && (h.Around < 0 || h.Around > s.PanelGirth(h.Down)) {
		return &Impossible{Key: fixedKey(i, "down"), Why: say.New("%s lies off the cloth", f.where(h)), Try: say.New("move it onto the panel")}
	}
	no := &Impossible{Key: fixedKey(i, "down")}
	switch fault := f.fault(k, p, h.Turn); fault {
	case None:
		return nil
	case OnBare:
		n := slices.IndexFunc(f.opt.Bare, func(b Bare) bool { return b.holds(s, p) })
		no.Why = say.New("%s lies on bare patch %d", f.where(h), n+1)
		no.Try = say.New("move one or the other")
	case AtWaist, AtHem:
		low, high := c.margins().Band(s, k.turned(h.Turn), k.reach)
		if low > high {
			no.Key = fixedKey(i, "motif")
			no.Why = say.New("%s is %s too tall for the panel between the waist and hem clearances", f.where(h), say.Length(math.Ceil(low-high-geom.Touch)))
			no.Try = say.New("make the motif smaller, or reduce the clearances")
			break
		}
		no.Why = say.New("%s comes nearer to the waist than %s", f.where(h), say.Length(c.Waist))
		if fault == AtHem {
			no.Why = say.New("%s comes nearer to the hem than %s", f.where(h), say.Length(c.Hem))
		}
		no.Try = say.New("place it from %s to %s down, or make the clearance smaller", say.Length(low), say.Length(high))
	case AtSeam:
		no.Key = fixedKey(i, "around")
		no.Why = say.New("%s comes nearer to a seam than %s", f.where(h), say.Length(c.Seam))
		no.Try = say.New("move it, or make the seam clearance smaller")
	default:
		no.Why = say.New("%s comes too near to an edge or a bare patch", f.where(h))
		no.Try = say.New("move it, or make the clearances smaller")
	}
	return no
}

// handsAlone returns the layout of nothing but the cutouts placed by hand.
func handsAlone(ctx context.Context, b band) (Layout, error) {
	n := len(b.opt.Fixed)
	if asked := b.opt.Cutouts; asked > n && !b.opt.OrFewer || asked > 0 && asked < n {
		return Layout{}, &Impossible{
			Key: "scatter.cutouts",
			Why: say.Many(n, "every motif has share 0, so only the %d fixed cutout can be placed", "every motif has share 0, so only the %d fixed cutouts can be placed"),
			Try: say.New("ask for %d, or give a motif a share above 0", n),
		}
	}
	f := b.domain(b.opt.Repeat)
	d := &draft{domain: &f, marks: f.hands, step: b.opt.Spacing}
	if d.step == 0 {
		d.step = b.surface.Drop // no others to be a step apart from
	}
	return d.layout(ctx)
}

// placed returns the outline with its anchor at a point, turned.
func (k *kind) placed(at geom.Vec, turn float64) []geom.Ring {
	m := geom.Placing(at, turn, 1, false)
	out := make([]geom.Ring, len(k.Outline))
	for i, r := range k.Outline {
		out[i] = r.Transform(m)
	}
	return out
}

// checkApart checks cutouts placed by hand against one another. The domain
// is that of the whole surface.
func checkApart(f *domain) error {
	want := f.opt.Clearance.Between
	for i := range f.hands {
		for k := range i {
			m, n := &f.hands[i], &f.hands[k]
			a, b := f.laidAt(m.kind, m.turn, f.fold.Spot(m.at)), f.laidAt(n.kind, n.turn, f.fold.Spot(n.at))
			worst := want
			x := skirt.NewSpots(f.fold, 0, f.fold.Drop, math.Max(50, a.reach+b.reach))
			x.Add(f.fold.Spot(n.at))
			x.Near(f.fold.Spot(m.at), a.reach+b.reach+want, func(_ int, off geom.Vec, over int) {
				worst = math.Min(worst, apart(a, b, off, f.fold.OverTurn(over), want))
			})
			if worst >= want-geom.Snug {
				continue
			}
			no := &Impossible{
				Key: fixedKey(i, "down"), Try: say.New("move one of them"),
				Why: say.New("%s and %s lie %s apart instead of %s", f.where(f.opt.Fixed[k]), f.where(f.opt.Fixed[i]), say.Length(worst), say.Length(want)),
			}
			if worst == 0 {
				no.Why = say.New("%s and %s overlap", f.where(f.opt.Fixed[k]), f.where(f.opt.Fixed[i]))
			}
			return no
		}
	}
	return nil
}

// offHand reports whether an anchor at a free spot keeps clear of all marks placed by
// hand, whichever its kind; outlines are measured by their covering discs.
func (f *domain) offHand(at skirt.Spot) bool {
	clear := f.opt.Clearance.Between + geom.Snug
	for i := range f.hands {
		m := &f.hands[i]
		if f.island(m) {
			continue // free has seen to it
		}
		k := &f.kinds[m.kind]
		ok := true
		f.fold.Seen(at.Place, m.at, func(off geom.Vec, turn float64) {
			if !ok || off.Len() >= k.reach+f.coverReach+clear {
				return
			}
			for _, r := range k.turned(m.turn + turn) {
				r = r.Transform(geom.Translation(off))
				for _, b := range f.cover {
					if r.Contains(b.At) || r.EdgeDist(b.At) < b.Radius+clear {
						ok = false
						return
					}
				}
			}
		})
		if !ok {
			return false
		}
	}
	return true
}
