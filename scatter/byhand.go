package scatter

import (
	"fmt"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Cutouts placed by hand: checked once, then marks like all others that never move.

// byHand returns the marks placed by hand on one repeat.
func (j *job) byHand(f folded) []mark {
	var out []mark
	for _, h := range j.opt.Fixed {
		p := j.surface.PlaceOf(j.surface.PointAt(h.Panel, h.Down, h.Around))
		if int(p.Round*float64(f.repeat)) != 0 && f.repeat > 1 {
			continue // a copy brings it
		}
		p = folding(p, f.repeat)
		out = append(out, mark{at: p, kind: h.Kind, turn: h.Turn, fixed: true, low: h.Down, high: h.Down})
	}
	return out
}

// fixes reports whether a cutout of a kind is placed by hand.
func (j *job) fixes(kind int) bool {
	return slices.ContainsFunc(j.opt.Fixed, func(h Fixed) bool { return h.Kind == kind })
}

// where names a cutout placed by hand as its maker wrote it.
func (j *job) where(h Fixed) string {
	return fmt.Sprintf("the %s fixed on panel %d, %s down and %s around", j.shapes[h.Kind].Name, h.Panel+1, j.opt.show(h.Down), j.opt.show(h.Around))
}

// checkFixed tells which cutout placed by hand does not lie on the cloth, keeps
// no clearance, or lies on another.
func (j *job) checkFixed() error {
	if len(j.opt.Fixed) == 0 {
		return nil
	}
	s, c := j.surface, j.opt.Clearance
	for i, h := range j.opt.Fixed {
		if h.Kind < 0 || h.Kind >= len(j.shapes) {
			return &Impossible{Why: fmt.Sprintf("fixed cutout %d names no motif", i+1)}
		}
		if h.Panel < 0 || h.Panel >= s.Panels {
			return &Impossible{Why: fmt.Sprintf("a %s is fixed on panel %d, and there are %d", j.shapes[h.Kind].Name, h.Panel+1, s.Panels), Try: "name a panel that is there"}
		}
		p := s.PointAt(h.Panel, h.Down, h.Around)
		if !s.Inside(p) || s.Closed() && (h.Around < 0 || h.Around > s.PanelGirth(h.Down)) {
			return &Impossible{Why: j.where(h) + " lies off the cloth", Try: "move it onto the panel"}
		}
		for k, b := range j.opt.Bare {
			if b.holds(s, p) {
				return &Impossible{Why: fmt.Sprintf("%s lies on bare patch %d", j.where(h), k+1), Try: "move the one or the other"}
			}
		}
		sh := j.shapes[h.Kind]
		if s.Banded() {
			low, high := band(s, sh.turned(h.Turn), sh.reach, c)
			if h.Down < low-geom.Snug || h.Down > high+geom.Snug {
				edge, asked := "waist", c.Waist
				if h.Down > high {
					edge, asked = "hem", c.Hem
				}
				return &Impossible{
					Why: fmt.Sprintf("%s comes nearer to the %s than %s", j.where(h), edge, j.opt.show(asked)),
					Try: fmt.Sprintf("place it from %s to %s down, or make the clearance smaller", j.opt.show(low), j.opt.show(high)),
				}
			}
			if c.Seam > 0 && !j.offSeams(h, p) {
				return &Impossible{Why: fmt.Sprintf("%s comes nearer to a seam than %s", j.where(h), j.opt.show(c.Seam)), Try: "move it, or make the seam clearance smaller"}
			}
		}
		f := j.zone.folded(1)
		at := f.fold.Spot(s.PlaceOf(p))
		if f.ground != nil && !f.ground.takes(at, sh.turned(h.Turn+at.Upright), sh.reach) {
			return &Impossible{Why: j.where(h) + " comes too near to an edge or a bare patch", Try: "move it, or make the clearances smaller"}
		}
	}
	return j.fixedApart()
}

// offSeams measures an outline's points against the straight sides of its panel.
func (j *job) offSeams(h Fixed, p skirt.Point) bool {
	s := j.surface
	for _, r := range j.shapes[h.Kind].turned(h.Turn + s.Upright(p.At)) {
		for _, q := range r {
			q = q.Add(p.At)
			for _, side := range [2]float64{-1, 1} {
				d := s.Width/2 - side*q.X
				if s.Wedges() {
					sin, cos := math.Sincos(s.Angle / 2)
					d = sin*q.Y - side*cos*q.X
				}
				if d < j.opt.Clearance.Seam-geom.Snug {
					return false
				}
			}
		}
	}
	return true
}

func (j *job) fixedApart() error {
	f := j.zone.folded(1)
	marks := j.byHand(f)
	want := j.opt.Clearance.Between
	for i := range marks {
		for k := range i {
			a, b := j.lay(marks[i], f.fold.Spot(marks[i].at)), j.lay(marks[k], f.fold.Spot(marks[k].at))
			worst := want
			x := skirt.NewSpots(f.fold, 0, f.fold.Drop, math.Max(50, a.reach+b.reach))
			x.Add(f.fold.Spot(marks[k].at))
			x.Near(f.fold.Spot(marks[i].at), a.reach+b.reach+want, func(_ int, off geom.Vec, over int) {
				worst = math.Min(worst, apart(a, b, off, f.fold.OverTurn(over), want))
			})
			if worst < want-geom.Snug {
				how := fmt.Sprintf("lie %s apart instead of %s", j.opt.show(worst), j.opt.show(want))
				if worst == 0 {
					how = "overlap"
				}
				return &Impossible{Why: fmt.Sprintf("%s and %s %s", j.where(j.opt.Fixed[k]), j.where(j.opt.Fixed[i]), how), Try: "move one of them"}
			}
		}
	}
	return nil
}

// offHand reports whether an anchor at a spot keeps clear of all marks placed by
// hand, whichever its kind; outlines are measured by their stand-ins.
func (j *job) offHand(f folded, at skirt.Spot, hands []mark) bool {
	clear := j.opt.Clearance.Between + geom.Snug
	for _, m := range hands {
		s := &j.shapes[m.kind]
		ok := true
		f.fold.Seen(at.Place, m.at, func(off geom.Vec, turn float64) {
			if !ok || off.Len() >= s.reach+f.standFar+clear {
				return
			}
			for _, r := range s.turned(m.turn + turn) {
				r = r.Transform(geom.Translation(off))
				for _, b := range f.stand {
					if r.Contains(b.at) || r.EdgeDist(b.at) < b.radius+clear {
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
