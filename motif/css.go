package motif

import (
	"sort"
	"strings"
)

// stylesheet holds the rules of the drawing's style elements by rising
// specificity.
type stylesheet struct {
	rules    []cssRule
	steps    *int // taken so far to match selectors
	clipping bool // shapes are filled whatever their style says, as in clip paths
}

// maxSteps limits the matching of selectors: a thousand rules over ten thousand
// elements.
const maxSteps = 10_000_000

type cssRule struct {
	path         []compound // ancestors first, the element last
	child        []bool     // child[i]: path[i] must be the parent of path[i+1]
	weight       int        // specificity of Selectors 3, section 9
	declarations []declaration
}

// readStylesheet reads the style elements of the drawing. It notes what it cannot
// read.
func readStylesheet(root *element, n *notes) stylesheet {
	sheet := stylesheet{steps: new(int)}
	var walk func(e *element)
	walk = func(e *element) {
		if e.name == "style" && (e.attr["type"] == "" || strings.EqualFold(strings.TrimSpace(e.attr["type"]), "text/css")) && seenOnScreen(e.attr["media"], n) {
			sheet.rules = append(sheet.rules, parseCSS(e.text, n)...)
		}
		for _, c := range e.children {
			walk(c)
		}
	}
	walk(root)
	sort.SliceStable(sheet.rules, func(i, j int) bool { return sheet.rules[i].weight < sheet.rules[j].weight })
	return sheet
}

func parseCSS(text string, n *notes) []cssRule {
	text = strings.NewReplacer("<!--", "", "-->", "").Replace(stripComments(text))
	var rules []cssRule
	for {
		text = strings.TrimSpace(text)
		if strings.HasPrefix(text, "@") {
			var head, block string
			head, block, text = cutAtRule(text)
			rules = append(rules, parseAtRule(head, block, n)...)
			continue
		}
		selectors, rest, ok := strings.Cut(text, "{")
		if !ok {
			return rules
		}
		body, after, _ := strings.Cut(rest, "}")
		text = after
		declarations := parseDeclarations(body)
		for selectors != "" {
			var one string
			one, selectors = cutOutside(selectors, ',')
			rule, ok := parseSelector(one)
			if !ok {
				n.note("the style rule for %q cannot be read and was ignored: give the shape a style attribute", shorten(one))
				continue
			}
			rule.declarations = declarations
			rules = append(rules, rule)
		}
	}
}

// parseAtRule returns the rules of an @media block that holds on a screen.
// Fonts and animations do not change an outline.
func parseAtRule(head, block string, n *notes) []cssRule {
	name, query, _ := strings.Cut(strings.TrimPrefix(head, "@"), " ")
	switch strings.ToLower(name) {
	case "media":
		if seenOnScreen(query, n) {
			return parseCSS(block, n)
		}
	case "import":
		n.note("@import %s is not followed: copy the styles into the drawing", shorten(query))
	case "charset", "namespace", "font-face", "keyframes", "page":
	default:
		n.note("the style block %q was ignored", shorten(head))
	}
	return nil
}

// seenOnScreen reports whether a list of media holds on every screen (Media
// Queries 3). Queries that ask for a kind of screen are noted and do not.
func seenOnScreen(media string, n *notes) bool {
	if strings.TrimSpace(media) == "" {
		return true
	}
	for _, one := range strings.Split(media, ",") {
		switch one = strings.ToLower(strings.Join(strings.Fields(one), " ")); one {
		case "all", "screen", "only screen":
			return true
		case "print", "speech", "only print":
		default:
			n.note("the styles for media %q were ignored", shorten(one))
		}
	}
	return false
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

// cutAtRule cuts an @-rule, up to its semicolon or to the end of its block, from
// what follows it.
func cutAtRule(text string) (head, block, rest string) {
	depth, open := 0, 0
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case ';':
			if depth == 0 {
				return text[:i], "", text[i+1:]
			}
		case '{':
			if depth++; depth == 1 {
				open = i
			}
		case '}':
			if depth--; depth == 0 {
				return strings.TrimSpace(text[:open]), text[open+1 : i], text[i+1:]
			}
		}
	}
	return text, "", ""
}

func parseSelector(text string) (r cssRule, ok bool) {
	child := false
	for _, word := range selectorWords(text) {
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
		r.weight += c.weight
	}
	return r, len(r.path) > 0 && !child
}

func (r cssRule) matches(e *element, steps *int) bool {
	*steps++
	last := len(r.path) - 1
	return r.path[last].matches(e) && r.above(e.parent, last-1, steps)
}

// above reports whether path[:i+1] matches e or its ancestors.
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

// matching returns the declarations of the rules that match e, by rising
// specificity.
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
