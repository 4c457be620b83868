package project

import (
	"slices"

	"strew/motif/say"
)

// names is the keys of a table.
func (t table) names() []string {
	out := make([]string, len(t.keys))
	for i, k := range t.keys {
		out[i] = k.name
	}
	return out
}

// tables is the tables with a name.
func tables() []table {
	return slices.DeleteFunc(slices.Clone(schema), func(t table) bool { return t.name == "" })
}

// stray is a key that its table does not have.
type stray struct {
	name string
	at   place
}

// unknownKeys reports the strays of one table, and lists its keys once.
func unknownKeys(t table, strays []stray, r *report) {
	home := homeOf(strays)
	for i, s := range strays {
		guess := didYouMean(Nearest(s.name, t.names()))
		if _, ok := home.key(s.name); ok {
			guess = inTable(s.name, home)
		} else if guess.IsZero() {
			guess = elsewhere(s.name, t.name)
		}
		what := say.New("there is no such key; the keys of %s are %s", t.header(), say.Words(t.names()))
		if i > 0 {
			what = say.New("there is no such key in %s", t.header())
		}
		r.stray(s.at, t.name, t.full(printable(s.name)), what, guess)
	}
}

// homeOf is the table that has more of the strays than any other has, and two at
// least, as where its header was left out; else it is a table without keys.
func homeOf(strays []stray) (home table) {
	most := 1
	for _, t := range tables() {
		has := 0
		for _, s := range strays {
			if _, ok := t.key(s.name); ok {
				has++
			}
		}
		switch {
		case has > most:
			home, most = t, has
		case has == most:
			home = table{}
		}
	}
	return home
}

// inTable guesses that a key belongs under another table.
func inTable(name string, t table) say.Message {
	return say.New("did you mean %q in table %s", name, t.header())
}

// unknownTop reports an unknown name outside the tables: a key or a table.
func unknownTop(name string, raw any, at place, r *report) {
	var headers, all []string
	for _, t := range tables() {
		headers = append(headers, t.header())
		all = append(all, t.name)
	}
	top, _ := tableNamed("")
	if isTable(raw) {
		var hint say.Message
		if n := Nearest(name, all); n != "" {
			t, _ := tableNamed(n)
			hint = say.New("did you mean %s", t.header())
		}
		r.stray(at, "", printable(name), say.New("there is no such table; the tables are %s", say.Words(headers)), hint)
		return
	}
	hint := didYouMean(Nearest(name, top.names()))
	if hint.IsZero() {
		hint = elsewhere(name, "")
	}
	r.stray(at, "", printable(name), say.New("there is no such key above the tables; the keys there are %s", say.Words(top.names())), hint)
}

// elsewhere guesses that a key was written in the wrong table.
func elsewhere(name, here string) say.Message {
	for _, exact := range []bool{true, false} {
		for _, t := range schema {
			if t.name == here {
				continue
			}
			found := Nearest(name, t.names())
			if found == "" || exact && found != name {
				continue
			}
			if t.name == "" {
				return say.New("did you mean %q above all tables", found)
			}
			return inTable(found, t)
		}
	}
	return say.Message{}
}

func isTable(raw any) bool {
	switch v := raw.(type) {
	case map[string]any:
		return true
	case []any:
		return len(v) > 0 && isTable(v[0])
	}
	return false
}

// printable is a key as an error names it.
func printable(name string) string { return short(name) }
