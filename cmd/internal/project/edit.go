package project

import (
	"bytes"
	"cmp"
	"regexp"
	"slices"
	"strings"
)

// The changes of a text. Each returns a new text, nil where the file is written
// in a way that it does not know.

// splice puts text in the place of the bytes from at to end.
func (l *layout) splice(at, end int, text string) []byte {
	return append(append(append([]byte{}, l.data[:at]...), text...), l.data[end:]...)
}

// newline is the file's own line break.
func (l *layout) newline() string {
	if bytes.Contains(l.data, []byte("\r\n")) {
		return "\r\n"
	}
	return "\n"
}

// indent is the blank that a line starts with.
func (l *layout) indent(at int) string {
	line := l.data[lineStart(l.data, at):at]
	return string(line[:len(line)-len(bytes.TrimLeft(line, " \t"))])
}

// saved is the comments inside a value as lines of their own.
func (l *layout) saved(s spot) string {
	var b strings.Builder
	if !s.inside {
		for _, r := range comments(l.data[s.value:s.end]) {
			b.WriteString(l.indent(s.at) + strings.TrimRight(r, "\r") + l.newline())
		}
	}
	return b.String()
}

// replace puts another value in the place of one.
func (l *layout) replace(s spot, text string) []byte {
	start := lineStart(l.data, s.at)
	return slices.Concat(l.data[:start], []byte(l.saved(s)), l.data[start:s.value], []byte(text), l.data[s.end:])
}

// replaceAll puts other values in the place of several, each by where the value is;
// nil where one of them is not known.
func (l *layout) replaceAll(spots []spot, text map[int]string) []byte {
	slices.SortFunc(spots, func(a, b spot) int { return cmp.Compare(b.value, a.value) }) // the last first, so that the others stay where they are
	now := *l
	for _, s := range spots {
		if s.end == 0 {
			return nil
		}
		now.data = now.replace(s, text[s.value])
	}
	return now.data
}

// remove takes out a key and its value.
func (l *layout) remove(s spot) []byte {
	if s.inside {
		return l.removeInside(s.at, s.end)
	}
	start, end := lineStart(l.data, s.at), lineEnd(l.data, s.end)
	rest := strings.TrimLeft(string(l.data[s.end:end]), " \t")
	kept := l.saved(s)
	if rest != "" {
		kept += l.indent(s.at) + rest
	} else if kept != "" {
		kept = strings.TrimSuffix(kept, l.newline())
	} else {
		end = nextLine(l.data, end)
	}
	return l.splice(start, end, kept)
}

// removeInside takes a part out of an inline table or a list, with one comma.
func (l *layout) removeInside(at, end int) []byte {
	before := bytes.TrimRight(l.data[:at], " \t\r\n")
	if bytes.HasSuffix(before, []byte(",")) {
		return l.splice(len(before)-1, end, "")
	}
	after := bytes.TrimLeft(l.data[end:], " \t\r\n")
	if rest, comma := bytes.CutPrefix(after, []byte(",")); comma {
		return l.splice(at, len(l.data)-len(bytes.TrimLeft(rest, " \t\r\n")), "")
	}
	return l.splice(at, end, "")
}

// nextLine returns where the line after the end of one starts.
func nextLine(data []byte, end int) int {
	for _, br := range []string{"\r\n", "\n"} {
		if bytes.HasPrefix(data[end:], []byte(br)) {
			return end + len(br)
		}
	}
	return end
}

// lineAfter adds a line below the one that holds an offset.
func (l *layout) lineAfter(offset int, line string) []byte {
	end := lineEnd(l.data, offset)
	return l.splice(end, end, l.newline()+line)
}

// insert adds a key that is not written.
func (l *layout) insert(parts []string, text string) []byte {
	name := parts[len(parts)-1]
	line := name + " = " + text
	in := parts[:len(parts)-1]
	for i, b := range l.blocks {
		if slices.Equal(b.path, in) && (i > 0 || b.last >= 0 || l.commented(b, name) >= 0) {
			return l.insertBelow(b, name, line)
		}
	}
	if len(in) == 0 {
		return slices.Concat([]byte(line+l.newline()), l.data)
	}
	if s, known := l.spots[path(in...)]; known && s.end > 0 {
		return l.insertInside(s, line)
	}
	if len(in) > 1 {
		return nil // an element of a list that is not an inline table
	}
	// Keys of the table with its name before them: scatter.spacing = 11
	last := -1
	for p, s := range l.spots {
		if strings.HasPrefix(p, path(in[0], "")) && strings.Count(p, "\x00") == 1 && !s.inside && s.end > 0 {
			last = max(last, s.end)
		}
	}
	if last >= 0 {
		return l.lineAfter(last, in[0]+"."+line)
	}
	return l.atEnd("["+in[0]+"]", line)
}

// insertBelow adds a line to a block.
func (l *layout) insertBelow(b block, name, line string) []byte {
	if at := l.commented(b, name); at >= 0 {
		return l.lineAfter(at, l.indent(at)+line)
	}
	indent := l.indent(b.at)
	if b.last >= 0 {
		indent = l.indent(b.last)
	}
	return l.lineAfter(b.end, indent+line)
}

// commented returns where a block has the key as a comment, as in "# tilt = 15",
// or -1.
func (l *layout) commented(b block, name string) int {
	end := len(l.data)
	for _, next := range l.blocks {
		if next.at > b.at && next.at < end {
			end = next.at
		}
	}
	line := regexp.MustCompile(`(?m)^[ \t]*(#)[ \t]*` + regexp.QuoteMeta(name) + `[ \t]*=`)
	for _, m := range line.FindAllSubmatchIndex(l.data[b.at:end], -1) {
		if at := b.at + m[2]; !l.inside(at) {
			return at
		}
	}
	return -1
}

// inside reports whether an offset lies in a value.
func (l *layout) inside(offset int) bool {
	for _, s := range l.spots {
		if s.end > 0 && s.value <= offset && offset < s.end {
			return true
		}
	}
	return false
}

// insertInside adds a part to an inline table or a list, as its last.
func (l *layout) insertInside(s spot, text string) []byte {
	if l.data[s.value] != '{' && l.data[s.value] != '[' {
		return nil
	}
	end := len(bytes.TrimRight(l.data[:s.end-1], " \t\r\n"))
	switch l.data[end-1] {
	case '{':
		return l.splice(end, s.end-1, " "+text+" ")
	case '[':
		return l.splice(end, s.end-1, text)
	case ',':
		return l.splice(end, end, " "+text)
	}
	return l.splice(end, end, ", "+text)
}

// atEnd adds lines at the end of the file, after a blank one.
func (l *layout) atEnd(lines ...string) []byte {
	br := l.newline()
	text := strings.Join(lines, br) + br
	switch {
	case len(l.data) == 0:
	case l.data[len(l.data)-1] == '\n':
		text = br + text
	default:
		text = br + br + text
	}
	return l.splice(len(l.data), len(l.data), text)
}

// add adds a table to the many of its name.
func (l *layout) add(table string, many int) []byte {
	head := "[[" + table + "]]"
	for _, b := range slices.Backward(l.blocks) {
		if len(b.path) == 2 && b.path[0] == table {
			return l.lineAfter(b.end, l.newline()+l.indent(b.at)+head)
		}
	}
	if s, known := l.spots[path(table)]; known && s.end > 0 {
		return l.insertInside(s, "{}")
	}
	if many > 0 {
		return nil
	}
	return l.atEnd(head)
}

// drop takes out one of many tables, and a blank line above it.
func (l *layout) drop(table string, number int) []byte {
	parts := []string{table, element(number)}
	if text := l.dropBlock(parts); text != nil {
		return text
	}
	if s, known := l.spots[path(parts...)]; known && s.end > 0 {
		return l.removeInside(s.at, s.end)
	}
	return nil
}

// dropBlock takes out the table of a path, and a blank line above it; nil if it has no
// header.
func (l *layout) dropBlock(parts []string) []byte {
	for _, b := range l.blocks {
		if !slices.Equal(b.path, parts) {
			continue
		}
		start, end := lineStart(l.data, b.at), nextLine(l.data, lineEnd(l.data, b.end))
		if above := bytes.TrimSuffix(bytes.TrimSuffix(l.data[:start], []byte("\n")), []byte("\r")); start > 0 && lineStart(l.data, len(above)) == len(above) {
			start = len(above)
		}
		return l.splice(start, end, "")
	}
	return nil
}
