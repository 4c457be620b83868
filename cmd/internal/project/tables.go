package project

import (
	"strew/motif/say"
)

// Tables lists the tables of a project file by name, "" for the keys above all
// tables first.
func Tables() []string {
	out := make([]string, len(schema))
	for i, t := range schema {
		out[i] = t.name
	}
	return out
}

// Many reports whether a table may stand many times.
func Many(table string) bool {
	t, known := tableNamed(table)
	return known && t.many
}

// KeysOf lists the keys of a table, in the order of the schema; none for a table
// that there is not.
func KeysOf(table string) []string {
	t, _ := tableNamed(table)
	out := make([]string, len(t.keys))
	for i, k := range t.keys {
		out[i] = k.name
	}
	return out
}

// Has reports whether a table is written, be it empty. The keys above all tables
// always are.
func (d Document) Has(table string) bool {
	_, written := d.values[table]
	return written || table == ""
}

// AddTable returns the document with a table that may stand once, without keys, at
// the end of the file; the same document if it has one.
func (d Document) AddTable(table string) (Document, error) {
	if t, known := tableNamed(table); !known || t.many || table == "" {
		return d, refusedKey(table, say.New("%s is not a table that stands once", header(table)))
	}
	if d.Has(table) {
		return d, nil
	}
	return d.changed(layoutOf(d.text).atEnd("["+table+"]"), table, func(values map[string]any) { values[table] = map[string]any{} })
}

// RemoveTable returns the document without a table that may stand once, with all
// lines between its header and its last key; the same document if it has none.
func (d Document) RemoveTable(table string) (Document, error) {
	if t, known := tableNamed(table); !known || t.many || table == "" {
		return d, refusedKey(table, say.New("%s is not a table that stands once", header(table)))
	}
	if !d.Has(table) {
		return d, nil
	}
	l := layoutOf(d.text)
	text := l.dropBlock([]string{table})
	if text == nil { // written as an inline table, or key by key
		out := d
		var err error
		for _, k := range KeysOf(table) {
			if out, err = out.Unset(table + "." + k); err != nil {
				return d, err
			}
		}
		return out, nil
	}
	return d.changed(text, table, func(values map[string]any) { delete(values, table) })
}
