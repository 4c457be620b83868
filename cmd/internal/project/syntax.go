package project

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// What go-toml says about a line is right, but for programmers. Here the usual
// slips are told in plain words; the rest keeps the parser's own.

var (
	keyLine    = regexp.MustCompile(`^\s*([A-Za-z0-9_-]+)\s*=\s*(.*)$`)
	keyNoEqual = regexp.MustCompile(`^\s*([A-Za-z0-9_-]+)\s*(?::\s*(.*)|\s(.*))?$`)
	withUnit   = regexp.MustCompile(`^([0-9][0-9 ./-]*) *([a-zA-Z"']+|[½⅓⅔¼¾⅛⅜⅝⅞].*)`)
	comma      = regexp.MustCompile(`^([0-9]+),([0-9]+)\s*([a-z]*)`)
	fraction   = regexp.MustCompile(`^[0-9]+[ -]+[0-9]+/[0-9]+|^[0-9]+/[0-9]+`)
)

// syntaxError words an error at a byte column of a line. The key is "" where
// the line has none.
func syntaxError(line string, column int, bad *toml.DecodeError) (key, msg string) {
	said := strings.TrimPrefix(bad.Error(), "toml: ")
	has := func(s string) bool { return strings.Contains(said, s) }
	if m := keyLine.FindStringSubmatch(line); m != nil {
		if has("already defined") {
			return m[1], "it is written twice in the same table; keep one"
		}
		return m[1], valueError(m[1], uncommented(m[2]), said)
	}
	switch {
	case has("already exists as an array"), has("should be an array table"), has("should be a table"):
		return "", "this table is written once with one bracket and once with two, or as a key; write all its headers alike"
	case has("already exists"):
		return "", fmt.Sprintf("%s is written twice; keep one and put its keys together", strings.TrimSpace(uncommented(line)))
	case has("to close table name"), has("to close array table name"):
		return "", "the brackets round the table's name do not match; write [skirt] or [[motif]]"
	case has("multiline") && has("not terminated"), has("is incomplete"):
		return "", "what was opened on a line above is not closed; look for a missing quote or bracket"
	case strings.HasPrefix(strings.TrimSpace(line), "["):
		return "", "nothing may follow a table's name on its line; write its keys on the lines below"
	case strings.HasPrefix(strings.TrimSpace(line), "//"):
		return "", "a remark starts with #, not //"
	}
	if m := keyNoEqual.FindStringSubmatch(uncommented(line)); m != nil && has("expected '='") {
		return m[1], fmt.Sprintf("the equals sign is missing; write %s = and the value", m[1])
	}
	return "", "this line cannot be read: " + said + "; a line is a key, an equals sign and a value, a table's name in brackets, or a remark after #"
}

// valueError words what is wrong right of the equals sign.
func valueError(key, value, said string) string {
	has := func(s string) bool { return strings.Contains(said, s) }
	switch {
	case strings.HasPrefix(value, "#"):
		return fmt.Sprintf("a # outside quotes starts a remark, so there is no value; write a colour in quotes: %s = %q", key, strings.Fields(value)[0])
	case value == "":
		return "there is no value after the equals sign; write one, or leave the key out"
	case strings.ContainsAny(value[:1], `"'`):
		return quotesError(key, value, said)
	case strings.HasPrefix(value, "“"), strings.HasPrefix(value, "”"), strings.HasPrefix(value, "„"), strings.HasPrefix(value, "‘"):
		return `these are printer's quotes; use the straight ones: "`
	case strings.HasPrefix(value, "["), strings.HasPrefix(value, "{"):
		return "this list cannot be read: " + said + `; write it like [1.0, 0.7] or ["#d9a521", "#6b4423"]`
	case has("expected newline") && comma.MatchString(value):
		m := comma.FindStringSubmatch(value)
		if m[3] != "" {
			return fmt.Sprintf("write the decimal mark as a point, and a number with its unit in quotes: %s = %q", key, m[1]+"."+m[2]+" "+m[3])
		}
		return fmt.Sprintf("write the decimal mark as a point: %s = %s.%s", key, m[1], m[2])
	case has("expected newline") && (fraction.MatchString(value) || withUnit.MatchString(value)):
		return fmt.Sprintf("a number with a unit or a fraction stands in quotes: %s = %s", key, inQuotes(strings.TrimSpace(value)))
	case strings.HasPrefix(value, ".") && len(value) > 1 && value[1] >= '0' && value[1] <= '9':
		return fmt.Sprintf("a number starts with a digit: %s = 0%s", key, value)
	case strings.EqualFold(value, "true"), strings.EqualFold(value, "yes"), strings.EqualFold(value, "on"):
		return fmt.Sprintf("yes and no are written in small letters and without quotes: %s = true", key)
	case strings.EqualFold(value, "false"), strings.EqualFold(value, "no"), strings.EqualFold(value, "off"):
		return fmt.Sprintf("yes and no are written in small letters and without quotes: %s = false", key)
	case has("start of value"), has("expected keyword"):
		return fmt.Sprintf("text stands in quotes: %s = %s", key, inQuotes(value))
	case has("out of range"), has("too large"):
		return "the number is too large"
	case has("expected newline"):
		return "nothing may follow the value on its line but a remark after #"
	}
	return "this value cannot be read: " + said
}

// quotesError words what is wrong with a value that starts with a quote.
func quotesError(key, value, said string) string {
	switch {
	case strings.Contains(said, "escape"):
		return `a \ has a meaning of its own inside "…"; write / in paths, or use single quotes: '…'`
	case strings.Contains(said, "unterminated"), strings.Contains(said, "not terminated"):
		return fmt.Sprintf("the closing quote is missing: %s = %s", key, inQuotes(strings.Trim(value, `"' `)))
	case strings.Contains(said, "expected newline") && value[0] == '"' && strings.HasSuffix(value, `""`):
		return fmt.Sprintf("the inch mark ends the text; use single quotes round it: %s = '%s'", key, value[1:len(value)-1])
	case strings.Contains(said, "expected newline"):
		return "nothing may follow the value on its line but a remark after #"
	}
	return "this text cannot be read: " + said
}

// inQuotes puts text in the quotes that it does not hold itself.
func inQuotes(s string) string {
	if strings.Contains(s, `"`) && !strings.Contains(s, "'") {
		return "'" + s + "'"
	}
	return `"` + strings.ReplaceAll(s, `"`, `in`) + `"`
}

// uncommented drops a remark that follows on a line; a # inside quotes is no
// remark, nor is one that starts the value.
func uncommented(s string) string {
	var quote byte
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '#' && strings.TrimSpace(s[:i]) != "":
			return strings.TrimSpace(s[:i])
		}
	}
	return strings.TrimSpace(s)
}

// standsAlone tells whether a faulty line can be left out without changing
// what the lines round it mean.
func standsAlone(line string) bool {
	m := keyLine.FindStringSubmatch(line)
	if m == nil {
		m = keyNoEqual.FindStringSubmatch(line)
	}
	return m != nil && !strings.ContainsAny(line, "[]{}") && !strings.Contains(line, `"""`) && !strings.Contains(line, "'''")
}
