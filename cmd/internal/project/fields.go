package project

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"strew/motif/geom"
)

// FieldValue is a key as its control shows it.
type FieldValue struct {
	Text    string  `json:"text"`          // as Type reads it, lengths in the document's unit; the default's where the key is not written
	Written bool    `json:"written"`       // the key is in the file
	MM      float64 `json:"mm,omitempty"`  // a sound length
	Default string  `json:"def,omitempty"` // what holds where the key is left out, as far as it is known before planning
}

// Fields returns all keys that can be set by what Document calls them: those
// of each table of the file, and those of tables that may be written once and are
// not. Where there is no [[sheet]], the keys of "sheet.0" are those of the felt
// that is assumed; typing one of them writes that table.
//
// Defaults that follow from other keys need the sound project that Parse made of
// this document; nil if there is none. A faulty value is shown as it was typed.
func (d Document) Fields(sound *Project) map[string]FieldValue {
	out := map[string]FieldValue{}
	u := d.units()
	add := func(full string, k key, def any) {
		f := FieldValue{Default: k.meaning(def, u.bare)}
		raw, written := d.Get(full)
		if f.Text, f.Written = f.Default, written; written {
			f.Text = k.control(raw, u.bare)
			def = k.check(raw, u, func(int, fault) {})
		}
		if mm, ok := def.(float64); ok && k.is.isLength() {
			f.MM = mm
		}
		out[full] = f
	}
	d.each(func(full string, k key, parts []string) {
		add(full, k, sound.assumed(d, full, k))
	})
	if d.Len("sheet") == 0 {
		felt := assumedSheet()
		t, _ := tableNamed("sheet")
		for _, k := range t.keys {
			def := k.def
			if i := slices.IndexFunc(felt, func(v named) bool { return v.name == k.name }); i >= 0 {
				def = k.check(felt[i].value, u, func(int, fault) {})
			}
			add("sheet.0."+k.name, k, def)
		}
	}
	return out
}

// named is a value by the name of its key.
type named struct {
	name  string
	value any
}

// assumedSheet is what a [[sheet]] says of the felt that is assumed without one.
func assumedSheet() []named {
	a := feltA4()
	mm := func(l float64) string { return geom.Length(l).Typed(geom.Millimetre) }
	return []named{{"name", a.Name}, {"width", mm(a.Width)}, {"height", mm(a.Height)}, {"margin", mm(a.Margin)}}
}

// assumed is what a key means where it is left out: its default, or what the
// sound project shows to follow from other keys; nil where that is not known.
// p may be nil.
func (p *Project) assumed(d Document, full string, k key) any {
	written := func(key string) bool { _, ok := d.Get(key); return ok }
	table, _, _ := strings.Cut(full, ".")
	switch {
	case k.name == "fabric_price_per":
		return perMetre
	case table == "sheet" && k.name == "price_per":
		if roll, _ := d.Get(strings.TrimSuffix(full, k.name) + "roll"); roll == true {
			return perMetre
		}
	case p == nil || p.Skirt.Cut == CutOutline:
	case full == "skirt.length" && written("skirt.drop"):
		return p.Skirt.Drop + p.Skirt.Waistband
	case full == "skirt.drop" && written("skirt.length"):
		return p.Skirt.Length - p.Skirt.Waistband
	case full == "lining.circle" && p.Skirt.Cut == CutCircle:
		return p.Skirt.Circle
	case full == "scatter.repeat":
		return p.Skirt.Panels
	}
	if v := k.def; p == nil || v != nil {
		return v
	}
	return p.assumedAnyCut(full)
}

// assumedAnyCut is assumed for keys that do not depend on the cut.
func (p *Project) assumedAnyCut(full string) any {
	sc := p.Scatter
	switch {
	case full == "backing.colour":
		return p.Skirt.Colour
	case full == "scatter.spacing_waist" && sc.Spacing > 0:
		return sc.Spacing
	case full == "scatter.row_spacing" && sc.Spacing > 0 && sc.Pattern != PatternPolka:
		if sc.Stagger {
			return sc.Spacing * math.Sqrt(3) / 2 // as scatter.Options
		}
		return sc.Spacing
	case full == "scatter.repeat" && p.Skirt.Cut == CutOutline:
		return 1
	}
	return nil
}

func (is kind) isLength() bool { return is == length || is == gap || is == lengthOr }

// sixteenth is the finest division of a tape in inches, in millimetres.
const sixteenth = 25.4 / 16

// meaning returns the text of a value as check returns it; "" for nil.
func (k key) meaning(v any, unit geom.Unit) string {
	switch v := v.(type) {
	case nil:
		return ""
	case spares:
		if v.count > 0 {
			return fmt.Sprint(v.count)
		}
		return decimalText(math.Round(v.share*1e6)/1e4) + "%"
	case []float64: // of sizes; no other list has a default
		return strings.Join(numbers(v), ", ")
	case float64:
		if k.long {
			return longText(v, unit)
		}
		if k.is.isLength() && unit == geom.Inch {
			// 5 mm is meant as a tape shows it, not as 0.197 in. An assumed length is
			// never read back from its text.
			return geom.Length(math.Round(v/sixteenth) * sixteenth).Typed(unit)
		}
		if k.is.isLength() {
			return geom.Length(v).Typed(unit)
		}
		return decimalText(v)
	}
	return fmt.Sprint(v)
}

// control returns the text of a value of the file in the key's control.
func (k key) control(raw any, unit geom.Unit) string {
	sound := k.check(raw, units{bare: unit, known: true}, func(int, fault) {})
	switch k.is {
	case length, gap, lengthOr:
		if v, ok := sound.(float64); ok && k.long {
			return longText(v, unit)
		}
		return lengthControl(raw, unit)
	case cost:
		if v, ok := sound.(float64); ok {
			return priceText(v)
		}
	case colour, word:
		if v, ok := sound.(string); ok {
			return v
		}
	case glueStick:
		if s, ok := raw.(string); ok {
			return stickWithUnits(s, unit)
		}
	case span:
		if list, _ := raw.([]any); len(list) == 2 {
			from, to := lengthControl(list[0], unit), lengthControl(list[1], unit)
			return strings.TrimSuffix(from, " "+string(unitOf(to))) + " – " + to
		}
	}
	return unmarked(raw, ", ")
}

// longUnit is what cloth and thread are sold by where lengths are in a unit.
func longUnit(unit geom.Unit) geom.Unit {
	if unit == geom.Inch {
		return geom.Yard
	}
	return geom.Metre
}

// longText writes a length of cloth or thread; whole metres are metres everywhere.
func longText(mm float64, unit geom.Unit) string {
	if math.Mod(mm, geom.Metre.MM()) == 0 {
		unit = geom.Metre
	}
	return geom.Length(mm).Typed(longUnit(unit))
}

// unmarked writes a value without the marks of a file.
func unmarked(raw any, between string) string {
	switch v := raw.(type) {
	case float64:
		return decimalText(v)
	case []any:
		parts := make([]string, len(v))
		for i, e := range v {
			parts[i] = unmarked(e, " = ")
		}
		return strings.Join(parts, between)
	}
	return fmt.Sprint(raw)
}

// priceText writes a price with none or two decimals where those are enough.
func priceText(v float64) string {
	if text := fmt.Sprintf("%.2f", v); v != math.Trunc(v) && math.Abs(v*100-math.Round(v*100)) < 1e-9 {
		return text
	}
	return decimalText(v)
}

// lengthControl writes a length of the file in a unit: as it is where it is in that
// unit or cannot be read.
func lengthControl(raw any, unit geom.Unit) string {
	if with, bare := lengthWithUnit(raw, unit); bare {
		return with.(string)
	}
	s, ok := raw.(string)
	l, err := geom.ParseLength(s, unit)
	switch {
	case !ok:
		return unmarked(raw, ", ")
	case err != nil || unitOf(s) == unit:
		return strings.TrimSpace(s)
	}
	return l.Typed(unit)
}
