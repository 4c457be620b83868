package say

import (
	"fmt"
	"strconv"
	"strings"

	"strew/motif/geom"
)

// Printer writes messages. The zero Printer writes English and millimetres.
type Printer struct {
	Unit     geom.Unit // of lengths; millimetres where it is none
	Language *Language // nil: English
}

// Language turns English into another language. A text that cannot be written
// with the values of the English one is passed over, and English is written.
type Language struct {
	// Texts returns the text for an English one, or the English one itself
	// where there is none. The text is a format with the verbs of the English
	// one (%[2]s names the second value where the order differs), or forms with
	// bars between them for a message about a number.
	Texts func(english string) string
	// Plural returns which form is said of n things; nil: the first of one, the
	// second of all others.
	Plural func(n int) int
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
	text := p.text(m)
	if len(m.Args) == 0 || m.many && !strings.Contains(text, "%") {
		return text
	}
	values := make([]any, len(m.Args))
	for i, a := range m.Args {
		values[i] = p.value(a)
	}
	return fmt.Sprintf(text, values...)
}

// text returns the format that says m in this language.
func (p Printer) text(m Message) string {
	english, form := m.Text, 0
	forms := []string{m.Text}
	if m.many {
		forms = strings.Split(m.Text, formsApart)
		english = forms[len(forms)-1] // the form that writes every value
		if m.n != 1 {
			form = 1
		}
	}
	own := forms[min(form, len(forms)-1)]
	if p.Language == nil || p.Language.Texts == nil {
		return own
	}
	other := p.Language.Texts(m.Text)
	if other == m.Text {
		return own
	}
	if m.many {
		forms = strings.Split(other, formsApart)
		if p.Language.Plural != nil {
			form = p.Language.Plural(m.n)
		}
		other = forms[min(max(0, form), len(forms)-1)]
	}
	bare := m.many && len(m.Args) == 1 && !strings.Contains(other, "%") // "one more sheet"
	if bare || takes(other, english, len(m.Args), m.many) {
		return other
	}
	return own
}

// Messages writes messages in their order.
func (p Printer) Messages(list []Message) []string {
	out := make([]string, len(list))
	for i, m := range list {
		out[i] = p.Message(m)
	}
	return out
}

// Length writes a length of mm millimetres as a tape shows it.
func (p Printer) Length(mm float64) string { return geom.Length(mm).In(p.unit()) }

// Error writes an error: in this language where its whole text is a message,
// else as it is.
func (p Printer) Error(err error) string {
	if m, ok := messageOf(err); ok {
		return p.Message(m)
	}
	return err.Error()
}

// value returns a value as package fmt is to write it.
func (p Printer) value(a any) any {
	switch v := a.(type) {
	case geom.Length:
		return p.Length(float64(v))
	case Fine:
		return geom.Length(v).Fine(p.unit())
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

func (p Printer) unit() geom.Unit {
	if p.Unit.MM() == 0 {
		return geom.Millimetre
	}
	return p.Unit
}

// String writes the numbers, those in a row by their ends: "1–3, 5".
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
	text := ""
	for i, a := range all {
		word := fmt.Sprint(p.value(a))
		switch {
		case i == 0:
			text = word
		case i < len(all)-1:
			text = p.Say("%s, %s", text, word)
		default:
			text = p.Say("%s and %s", text, word)
		}
	}
	return text
}
