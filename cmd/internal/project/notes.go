package project

import (
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
)

// A key that is valid but has no effect here is kept, with a note to the maker.

// idle is a key that only counts beside certain values of another.
type idle struct {
	table, key string
	beside     string   // the other key, of the same table
	words      []string // its values that use the key
}

var idles = []idle{
	{"skirt", "circle", "cut", []string{"circle"}},
	{"skirt", "hem_girth", "cut", []string{"gores"}},
	{"skirt", "hem", "cut", []string{"gores"}},
	{"skirt", "outline", "cut", []string{"outline"}},
	{"skirt", "seams", "cut", []string{"outline"}},
	{"skirt", "waist_edge", "cut", []string{"outline"}},
	{"skirt", "panels", "cut", []string{"circle", "rectangle", "gores"}},
	{"skirt", "length", "cut", []string{"circle", "rectangle", "gores"}},
	{"skirt", "drop", "cut", []string{"circle", "rectangle", "gores"}},
	{"skirt", "waistband", "cut", []string{"circle", "rectangle", "gores"}},
	{"skirt", "fullness", "cut", []string{"circle", "rectangle", "gores"}},
	{"scatter", "jitter", "pattern", []string{"polka"}},
	{"scatter", "row_spacing", "pattern", []string{"grid", "hemband"}},
	{"scatter", "stagger", "pattern", []string{"grid", "hemband"}},
	{"scatter", "rows", "pattern", []string{"hemband"}},
	{"scatter", "rise", "pattern", []string{"hemband"}},
	{"motif", "tilt", "direction", []string{"one-way", "two-way"}},
	{"backing", "size", "shape", []string{"square", "round"}},
	{"backing", "colour", "shape", []string{"square", "round"}},
	{"supplies", "glue_stick", "fixing", []string{"glue"}},
	{"supplies", "glue_per_piece", "fixing", []string{"glue"}},
	{"supplies", "thread_per_piece", "fixing", []string{"sew"}},
	{"supplies", "thread_reel", "fixing", []string{"sew"}},
}

// notes says what in a sound file does nothing or looks like a slip. A default is
// never worth a note.
func (c *completion) notes(p Project) []Note {
	var out []Note
	tell := func(at place, name, text string, args ...any) {
		out = append(out, Note{keyAt(name, at.index), say.New(text, args...)})
	}
	for _, i := range idles {
		for _, s := range c.sections[i.table] {
			if !s.written(i.key) || slices.Contains(i.words, get[string](s, i.beside)) {
				continue
			}
			if s.many {
				tell(s.at, s.full(i.key), "%s of %q is only used with %s %s", s.full(i.key), get[string](s, "name"), i.beside, quoted(i.words))
			} else {
				tell(s.at, s.full(i.key), "%s is only used with %s %s", s.full(i.key), i.beside, quoted(i.words))
			}
		}
	}
	if p.Skirt.Hip > 0 && p.Skirt.Hip < p.Skirt.Waist {
		tell(place{}, "skirt.hip", "skirt.hip (%s) is less than skirt.waist (%s)", geom.Length(p.Skirt.Hip), geom.Length(p.Skirt.Waist))
	}
	for _, s := range c.sections["sheet"] {
		if s.written("price_per") && !s.written("price") {
			tell(s.at, "sheet.price_per", "sheet.price_per of %q is not used: there is no price", get[string](s, "name"))
		}
		if s.written("height") && get[bool](s, "roll") {
			tell(s.at, "sheet.height", "sheet.height of %q is not used: a roll's length is found", get[string](s, "name"))
		}
	}
	for _, t := range []string{"skirt", "lining"} {
		s := c.one(t)
		if s.written("fabric_price_per") && !s.written("fabric_price") {
			tell(s.at, s.full("fabric_price_per"), "%s is not used: there is no fabric_price", s.full("fabric_price_per"))
		}
	}
	return out
}
