package plan

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"strew/cmd/internal/project"
	"strew/motif/geom"
	"strew/render"
	"strew/sheet"
)

// layError says in the maker's unit what does not fit, and what would.
func (p *Plan) layError(err error) error {
	var big *sheet.FitError
	if !errors.As(err, &big) {
		return fmt.Errorf("lay: %w", err)
	}
	widest := math.IsInf(big.Holds[1], 1)
	text := fmt.Sprintf("lay: %s is %s × %s and fits no felt for %s: the largest, %s, ", big.Item, p.show(big.Width), p.show(big.Height), big.Colour, big.Largest)
	if widest {
		text += fmt.Sprintf("holds %s across inside its margins", p.show(big.Holds[0]))
	} else {
		text += fmt.Sprintf("holds %s × %s inside its margins", p.show(big.Holds[0]), p.show(big.Holds[1]))
	}
	if s := p.otherSheet(big); s != "" {
		return fmt.Errorf("%s; %s would hold it and does not come in this colour: add the colour to it, or make the piece smaller", text, s)
	}
	margin := 0.0
	for _, s := range p.Project.Sheets {
		if s.Name == big.Largest {
			margin = s.Margin
		}
	}
	if widest {
		return fmt.Errorf("%s; felt of %s or wider would do, or make the piece smaller", text, p.show(up(math.Min(big.Width, big.Height)+2*margin)))
	}
	return fmt.Errorf("%s; a sheet of %s × %s would do, or make the piece smaller", text, p.show(up(big.Width+2*margin)), p.show(up(big.Height+2*margin)))
}

// up rounds up to a whole millimetre.
func up(mm float64) float64 { return math.Ceil(mm - geom.Touch) }

// otherSheet names a sheet that holds the piece as drawn and is listed in other
// colours only.
func (p *Plan) otherSheet(big *sheet.FitError) string {
	for _, s := range p.Project.Sheets {
		w, h := s.Width-2*s.Margin, s.Height-2*s.Margin
		if s.Roll {
			h = math.Inf(1)
		}
		if big.Width <= w && big.Height <= h && !slices.Contains(s.Colours, big.Colour) && len(s.Colours) > 0 {
			return s.Name
		}
	}
	return ""
}

// usefulLeast is the least side of a piece of felt that is told as left over:
// smaller scraps go in the bag anyway; common practice, no source.
const usefulLeast = 50.0

// findLeftOver finds what each sheet leaves.
func (p *Plan) findLeftOver() {
	items := p.sheetItems()
	p.LeftOver = make([][]geom.Box, len(p.Lay.Sheets))
	for i, s := range p.Lay.Sheets {
		if i > 0 && p.Lay.Sheets[i-1].Stock == s.Stock && slices.Equal(p.Lay.Sheets[i-1].Pieces, s.Pieces) {
			p.LeftOver[i] = p.LeftOver[i-1] // the same sheet again
			continue
		}
		p.LeftOver[i] = sheet.LeftOver(items, p.stock(p.Project.Sheets[s.Stock]), s, usefulLeast)
	}
}

// remnants is what is left over in one size, on sheets of one kind.
type remnants struct {
	box    geom.Box
	stock  int
	colour string
	sheets []int // their numbers, rising; one with two such pieces stands twice
}

// remnants lists what is left over, the largest first.
func (p *Plan) remnants() []remnants {
	var out []remnants
	for i, boxes := range p.LeftOver {
		s := p.Lay.Sheets[i]
		for _, b := range boxes {
			same := func(r remnants) bool {
				return r.stock == s.Stock && r.colour == s.Colour && r.box.Width() == b.Width() && r.box.Height() == b.Height()
			}
			j := slices.IndexFunc(out, same)
			if j < 0 {
				j = len(out)
				out = append(out, remnants{box: b, stock: s.Stock, colour: s.Colour})
			}
			out[j].sheets = append(out[j].sheets, s.Number)
		}
	}
	slices.SortStableFunc(out, func(a, b remnants) int {
		switch x, y := a.box.Width()*a.box.Height(), b.box.Width()*b.box.Height(); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	return out
}

// remnantWords says what is left over: "a piece of 12 cm × 21 cm on sheet 3 of
// craft felt A4, #d9a521".
func (p *Plan) remnantWords(r remnants) string {
	s := p.Project.Sheets[r.stock]
	size := p.show(r.box.Width()) + " × " + p.show(r.box.Height())
	text := "a piece of " + size
	if len(r.sheets) > 1 {
		text = fmt.Sprintf("%d pieces of %s", len(r.sheets), size)
	}
	on := slices.Compact(slices.Clone(r.sheets))
	switch {
	case s.Roll:
		return fmt.Sprintf("%s of %s, %s", text, s.Name, r.colour)
	case len(on) == 1:
		return fmt.Sprintf("%s on sheet %d of %s, %s", text, on[0], s.Name, r.colour)
	}
	return fmt.Sprintf("%s on sheets %s of %s, %s", text, render.Runs(on), s.Name, r.colour)
}

// rollLength is how much of a roll is needed, in millimetres as it is cut from
// the roll.
func (p *Plan) rollLength(n sheet.Need) float64 {
	sum := 0.0
	for _, s := range p.Lay.Sheets {
		if s.Stock == n.Stock && s.Colour == n.Colour {
			sum += s.Height
		}
	}
	return sum
}

// feltLength writes a length of felt as it is asked for at the counter, rounded
// up: whole centimetres, as metres from one metre on, or half inches. Half a
// millimetre over does not count: felt gives more.
func (p *Plan) feltLength(mm float64) string {
	if p.Project.Unit == geom.Inch {
		return geom.Length(math.Ceil((mm-0.5)/12.7) * 12.7).In(geom.Inch)
	}
	cm := math.Ceil((mm - 0.5) / 10)
	if cm < 100 {
		return trim(cm) + " cm"
	}
	return trim(cm/100) + " m"
}

// feltWords says what to buy of one felt, and why so much.
func (p *Plan) feltWords(n sheet.Need) string {
	s := p.Project.Sheets[n.Stock]
	if s.Roll {
		text := fmt.Sprintf("%s, %s: %s of %s", s.Name, n.Colour, p.feltLength(p.rollLength(n)), p.show(s.Width))
		if bound := p.boundWords(n); bound != "" {
			text += " (" + bound + ")"
		}
		return text
	}
	text := fmt.Sprintf("%4d  %s, %s (%d needed", n.Buy, s.Name, n.Colour, n.Sheets)
	if n.Drawer > 0 {
		text += fmt.Sprintf(", %d from the drawer", n.Drawer)
	}
	if bound := p.boundWords(n); bound != "" {
		text += "; " + bound
	}
	return text + ")"
}

// boundWords says what is known about less felt; "" where the bound says
// nothing, as where several kinds of sheet share the work.
func (p *Plan) boundWords(n sheet.Need) string {
	if p.Project.Sheets[n.Stock].Roll {
		length := p.rollLength(n)
		switch {
		case n.AtLeast <= 0:
			return ""
		case float64(n.AtLeast) > length-1:
			return "less is impossible"
		}
		return "less than " + p.show(float64(n.AtLeast)) + " is impossible"
	}
	switch {
	case n.AtLeast == 0 || n.Sheets < 2:
		return ""
	case n.AtLeast >= n.Sheets:
		return fmt.Sprintf("fewer than %d is impossible", n.Sheets)
	}
	return fmt.Sprintf("%d cannot be ruled out", n.Sheets-1)
}

// mostTold is how many remnants the short answer names.
const mostTold = 3

// answerLeftOver names the largest pieces of felt that are left.
func (p *Plan) answerLeftOver(a *page) {
	all := p.remnants()
	for i, r := range all[:min(len(all), mostTold)] {
		a.entry(label(i, "Left over"), p.remnantWords(r))
	}
	if more := len(all) - mostTold; more > 0 {
		a.entry("", fmt.Sprintf("and %s, listed in shopping.md", many(more, "smaller size", "smaller sizes")))
	}
}

// stock is a kind of felt as it is laid on.
func (p *Plan) stock(s project.Sheet) sheet.Stock {
	return sheet.Stock{
		Name: s.Name, Width: s.Width, Height: s.Height, Margin: s.Margin, Nap: naps[s.Nap],
		Roll: s.Roll, PricePer: s.PricePer, SoldBy: s.SoldBy,
		Colours: s.Colours, Price: s.Price, InDrawer: s.Stock, NotSold: s.NotSold,
	}
}

// sheetItems lists every piece of every kind as it is laid.
func (p *Plan) sheetItems() []sheet.Item {
	out := make([]sheet.Item, len(p.Items))
	for i, it := range p.Items {
		k := p.Kinds[it.Kind]
		pc := p.Motifs[k.Motif].Pieces[it.Piece]
		out[i] = sheet.Item{
			Name: p.pieceName(it), Shape: pc.Region.Transform(geom.Scaling(k.Size, k.Size)), Colour: pc.Colour, Count: p.Counts[it.Kind].Cut(),
		}
	}
	return out
}
