package words

import (
	"math"
	"slices"
	"strings"

	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/sheet"
)

// feltToBuy says what to buy of each felt, and why that much.
func feltToBuy(t Text) []string {
	var out []string
	for _, n := range t.Laid.Lay.Needs {
		if t.Project.Sheets[n.Stock].Roll {
			out = append(out, roll(t, n))
		} else {
			out = append(out, sheets(t, n))
		}
	}
	return out
}

func roll(t Text, n sheet.Need) string {
	s := t.Project.Sheets[n.Stock]
	length := t.feltLength(n.Length)
	if bound := bound(t, n); bound != "" {
		return t.Say("%s, %s: %s of %s (%s)", s.Name, n.Colour, length, geom.Length(s.Width), bound)
	}
	return t.Say("%s, %s: %s of %s", s.Name, n.Colour, length, geom.Length(s.Width))
}

func sheets(t Text, n sheet.Need) string {
	why := t.Say("%d needed", n.Sheets)
	if n.Drawer > 0 {
		why = t.Say("%d needed, %d of them in the drawer", n.Sheets, n.Drawer)
	}
	if bound := bound(t, n); bound != "" {
		why = t.Say("%s; %s", why, bound)
	}
	return t.Say("%s  %s, %s (%s)", columns(n.Buy), t.Project.Sheets[n.Stock].Name, n.Colour, why)
}

// bound says what is proven about less felt; "" if nothing is, as when several
// kinds of sheet are mixed.
func bound(t Text, n sheet.Need) string {
	if t.Project.Sheets[n.Stock].Roll {
		switch {
		case n.AtLeast <= 0:
			return ""
		case float64(n.AtLeast) > n.Length-1:
			return t.Say("no lay needs less")
		}
		return t.Say("no lay needs less than %s", geom.Length(n.AtLeast))
	}
	switch {
	case n.AtLeast == 0 || n.Sheets < 2:
		return ""
	case n.AtLeast >= n.Sheets:
		return t.Say("no lay needs fewer than %d", n.Sheets)
	}
	return t.Say("a tighter lay might need only %d", n.Sheets-1)
}

// feltLength writes a length of felt as it is asked for at the counter, rounded
// up: whole centimetres, as metres from one metre on, or half inches. Half a
// millimetre over does not count: felt gives more.
func (t Text) feltLength(mm float64) string {
	if t.Unit == geom.Inch {
		return geom.Length(math.Ceil((mm-0.5)/12.7) * 12.7).In(geom.Inch)
	}
	cm := math.Ceil((mm - 0.5) / 10)
	if cm < 100 {
		return number(cm) + " cm"
	}
	return number(cm/100) + " m"
}

// mostNamed is how many remnants the short answer names.
const mostNamed = 3

// largestLeft names the largest pieces of felt that are left.
func largestLeft(t Text) []string {
	all := t.Laid.Remnants()
	var out []string
	for _, r := range all[:min(len(all), mostNamed)] {
		out = append(out, remnants(t, r))
	}
	if more := len(all) - mostNamed; more > 0 {
		out = append(out, t.Many(more, "and %d smaller size, listed in shopping.md", "and %d smaller sizes, listed in shopping.md"))
	}
	return out
}

// remnants says what is left over: "a piece of 12 cm × 21 cm on sheet 3 of
// craft felt A4, #d9a521".
func remnants(t Text, r stage.Remnants) string {
	s := t.Project.Sheets[r.Stock]
	pieces := say.Many(len(r.Sheets), "a piece of %[2]s × %[3]s", "%[1]d pieces of %[2]s × %[3]s", geom.Length(r.Box.Width()), geom.Length(r.Box.Height()))
	on := slices.Compact(slices.Clone(r.Sheets))
	switch {
	case s.Roll:
		return t.Say("%s of %s, %s", pieces, s.Name, r.Colour)
	case len(on) == 1:
		return t.Say("%s on sheet %d of %s, %s", pieces, on[0], s.Name, r.Colour)
	}
	return t.Say("%s on sheets %s of %s, %s", pieces, say.Runs(on), s.Name, r.Colour)
}

// feltShort says in a few words what felt is needed.
func feltShort(t Text) string {
	need, buy, length := 0, 0, 0.0
	for _, n := range t.Laid.Lay.Needs {
		if t.Project.Sheets[n.Stock].Roll {
			length += n.Length
			continue
		}
		need += n.Sheets
		buy += n.Buy
	}
	var out []string
	if need > 0 {
		out = append(out, t.Say("%s, %d to buy", say.Many(need, "%d sheet", "%d sheets"), buy))
	}
	if length > 0 {
		out = append(out, t.Say("%s of felt by the length", t.feltLength(length)))
	}
	if len(out) == 0 {
		return t.Say("no felt")
	}
	return strings.Join(out, ", ")
}
