package project

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// The parts of a file are known by their paths: "skirt", "waist"; "motif", "#0",
// "sizes", "#1".

const pathDepth = 6 // parts of a path: table, element, key, element and one pair more; deeper is always wrong

func path(parts ...string) string { return strings.Join(parts, "\x00") }

func element(i int) string { return fmt.Sprintf("#%d", i) }

// layout says where everything is in a file, in bytes from its start.
type layout struct {
	data   []byte
	spots  map[string]spot // by path
	blocks []block         // the keys above all tables, then each header with its keys
}

// spot is where the part of one path is.
type spot struct {
	at         int  // its key, the first bracket of its header, or the first byte of an element
	value, end int  // its value, of a key or of an element that is an inline table; else 0
	inside     bool // an inline table or a list
}

// block is a header and the keys below it, up to the next header.
type block struct {
	path []string // nil for the keys above all tables
	at   int      // the header's first bracket
	end  int      // past its last key's value, or past the header where it has no key
	last int      // where its last key is; -1 where it has none
}

// layoutOf reads the layout of a document that is known to be sound TOML.
func layoutOf(data []byte) *layout {
	l := &layout{data: data, spots: map[string]spot{}, blocks: []block{{last: -1}}}
	number := map[string]int{} // of the tables [[name]] read so far
	// resolve puts the number of the current element after each name of
	// a table that may be written many times.
	resolve := func(names []string) []string {
		var full []string
		for _, n := range names {
			full = append(full, n)
			if i, many := number[path(full...)]; many {
				full = append(full, element(i))
			}
		}
		return full
	}
	var p unstable.Parser
	p.Reset(data)
	for p.NextExpression() {
		e := p.Expression()
		switch e.Kind {
		case unstable.Table, unstable.ArrayTable:
			names, ends := keyParts(e)
			if e.Kind == unstable.ArrayTable {
				full := append(resolve(names[:len(names)-1]), names[len(names)-1])
				if _, ok := number[path(full...)]; ok {
					number[path(full...)]++
				} else {
					number[path(full...)] = 0
				}
			}
			b := block{path: resolve(names), at: bracketBefore(data, ends[0].at), end: lineEnd(data, ends[len(ends)-1].end), last: -1}
			for n := 1; n <= len(b.path); n++ {
				l.mark(spot{at: b.at}, b.path[:n])
			}
			l.blocks = append(l.blocks, b)
		case unstable.KeyValue:
			b := &l.blocks[len(l.blocks)-1]
			b.last, b.end = l.key(b.path, e, false)
		}
	}
	return l
}

// mark records the spot of a path that has none yet.
func (l *layout) mark(s spot, parts []string) {
	if len(parts) > pathDepth {
		return
	}
	if _, known := l.spots[path(parts...)]; !known {
		l.spots[path(parts...)] = s
	}
}

// key records a key and what its value holds, and returns where it is.
func (l *layout) key(in []string, e *unstable.Node, inside bool) (at, end int) {
	names, ends := keyParts(e)
	at, end = ends[0].at, int(e.Raw.Offset+e.Raw.Length)
	value := ends[len(ends)-1].end
	for value < end && strings.IndexByte("= \t", l.data[value]) >= 0 {
		value++
	}
	end = value + len(bytes.TrimRight(l.data[value:end], " \t\r\n"))
	full := append([]string{}, in...)
	for i, name := range names {
		full = append(full, name)
		s := spot{at: ends[i].at, inside: inside}
		if i == len(names)-1 {
			s.value, s.end = value, end
		}
		l.mark(s, full)
	}
	l.inValue(full, e.Value())
	return at, end
}

func (l *layout) inValue(at []string, v *unstable.Node) {
	if len(at) >= pathDepth {
		return
	}
	switch v.Kind {
	case unstable.InlineTable:
		for it := v.Children(); it.Next(); {
			if it.Node().Kind == unstable.KeyValue {
				l.key(at, it.Node(), true)
			}
		}
	case unstable.Array:
		i := 0
		for it := v.Children(); it.Next(); {
			n := it.Node()
			if n.Kind == unstable.Comment {
				continue
			}
			full := append(append([]string{}, at...), element(i))
			i++
			if n.Raw.Length > 0 {
				s := spot{at: int(n.Raw.Offset), inside: true}
				if n.Kind == unstable.InlineTable {
					s.value, s.end = s.at, valueEnd(l.data, s.at)
				}
				l.mark(s, full)
			}
			l.inValue(full, n)
		}
	}
}

// part is the range of one part of a key.
type part struct{ at, end int }

func keyParts(e *unstable.Node) (names []string, parts []part) {
	for it := e.Key(); it.Next(); {
		n := it.Node()
		names = append(names, string(n.Data))
		parts = append(parts, part{int(n.Raw.Offset), int(n.Raw.Offset + n.Raw.Length)})
	}
	return names, parts
}

// bracketBefore goes back from a table's name to its first bracket.
func bracketBefore(data []byte, offset int) int {
	for offset > 0 && strings.IndexByte("[ \t", data[offset-1]) >= 0 {
		offset--
	}
	for offset < len(data) && data[offset] != '[' {
		offset++
	}
	return offset
}

// lineStart returns where the line of an offset starts.
func lineStart(data []byte, offset int) int { return bytes.LastIndexByte(data[:offset], '\n') + 1 }

// lineEnd returns where the line of an offset ends, before its line break.
func lineEnd(data []byte, offset int) int {
	n := bytes.IndexByte(data[offset:], '\n')
	if n < 0 {
		return len(data)
	}
	return offset + len(bytes.TrimSuffix(data[offset:offset+n], []byte("\r")))
}

// valueEnd returns where a list or inline table ends that starts at an offset.
func valueEnd(data []byte, at int) int {
	depth := 0
	for i := at; i < len(data); {
		switch c := data[i]; c {
		case '[', '{':
			depth++
		case ']', '}':
			if depth--; depth == 0 {
				return i + 1
			}
		case '#':
			i = lineEnd(data, i)
			continue
		case '"', '\'':
			i = textEnd(data, i)
			continue
		}
		i++
	}
	return len(data)
}

// textEnd returns where a text in quotes ends that starts at an offset.
func textEnd(data []byte, at int) int {
	quote := data[at : at+1]
	if three := bytes.Repeat(quote, 3); bytes.HasPrefix(data[at:], three) {
		quote = three
	}
	for i := at + len(quote); i < len(data); i++ {
		switch {
		case data[i] == '\\' && quote[0] == '"':
			i++
		case bytes.HasPrefix(data[i:], quote):
			end := i + len(quote)
			for len(quote) == 3 && end < len(data) && data[end] == quote[0] {
				end++ // quotes may stand before the closing ones
			}
			return end
		}
	}
	return len(data)
}

// comments returns the comments inside a value, each from its # to the end of its
// line.
func comments(value []byte) []string {
	var out []string
	for i := 0; i < len(value); {
		switch value[i] {
		case '#':
			end := lineEnd(value, i)
			out = append(out, string(value[i:end]))
			i = end
		case '"', '\'':
			i = textEnd(value, i)
		default:
			i++
		}
	}
	return out
}
