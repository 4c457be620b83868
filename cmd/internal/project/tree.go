package project

import (
	"bytes"
	"errors"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2"

	"strew/motif/say"
)

// A file is read twice: go-toml decodes its values and refuses what is not
// TOML, and its parser of expressions says where each key is. The two are
// joined by the path of a key: "skirt", "waist"; "motif", "#0", "sizes", "#1".

// tree is a TOML document with the place of every key down to the elements
// of lists in tables.
type tree struct {
	values map[string]any
	places map[string]place
}

// at returns where a path stands, or else the nearest thing that holds it.
func (t tree) at(parts ...string) place {
	found := place{line: 1, column: 1}
	for n := len(parts); n > 0; n-- {
		if p, ok := t.places[path(parts[:n]...)]; ok {
			found = p
			break
		}
	}
	if len(parts) > 1 && strings.HasPrefix(parts[1], "#") {
		found.index, _ = strconv.Atoi(parts[1][1:]) // an element of a list
	}
	return found
}

// parseTree reads a document. What is not TOML goes to r, line by line: a
// faulty line of a key is left out and the rest read, so that all such lines
// are reported at once; whole is then false, and nothing can be said about keys
// that are missing.
func parseTree(data []byte, r *report) (t tree, whole bool) {
	data, ok := asUTF8(data, r)
	if !ok {
		return tree{}, false
	}
	whole = true
	for {
		t = tree{values: map[string]any{}, places: map[string]place{}}
		err := toml.Unmarshal(data, &t.values)
		if err == nil {
			t.locate(newSource(data))
			return t, whole
		}
		whole = false
		var bad *toml.DecodeError
		if !errors.As(err, &bad) {
			r.add(place{line: 1, column: 1}, "", say.New("the file cannot be read: "+strings.TrimPrefix(err.Error(), "toml: ")))
			return tree{}, false
		}
		line, column := bad.Position()
		start, end := newSource(data).line(line)
		text := string(data[start:end])
		column = min(max(column, 1), len(text)+1)
		key, what, alone := syntaxError(string(data[:start]), oneLine(text), oneLine(strings.TrimPrefix(bad.Error(), "toml: ")))
		at := place{line: line, column: utf8.RuneCountInString(text[:column-1]) + 1}
		table, _, _ := strings.Cut(key, ".")
		at.index = max(0, headersOf(table, data[:start])-1)
		r.add(at, key, what)
		if last := &r.problems[len(r.problems)-1]; !isKey(last.Key) {
			last.Key = ""
		}
		if !alone || len(r.problems) >= mostSyntaxErrors {
			return tree{}, false
		}
		blank := bytes.Repeat([]byte(" "), end-start)
		data = append(append(bytes.Clone(data[:start]), blank...), data[end:]...)
	}
}

// headersOf counts the headers of a table in the text above a line.
func headersOf(table string, above []byte) int {
	n := 0
	for _, m := range tableLine.FindAllSubmatch(above, -1) {
		if string(m[1]) == table {
			n++
		}
	}
	return n
}

// isKey reports whether the schema has a key.
func isKey(full string) bool {
	_, err := keyPath(full)
	return err == nil
}

// mostSyntaxErrors is where reading ends: a text with this many faulty lines is
// not a project file.
const mostSyntaxErrors = 20

// asUTF8 drops a byte order mark and refuses other encodings than UTF-8.
func asUTF8(data []byte, r *report) ([]byte, bool) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if utf8.Valid(data) && !bytes.ContainsRune(data, 0) {
		return data, true
	}
	at := place{line: 1, column: 1}
	if i := firstInvalid(data); i >= 0 {
		at = newSource(data).place(i)
	}
	r.add(at, "", say.New("the file is not text in UTF-8; save it again with the encoding UTF-8"))
	return nil, false
}

// firstInvalid is the offset of the first byte that is not UTF-8, or is NUL.
func firstInvalid(data []byte) int {
	for i := 0; i < len(data); {
		c, n := utf8.DecodeRune(data[i:])
		if c == 0 || c == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return -1
}

// source is a text and the offsets at which its lines start.
type source struct {
	data  []byte
	lines []int
}

func newSource(data []byte) source {
	lines := []int{0}
	for i, c := range data {
		if c == '\n' {
			lines = append(lines, i+1)
		}
	}
	return source{data, lines}
}

// place turns an offset into line and column; a column counts characters.
func (s source) place(offset int) place {
	line, exact := slices.BinarySearch(s.lines, offset)
	if exact {
		line++
	}
	return place{line: line, column: utf8.RuneCount(s.data[s.lines[line-1]:offset]) + 1}
}

// line is the range of bytes of a line, without its end.
func (s source) line(n int) (start, end int) {
	n = min(max(n, 1), len(s.lines))
	start, end = s.lines[n-1], len(s.data)
	if n < len(s.lines) {
		end = s.lines[n] - 1
	}
	return start, start + len(bytes.TrimSuffix(s.data[start:end], []byte("\r")))
}

// locate records the place of every key. The document is known to be valid.
func (t tree) locate(src source) {
	for p, s := range layoutOf(src.data).spots {
		t.places[p] = src.place(s.at)
	}
}
