package project

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"strew/motif/geom"
)

// Type returns the document with a key set to what a text means that was typed in
// the key's control. The text is what FieldValue.Text shows, or as a person would
// write it: lengths as geom.ParseLength reads them, a bare number in the document's
// unit; lists with commas or semicolons; "0 – 18 cm" for a stretch; "a = b" for a
// pair. A text that cannot be understood is written as it is, so that Parse says
// what is wrong with it.
//
// Blanks leave the key out; one that must be given and is written becomes "". A key whose meaning
// stays keeps its bytes. A table that may stand once is added where it is missing; so
// is the first [[sheet]], with what is assumed without one. Typing the unit is
// WithUnit. The error is a Problems that names the key, as that of Set.
func (d Document) Type(key, text string) (Document, error) {
	parts, err := keyPath(key)
	if err != nil {
		return d, err
	}
	k := keyOf(key)
	text = strings.TrimSpace(strings.ToValidUTF8(text, "\ufffd"))
	old, written := lookUp(d.values, parts)
	u := d.units()
	switch {
	case key == "unit":
		return d.typeUnit(k, text)
	case text == "" && (k.need.IsZero() || !written):
		return d.Unset(key)
	case written && text == strings.TrimSpace(k.control(old, u.bare)):
		return d, nil
	}
	value := k.typed(text, old, u.bare)
	if written && k.alike(old, value, u) {
		return d, nil
	}
	if d, err = d.withSheet(parts); err != nil {
		return d, err
	}
	return d.Set(key, value)
}

// typeUnit changes the unit; blanks leave it out.
func (d Document) typeUnit(k key, text string) (Document, error) {
	if text != "" {
		return d.WithUnit(geom.Unit(text))
	}
	d, err := d.WithUnit(geom.Unit(k.def.(string)))
	if err != nil {
		return d, err
	}
	return d.Unset("unit")
}

// withSheet returns the document with the felt that is assumed without any
// [[sheet]], if a key of the first one is to be set and there is none.
func (d Document) withSheet(parts []string) (Document, error) {
	if parts[0] != "sheet" || parts[1] != element(0) || d.Len("sheet") > 0 {
		return d, nil
	}
	out, err := d.Add("sheet")
	for _, v := range assumedSheet() {
		if err != nil {
			return d, err
		}
		out, err = out.Set("sheet.0."+v.name, v.value)
	}
	return out, err
}

// keyOf is the description of a key that keyPath knows.
func keyOf(full string) key {
	parts := strings.Split(full, ".")
	in, name := parts[0], parts[len(parts)-1]
	if len(parts) == 1 {
		in = ""
	}
	t, _ := tableNamed(in)
	k, _ := t.key(name)
	return k
}

// alike reports whether two values of a file are sound and mean the same.
func (k key) alike(a, b any, u units) bool {
	ignore := func(int, fault) {}
	a, b = k.check(a, u, ignore), k.check(b, u, ignore)
	x, ok1 := a.(float64)
	y, ok2 := b.(float64)
	if ok1 && ok2 {
		return math.Abs(x-y) <= 1e-9*math.Abs(x) // one conversion of units apart
	}
	return a != nil && reflect.DeepEqual(a, b)
}

// typed returns the value that a text means which is not blank, to take the place of
// an old value, nil if there is none.
func (k key) typed(text string, old any, unit geom.Unit) any {
	switch k.is {
	case cost:
		return numberTyped(strings.TrimSpace(strings.Trim(text, currencySigns)))
	case number, count:
		return numberTyped(text)
	case truth:
		return truthTyped(text)
	case length, gap, lengthOr:
		for _, w := range k.words {
			if strings.EqualFold(text, w) {
				return w
			}
		}
		if k.long {
			return lengthTyped(text, nil, longUnit(unit))
		}
		return lengthTyped(text, old, unit)
	case spare:
		if share, percent := strings.CutSuffix(text, "%"); percent {
			return fmt.Sprint(numberTyped(strings.TrimSpace(share)), "%")
		}
		return numberTyped(text)
	case glueStick:
		return stickTyped(text, unit)
	case colours, sizes, span, pairs, labels:
		return k.listTyped(text, old, unit)
	}
	return text
}

// currencySigns may stand before or behind a price, with a space between.
const currencySigns = "£€$¥ "

// numberTyped reads a number with a decimal point or comma, or a fraction such
// as ¼; a text that is none comes back.
func numberTyped(text string) any {
	if n, err := strconv.ParseInt(text, 10, 64); err == nil {
		return n
	}
	n, err := geom.ParseLength(strings.Replace(text, "−", "-", 1), geom.Millimetre)
	if err != nil || unitOf(text) != "" {
		return text
	}
	return float64(n)
}

func truthTyped(text string) any {
	switch strings.ToLower(text) {
	case "true", "yes":
		return true
	case "false", "no":
		return false
	}
	return text
}

// lengthTyped writes a length with its unit, the document's where it has none. It
// stays a bare number where the old value is one and it has no fraction and no other
// unit than the document's.
func lengthTyped(text string, old any, unit geom.Unit) any {
	if !isLength(text) {
		return text
	}
	own := unitOf(text)
	if _, bare := finite(old); bare && (own == "" || own == unit) {
		digits := strings.TrimSpace(strings.TrimSuffix(text, afterNumber(text)))
		if n, err := strconv.ParseFloat(strings.Replace(digits, ",", ".", 1), 64); err == nil {
			return n
		}
	}
	if own == "" {
		return text + " " + string(unit)
	}
	return text
}

// stickTyped writes the size of a glue stick. A bare length has the unit of the other
// one.
func stickTyped(text string, unit geom.Unit) string {
	for _, part := range stickParts(text) {
		if own := unitOf(part); own != "" {
			unit = own
		}
	}
	return stickWithUnits(text, unit)
}

// listTyped reads a list: its parts as they are typed, or in brackets as a file
// has it.
func (k key) listTyped(text string, old any, unit geom.Unit) any {
	if list := bracketed(text); list != nil {
		return list
	}
	if k.is == span {
		return spanTyped(text, old, unit)
	}
	parts := splitList(text, k.is != sizes)
	if k.is == labels && len(parts) == 1 {
		return parts[0]
	}
	out := make([]any, len(parts))
	for i, p := range parts {
		out[i] = p
		switch k.is {
		case sizes:
			out[i] = numberTyped(p)
		case pairs:
			if a, b, ok := strings.Cut(p, "="); ok {
				out[i] = []any{strings.TrimSpace(a), strings.TrimSpace(b)}
			}
		}
	}
	return out
}

// bracketed reads a list written as in a file, nil if it is not.
func bracketed(text string) []any {
	if !strings.HasPrefix(text, "[") {
		return nil
	}
	var file struct{ V []any }
	if toml.Unmarshal([]byte("v = "+text), &file) != nil {
		return nil
	}
	if _, _, ok := encodeList(file.V); !ok {
		return nil
	}
	return file.V
}

// splitList splits a list at its semicolons, else at its commas: at each, or, where
// one may be a decimal mark, at those before a blank. Empty parts are left out.
func splitList(text string, eachComma bool) []string {
	mark := ";"
	if !strings.Contains(text, mark) {
		if mark = ", "; eachComma {
			mark = ","
		}
		text = strings.TrimRight(text, ",")
	}
	var out []string
	for p := range strings.SplitSeq(text, mark) {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, p)
		}
	}
	return out
}

// spanTyped reads a stretch. The length in front may leave its unit to the one
// behind.
func spanTyped(text string, old any, unit geom.Unit) any {
	from, to, ok := spanParts(text)
	if !ok {
		return text
	}
	if isLength(from) && isLength(to) && unitOf(from) == "" && unitOf(to) != "" {
		from += " " + string(unitOf(to))
	}
	was, _ := old.([]any)
	if len(was) != 2 {
		was = []any{nil, nil}
	}
	return []any{lengthTyped(from, was[0], unit), lengthTyped(to, was[1], unit)}
}

// spanParts splits a stretch at a dash, at "to", or as a list of two. A hyphen may
// also stand in a fraction, as in 2-3/4, so it counts where there is a length on
// either side, the shorter one first.
func spanParts(text string) (from, to string, ok bool) {
	for _, mark := range []string{"–", "—", " to ", ";", ", "} {
		if from, to, ok = strings.Cut(text, mark); ok {
			return strings.TrimSpace(from), strings.TrimSpace(to), true
		}
	}
	for i := range text {
		if text[i] != '-' {
			continue
		}
		a, b := strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+1:])
		if !isLength(a) || !isLength(b) {
			continue
		}
		if !ok {
			from, to, ok = a, b, true
		}
		unit := cmp.Or(unitOf(b), geom.Millimetre)
		x, _ := geom.ParseLength(a, unit)
		if y, _ := geom.ParseLength(b, unit); x < y {
			return a, b, true
		}
	}
	return from, to, ok
}
