package motif

import "strings"

// compound is a sequence of simple selectors such as "path.leaf#top[id^=a]".
type compound struct {
	name   string // "" or "*" for any
	tests  []func(e *element) bool
	weight int // specificity of Selectors 3, section 9: ids by 10000, classes and the like by 100
}

// selectorWords splits a selector at white space and >, outside brackets and
// quotes.
func selectorWords(text string) []string {
	var words []string
	depth, quote, from := 0, byte(0), 0
	for i := 0; i <= len(text); i++ {
		c := byte(' ')
		if i < len(text) {
			c = text[i]
		}
		switch {
		case i < len(text) && quote != 0:
			if c == quote {
				quote = 0
			}
			continue
		case c == '"' || c == '\'':
			quote = c
		case c == '[' || c == '(':
			depth++
		case c == ']' || c == ')':
			depth--
		case i == len(text) || depth <= 0 && strings.IndexByte(" \t\r\n\f>", c) >= 0:
			if i > from {
				words = append(words, text[from:i])
			}
			if c == '>' {
				words = append(words, ">")
			}
			from = i + 1
		}
	}
	return words
}

// parseCompound reads a type, classes, ids, attributes and pseudo-classes
// (Selectors 3, section 6); ok is false for others.
func parseCompound(word string) (c compound, ok bool) {
	for i := 0; i < len(word); {
		end := partEnd(word, i)
		part := word[i:end]
		i = end
		switch part[0] {
		case '.':
			class := part[1:]
			c.add(100, func(e *element) bool { return hasWord(e.attr["class"], class) })
		case '#':
			id := part[1:]
			c.add(10_000, func(e *element) bool { return e.attr["id"] == id })
		case '[':
			test, ok := parseAttribute(part)
			if !ok {
				return c, false
			}
			c.add(100, test)
		case ':':
			test, weight, ok := parsePseudo(part[1:])
			if !ok {
				return c, false
			}
			c.add(weight, test)
		default:
			if strings.ContainsAny(part, "]+~()\\\"'|,") {
				return c, false
			}
			if c.name = part; part != "*" {
				c.weight++
			}
			continue
		}
		if len(part) < 2 || part[0] != '[' && part[0] != ':' && strings.ContainsAny(part, "]+~()\\\"'|,") {
			return c, false
		}
	}
	return c, word != ""
}

func (c *compound) add(weight int, test func(e *element) bool) {
	c.tests, c.weight = append(c.tests, test), c.weight+weight
}

// partEnd returns where the simple selector that starts at i ends.
func partEnd(word string, i int) int {
	depth := 0
	for j := i; j < len(word); j++ {
		switch word[j] {
		case '[', '(':
			if depth == 0 && word[j] == '[' && j > i {
				return j
			}
			depth++
		case ']', ')':
			if depth--; depth == 0 && word[i] == '[' {
				return j + 1
			}
		case '.', '#', ':':
			if depth == 0 && j > i {
				return j
			}
		}
	}
	return len(word)
}

func hasWord(list, word string) bool {
	for _, have := range strings.Fields(list) {
		if have == word {
			return true
		}
	}
	return false
}

// parseAttribute reads "[name]" or "[name op value]".
func parseAttribute(part string) (test func(e *element) bool, ok bool) {
	if !strings.HasSuffix(part, "]") {
		return nil, false
	}
	name, value, valued := strings.Cut(part[1:len(part)-1], "=")
	op := byte('=')
	if valued && name != "" && strings.IndexByte("~|^$*", name[len(name)-1]) >= 0 {
		op, name = name[len(name)-1], name[:len(name)-1]
	}
	name, value = strings.TrimSpace(name), strings.TrimSpace(value)
	if n := len(value); n > 1 && (value[0] == '"' || value[0] == '\'') && value[n-1] == value[0] {
		value = value[1 : n-1]
	}
	if name == "" || strings.ContainsAny(name, " |:\"'") {
		return nil, false
	}
	return func(e *element) bool {
		have, there := e.attr[name]
		switch {
		case !there || !valued:
			return there
		case op == '=':
			return have == value
		case op == '|':
			return have == value || strings.HasPrefix(have, value+"-")
		case value == "": // Selectors 3, 6.3.2: an empty value matches nothing
			return false
		case op == '~':
			return hasWord(have, value)
		case op == '^':
			return strings.HasPrefix(have, value)
		case op == '$':
			return strings.HasSuffix(have, value)
		}
		return strings.Contains(have, value)
	}, true
}

// parsePseudo reads a pseudo-class. Those of a pointer, the keyboard or a visited
// link never match.
func parsePseudo(name string) (test func(e *element) bool, weight int, ok bool) {
	if inner, isNot := strings.CutPrefix(name, "not("); isNot && strings.HasSuffix(inner, ")") {
		c, ok := parseCompound(strings.TrimSpace(strings.TrimSuffix(inner, ")")))
		return func(e *element) bool { return !c.matches(e) }, c.weight, ok
	}
	first := func(e *element) bool { return e.parent != nil && e.parent.children[0] == e }
	last := func(e *element) bool { return e.parent != nil && e.parent.children[len(e.parent.children)-1] == e }
	switch strings.ToLower(name) {
	case "root":
		return func(e *element) bool { return e.parent == nil }, 100, true
	case "first-child":
		return first, 100, true
	case "last-child":
		return last, 100, true
	case "only-child":
		return func(e *element) bool { return first(e) && last(e) }, 100, true
	case "hover", "focus", "active", "visited", "target", "focus-visible", "focus-within":
		return func(*element) bool { return false }, 100, true
	}
	return nil, 0, false
}

func (c compound) matches(e *element) bool {
	if c.name != "" && c.name != "*" && c.name != e.name {
		return false
	}
	for _, test := range c.tests {
		if !test(e) {
			return false
		}
	}
	return true
}
