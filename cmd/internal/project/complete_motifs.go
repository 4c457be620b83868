package project

import (
	"cmp"
	"math"
	"strings"

	"strew/motif/say"
)

func (c *completion) motifs() []Motif {
	list := c.sections["motif"]
	if len(list) == 0 && c.broken["motif"] {
		return nil
	}
	if len(list) == 0 {
		c.missing(place{line: 1, column: 1}, "motif", say.New("there is no motif; add one with its name and its outline (in a table [[motif]])"))
		return nil
	}
	c.unique(list)
	shares, cut, judged := 0.0, 0, true
	var out []Motif
	for _, s := range list {
		m := Motif{
			Name:      get[string](s, "name"),
			Outline:   get[string](s, "outline"),
			Width:     get[float64](s, "width"),
			Height:    get[float64](s, "height"),
			Paper:     Paper(get[string](s, "paper")),
			Pick:      get[int](s, "pick"),
			Cut:       get[int](s, "cut"),
			Sizes:     get[[]float64](s, "sizes"),
			Share:     get[float64](s, "share"),
			Colour:    get[string](s, "colour"),
			Direction: Direction(get[string](s, "direction")),
			Tilt:      get[float64](s, "tilt") * math.Pi / 180,
			Line:      s.where("outline").line,
		}
		if s.written("width") && s.written("height") {
			c.add(s.where("height"), "motif.height", say.New("width and height are both given; keep one: the other follows from the drawing"))
		}
		if m.Paper != "" && IsSVG(m.Outline) {
			c.add(s.where("paper"), "motif.paper", say.New("an SVG drawing states its own size, so no sheet of paper is needed; leave it out"))
		}
		if m.Paper != "" && (s.written("width") || s.written("height")) {
			c.add(s.where("paper"), "motif.paper", say.New("the size is given twice; keep the paper, or the width or height"))
		}
		if m.Pick > 0 && IsSVG(m.Outline) {
			c.add(s.where("pick"), "motif.pick", say.New("only a picture has numbered figures to pick from, and this is an SVG drawing; leave it out"))
		}
		shares, cut, judged = shares+m.Share, cut+m.Cut, judged && s.sound("share", "cut")
		out = append(out, m)
	}
	first := list[0]
	s := c.one("scatter")
	byHand := len(c.sections["fixed"]) > 0 && !s.written("sheets") && !s.written("budget") // only those
	if judged && shares == 0 && !c.lay && !byHand {
		c.add(first.where("share"), "motif.share", say.New("every motif has share 0, so none can be placed; give at least one a share above 0"))
	}
	if judged && cut == 0 && c.lay {
		c.missing(first.where("cut"), "motif.cut", say.New("no motif says how many to cut; write it for each motif, as in cut = 12"))
	}
	return out
}

// unique refuses two tables with the same name.
func (c *completion) unique(list []section) {
	seen := map[string]int{}
	for _, s := range list {
		name := strings.ToLower(get[string](s, "name"))
		if line, twice := seen[name]; twice && name != "" {
			c.add(s.where("name"), s.full("name"), say.New("%s is already the name of another %s, in line %d; give each a name of its own",
				shown(s.values["name"].raw), s.what, line))
			continue
		}
		seen[name] = s.where("name").line
	}
}

func (c *completion) cutting() Cutting {
	s := c.one("cutting")
	spare := get[spares](s, "spare")
	return Cutting{
		Gap:        get[float64](s, "gap"),
		SpareShare: spare.share,
		SpareCount: spare.count,
		TraceOn:    Side(get[string](s, "trace_on")),
		Effort:     get[int](s, "effort"),
	}
}

// netColour is the default colour of the net, and of patches where there is
// no skirt.
func netColour() string {
	return get[string](checked{}.one("skirt"), "colour")
}

func (c *completion) backing(sk Skirt) Backing {
	s := c.one("backing")
	b := Backing{Shape: Patch(get[string](s, "shape"))}
	if b.Shape == PatchNone {
		return b
	}
	b.Size = get[float64](s, "size") // "auto" is no length
	if b.Colour = get[string](s, "colour"); b.Colour == "" {
		// As little as may show through the net: its own colour.
		b.Colour = cmp.Or(sk.Colour, netColour())
	}
	return b
}
