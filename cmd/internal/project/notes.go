package project

import (
	"fmt"
	"slices"
)

// A key that is right but does nothing here is kept, and the maker is told.

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

// notes says what in a sound file does nothing, and what was assumed.
func (d document) notes(p Project) []string {
	var out []string
	for _, i := range idles {
		for _, s := range d.sections[i.table] {
			if !s.written(i.key) || slices.Contains(i.words, get[string](s, i.beside)) {
				continue
			}
			of := ""
			if s.many {
				of = fmt.Sprintf(" of %q", get[string](s, "name"))
			}
			out = append(out, fmt.Sprintf("%s%s is only used with %s %s", s.full(i.key), of, i.beside, quoted(i.words)))
		}
	}
	if p.Skirt.Hip > 0 && p.Skirt.Hip < p.Skirt.Waist {
		out = append(out, fmt.Sprintf("skirt.hip (%s) is less than skirt.waist (%s)", d.say(p.Skirt.Hip), d.say(p.Skirt.Waist)))
	}
	if len(d.sections["sheet"]) == 0 {
		out = append(out, "no [[sheet]] is given, so the felt is taken as craft felt A4: 210 × 297 mm with a margin of 4 mm, no price")
	}
	priced := false
	for _, s := range d.sections["sheet"] {
		priced = priced || get[float64](s, "price") > 0
		if s.written("price_per") && !s.written("price") {
			out = append(out, fmt.Sprintf("sheet.price_per of %q is not used: there is no price", get[string](s, "name")))
		}
		if s.written("height") && get[bool](s, "roll") {
			out = append(out, fmt.Sprintf("sheet.height of %q is not used: a roll's length is found", get[string](s, "name")))
		}
	}
	for _, t := range []string{"skirt", "lining"} {
		s := d.one(t)
		priced = priced || get[float64](s, "fabric_price") > 0
		if s.written("fabric_price_per") && !s.written("fabric_price") {
			out = append(out, s.full("fabric_price_per")+" is not used: there is no fabric_price")
		}
	}
	priced = priced || d.one("supplies").ok("fixing_price") || d.one("supplies").ok("paper_price")
	if priced && p.Supplies.Currency == "" {
		out = append(out, `prices are given and supplies.currency is not given, so sums stand without one; write it as in currency = "EUR"`)
	}
	if p.Backing.Shape != "none" && !d.one("backing").written("colour") {
		out = append(out, fmt.Sprintf("backing.colour is not given, so the patches are cut from felt of the net's colour, %s", p.Backing.Colour))
	}
	return out
}
