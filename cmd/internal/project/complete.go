package project

import (
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
)

// completion is a file whose keys are being checked against one another.
type completion struct {
	checked
	report
}

// complete checks the keys of a file against one another, fills in what is left
// out, and reports everything that is wrong at once.
func (d checked) complete() (Project, error) {
	c := completion{d, report{file: d.name, unit: d.units.bare, problems: slices.Clone(d.faults)}}
	return c.project()
}

// project is the whole file, or all that is wrong with it.
func (c *completion) project() (Project, error) {
	for _, t := range schema {
		for _, s := range c.sections[t.name] {
			c.required(s)
		}
	}
	head := c.one("")
	p := Project{
		Dir: c.dir, File: c.name, from: &c.checked,
		Title: get[string](head, "title"),
		Unit:  c.answers,
		Seed:  uint64(get[int](head, "seed")),
	}
	if p.Title == "" {
		p.Title = "Skirt"
	}
	if c.lay && !head.written("title") {
		p.Title = "Cutouts"
	}
	p.Skirt = c.skirt()
	p.Lining = c.lining(p.Skirt)
	p.Motifs = c.motifs()
	p.Scatter = c.scatter(p.Skirt)
	p.Bare = c.bare(p.Skirt)
	p.Fixed = c.fixed(p.Skirt, p.Motifs)
	p.Clearance = c.clearance(p.Skirt)
	p.Cutting = c.cutting()
	p.Backing = c.backing(p.Skirt)
	p.Sheets = c.sheets()
	c.feltBySheet(p)
	p.Supplies = c.supplies()
	if err := c.err(); err != nil {
		return Project{}, err
	}
	p.Notes = c.notes(p)
	return p, nil
}

// missing reports what is not in the file, unless the file was not read completely.
func (c *completion) missing(at place, name string, what say.Message) {
	if c.whole {
		c.add(at, name, what)
	}
}

// required reports keys of a table that must be given and are not.
func (c *completion) required(s section) {
	for _, k := range s.keys {
		if !k.need.IsZero() && !s.written(k.name) {
			c.missing(s.at, s.full(k.name), say.New("it is missing; write %s, as in %s = %s", k.need, k.name, k.eg))
		}
	}
}

func (c *completion) skirt() Skirt {
	s := c.one("skirt")
	if !s.given {
		if !c.lay && !c.broken["skirt"] {
			c.missing(s.at, "skirt", say.New("nothing is said of the skirt; write the body's measures and the cut (in a table [skirt])"))
		}
		return Skirt{}
	}
	sk := Skirt{
		Cut:           Cut(get[string](s, "cut")),
		Waist:         get[float64](s, "waist"),
		Hip:           get[float64](s, "hip"),
		Length:        get[float64](s, "length"),
		Waistband:     get[float64](s, "waistband"),
		Drop:          get[float64](s, "drop"),
		Fullness:      get[float64](s, "fullness"),
		Circle:        get[float64](s, "circle"),
		Panels:        get[int](s, "panels"),
		HemGirth:      get[float64](s, "hem_girth"),
		Straight:      get[string](s, "hem") == "straight",
		Outline:       get[string](s, "outline"),
		Seams:         get[[][2]string](s, "seams"),
		WaistEdges:    get[[]string](s, "waist_edge"),
		SeamAllowance: get[float64](s, "seam_allowance"),
		Layers:        get[int](s, "layers"),
		Colour:        get[string](s, "colour"),
		Opacity:       get[float64](s, "opacity"),
		FabricWidth:   get[float64](s, "fabric_width"),
		FabricPrice:   fabricPrice(s),
	}
	if sk.Cut == CutOutline {
		c.drawn(s, &sk)
		return sk
	}
	if !s.written("waist") {
		c.missing(s.at, "skirt.waist", say.New(`it is missing; write the body's waist, as in waist = "68 cm"`))
	}
	switch {
	case s.ok("drop"):
		if !s.ok("length") {
			sk.Length = sk.Drop + sk.Waistband
		}
	case !s.written("drop") && !s.written("length"):
		c.missing(s.at, "skirt.length", say.New(`it is missing; write the finished length, as in length = "60 cm", or the length of the top layer, as in drop = "56 cm"`))
	case s.ok("length") && s.sound("waistband", "drop"):
		sk.Drop = sk.Length - sk.Waistband
		if sk.Drop <= 0 {
			c.add(s.where("waistband"), "skirt.waistband", say.New("a waistband of %s leaves nothing of a length of %s; write a smaller waistband or a greater length",
				geom.Length(sk.Waistband), geom.Length(sk.Length)))
		}
	}
	switch sk.Cut {
	case CutCircle:
		c.flat(s, sk.Circle, "circle", s)
	case CutGores:
		c.gores(s, sk)
	}
	return sk
}

// flat refuses panels of more than a full turn: they cannot lie flat.
func (c *completion) flat(s section, circle float64, key string, skirt section) {
	panels := get[int](skirt, "panels")
	if !s.sound(key) || !skirt.sound("panels") || circle <= float64(panels) {
		return
	}
	at, name := s.where(key), s.full(key)
	if skirt.written("panels") && s.name == skirt.name {
		at, name = skirt.where("panels"), "skirt.panels"
	}
	c.add(at, name, say.New("a layer of %s circles in %s cannot lie flat, each panel would be wider than a full turn; make the skirt of %d panels or more",
		plainNumber(circle), say.Many(panels, "%d panel", "%d panels"), int(math.Ceil(circle))))
}

func (c *completion) lining(sk Skirt) *Lining {
	s, skirt := c.one("lining"), c.one("skirt")
	if !s.given {
		return nil
	}
	l := Lining{
		Fullness:    get[float64](s, "fullness"),
		Circle:      get[float64](s, "circle"),
		ShorterBy:   get[float64](s, "shorter_by"),
		Girth:       Girth(get[string](s, "girth")),
		Colour:      get[string](s, "colour"),
		FabricWidth: get[float64](s, "fabric_width"),
		FabricPrice: fabricPrice(s),
	}
	switch {
	case sk.Cut == CutOutline:
		c.add(s.at, "lining", say.New("a lining hangs from a waist seam, and panels drawn as an outline have none; leave the table out"))
		return nil
	case s.written("circle"):
		l.Cut = CutCircle
		c.flat(s, l.Circle, "circle", skirt)
	default:
		l.Cut = sk.Cut
		if sk.Cut == CutCircle {
			l.Circle = sk.Circle
		}
	}
	if skirt.given && l.Girth == GirthHip && !skirt.written("hip") && s.sound("girth") {
		c.missing(s.where("girth"), "lining.girth", say.New(`the lining is cut to the hip, which is not given; write the hip measurement of the skirt, or cut the lining to the waist (girth = "waist")`))
	}
	if sk.Drop > 0 && l.ShorterBy >= sk.Drop {
		c.add(s.where("shorter_by"), "lining.shorter_by", say.New("%s shorter than the top layer of %s leaves no lining; write less", geom.Length(l.ShorterBy), geom.Length(sk.Drop)))
	}
	return &l
}
