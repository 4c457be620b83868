package project

import (
	"strew/motif/geom"
	"strew/motif/say"
)

// feltA4 is used where the file names no felt; a scissors' width is lost all
// round.
func feltA4() Sheet {
	a4 := geom.A4()
	return Sheet{Name: "craft felt A4", Width: a4.Width, Height: a4.Height, Margin: 4, Nap: NapNone}
}

func (c *completion) sheets() []Sheet {
	list := c.sections["sheet"]
	if len(list) == 0 {
		return []Sheet{feltA4()}
	}
	c.unique(list)
	var out []Sheet
	for _, s := range list {
		sh := Sheet{
			Name:     get[string](s, "name"),
			Width:    get[float64](s, "width"),
			Height:   get[float64](s, "height"),
			Margin:   get[float64](s, "margin"),
			Colours:  get[[]string](s, "colours"),
			Nap:      Nap(get[string](s, "nap")),
			Price:    get[float64](s, "price"),
			PriceSet: s.ok("price"),
			Stock:    get[int](s, "stock"),
			Roll:     get[bool](s, "roll"),
			NotSold:  !get[bool](s, "buy"),
		}
		if sh.NotSold && sh.Stock == 0 && s.sound("stock", "buy", "roll") {
			c.add(s.where("buy"), "sheet.buy", say.New("%q cannot be bought and there is none in the drawer; write stock = 1 or more, or leave the sheet out", sh.Name))
		}
		if sh.Roll {
			c.roll(s, &sh)
			out = append(out, sh)
			continue
		}
		for _, k := range []string{"price_per", "sold_by"} {
			if s.written(k) {
				c.add(s.where(k), s.full(k), say.New("it is only for felt sold by the length; say that it is (roll = true), or leave it out"))
			}
		}
		if !s.written("height") && s.sound("roll") {
			c.missing(s.at, "sheet.height", say.New(`it is missing; write how high the sheet is, as in height = "29.7 cm"`))
		}
		if s.ok("width", "height") && s.sound("margin") && 2*sh.Margin >= min(sh.Width, sh.Height) {
			c.add(s.where("margin"), "sheet.margin", say.New("a margin of %s all round leaves nothing of a sheet of %s × %s; write a smaller one",
				geom.Length(sh.Margin), geom.Length(sh.Width), geom.Length(sh.Height)))
		}
		out = append(out, sh)
	}
	return out
}

// perMetre is the length that the price of a roll is for where the file does
// not say: shops price felt by the metre.
const perMetre = 1000.0

// roll reads what only felt by the length has.
func (c *completion) roll(s section, sh *Sheet) {
	sh.Height = 0
	sh.SoldBy = get[float64](s, "sold_by")
	if sh.PricePer = get[float64](s, "price_per"); sh.PricePer == 0 {
		sh.PricePer = perMetre
	}
	if s.ok("width") && s.sound("margin") && 2*sh.Margin >= sh.Width {
		c.add(s.where("margin"), "sheet.margin", say.New("a margin of %s on both sides leaves nothing of a roll %s wide; write a smaller one",
			geom.Length(sh.Margin), geom.Length(sh.Width)))
	}
	if sh.Stock > 0 {
		c.add(s.where("stock"), "sheet.stock", say.New("the length of a roll in the drawer is not known; write the piece that is there as a sheet, with its width and height"))
	}
}
