package project

import (
	"regexp"
	"strings"

	"strew/motif/say"
)

// What go-toml says about a line is right, but meant for programmers. Here the
// usual mistakes get plain words; the rest keeps the parser's own.

var (
	keyLine    = regexp.MustCompile(`^\s*([A-Za-z0-9_-]+)\s*=\s*(.*)$`)
	keyNoEqual = regexp.MustCompile(`^\s*([A-Za-z0-9_-]+)(\s*:.*|\s.*)?$`)
	tableLine  = regexp.MustCompile(`(?m)^\s*\[\[?\s*([A-Za-z0-9_-]+)\s*\]`)
	withUnit   = regexp.MustCompile(`^[0-9][0-9 .,/-]* *([a-zA-Z"']+|[½⅓⅔¼¾⅛⅜⅝⅞].*)`)
	comma      = regexp.MustCompile(`^([0-9]+),([0-9]+)$`)
	fraction   = regexp.MustCompile(`^[0-9]+[ -]+[0-9]+/[0-9]+|^[0-9]+/[0-9]+`)
	bareList   = regexp.MustCompile(`^(?:[0-9.]+|"[^"]*"|'[^']*')(?:\s*,\s*(?:[0-9.]+|"[^"]*"|'[^']*'))+$`)
)

// syntaxError words what go-toml said of a line; above is the text before it.
// The key is "" where the line has none. alone tells whether the line can be
// left out without changing what the lines round it mean.
func syntaxError(above, line, said string) (key string, what say.Message, alone bool) {
	has := func(s string) bool { return strings.Contains(said, s) }
	table := ""
	if m := tableLine.FindAllStringSubmatch(above, -1); m != nil {
		table = m[len(m)-1][1] + "."
	}
	bare := uncommented(line)
	alone = !strings.ContainsAny(line, "[]{}") && !strings.Contains(line, `"""`) && !strings.Contains(line, "'''")
	switch {
	case has("already exists as an array"), has("should be an array table"), has("should be a table"):
		return "", say.New("this table is written once with one bracket and once with two, or also as a key; write all its headers alike"), false
	case has("already exists"):
		return "", say.New("%s is written above already; keep one and put all its keys there", bare), false
	case has("to close table name"), has("to close array table name"):
		return "", say.New("the brackets round the table's name do not match; write [skirt] or [[motif]]"), false
	case has("after array value") && !strings.Contains(line, "["), has("multiline"), has("is incomplete"):
		return "", say.New("a text or list that was opened here or above is not closed; look for a missing quote or bracket"), false
	case strings.HasPrefix(bare, "["):
		return "", say.New("nothing may follow a table's name on its line; write its keys on the lines below"), false
	case strings.HasPrefix(bare, "//"), strings.HasPrefix(bare, ";"), strings.HasPrefix(bare, "--"):
		return "", say.New("a comment starts with #"), alone
	}
	if m := keyLine.FindStringSubmatch(line); m != nil {
		if has("already defined") {
			return table + m[1], say.New("it is written twice in the same table; keep one"), alone
		}
		return table + m[1], valueError(strings.TrimSuffix(table, "."), m[1], uncommented(m[2]), said), alone
	}
	if m := keyNoEqual.FindStringSubmatch(bare); m != nil && has("expected '='") {
		return table + m[1], say.New("the equals sign is missing; write it like %s = %s", m[1], exampleOf(table, m[1])), alone
	}
	return "", say.New("this line cannot be read: %s; write a key, an equals sign and a value, a table's name in brackets, or a comment after #", said), false
}

// exampleOf is an example of the key's value, or three dots for an unknown one.
func exampleOf(table, name string) string {
	t, _ := tableNamed(strings.TrimSuffix(table, "."))
	if k, ok := t.key(name); ok {
		return k.eg
	}
	return "…"
}

// valueError words what is wrong right of the equals sign.
func valueError(table, key, value, said string) say.Message {
	has := func(s string) bool { return strings.Contains(said, s) }
	like := say.New("write it like %s = %s", key, exampleOf(table, key))
	t, _ := tableNamed(table)
	k, _ := t.key(key)
	switch {
	case strings.HasPrefix(value, "#"):
		if k.is == colour {
			return say.New("a # outside quotes starts a comment; write the colour in quotes: %s = %q", key, strings.Fields(value)[0])
		}
		return say.New("there is no value before the comment; %s", like)
	case value == "":
		return say.New("there is no value after the equals sign; %s, or leave the key out", like)
	case strings.IndexAny(value, "“”„‘’«»") == 0:
		return say.New("these are printer's quotes; use straight ones; %s", like)
	case strings.HasPrefix(value, "["), strings.HasPrefix(value, "{"):
		return say.New("this cannot be read: %s; %s", said, like)
	case has("expected newline") && comma.MatchString(value):
		m := comma.FindStringSubmatch(value)
		return say.New("write the decimal mark as a point: %s = %s.%s", key, m[1], m[2])
	case has("expected newline") && bareList.MatchString(value):
		return say.New("write a list in brackets: %s = [%s]", key, value)
	case value[0] == '"' || value[0] == '\'':
		return quotesError(key, value, said, like)
	case has("expected newline") && (fraction.MatchString(value) || withUnit.MatchString(value)):
		return say.New("write a number with a unit or a fraction in quotes: %s = %s", key, inQuotes(value))
	case value[0] == '.' && len(value) > 1 && value[1] >= '0' && value[1] <= '9':
		return say.New("a number starts with a digit: %s = 0%s", key, value)
	case k.is == truth && (has("start of value") || has("expected keyword")):
		return say.New("this is neither yes nor no; write true or false, in small letters and without quotes")
	case has("start of value") || has("expected keyword"):
		switch k.is {
		case text, money, label, word, drawing, colour:
			return say.New("write text in quotes: %s = %s", key, inQuotes(value))
		}
		return say.New("this value cannot be read; %s", like)
	case has("out of range"), has("too large"):
		return say.New("the number is too large; %s", like)
	case has("expected newline"):
		return say.New("nothing may follow the value on its line but a comment after #; %s", like)
	}
	return say.New("this value cannot be read: %s; %s", said, like)
}

// quotesError words what is wrong with a value that starts with a quote.
func quotesError(key, value, said string, like say.Message) say.Message {
	has := func(s string) bool { return strings.Contains(said, s) }
	switch {
	case has("escape"):
		return say.New(`a \ has a meaning of its own inside "…"; write / in paths, or use single quotes: '…'`)
	case has("unterminated"), has("new line"):
		if inner := strings.Trim(value, `"' `); inner != "" {
			return say.New("the closing quote is missing: %s = %s", key, inQuotes(inner))
		}
		return say.New("the closing quote is missing; %s", like)
	case has("expected newline") && value[0] == '"' && strings.HasSuffix(value, `""`) && len(value) > 3:
		return say.New("the inch mark ends the text; use single quotes round it: %s = '%s'", key, value[1:len(value)-1])
	case has("expected newline"):
		return say.New("nothing may follow the value on its line but a comment after #; %s", like)
	}
	return say.New("this text cannot be read: %s; %s", said, like)
}

// inQuotes puts text in the quotes that it does not hold itself.
func inQuotes(s string) string {
	if strings.Contains(s, `"`) && !strings.Contains(s, "'") {
		return "'" + s + "'"
	}
	return `"` + strings.ReplaceAll(s, `"`, `in`) + `"`
}

// uncommented drops a comment at the end of a line. A # inside quotes does not
// start a comment, nor does one that starts the value; a quote that never closes is an
// inch mark.
func uncommented(s string) string {
	var quote byte
	first := -1 // # after a blank, quotes or not
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c == '#' && strings.TrimSpace(s[:i]) != "" && quote == 0:
			return strings.TrimSpace(s[:i])
		case c == '#' && first < 0 && i > 0 && s[i-1] == ' ' && strings.TrimSpace(s[:i]) != "":
			first = i
		case c == quote:
			quote = 0
		case quote == 0 && (c == '"' || c == '\''):
			quote = c
		}
	}
	if quote != 0 && first > 0 {
		s = s[:first]
	}
	return strings.TrimSpace(s)
}
