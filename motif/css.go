package motif

import (
	"sort"
	"strings"
)

// stylesheet holds the rules of the drawing's style elements in the order in
// which they win: the weakest first.
type stylesheet struct {
	rules    []cssRule
	steps    *int // taken to match selectors, against maxSteps
	clipping bool // shapes are filled whatever their style says: clip paths
}

// maxSteps bounds the matching of selectors: a thousand rules over ten
// thousand elements.
const maxSteps = 10_000_000

type cssRule struct {
	path         []compound // ancestors first, the element last
	child        []bool     // child[i]: path[i] must be the parent of path[i+1]
	weight       int        // specificity of Selectors 3, section 9
	declarations []declaration
}

// compound is a simple selector sequence such as "path.leaf#top".
type compound struct {
	name    string // "" or "*" for any
	ids     []string
	classes []string
}

// readStylesheet gathers the style elements of the drawing. Rules with
// selectors other than names, classes, ids and their nesting are left out,
// as are those in @-blocks.
func readStylesheet(root *element) stylesheet {
	sheet := stylesheet{steps: new(int)}
	var walk func(e *element)
	walk = func(e *element) {
		if e.name == "style" && (e.attr["type"] == "" || strings.EqualFold(strings.TrimSpace(e.attr["type"]), "text/css")) {
			sheet.rules = append(sheet.rules, parseCSS(e.text)...)
		}
		for _, c := range e.children {
			walk(c)
		}
	}
	walk(root)
	sort.SliceStable(sheet.rules, func(i, j int) bool { return sheet.rules[i].weight < sheet.rules[j].weight })
	return sheet
}

func parseCSS(text string) []cssRule {
	text = strings.NewReplacer("<!--", "", "-->", "").Replace(stripComments(text))
	var rules []cssRule
	for {
		text = strings.TrimSpace(text)
		if strings.HasPrefix(text, "@") {
			text = afterAtRule(text)
			continue
		}
		selectors, rest, ok := strings.Cut(text, "{")
		if !ok {
			return rules
		}
		body, after, _ := strings.Cut(rest, "}")
		text = after
		declarations := parseDeclarations(body)
		for _, one := range strings.Split(selectors, ",") {
			if rule, ok := parseSelector(one); ok {
				rule.declarations = declarations
				rules = append(rules, rule)
			}
		}
	}
}

func stripComments(text string) string {
	var b strings.Builder
	for {
		before, after, found := strings.Cut(text, "/*")
		b.WriteString(before)
		if !found {
			return b.String()
		}
		_, text, _ = strings.Cut(after, "*/")
	}
}

// afterAtRule skips an @-rule: to its semicolon, or past its block.
func afterAtRule(text string) string {
	depth := 0
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case ';':
			if depth == 0 {
				return text[i+1:]
			}
		case '{':
			depth++
		case '}':
			if depth--; depth <= 0 {
				return text[i+1:]
			}
		}
	}
	return ""
}

func parseSelector(text string) (r cssRule, ok bool) {
	text = strings.ReplaceAll(text, ">", " > ")
	child := false
	for _, word := range strings.Fields(text) {
		if word == ">" {
			if child || len(r.path) == 0 {
				return r, false
			}
			child = true
			continue
		}
		c, ok := parseCompound(word)
		if !ok {
			return r, false
		}
		if len(r.path) > 0 {
			r.child = append(r.child, child)
		}
		child = false
		r.path = append(r.path, c)
		r.weight += 10_000*len(c.ids) + 100*len(c.classes)
		if c.name != "" && c.name != "*" {
			r.weight++
		}
	}
	return r, len(r.path) > 0 && !child
}

func parseCompound(word string) (c compound, ok bool) {
	if strings.ContainsAny(word, "[]:+~()\\\"'") {
		return c, false
	}
	for i := 0; i < len(word); {
		j := i + 1
		for j < len(word) && word[j] != '.' && word[j] != '#' {
			j++
		}
		switch part := word[i:j]; {
		case len(part) == 1 && (part == "." || part == "#"):
			return c, false
		case part[0] == '.':
			c.classes = append(c.classes, part[1:])
		case part[0] == '#':
			c.ids = append(c.ids, part[1:])
		default:
			c.name = part
		}
		i = j
	}
	return c, true
}

func (c compound) matches(e *element) bool {
	if c.name != "" && c.name != "*" && c.name != e.name {
		return false
	}
	for _, id := range c.ids {
		if e.attr["id"] != id {
			return false
		}
	}
	for _, class := range c.classes {
		found := false
		for _, have := range strings.Fields(e.attr["class"]) {
			found = found || have == class
		}
		if !found {
			return false
		}
	}
	return true
}

func (r cssRule) matches(e *element, steps *int) bool {
	*steps++
	last := len(r.path) - 1
	return r.path[last].matches(e) && r.above(e.parent, last-1, steps)
}

// above reports whether path[:i+1] can be found among e and its ancestors.
func (r cssRule) above(e *element, i int, steps *int) bool {
	if i < 0 {
		return true
	}
	for ; e != nil; e = e.parent {
		if *steps++; *steps > maxSteps {
			return false
		}
		if r.path[i].matches(e) && r.above(e.parent, i-1, steps) {
			return true
		}
		if r.child[i] {
			return false
		}
	}
	return false
}

// matching returns the declarations that the rules give e, the weakest first.
func (sheet stylesheet) matching(e *element) []declaration {
	var list []declaration
	for _, r := range sheet.rules {
		if *sheet.steps > maxSteps {
			break
		}
		if r.matches(e, sheet.steps) {
			list = append(list, r.declarations...)
		}
	}
	return list
}
