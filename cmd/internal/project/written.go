package project

import (
	"strconv"
	"strings"
)

// Written reports whether the maker gave the value of a key, "title",
// "skirt.waist" or "motif.0.width", in the file or by a flag; else it is a
// default. It is true of every key of a project that was not read from a file.
func (p Project) Written(key string) bool {
	if p.from == nil {
		return true
	}
	table, rest, inTable := strings.Cut(key, ".")
	if !inTable {
		return p.from.one("").written(key)
	}
	number := 0
	if n, name, numbered := strings.Cut(rest, "."); numbered {
		i, err := strconv.Atoi(n)
		if err != nil {
			return false
		}
		number, rest = i, name
	}
	list := p.from.sections[table]
	return number >= 0 && number < len(list) && list[number].written(rest)
}
