package project

import (
	"strconv"
	"strings"
	"unicode"

	"strew/motif/geom"
)

// Unit returns the unit of the bare numbers in the file; where none can be read,
// the one that a file without a unit has.
func (d Document) Unit() geom.Unit { return d.units().bare }

func (d Document) units() units { return readUnit(tree{values: d.values}) }

// WithUnit returns the document in another unit, "mm", "cm" or "in". Each length
// without a unit gets the old one, so that every length stays what it is. Where
// the unit of the file cannot be read, nobody knows what bare numbers mean, and
// only the key is set. The error is a Problems.
func (d Document) WithUnit(unit geom.Unit) (Document, error) {
	old := d.units()
	if unit == old.bare && old.known {
		return d, nil
	}
	if old.known {
		var err error
		if d, err = d.allWithUnits(old.bare); err != nil {
			return d, err
		}
	}
	return d.Set("unit", string(unit))
}

// change is a new value for a key that is written.
type change struct {
	parts []string
	value any
}

// allWithUnits returns the document with a unit behind each bare length.
func (d Document) allWithUnits(unit geom.Unit) (Document, error) {
	var changes []change
	d.each(func(_ string, k key, parts []string) {
		raw, written := lookUp(d.values, parts)
		if value, bare := k.withUnit(raw, unit); written && bare {
			changes = append(changes, change{parts, value})
		}
	})
	return d.replaceAll(changes, "unit")
}

// withUnit returns a value with a unit behind its bare lengths, and whether
// it has any.
func (k key) withUnit(raw any, unit geom.Unit) (value any, bare bool) {
	switch k.is {
	case length, gap, lengthOr:
		return lengthWithUnit(raw, unit)
	case span:
		list, _ := raw.([]any)
		out := make([]any, len(list))
		for i, e := range list {
			var is bool
			out[i], is = lengthWithUnit(e, unit)
			bare = bare || is
		}
		return out, bare
	case glueStick:
		s, _ := raw.(string)
		with := stickWithUnits(s, unit)
		return with, with != s
	}
	return raw, false
}

// lengthWithUnit returns a length with a unit where it has none.
func lengthWithUnit(raw any, unit geom.Unit) (value any, bare bool) {
	switch v := raw.(type) {
	case int64, float64:
		if n, ok := finite(v); ok {
			return decimalText(n) + " " + string(unit), true
		}
	case string:
		if isLength(v) && unitOf(v) == "" {
			return strings.TrimSpace(v) + " " + string(unit), true
		}
	}
	return raw, false
}

// stickWithUnits writes a unit behind the bare lengths of a glue stick.
func stickWithUnits(text string, unit geom.Unit) string {
	parts := stickParts(text)
	if len(parts) != 2 || !isLength(parts[0]) || !isLength(parts[1]) || unitOf(parts[0]) != "" && unitOf(parts[1]) != "" {
		return text
	}
	for i, p := range parts {
		with, _ := lengthWithUnit(p, unit)
		parts[i] = strings.TrimSpace(with.(string))
	}
	return parts[0] + " x " + parts[1]
}

// stickParts splits the size of a glue stick into how thick and how long it is.
func stickParts(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == 'x' || r == 'X' || r == '×' })
}

func isLength(text string) bool {
	_, err := geom.ParseLength(text, geom.Millimetre)
	return err == nil
}

// unitOf returns the unit that a length ends with, "" where it has none.
func unitOf(text string) geom.Unit {
	l, err := geom.ParseLength("1"+afterNumber(text), "")
	if err != nil {
		return ""
	}
	for _, u := range []geom.Unit{geom.Millimetre, geom.Centimetre, geom.Metre, geom.Inch, geom.Foot, geom.Yard} {
		if u.MM() == float64(l) {
			return u
		}
	}
	return ""
}

// afterNumber is what follows the last digit or fraction of a text.
func afterNumber(text string) string {
	at := strings.LastIndexFunc(text, unicode.IsNumber)
	if at < 0 {
		return text
	}
	rest := text[at:]
	for i := range rest {
		if i > 0 {
			return rest[i:]
		}
	}
	return ""
}

// decimalText writes a number without an exponent, so that it may stand before a
// unit.
func decimalText(n float64) string { return strconv.FormatFloat(n+0, 'f', -1, 64) }

// each calls f for every key of every table of the file, and of the tables that
// may be written once and are not.
func (d Document) each(f func(full string, k key, parts []string)) {
	for _, t := range schema {
		numbers := 1
		if t.many {
			numbers = d.Len(t.name)
		}
		for i := range numbers {
			for _, k := range t.keys {
				full := keyAt(t.full(k.name), i)
				if parts, err := keyPath(full); err == nil {
					f(full, k, parts)
				}
			}
		}
	}
}

// replaceAll replaces the values of keys that are written, all of them or none;
// the error names the key given.
func (d Document) replaceAll(changes []change, key string) (Document, error) {
	l := layoutOf(d.text)
	text := map[int]string{} // by where the value is
	spots := []spot{}
	for _, c := range changes {
		s := l.spots[path(c.parts...)]
		_, text[s.value], _ = encode(c.value)
		spots = append(spots, s)
	}
	return d.changed(l.replaceAll(spots, text), key, func(values map[string]any) {
		for _, c := range changes {
			put(values, c.parts, c.value)
		}
	})
}
