package project

import (
	"math"

	"strew/motif/geom"
	"strew/motif/say"
)

// Overrides are flags that replace keys of the file, as they were written; nil
// where one is not given. Spacing, Cutouts, Sheets and Budget each replace whichever
// of the four the file has. Unit is of lengths in answers and of bare numbers
// in the other overrides; bare numbers in the file keep the file's own.
type Overrides struct {
	Pattern, Spacing, Unit  *string
	Cutouts, Sheets, Effort *int
	Budget                  *float64
	Seed                    *uint64
}

// With is the project with overrides laid over it, checked by the same rules;
// errors name the flag ("--spacing") instead of a line. It starts from the
// file as read: p must come from this package, and changes made to its fields
// are not kept.
func (p Project) With(o Overrides) (Project, error) {
	if p.from == nil {
		return Project{}, fileError(p.File, say.New("this project was not read from a file, so nothing can be laid over it"))
	}
	return p.from.with(o).complete()
}

// with lays overrides over a copy of d.
func (d checked) with(o Overrides) checked {
	d = d.clone()
	r := report{file: d.name}
	u := d.units
	if o.Unit != nil {
		if unit, ok := flagValue("", "unit", *o.Unit, u, &r).typed.(string); ok {
			u = units{bare: geom.Unit(unit), known: true, whose: "--unit says that bare numbers are in %s"}
			d.answers = u.bare
		}
	}
	if o.Spacing != nil || o.Cutouts != nil || o.Sheets != nil || o.Budget != nil {
		d.dropDensity()
	}
	set := func(table, key string, raw any) {
		s := d.one(table)
		if !s.given {
			s.given, s.values = true, map[string]value{}
			d.sections[table] = []section{s}
		}
		s.values[key] = flagValue(table, key, raw, u, &r)
	}
	if o.Seed != nil {
		set("", "seed", int64(min(*o.Seed, math.MaxInt64)))
	}
	if o.Pattern != nil {
		set("scatter", "pattern", *o.Pattern)
	}
	if o.Spacing != nil {
		set("scatter", "spacing", *o.Spacing)
	}
	if o.Cutouts != nil {
		set("scatter", "cutouts", int64(*o.Cutouts))
	}
	if o.Sheets != nil {
		set("scatter", "sheets", int64(*o.Sheets))
	}
	if o.Budget != nil {
		set("scatter", "budget", *o.Budget)
	}
	if o.Effort != nil {
		set("cutting", "effort", int64(*o.Effort))
	}
	d.faults = append(d.faults, r.problems...)
	return d
}

// dropDensity forgets the file's spacing, cutouts, sheets and budget, and a
// spacing_waist that only repeats the spacing.
func (d checked) dropDensity() {
	s := d.one("scatter")
	if s.ok("spacing", "spacing_waist") && s.values["spacing"].typed == s.values["spacing_waist"].typed {
		delete(s.values, "spacing_waist")
	}
	for _, k := range densities {
		delete(s.values, k)
	}
}

// flagValue checks what a flag of the key's name says as a file would be.
func flagValue(table, name string, raw any, u units, r *report) value {
	t, _ := tableNamed(table)
	k, ok := t.key(name)
	if !ok {
		panic("project: no key " + t.full(name) + " in the schema")
	}
	at := place{flag: "--" + name}
	typed := k.check(raw, u, func(_ int, f fault) { r.guess(at, t.full(name), f.msg, f.hint) })
	return value{raw: raw, typed: typed, at: at}
}
