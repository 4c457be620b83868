package say

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// verbs returns which verb a text has for each of its values, counted from 1:
// {1: 's', 2: 'd'} for "%s has %d pieces". ok is false where package fmt could
// not write the text with exactly n values: a verb without a value, a value
// without a verb, or a broken verb. As in fmt, values may be left over where a
// verb names its value by number.
func verbs(text string, n int) (of map[int]rune, ok bool) {
	of = map[int]rune{}
	next, numbered := 1, false
	for {
		at := strings.IndexByte(text, '%')
		if at < 0 {
			break
		}
		text = strings.TrimLeft(text[at+1:], "+-# 0")
		width, rest := digits(text)
		precision := ""
		if after, point := strings.CutPrefix(rest, "."); point {
			precision, rest = digits(after)
		}
		const most = 3 // digits; fmt refuses a width above a million
		if len(width) > most || len(precision) > most {
			return of, false
		}
		text = rest
		if number, rest, found := valueNumber(text); found {
			next, numbered, text = number, true, rest
		}
		verb, size := utf8.DecodeRuneInString(text)
		if size == 0 {
			return of, false
		}
		text = text[size:]
		if verb == '%' {
			continue
		}
		if before, twice := of[next]; !strings.ContainsRune("sdqvgfx", verb) || next < 1 || next > n || twice && before != verb {
			return of, false
		}
		of[next] = verb
		next++
	}
	return of, numbered || len(of) == n
}

// digits cuts text after its leading digits.
func digits(text string) (digits, rest string) {
	rest = strings.TrimLeft(text, "0123456789")
	return text[:len(text)-len(rest)], rest
}

// valueNumber reads "[2]" at the start of text.
func valueNumber(text string) (number int, rest string, found bool) {
	inner, rest, closed := strings.Cut(text, "]")
	digits, opened := strings.CutPrefix(inner, "[")
	if !opened || !closed {
		return 0, text, false
	}
	number, err := strconv.Atoi(digits)
	if err != nil {
		number = 0 // no value has that number
	}
	return number, rest, true
}

// takes reports whether a text in another language can be written with the
// values of an English one: each of its verbs is the English one for the same
// value. It must write every value that English writes; where free is set it
// may leave out the first one, as "one more sheet" leaves out its number.
func takes(other, english string, n int, free bool) bool {
	if n == 0 {
		return true // no format
	}
	want, ok := verbs(english, n)
	have, ok2 := verbs(other, n)
	if !ok2 || !ok {
		return false
	}
	for value, verb := range have {
		if want[value] != verb {
			return false
		}
	}
	for value := range want {
		if _, written := have[value]; !written && !(free && value == 1) {
			return false
		}
	}
	return true
}
