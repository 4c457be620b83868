package project

import (
	"fmt"

	"strew/motif/geom"
)

// feltA4 is used where the file names no felt; a scissors' width is lost all
// round.
func feltA4() Sheet {
	a4 := geom.A4()
	return Sheet{Name: "craft felt A4", Width: a4.Width, Height: a4.Height, Margin: 4, Nap: "none"}
}

func (d document) sheets(r *report) []Sheet {
	list := d.sections["sheet"]
	if len(list) == 0 {
		return []Sheet{feltA4()}
	}
	d.unique(list, r)
	var out []Sheet
	for _, s := range list {
		sh := Sheet{
			Name:     get[string](s, "name"),
			Width:    get[float64](s, "width"),
			Height:   get[float64](s, "height"),
			Margin:   get[float64](s, "margin"),
			Colours:  get[[]string](s, "colours"),
			Nap:      get[string](s, "nap"),
			Price:    get[float64](s, "price"),
			PriceSet: s.ok("price"),
			Stock:    get[int](s, "stock"),
			Roll:     get[bool](s, "roll"),
			NotSold:  !get[bool](s, "buy"),
		}
		if sh.NotSold && sh.Stock == 0 && s.sound("stock", "buy", "roll") {
			r.add(s.where("buy"), "sheet.buy", fmt.Sprintf("%q cannot be bought and none lies in the drawer; write stock = 1 or more, or leave the sheet out", sh.Name), "")
		}
		if sh.Roll {
			d.roll(s, &sh, r)
			out = append(out, sh)
			continue
		}
		for _, k := range []string{"price_per", "sold_by"} {
			if s.written(k) {
				r.add(s.where(k), s.full(k), "it is only for felt by the length; write roll = true as well, or leave it out", "")
			}
		}
		if !s.written("height") && s.sound("roll") {
			d.missing(r, s.at, "sheet.height", `it is missing; write how high the sheet is, as in height = "29.7 cm"`)
		}
		if s.ok("width", "height") && s.sound("margin") && 2*sh.Margin >= min(sh.Width, sh.Height) {
			r.add(s.where("margin"), "sheet.margin", fmt.Sprintf("a margin of %s all round leaves nothing of a sheet of %s × %s; write a smaller one",
				d.say(sh.Margin), d.say(sh.Width), d.say(sh.Height)), "")
		}
		out = append(out, sh)
	}
	return out
}

// perMetre is the length that the price of a roll is for where the file does
// not say: shops price felt by the metre.
const perMetre = 1000.0

// roll reads what only felt by the length has.
func (d document) roll(s section, sh *Sheet, r *report) {
	sh.Height = 0
	sh.SoldBy = get[float64](s, "sold_by")
	if sh.PricePer = get[float64](s, "price_per"); sh.PricePer == 0 {
		sh.PricePer = perMetre
	}
	if s.ok("width") && s.sound("margin") && 2*sh.Margin >= sh.Width {
		r.add(s.where("margin"), "sheet.margin", fmt.Sprintf("a margin of %s on both sides leaves nothing of a roll %s wide; write a smaller one",
			d.say(sh.Margin), d.say(sh.Width)), "")
	}
	if sh.Stock > 0 {
		r.add(s.where("stock"), "sheet.stock", "a roll in the drawer has no length to count; write the piece that lies there as a [[sheet]] of its own, with its width and height", "")
	}
}
