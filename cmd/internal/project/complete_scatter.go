package project

import (
	"fmt"
)

// densities are the ways to say how many cutouts there are; one is given.
var densities = []string{"spacing", "cutouts", "sheets", "budget"}

func (d document) scatter(sk Skirt, r *report) Scatter {
	s := d.one("scatter")
	sc := Scatter{
		Pattern:      get[string](s, "pattern"),
		Spacing:      get[float64](s, "spacing"),
		SpacingWaist: get[float64](s, "spacing_waist"),
		Worn:         get[string](s, "even") == "worn",
		Jitter:       get[float64](s, "jitter"),
		RowSpacing:   get[float64](s, "row_spacing"),
		Stagger:      get[bool](s, "stagger"),
		Rows:         get[int](s, "rows"),
		Rise:         get[float64](s, "rise"),
		Repeat:       get[int](s, "repeat"),
		RepeatSet:    s.ok("repeat"),
		Cutouts:      get[int](s, "cutouts"),
		Sheets:       get[int](s, "sheets"),
		Budget:       get[float64](s, "budget"),
	}
	d.density(s, r)
	if d.lay && !d.one("skirt").given {
		return sc
	}
	switch {
	case sk.Cut == "outline":
		d.onOutline(s, &sc, r)
	case !sc.RepeatSet:
		sc.Repeat = sk.Panels
	case sk.Straight && sk.Cut == "gores" && sk.Panels%max(1, sc.Repeat) != 0:
		r.add(s.where("repeat"), "scatter.repeat", fmt.Sprintf("the rows of straight-edged gores bend at their seams, so a layout that repeats %d times does not meet %s; write %s",
			sc.Repeat, plural(sk.Panels, "panel"), listing(divisors(sk.Panels), "or")), "")
	default:
		d.meetsPanels(s, sk, sc, r)
	}
	if p := s.values["rise"]; sc.Rise > 0 && sk.Drop > 0 && sc.Rise >= sk.Drop {
		r.add(p.at, "scatter.rise", fmt.Sprintf("%s above the hem is not on the top layer, which is %s long; write less", d.say(sc.Rise), d.say(sk.Drop)), "")
	}
	return sc
}

// density wants exactly one of spacing, cutouts, sheets and budget.
func (d document) density(s section, r *report) {
	var given []string
	for _, k := range densities {
		if s.written(k) {
			given = append(given, k)
		}
	}
	switch {
	case len(given) > 1:
		last := given[len(given)-1]
		r.add(s.where(last), s.full(last), fmt.Sprintf("%s are given together; keep one, it decides how many cutouts there are", listing(given, "and")), "")
	case len(given) == 0 && !d.lay && (s.given || !d.broken["scatter"]):
		d.missing(r, s.at, "scatter.spacing", `it is missing; write how far apart the cutouts lie, as in spacing = "11 cm", or how many there are, as in cutouts = 60`)
	}
}

// feltBySheet wants felt that can be counted in sheets, or has a price, where
// that decides how many cutouts there are.
func (d document) feltBySheet(p Project, r *report) {
	s := d.one("scatter")
	for i, sh := range p.Sheets {
		at := s.where("budget")
		if i < len(d.sections["sheet"]) {
			at = d.sections["sheet"][i].at
		}
		switch {
		case p.Scatter.Sheets > 0 && sh.Roll:
			r.add(s.where("sheets"), "scatter.sheets", fmt.Sprintf("felt %q comes by the length, not by the sheet; write a budget or cutouts instead", sh.Name), "")
		case p.Scatter.Budget > 0 && !sh.PriceSet:
			r.add(at, "sheet.price", fmt.Sprintf("a budget needs the price of all felt, and %q has none; write it under [[sheet]], as in price = 1.10", sh.Name), "")
		}
	}
}

// meetsPanels wants the seams to lie alike in every repeat.
func (d document) meetsPanels(s section, sk Skirt, sc Scatter, r *report) {
	if n := sk.Panels; n > 0 && d.one("skirt").sound("panels") && sc.Repeat%n != 0 && n%sc.Repeat != 0 {
		r.add(s.where("repeat"), "scatter.repeat", fmt.Sprintf("a layout that repeats %d times does not meet %s; write %s",
			sc.Repeat, plural(n, "panel"), listing(append(divisors(n), fmt.Sprintf("a multiple of %d", n)), "or")), "")
	}
}

// onOutline refuses what drawn panels cannot have.
func (d document) onOutline(s section, sc *Scatter, r *report) {
	if sc.RepeatSet && sc.Repeat != 1 {
		r.add(s.where("repeat"), "scatter.repeat", "the panels of an outline differ, so no layout repeats on them; leave it out", "")
	}
	if sc.Pattern == "hemband" && s.sound("pattern") {
		r.add(s.where("pattern"), "scatter.pattern", `a hem band follows a hem, and an outline has only open edges; write "polka" or "grid"`, "")
	}
	sc.Repeat, sc.RepeatSet = 1, true
}

// divisors lists the numbers that divide n.
func divisors(n int) []string {
	var out []string
	for i := 1; i <= n; i++ {
		if n%i == 0 {
			out = append(out, fmt.Sprint(i))
		}
	}
	return out
}

func (d document) clearance(sk Skirt, r *report) Clearance {
	s := d.one("clearance")
	c := Clearance{
		Between: get[float64](s, "between"),
		Waist:   get[float64](s, "waist"),
		Hem:     get[float64](s, "hem"),
		Seam:    get[float64](s, "seam"),
	}
	if sk.Drop > 0 && c.Waist+c.Hem >= sk.Drop && s.sound("waist", "hem") {
		key := "waist"
		if c.Hem > c.Waist {
			key = "hem"
		}
		r.add(s.where(key), s.full(key), fmt.Sprintf("%s clear at the waist and %s at the hem leave no room on a top layer of %s; write less",
			d.say(c.Waist), d.say(c.Hem), d.say(sk.Drop)), "")
	}
	return c
}
