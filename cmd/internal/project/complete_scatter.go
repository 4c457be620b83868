package project

import (
	"fmt"
	"strings"

	"strew/motif/geom"
	"strew/motif/say"
)

// densities are the ways to say how many cutouts there are; one is given.
var densities = []string{"spacing", "cutouts", "sheets", "budget"}

func (c *completion) scatter(sk Skirt) Scatter {
	s := c.one("scatter")
	sc := Scatter{
		Pattern:      Pattern(get[string](s, "pattern")),
		Spacing:      get[float64](s, "spacing"),
		SpacingWaist: get[float64](s, "spacing_waist"),
		Even:         Even(get[string](s, "even")),
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
	c.density(s)
	if c.lay && !c.one("skirt").given {
		return sc
	}
	switch {
	case sk.Cut == CutOutline:
		c.onOutline(s, &sc)
	case !sc.RepeatSet:
		sc.Repeat = sk.Panels
	case sk.Straight && sk.Cut == CutGores && sk.Panels%max(1, sc.Repeat) != 0:
		c.add(s.where("repeat"), "scatter.repeat", say.New("the rows of straight-edged gores bend at their seams, so a layout that repeats %d times does not meet %s; write %s",
			sc.Repeat, say.Many(sk.Panels, "%d panel", "%d panels"), either(divisors(sk.Panels))))
	default:
		c.meetsPanels(s, sk, sc)
	}
	if p := s.values["rise"]; sc.Rise > 0 && sk.Drop > 0 && sc.Rise >= sk.Drop {
		c.add(p.at, "scatter.rise", say.New("%s above the hem is not on the top layer, which is %s long; write less", geom.Length(sc.Rise), geom.Length(sk.Drop)))
	}
	return sc
}

// density wants exactly one of spacing, cutouts, sheets and budget.
func (c *completion) density(s section) {
	var given []string
	for _, k := range densities {
		if s.written(k) {
			given = append(given, k)
		}
	}
	switch {
	case len(given) > 1:
		last := given[len(given)-1]
		c.add(s.where(last), s.full(last), say.New("%s are given together; keep one: it decides how many cutouts there are", say.Words(given)))
	case len(given) == 0 && !c.lay && (s.given || !c.broken["scatter"]):
		c.missing(s.at, "scatter.spacing", say.New(`it is missing; write how far apart the cutouts lie, as in spacing = "11 cm", or how many there are, as in cutouts = 60`))
	}
}

// feltBySheet wants felt that can be counted in sheets, or has a price, where
// that decides how many cutouts there are.
func (c *completion) feltBySheet(p Project) {
	s := c.one("scatter")
	for i, sh := range p.Sheets {
		at := s.where("budget")
		if i < len(c.sections["sheet"]) {
			at = c.sections["sheet"][i].at
		}
		switch {
		case p.Scatter.Sheets > 0 && sh.Roll:
			c.add(s.where("sheets"), "scatter.sheets", say.New("felt %q is sold by the length, not by the sheet; write a budget or cutouts instead", sh.Name))
		case p.Scatter.Budget > 0 && !sh.PriceSet:
			c.add(at, "sheet.price", say.New("a budget needs the price of all felt, and %q has none; write it for that felt, as in price = 1.10", sh.Name))
		}
	}
}

// meetsPanels wants the seams to lie alike in every repeat.
func (c *completion) meetsPanels(s section, sk Skirt, sc Scatter) {
	if n := sk.Panels; n > 0 && c.one("skirt").sound("panels") && sc.Repeat%n != 0 && n%sc.Repeat != 0 {
		c.add(s.where("repeat"), "scatter.repeat", say.New("a layout that repeats %d times does not meet %s; write %s or a multiple of %d",
			sc.Repeat, say.Many(n, "%d panel", "%d panels"), strings.Join(divisors(n), ", "), n))
	}
}

// onOutline refuses what drawn panels cannot have.
func (c *completion) onOutline(s section, sc *Scatter) {
	if sc.RepeatSet && sc.Repeat != 1 {
		c.add(s.where("repeat"), "scatter.repeat", say.New("the panels of an outline differ, so no layout repeats on them; leave it out"))
	}
	if sc.Pattern == PatternHemBand && s.sound("pattern") {
		c.add(s.where("pattern"), "scatter.pattern", say.New(`a hem band follows a hem, and an outline has only open edges; write "polka" or "grid"`))
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

func (c *completion) clearance(sk Skirt) Clearance {
	s := c.one("clearance")
	out := Clearance{
		Between: get[float64](s, "between"),
		Waist:   get[float64](s, "waist"),
		Hem:     get[float64](s, "hem"),
		Seam:    get[float64](s, "seam"),
	}
	if sk.Drop > 0 && out.Waist+out.Hem >= sk.Drop && s.sound("waist", "hem") {
		key := "waist"
		if out.Hem > out.Waist {
			key = "hem"
		}
		c.add(s.where(key), s.full(key), say.New("%s clear at the waist and %s at the hem leave no room on a top layer of %s; write less",
			geom.Length(out.Waist), geom.Length(out.Hem), geom.Length(sk.Drop)))
	}
	return out
}
