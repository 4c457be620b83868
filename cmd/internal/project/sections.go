package project

import (
	"fmt"
	"maps"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
)

// checked is a file checked key by key, before its keys are checked against one
// another. Overrides replace its keys, so that the same rules apply to flags.
type checked struct {
	name, dir string
	lay       bool                 // for `strew lay`: no skirt and no scatter needed
	whole     bool                 // every line was read, so a missing key is missing
	units     units                // of bare numbers in the file
	answers   geom.Unit            // of lengths shown to the maker; "": the file's
	sections  map[string][]section // by table name; in the order of the file
	broken    map[string]bool      // tables with something wrong in them
	faults    Problems             // found so far
}

// section is one table of the file. An absent one is empty and !given.
type section struct {
	table
	given  bool
	at     place
	values map[string]value
}

// value is one key as written and as understood.
type value struct {
	raw   any
	typed any // nil where the value is faulty
	at    place
}

// ok reports whether all the keys are written and valid.
func (s section) ok(keys ...string) bool {
	for _, k := range keys {
		if s.values[k].typed == nil {
			return false
		}
	}
	return true
}

// sound reports whether none of the keys has a faulty value.
func (s section) sound(keys ...string) bool {
	for _, k := range keys {
		if v, written := s.values[k]; written && v.typed == nil {
			return false
		}
	}
	return true
}

// written reports whether the key is in the file, valid or not.
func (s section) written(key string) bool {
	_, ok := s.values[key]
	return ok
}

// where is the key's place, or the table's where the key is not written.
func (s section) where(key string) place {
	if v, ok := s.values[key]; ok {
		return v.at
	}
	return s.at
}

// get is a key's value, else its default, else the zero value.
func get[T any](s section, name string) T {
	if v, ok := s.values[name].typed.(T); ok {
		return v
	}
	k, known := s.table.key(name)
	if !known {
		panic(fmt.Sprintf("project: no key %s in the schema", s.full(name)))
	}
	v, _ := k.def.(T)
	return v
}

// one returns the table that may be written once; empty if it is not.
func (d checked) one(name string) section {
	if s := d.sections[name]; len(s) > 0 {
		return s[0]
	}
	t, ok := tableNamed(name)
	if !ok {
		panic("project: no table " + name + " in the schema")
	}
	return section{table: t, at: place{line: 1, column: 1}}
}

// clone is a copy whose values may be changed.
func (d checked) clone() checked {
	d.sections = maps.Clone(d.sections)
	for name, list := range d.sections {
		list = slices.Clone(list)
		for i := range list {
			list[i].values = maps.Clone(list[i].values)
		}
		d.sections[name] = list
	}
	d.faults = slices.Clone(d.faults)
	return d
}

// check checks each key of a file by itself.
func check(data []byte, name, dir string, lay bool) checked {
	r := report{file: name}
	d := checked{name: name, dir: dir, lay: lay, sections: map[string][]section{}, broken: map[string]bool{}}
	var t tree
	t, d.whole = parseTree(data, &r)
	d.units = readUnit(t)
	d.answers, r.unit = d.units.bare, d.units.bare

	top, _ := tableNamed("")
	head := section{table: top, given: true, at: place{line: 1, column: 1}, values: map[string]value{}}
	for _, name := range t.inOrder(t.values) {
		raw := t.values[name]
		if k, ok := top.key(name); ok {
			head.values[name] = t.value(k, raw, d.units, top.full(name), &r, name)
			continue
		}
		table, ok := tableNamed(name)
		if !ok {
			unknownTop(name, raw, t.at(name), &r)
			continue
		}
		before := len(r.problems)
		d.sections[name] = readTables(table, raw, t, d.units, &r)
		d.broken[name] = len(r.problems) > before
	}
	d.sections[""] = []section{head}
	d.faults = r.problems
	return d
}

// readUnit finds the file's unit, which may stand after lengths that use it.
func readUnit(t tree) units {
	top, _ := tableNamed("")
	k, _ := top.key("unit")
	u := units{bare: geom.Unit(k.def.(string)), known: true, whose: "no unit is set, so numbers without one are in %s"}
	raw, written := t.values["unit"]
	if !written {
		return u
	}
	u.whose = "numbers without a unit are in %s"
	said, ok := k.check(raw, units{}, func(int, fault) {}).(string)
	if u.known = ok; ok {
		u.bare = geom.Unit(said)
	}
	return u
}

// readTables reads [name], [[name]] or a list of inline tables.
func readTables(tb table, raw any, t tree, u units, r *report) []section {
	var out []section
	add := func(raw any, parts ...string) {
		values, ok := raw.(map[string]any)
		if !ok {
			r.add(t.at(parts...), tb.name, say.New("%s is not a table; write %s on a line of its own and its keys below it", shown(raw), tb.header()))
			return
		}
		s := section{table: tb, given: true, at: t.at(parts...), values: map[string]value{}}
		var strays []stray
		for _, name := range t.inOrder(values, parts...) {
			full := append(slices.Clone(parts), name)
			k, known := tb.key(name)
			if !known {
				strays = append(strays, stray{name, t.at(full...)})
				continue
			}
			s.values[name] = t.value(k, values[name], u, tb.full(name), r, full...)
		}
		unknownKeys(tb, strays, r)
		out = append(out, s)
	}
	list, many := raw.([]any)
	switch {
	case many && len(list) > 0 && !tb.many:
		if _, ok := list[0].(map[string]any); ok {
			r.add(t.at(tb.name), tb.name, say.New("there is only one such table; write it with single brackets: %s", tb.header()))
			for i, e := range list {
				add(e, tb.name, element(i))
			}
			return out[:min(len(out), 1)]
		}
		add(raw, tb.name)
	case many && tb.many:
		for i, e := range list {
			add(e, tb.name, element(i))
		}
	case tb.many:
		if _, ok := raw.(map[string]any); ok {
			r.add(t.at(tb.name), tb.name, say.New("write it with double brackets, %s, once for each %s", tb.header(), tb.what))
		}
		add(raw, tb.name)
	default:
		add(raw, tb.name)
	}
	return out
}

// value checks the value at a path.
func (t tree) value(k key, raw any, u units, full string, r *report, parts ...string) value {
	typed := k.check(raw, u, func(i int, f fault) {
		at := parts
		if i >= 0 {
			at = append(slices.Clone(parts), element(i))
		}
		r.guess(t.at(at...), full, f.msg, f.hint)
	})
	return value{raw: raw, typed: typed, at: t.at(parts...)}
}

// inOrder is the keys of a table as they stand in the file.
func (t tree) inOrder(values map[string]any, parts ...string) []string {
	at := func(name string) place { return t.at(append(slices.Clone(parts), name)...) }
	return slices.SortedFunc(maps.Keys(values), func(a, b string) int {
		if c := at(a).compare(at(b)); c != 0 {
			return c
		}
		return slices.Compare([]byte(a), []byte(b))
	})
}
