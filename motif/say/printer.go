package say

import (
	"strconv"
	"strings"

	"strew/motif/geom"
)

// Printer writes messages. The zero Printer writes English and millimetres.
type Printer struct {
	Unit     geom.Unit // of lengths; "" is millimetres
	Language *Language // nil: English
}

// Language turns English into another language.
type Language struct {
	// Texts returns the text for an English one, which may be a format with
	// verbs (%[2]s names the second value where the order differs), or forms of
	// a number parted by bars; the English one where there is none.
	Texts func(english string) string
	// Plural returns which form is said of n things; nil: the first of one, the
	// second of all others.
	Plural func(n int) int
}

// Table returns a language's texts from a table of English and its own.
func Table(texts map[string]string) func(english string) string {
	return func(english string) string {
		if t, ok := texts[english]; ok {
			return t
		}
		return english
	}
}

// Say writes a sentence with its values.
func (p Printer) Say(text string, args ...any) string { return p.Message(New(text, args...)) }

// Many writes a sentence about n things; see the function Many.
func (p Printer) Many(n int, one, more string, args ...any) string {
	return p.Message(Many(n, one, more, args...))
}

// Message writes a message; "" for the zero one.
func (p Printer) Message(m Message) string {
	if m.IsZero() {
		return ""
	}
	text := m.Text
	if p.Language != nil && p.Language.Texts != nil {
		text = p.Language.Texts(text)
	}
	if m.many {
		forms := strings.Split(text, formsApart)
		text = forms[min(max(0, p.plural(m.n)), len(forms)-1)]
	}
	if len(m.Args) == 0 || !strings.Contains(text, "%") {
		return text // a text without values is no format: "print at 100 %"
	}
	return format(text, p.values(m))
}

// Messages writes messages in their order.
func (p Printer) Messages(list []Message) []string {
	out := make([]string, len(list))
	for i, m := range list {
		out[i] = p.Message(m)
	}
	return out
}

// Error writes an error: in this language where its text is a message, else as
// it is.
func (p Printer) Error(err error) string {
	if m, ok := messageOf(err); ok {
		return p.Message(m)
	}
	return err.Error()
}

// Length writes a length as a tape shows it.
func (p Printer) Length(mm float64) string { return lengthText(geom.Length(mm), p.Unit) }

func (p Printer) plural(n int) int {
	if p.Language != nil && p.Language.Plural != nil {
		return p.Language.Plural(n)
	}
	if n == 1 {
		return 0
	}
	return 1
}

// values returns the values as they are written.
func (p Printer) values(m Message) []any {
	out := make([]any, 0, len(m.Args))
	for _, a := range m.Args {
		out = append(out, p.value(a))
	}
	return out
}

func (p Printer) value(a any) any {
	switch v := a.(type) {
	case geom.Length:
		return lengthText(v, p.Unit)
	case Fine:
		return fineText(v, p.Unit)
	case Message:
		return p.Message(v)
	case List:
		return p.list(v)
	case Runs:
		return v.String()
	case error:
		return p.Error(v)
	}
	return a
}

// String writes the numbers.
func (r Runs) String() string {
	var parts []string
	for i := 0; i < len(r); {
		j := i
		for j+1 < len(r) && r[j+1] == r[j]+1 {
			j++
		}
		part := strconv.Itoa(r[i])
		if j > i {
			part += "–" + strconv.Itoa(r[j])
		}
		parts = append(parts, part)
		i = j + 1
	}
	return strings.Join(parts, ", ")
}

// list writes "a", "a and b", "a, b and c".
func (p Printer) list(all List) string {
	words := make([]string, len(all))
	for i, a := range all {
		words[i] = format("%v", []any{p.value(a)})
	}
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return p.Say("%s and %s", strings.Join(words[:last], ", "), words[last])
}
