package project

import (
	"bytes"
	"fmt"
	"maps"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"strew/motif/say"
)

// Document is the text of a project file, in which one value at a time can be read
// and changed. A change returns a new Document; all bytes but those of the value
// stay, with every comment. What the values mean is not checked here: Parse does
// that with the bytes.
//
//	d, err := project.ReadDocument(data)
//	d, err = d.Set("scatter.spacing", "9 cm")
//	d, err = d.Set("motif.0.width", 6.5)
//	p, err := project.Parse(d.Bytes(), name, dir)
//
// A key is named by its table and its name, with the number of the table, from
// 0, where it may stand many times; the keys above all tables have just their
// name. A value is a string, a bool, an int64, a float64, or an []any or a
// map[string]any of these, as Get returns it; Set also takes other integers,
// []string and []float64.
type Document struct {
	bom    bool // a byte order mark stands before the text
	text   []byte
	values map[string]any
}

const bom = "\ufeff"

// ReadDocument reads the text of a project file. The error is a Problems where it
// is not TOML.
func ReadDocument(data []byte) (Document, error) {
	r := report{}
	t, whole := parseTree(data, &r)
	if err := r.err(); err != nil || !whole {
		return Document{}, err
	}
	text, marked := bytes.CutPrefix(data, []byte(bom))
	return Document{marked, bytes.Clone(text), t.values}, nil
}

// Bytes returns the text, as it is to be written to a file.
func (d Document) Bytes() []byte {
	if d.bom {
		return append([]byte(bom), d.text...)
	}
	return bytes.Clone(d.text)
}

// Get returns the value of a key, and whether it is written.
func (d Document) Get(key string) (value any, written bool) {
	parts, err := keyPath(key)
	if err != nil {
		return nil, false
	}
	return lookUp(d.values, parts)
}

// Len returns how many tables of the name are written.
func (d Document) Len(table string) int {
	switch v := d.values[table].(type) {
	case []any:
		return len(v)
	case map[string]any:
		return 1
	}
	return 0
}

// Set returns the document with a key at a value. Where the key is written its
// value is replaced, and a comment inside the value moves to a line above; else a
// line is added to its table, after a line with the key as a comment where there
// is one, and the table is added where it is missing. The error is a Problems
// that names the key: there is no such key or no table of that number, or the
// value is of a type that no key has.
func (d Document) Set(key string, value any) (Document, error) {
	parts, err := keyPath(key)
	if err != nil {
		return d, err
	}
	value, text, ok := encode(value)
	if !ok {
		return d, refusedKey(key, say.New("no key can have the value %s", fmt.Sprint(value)))
	}
	before, written := lookUp(d.values, parts)
	if written && reflect.DeepEqual(before, value) {
		return d, nil
	}
	if len(parts) > 1 && parts[1][0] == '#' {
		if n, _ := strconv.Atoi(parts[1][1:]); n >= d.Len(parts[0]) {
			return d, refusedKey(key, say.New("there is no %s of number %d", header(parts[0]), n))
		}
	}
	l := layoutOf(d.text)
	var out []byte
	if s, known := l.spots[path(parts...)]; written && known && s.end > 0 {
		out = l.replace(s, text)
	} else if !written {
		out = l.insert(parts, text)
	}
	return d.changed(out, key, func(values map[string]any) { put(values, parts, value) })
}

// Unset returns the document without a key. A comment on its line stays.
func (d Document) Unset(key string) (Document, error) {
	parts, err := keyPath(key)
	if err != nil {
		return d, err
	}
	if _, written := lookUp(d.values, parts); !written {
		return d, nil
	}
	l := layoutOf(d.text)
	var out []byte
	if s, known := l.spots[path(parts...)]; known && s.end > 0 {
		out = l.remove(s)
	}
	return d.changed(out, key, func(values map[string]any) { put(values, parts, nil) })
}

// Add returns the document with one more table of a name that may stand many
// times, without keys: after the last one, or at the end of the file. It is
// number Len-1.
func (d Document) Add(table string) (Document, error) {
	if t, known := tableNamed(table); !known || !t.many {
		return d, refusedKey(table, say.New("%s cannot stand many times", header(table)))
	}
	return d.changed(layoutOf(d.text).add(table, d.Len(table)), table, func(values map[string]any) {
		list, _ := values[table].([]any)
		values[table] = append(slices.Clone(list), any(map[string]any{}))
	})
}

// Remove returns the document without one table of a name that may stand many
// times, with all lines between its header and its last key.
func (d Document) Remove(table string, number int) (Document, error) {
	if t, known := tableNamed(table); !known || !t.many || number < 0 || number >= d.Len(table) {
		return d, refusedKey(table, say.New("there is no %s of number %d", header(table), number))
	}
	return d.changed(layoutOf(d.text).drop(table, number), table, func(values map[string]any) {
		list, _ := values[table].([]any)
		if values[table] = slices.Delete(slices.Clone(list), number, number+1); len(list) == 1 {
			delete(values, table)
		}
	})
}

// changed reads the text that a change gave. It must hold what the document
// held, but for the change: a file may be written in ways that a change does not
// know, and then nothing is changed.
func (d Document) changed(text []byte, key string, change func(map[string]any)) (Document, error) {
	want := copyOf(d.values).(map[string]any)
	change(want)
	out := Document{bom: d.bom, text: text}
	if text == nil || toml.Unmarshal(text, &out.values) != nil || !reflect.DeepEqual(withoutEmpty(out.values), withoutEmpty(want)) {
		return d, refusedKey(key, say.New("it is written in a way that cannot be changed here; change the file in an editor"))
	}
	return out, nil
}

// withoutEmpty leaves out empty tables and lists of tables at the top: whether
// one is written says nothing.
func withoutEmpty(values map[string]any) map[string]any {
	out := maps.Clone(values)
	maps.DeleteFunc(out, func(_ string, v any) bool {
		switch v := v.(type) {
		case map[string]any:
			return len(v) == 0
		case []any:
			return len(v) == 0
		}
		return false
	})
	return out
}

func refusedKey(key string, what say.Message) error {
	return Problems{{Key: key, What: what, name: key}}
}

func header(table string) string {
	if t, known := tableNamed(table); known {
		return t.header()
	}
	return table
}

// keyPath is the path of a key that the schema has.
func keyPath(key string) ([]string, error) {
	parts := strings.Split(key, ".")
	unknown := refusedKey(key, say.New("there is no such key"))
	if len(parts) == 1 {
		parts = []string{"", key}
	}
	t, known := tableNamed(parts[0])
	if !known || t.many != (len(parts) == 3) || !t.many && len(parts) != 2 {
		return nil, unknown
	}
	if _, known := t.key(parts[len(parts)-1]); !known {
		return nil, unknown
	}
	if t.many {
		n, err := strconv.Atoi(parts[1])
		if err != nil || n < 0 || strconv.Itoa(n) != parts[1] {
			return nil, unknown
		}
		parts[1] = element(n)
	}
	if t.name == "" {
		parts = parts[1:]
	}
	return parts, nil
}

// lookUp returns what stands at a path.
func lookUp(values any, parts []string) (any, bool) {
	for _, p := range parts {
		switch v := values.(type) {
		case map[string]any:
			next, ok := v[p]
			if !ok {
				return nil, false
			}
			values = next
		case []any:
			n, err := strconv.Atoi(strings.TrimPrefix(p, "#"))
			if err != nil || n >= len(v) {
				return nil, false
			}
			values = v[n]
		default:
			return nil, false
		}
	}
	return values, true
}

// put sets the value at a path, or deletes it where it is nil.
func put(values map[string]any, parts []string, value any) {
	var at any = values
	for _, p := range parts[:len(parts)-1] {
		switch v := at.(type) {
		case map[string]any:
			if v[p] == nil {
				v[p] = map[string]any{}
			}
			at = v[p]
		case []any:
			n, _ := strconv.Atoi(strings.TrimPrefix(p, "#"))
			at = v[n]
		}
	}
	if table, ok := at.(map[string]any); ok {
		if value == nil {
			delete(table, parts[len(parts)-1])
		} else {
			table[parts[len(parts)-1]] = value
		}
	}
}

func copyOf(v any) any {
	switch v := v.(type) {
	case map[string]any:
		out := make(map[string]any, len(v))
		for k, e := range v {
			out[k] = copyOf(e)
		}
		return out
	case []any:
		out := make([]any, len(v))
		for i, e := range v {
			out[i] = copyOf(e)
		}
		return out
	}
	return v
}

// encode writes a value as TOML, and returns it as TOML is read: a whole number
// becomes an int64.
func encode(value any) (same any, text string, ok bool) {
	switch v := value.(type) {
	case string:
		return v, encodeText(v), true
	case bool:
		return v, strconv.FormatBool(v), true
	case int:
		return encode(int64(v))
	case uint64:
		if v > math.MaxInt64 {
			return v, "", false
		}
		return encode(int64(v))
	case int64:
		return v, strconv.FormatInt(v, 10), true
	case float64:
		switch {
		case math.IsNaN(v) || math.IsInf(v, 0):
			return v, "", false
		case v == math.Trunc(v) && math.Abs(v) < 1<<53:
			return encode(int64(v))
		}
		text := strconv.FormatFloat(v, 'f', -1, 64)
		if math.Abs(v) >= 1<<53 || len(text) > 24 {
			text = strconv.FormatFloat(v, 'e', -1, 64)
		}
		return v, text, true
	case []string:
		return encodeList(v)
	case []float64:
		return encodeList(v)
	case []any:
		return encodeList(v)
	case map[string]any:
		out, parts := map[string]any{}, []string{}
		for _, k := range slices.Sorted(maps.Keys(v)) {
			same, text, ok := encode(v[k])
			if !ok {
				return value, "", false
			}
			out[k] = same
			parts = append(parts, encodeText(k)+" = "+text)
		}
		return out, "{ " + strings.Join(parts, ", ") + " }", true
	}
	return value, "", false
}

func encodeList[T any](list []T) (same any, text string, ok bool) {
	out, parts := make([]any, len(list)), make([]string, len(list))
	for i, e := range list {
		if out[i], parts[i], ok = encode(any(e)); !ok {
			return list, "", false
		}
	}
	return out, "[" + strings.Join(parts, ", ") + "]", true
}

// encodeText writes a text in quotes: in single ones where it holds an inch
// mark or a backslash and needs no escapes.
func encodeText(s string) string {
	s = strings.ToValidUTF8(s, "\ufffd")
	control := strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r == 0x7f })
	if strings.ContainsAny(s, `"\`) && !strings.Contains(s, "'") && !control {
		return "'" + s + "'"
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
