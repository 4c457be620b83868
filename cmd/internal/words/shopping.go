package words

import (
	"math"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/sheet"
)

// line is one thing to buy.
type line struct {
	part, item, colour, size string
	need, have, buy          float64
	unit                     string
	price, cost              float64 // negative: not known
	note                     string
}

// The parts of the shopping list, and items that are told apart by name. These are
// the words of shopping.csv, for other programs; they are not translated.
const (
	partFelt, partCloth, partFixing, partPaper = "felt", "cloth", "fixing", "paper"

	itemNet, itemLining  = "net", "lining"
	itemGlue, itemThread = "hot glue stick", "sewing thread"
)

// shopping lists what to buy, felt first.
func shopping(t Text) []line {
	var out []line
	for _, n := range t.Laid.Lay.Needs {
		out = append(out, feltLine(t, n))
	}
	if t.LayOnly {
		return append(out, paperLine(t))
	}
	for _, f := range t.Cloth.Fabric {
		out = append(out, clothLine(t, f))
	}
	return append(append(out, fixingLines(t)...), paperLine(t))
}

// feltLine is one felt to buy: sheets, or metres of a roll.
func feltLine(t Text, n sheet.Need) line {
	s := t.Project.Sheets[n.Stock]
	l := line{
		part: partFelt, item: s.Name, colour: n.Colour, size: t.Say("%s × %s", geom.Length(s.Width), geom.Length(s.Height)),
		need: float64(n.Sheets), have: float64(n.Drawer), buy: float64(n.Buy), unit: "sheet", price: -1, cost: -1,
		note: bound(t, n),
	}
	if s.PriceSet {
		l.price, l.cost = s.Price, n.Cost
	}
	if s.Roll {
		l.size, l.unit = t.Say("%s wide", geom.Length(s.Width)), "m"
		l.need = up(n.Length) / 1000
		l.buy = l.need
		l.price *= 1000 / s.PricePer
	}
	return l
}

// clothLine is the cloth of one part.
func clothLine(t Text, f stage.Fabric) line {
	item, colour, price := itemNet, t.Project.Skirt.Colour, t.Project.Skirt.FabricPrice
	if f.Part == stage.Lining {
		item, colour, price = itemLining, t.Project.Lining.Colour, t.Project.Lining.FabricPrice
	}
	l := line{
		part: partCloth, item: item, colour: colour, size: t.Say("%s wide", geom.Length(f.Width)),
		need: f.Length / 1000, buy: f.Length / 1000, unit: "m", price: -1, cost: -1,
		note: t.Say("%s, %s", t.clothLength(f.Length), howCut(t, f)),
	}
	if price.Set {
		l.price = price.Price * 1000 / price.Per
		l.cost = l.buy * l.price
	}
	return l
}

// fixingLines lists glue, or thread to match each felt.
func fixingLines(t Text) []line {
	if t.Project.Supplies.Fixing == project.FixingGlue {
		return []line{glueLine(t)}
	}
	return threadLines(t)
}

func glueLine(t Text) line {
	s := t.Project.Supplies
	across, long := s.GlueStick[0], s.GlueStick[1]
	if across == 0 {
		across, long = 11.2, 100 // a common stick
	}
	sticks := math.Ceil(float64(t.Estimate().Pieces) * s.GluePerPiece * 1000 / (math.Pi / 4 * across * across * long))
	return line{
		part: partFixing, item: itemGlue, size: t.Say("%s mm × %s mm", number(across), number(long)),
		need: sticks, buy: sticks, unit: "stick",
		note: t.Say("estimate: %s cm³ of glue a piece, no source", number(s.GluePerPiece)),
	}.priced(s.FixingPrice)
}

func threadLines(t Text) []line {
	s := t.Project.Supplies
	var out []line
	of := map[string]int{} // index of a colour's line
	for i, k := range t.Mix.Kinds {
		for _, pc := range t.Mix.Motifs[k.Motif].Pieces {
			if t.Counts[i].Placed == 0 {
				continue
			}
			j, known := of[pc.Colour]
			if !known {
				j = len(out)
				of[pc.Colour] = j
				out = append(out, line{
					part: partFixing, item: itemThread, colour: pc.Colour, unit: "reel",
					note: t.Say("estimate: %s of thread a piece, %s m a reel, no source", geom.Length(s.ThreadPerPiece), number(s.ThreadReel/1000)),
				})
			}
			out[j].need += float64(t.Counts[i].Placed) * s.ThreadPerPiece / s.ThreadReel
		}
	}
	for j := range out {
		out[j].need = math.Ceil(out[j].need)
		out[j].buy = out[j].need
		out[j] = out[j].priced(s.FixingPrice)
	}
	return out
}

// priced returns the line at a price for each; nil is a price that is not known.
func (l line) priced(each *float64) line {
	l.price, l.cost = -1, -1
	if each != nil {
		l.price, l.cost = *each, l.buy**each
	}
	return l
}

// paperLine is the paper to print everything on.
func paperLine(t Text) line {
	n := 0
	for _, f := range t.Drawn.Paper {
		n += f.Sheets
	}
	return line{
		part: partPaper, item: "to print all files", size: string(t.Project.Supplies.Paper), need: float64(n), buy: float64(n),
		unit: "sheet", note: paper(t),
	}.priced(t.Project.Supplies.PaperPrice)
}

// fixing says what to buy to fix the cutouts with: "3 hot glue sticks, 11 mm ×
// 200 mm (…)".
func fixing(t Text, l line) string {
	item := say.Many(int(l.buy), "%d reel of sewing thread, %s", "%d reels of sewing thread, %s", l.colour)
	if l.item == itemGlue {
		item = say.Many(int(l.buy), "%d hot glue stick, %s", "%d hot glue sticks, %s", l.size)
	}
	return t.Say("%s (%s)", item, l.note)
}
