package project

import (
	"fmt"
	"math"

	"strew/motif/geom"
)

// complete weighs the keys of a document against one another, fills in what
// is left out, and reports all that is wrong with the file at once.
func (d document) complete() (Project, error) {
	r := report{file: d.name, errs: append(Errors(nil), d.faults...)}
	for _, t := range schema {
		for _, s := range d.sections[t.name] {
			d.required(s, &r)
		}
	}
	head := d.one("")
	p := Project{
		Dir: d.dir, File: d.name, doc: &d,
		Title: get[string](head, "title"),
		Unit:  d.answers,
		Seed:  uint64(get[int](head, "seed")),
	}
	if p.Title == "" {
		p.Title = "Skirt"
	}
	if d.lay && !head.written("title") {
		p.Title = "Cutouts"
	}
	p.Skirt = d.skirt(&r)
	p.Lining = d.lining(p.Skirt, &r)
	p.Motifs = d.motifs(&r)
	p.Scatter = d.scatter(p.Skirt, &r)
	p.Bare = d.bare(p.Skirt, &r)
	p.Fixed = d.fixed(p.Skirt, p.Motifs, &r)
	p.Clearance = d.clearance(p.Skirt, &r)
	p.Cutting = d.cutting()
	p.Backing = d.backing(p.Skirt)
	p.Sheets = d.sheets(&r)
	d.feltBySheet(p, &r)
	p.Supplies = d.supplies()
	if err := r.err(); err != nil {
		return Project{}, err
	}
	p.Notes = d.notes(p)
	return p, nil
}

// missing reports what is not in the file; a file not wholly read may have it.
func (d document) missing(r *report, at place, key, msg string) {
	if d.whole {
		r.add(at, key, msg, "")
	}
}

// required reports keys of a table that must be given and are not.
func (d document) required(s section, r *report) {
	for _, k := range s.keys {
		if k.need != "" && !s.written(k.name) {
			d.missing(r, s.at, s.full(k.name), fmt.Sprintf("it is missing; write %s, as in %s = %s", k.need, k.name, k.eg))
		}
	}
}

func (d document) skirt(r *report) Skirt {
	s := d.one("skirt")
	if !s.given {
		if !d.lay && !d.broken["skirt"] {
			d.missing(r, s.at, "skirt", "the table [skirt] is missing; write the body's measures and the cut under it")
		}
		return Skirt{}
	}
	sk := Skirt{
		Cut:           get[string](s, "cut"),
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
	if sk.Cut == "outline" {
		d.drawn(s, &sk, r)
		return sk
	}
	if !s.written("waist") {
		d.missing(r, s.at, "skirt.waist", `it is missing; write the body's waist, as in waist = "68 cm"`)
	}
	switch {
	case s.ok("drop"):
		if !s.ok("length") {
			sk.Length = sk.Drop + sk.Waistband
		}
	case !s.written("drop") && !s.written("length"):
		d.missing(r, s.at, "skirt.length", `it is missing; write the finished length, as in length = "60 cm", or the length of the top layer, as in drop = "56 cm"`)
	case s.ok("length") && s.sound("waistband", "drop"):
		sk.Drop = sk.Length - sk.Waistband
		if sk.Drop <= 0 {
			r.add(s.where("waistband"), "skirt.waistband", fmt.Sprintf("a waistband of %s leaves nothing of a length of %s; write a smaller waistband or a greater length",
				d.say(sk.Waistband), d.say(sk.Length)), "")
		}
	}
	switch sk.Cut {
	case "circle":
		d.flat(s, sk.Circle, "circle", s, r)
	case "gores":
		d.gores(s, sk, r)
	}
	return sk
}

// flat refuses panels of more than a full turn: they cannot lie flat.
func (d document) flat(s section, circle float64, key string, skirt section, r *report) {
	panels := get[int](skirt, "panels")
	if !s.sound(key) || !skirt.sound("panels") || circle <= float64(panels) {
		return
	}
	at, name := s.where(key), s.full(key)
	if skirt.written("panels") && s.name == skirt.name {
		at, name = skirt.where("panels"), "skirt.panels"
	}
	r.add(at, name, fmt.Sprintf("a layer of %s circles in %s cannot lie flat, each panel would be wider than a full turn; write panels = %d or more under [skirt]",
		plainNumber(circle), plural(panels, "panel"), int(math.Ceil(circle))), "")
}

func (d document) lining(sk Skirt, r *report) *Lining {
	s, skirt := d.one("lining"), d.one("skirt")
	if !s.given {
		return nil
	}
	l := Lining{
		Fullness:    get[float64](s, "fullness"),
		Circle:      get[float64](s, "circle"),
		ShorterBy:   get[float64](s, "shorter_by"),
		Girth:       get[string](s, "girth"),
		Colour:      get[string](s, "colour"),
		FabricWidth: get[float64](s, "fabric_width"),
		FabricPrice: fabricPrice(s),
	}
	switch {
	case sk.Cut == "outline":
		r.add(s.at, "lining", "a lining hangs from a waist seam, and panels drawn as an outline have none; leave the table out", "")
		return nil
	case s.written("circle"):
		l.Cut = "circle"
		d.flat(s, l.Circle, "circle", skirt, r)
	default:
		l.Cut = sk.Cut
		if sk.Cut == "circle" {
			l.Circle = sk.Circle
		}
	}
	if skirt.given && l.Girth == "hip" && !skirt.written("hip") && s.sound("girth") {
		d.missing(r, s.where("girth"), "lining.girth", `the lining is cut to the hip, which is not given; write hip under [skirt], or girth = "waist" here`)
	}
	if sk.Drop > 0 && l.ShorterBy >= sk.Drop {
		r.add(s.where("shorter_by"), "lining.shorter_by", fmt.Sprintf("%s shorter than the top layer of %s leaves no lining; write less", d.say(l.ShorterBy), d.say(sk.Drop)), "")
	}
	return &l
}

// say words a length in the unit of the file.
func (d document) say(mm float64) string { return geom.Length(mm).In(d.units.bare) }

func plural(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
