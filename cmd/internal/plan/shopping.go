package plan

import (
	"fmt"
	"math"
	"strconv"
	"strings"

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

// shopping lists what to buy, felt first.
func (p *Plan) shopping() []line {
	var out []line
	for _, n := range p.Lay.Needs {
		out = append(out, p.feltLine(n))
	}
	if p.LayOnly {
		return append(out, p.paperLine())
	}
	for _, f := range p.Fabric {
		colour, price := p.Project.Skirt.Colour, p.Project.Skirt.FabricPrice
		if f.Part == "lining" {
			colour, price = p.Project.Lining.Colour, p.Project.Lining.FabricPrice
		}
		l := line{
			part: "cloth", item: f.Part, colour: colour, size: p.show(f.Width) + " wide",
			need: f.Length / 1000, buy: f.Length / 1000, unit: "m", price: -1, cost: -1,
			note: p.clothLength(f.Length) + ", " + strings.TrimPrefix(p.fabricWords(f), p.clothLength(f.Length)+" "),
		}
		if price.Set {
			l.price = price.Price * 1000 / price.Per
			l.cost = l.buy * l.price
		}
		out = append(out, l)
	}
	return append(append(out, p.fixingLines()...), p.paperLine())
}

// fixingLines lists glue, or thread to match each felt.
func (p *Plan) fixingLines() []line {
	s := p.Project.Supplies
	if s.Fixing == "glue" {
		across, long := s.GlueStick[0], s.GlueStick[1]
		if across == 0 {
			across, long = 11.2, 100 // a common stick
		}
		sticks := math.Ceil(float64(p.Estimate().Pieces) * s.GluePerPiece * 1000 / (math.Pi / 4 * across * across * long))
		return []line{line{
			part: "fixing", item: "hot glue stick", size: fmt.Sprintf("%s mm × %s mm", trim(across), trim(long)),
			need: sticks, buy: sticks, unit: "stick",
			note: fmt.Sprintf("estimate: %s cm³ of glue a piece, no source", trim(s.GluePerPiece)),
		}.priced(s.FixingPrice)}
	}
	var out []line
	of := map[string]int{} // index of a colour's line
	for i, k := range p.Kinds {
		for _, pc := range p.Motifs[k.Motif].Pieces {
			if p.Counts[i].Placed == 0 {
				continue
			}
			j, known := of[pc.Colour]
			if !known {
				j = len(out)
				of[pc.Colour] = j
				out = append(out, line{
					part: "fixing", item: "sewing thread", colour: pc.Colour, unit: "reel",
					note: fmt.Sprintf("estimate: %s of thread a piece, %s m a reel, no source", p.show(s.ThreadPerPiece), trim(s.ThreadReel/1000)),
				})
			}
			out[j].need += float64(p.Counts[i].Placed) * s.ThreadPerPiece / s.ThreadReel
		}
	}
	for j := range out {
		out[j].need = math.Ceil(out[j].need)
		out[j].buy = out[j].need
		out[j] = out[j].priced(s.FixingPrice)
	}
	return out
}

// priced returns the line at a price for each, nil where it is not known.
func (l line) priced(each *float64) line {
	l.price, l.cost = -1, -1
	if each != nil {
		l.price, l.cost = *each, l.buy**each
	}
	return l
}

// paperLine lists the paper for everything that can be printed.
func (p *Plan) paperLine() line {
	n := 0
	for _, f := range p.papersOf() {
		n += len(f.pages)
	}
	return line{
		part: "paper", item: "to print all files", size: p.Project.Supplies.Paper, need: float64(n), buy: float64(n),
		unit: "sheet", note: p.paperWords(),
	}.priced(p.Project.Supplies.PaperPrice)
}

// feltLine is one felt to buy: sheets, or metres of a roll.
func (p *Plan) feltLine(n sheet.Need) line {
	s := p.Project.Sheets[n.Stock]
	l := line{
		part: "felt", item: s.Name, colour: n.Colour, size: p.show(s.Width) + " × " + p.show(s.Height),
		need: float64(n.Sheets), have: float64(n.Drawer), buy: float64(n.Buy), unit: "sheet", price: -1, cost: -1,
		note: p.boundWords(n),
	}
	if s.PriceSet {
		l.price, l.cost = s.Price, n.Cost
	}
	if s.Roll {
		l.size, l.unit = p.show(s.Width)+" wide", "m"
		l.need = up(p.rollLength(n)) / 1000
		l.buy = l.need
		l.price *= 1000 / s.PricePer
	}
	return l
}

func (p *Plan) shoppingCSV() []byte {
	rows := [][]string{{"part", "item", "colour", "size", "need", "have", "buy", "unit", "price_each", "cost", "currency", "note"}}
	number := func(f float64) string {
		if f < 0 {
			return ""
		}
		return strconv.FormatFloat(math.Round(f*1e4)/1e4, 'f', -1, 64)
	}
	for _, l := range p.shopping() {
		currency := ""
		if l.cost >= 0 {
			currency = p.Project.Supplies.Currency
		}
		rows = append(rows, []string{
			l.part, l.item, l.colour, l.size, number(l.need), number(l.have), number(l.buy), l.unit,
			number(l.price), number(l.cost), currency, l.note,
		})
	}
	return csvBytes(rows)
}

func (p *Plan) shoppingMarkdown() []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s: shopping list\n\n", cell(p.Project.Title))
	fmt.Fprintf(&b, "## Felt\n\n| buy | felt | colour | size | needed | in the drawer | price | cost | |\n|---:|---|---|---|---:|---:|---:|---:|---|\n")
	for _, n := range p.Lay.Needs {
		l, roll := p.feltLine(n), p.Project.Sheets[n.Stock]
		price, cost := "", ""
		if l.price >= 0 {
			price, cost = p.money(l.price), p.money(l.cost)
		}
		buy, need := fmt.Sprintf("%.0f", l.buy), fmt.Sprintf("%.0f", l.need)
		if roll.Roll {
			buy = p.feltLength(p.rollLength(n))
			need = buy
			if l.price >= 0 {
				price = p.money(roll.Price) + " for " + p.show(roll.PricePer)
			}
		}
		fmt.Fprintf(&b, "| **%s** | %s | %s | %s | %s | %.0f | %s | %s | %s |\n", buy, cell(l.item), l.colour, l.size, need, l.have, price, cost, l.note)
	}
	if cost, all := p.feltCost(); cost > 0 || all && p.Project.Supplies.Currency != "" {
		fmt.Fprintf(&b, "\nFelt in all: %s", p.money(cost))
		if !all {
			b.WriteString(" (sheets without a price left out)")
		}
		b.WriteString("\n")
	}
	if all := p.remnants(); len(all) > 0 {
		fmt.Fprintf(&b, "\nLeft over, with both sides %s or more:\n\n", p.show(usefulLeast))
		for _, r := range all {
			fmt.Fprintf(&b, "- %s\n", cell(p.remnantWords(r)))
		}
	}
	b.WriteString("\n## Cutouts\n\n| cut | cutout | width | height | placed | spare |\n|---:|---|---:|---:|---:|---:|\n")
	for _, c := range p.Counts {
		k := p.Kinds[c.Kind]
		box := p.Motifs[k.Motif].Box()
		fmt.Fprintf(&b, "| **%d** | %s | %s | %s | %d | %d |\n", c.Cut(), cell(p.kindName(k)), p.show(box.Width()*k.Size), p.show(box.Height()*k.Size), c.Placed, c.Spare)
	}
	b.WriteString("\n| pieces | of cutout | felt |\n|---:|---|---|\n")
	for _, it := range p.Items {
		k := p.Kinds[it.Kind]
		fmt.Fprintf(&b, "| %d | %s, piece %d | %s |\n", p.Counts[it.Kind].Cut(), cell(p.kindName(k)), it.Piece+1, p.Motifs[k.Motif].Pieces[it.Piece].Colour)
	}
	if !p.LayOnly {
		p.clothAndFixing(&b)
	}
	fmt.Fprintf(&b, "\n## Paper\n\n- %s\n", cell(p.paperWords()))
	if words := p.costWords(); words != "" {
		fmt.Fprintf(&b, "\n## Cost\n\n- %s\n", cell(words))
	}
	b.WriteString("\n## Weight and work, estimates\n\n")
	for _, w := range p.Estimate().words(p) {
		fmt.Fprintf(&b, "- %s\n", cell(w))
	}
	b.WriteString("\nEvery pace and weight here is our own guess, without a source.\n")
	if len(p.Warnings) > 0 {
		b.WriteString("\n## Mind\n\n")
		for _, w := range p.Warnings {
			fmt.Fprintf(&b, "- %s\n", cell(w))
		}
	}
	b.WriteString("\n## Take care\n\n")
	for _, c := range p.Cautions() {
		fmt.Fprintf(&b, "- %s\n", cell(c))
	}
	return []byte(b.String())
}

// clothAndFixing lists what a skirt takes beside felt.
func (p *Plan) clothAndFixing(b *strings.Builder) {
	b.WriteString("\n## Cloth\n\n")
	for _, f := range p.Fabric {
		fmt.Fprintf(b, "- %s\n", p.fabricWords(f))
	}
	b.WriteString("\n## Fixing\n\n")
	for _, l := range p.shopping() {
		if l.part == "fixing" {
			text := l.item
			for _, more := range []string{l.size, l.colour} {
				if more != "" {
					text += ", " + more
				}
			}
			unit := many(int(l.buy), l.unit, l.unit+"s")
			if strings.HasSuffix(l.item, l.unit) { // "3 hot glue sticks"
				unit = trim(l.buy)
				text = many(int(l.buy), l.item, l.item+"s")[len(unit)+1:] + text[len(l.item):]
			}
			fmt.Fprintf(b, "- %s %s (%s)\n", unit, text, l.note)
		}
	}
	b.WriteString("\n## How the felt shows\n\n")
	for _, c := range p.Contrasts() {
		fmt.Fprintf(b, "- %s\n", c.Words())
	}
	fmt.Fprintf(b, "\nΔE is the difference to net over lining, %s, by CIEDE2000: below %.0f felt hardly shows, from %.0f on it is clear.\n",
		p.ground().Hex(), hardlyShows, showsClearly)
}

// cell keeps a maker's words from being read as table or heading marks.
func cell(s string) string {
	return strings.NewReplacer("|", "\\|", "\n", " ", "*", "\\*", "_", "\\_", "<", "&lt;").Replace(s)
}
