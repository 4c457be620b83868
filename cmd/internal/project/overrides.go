package project

import (
	"strconv"

	"strew/motif/geom"
)

// Overrides are the flags that stand above the file, each as typed; nil where
// it is not given. Spacing, Cutouts, Sheets and Budget each replace whichever
// of the four the file has. Unit is of lengths in answers and of bare numbers
// in the other overrides; bare numbers in the file keep the file's own.
type Overrides struct {
	Pattern, Spacing, Cutouts, Sheets, Budget, Seed, Effort, Unit *string
}

// With is the project with overrides laid over it, checked by the same rules;
// errors name the flag ("--spacing") instead of a line. It starts from the
// file as read: p must come from this package, and changes made to its fields
// are not kept.
func (p Project) With(o Overrides) (Project, error) {
	if p.doc == nil {
		return Project{}, fileError(p.File, "this project was not read from a file, so nothing can be laid over it")
	}
	return p.doc.with(o).complete()
}

// with lays overrides over a copy of d.
func (d document) with(o Overrides) document {
	d = d.clone()
	r := report{file: d.name}
	u := d.units
	if o.Unit != nil {
		v := d.flag("", "unit", "--unit", *o.Unit, u, &r)
		if unit, ok := v.typed.(string); ok {
			u = units{bare: geom.Unit(unit), known: true, said: true}
			d.answers = u.bare
		}
	}
	for _, f := range []struct {
		text       *string
		table, key string
	}{
		{o.Seed, "", "seed"},
		{o.Effort, "cutting", "effort"},
		{o.Pattern, "scatter", "pattern"},
	} {
		if f.text != nil {
			d.set(f.table, f.key, d.flag(f.table, f.key, "--"+f.key, *f.text, u, &r))
		}
	}
	replaced := false
	for i, text := range []*string{o.Spacing, o.Cutouts, o.Sheets, o.Budget} {
		if text == nil {
			continue
		}
		if !replaced {
			d.dropDensity()
			replaced = true
		}
		d.set("scatter", densities[i], d.flag("scatter", densities[i], "--"+densities[i], *text, u, &r))
	}
	d.faults = append(d.faults, r.errs...)
	return d
}

// dropDensity forgets the file's spacing, cutouts, sheets and budget, and a
// spacing_waist that only repeats the spacing.
func (d document) dropDensity() {
	s := d.one("scatter")
	if s.ok("spacing", "spacing_waist") && s.values["spacing"].typed == s.values["spacing_waist"].typed {
		delete(s.values, "spacing_waist")
	}
	for _, k := range densities {
		delete(s.values, k)
	}
}

// set puts a value into the one table of a name, making it if need be.
func (d document) set(table, key string, v value) {
	s := d.one(table)
	if !s.given {
		s.given, s.values = true, map[string]value{}
		d.sections[table] = []section{s}
	}
	s.values[key] = v
}

// flag checks the text of a flag as the key's value in a file would be.
func (d document) flag(table, name, flag, typed string, u units, r *report) value {
	t, _ := tableNamed(table)
	k, ok := t.key(name)
	if !ok {
		panic("project: no key " + t.full(name) + " in the schema")
	}
	var raw any = typed
	if k.is == count || k.is == number {
		if n, err := strconv.ParseInt(typed, 10, 64); err == nil {
			raw = n
		} else if f, err := strconv.ParseFloat(typed, 64); err == nil {
			raw = f
		}
	}
	return checkValue(k, raw, place{flag: flag}, u, t.full(name), r)
}
