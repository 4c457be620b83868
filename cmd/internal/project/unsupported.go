package project

import "slices"

// refusal is one value, key or table that is known and not supported yet.
type refusal struct {
	table, key string                      // key "": the whole table
	word       string                      // "": any value
	when       func(v any, s section) bool // nil: always
	instead    string                      // what to do meanwhile
}

// notYet lists what a project file may say and the program cannot do yet, so
// that nothing is passed over in silence. When a capability arrives, delete its
// rows and read its keys in complete.
var notYet = []refusal{
	{table: "scatter", key: "sheets", instead: "use spacing or cutouts"},
	{table: "scatter", key: "budget", instead: "use spacing or cutouts"},
}

// refuse reports what a table says that the program cannot do yet, and
// tells whether that is the whole table.
func refuse(s section, r *report) (whole bool) {
	for _, n := range notYet {
		if n.table != s.name {
			continue
		}
		if n.key == "" {
			r.add(s.at, s.name, "this is not supported yet; "+n.instead, "")
			return true
		}
		v, ok := s.values[n.key]
		if !ok || v.typed == nil || n.word != "" && v.typed != n.word || n.when != nil && !n.when(v.typed, s) {
			continue
		}
		what := "this"
		if n.word != "" || n.when != nil {
			what = shown(v.raw)
		}
		r.add(v.at, s.full(n.key), what+" is not supported yet; "+n.instead, "")
	}
	return false
}

// ready is the words of a key that are supported.
func ready(k key) []string {
	return slices.DeleteFunc(slices.Clone(k.words), func(w string) bool {
		return slices.ContainsFunc(notYet, func(n refusal) bool { return n.key == k.name && n.word == w && w != "" })
	})
}
