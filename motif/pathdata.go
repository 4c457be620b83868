package motif

import (
	"math"
	"strconv"

	"strew/motif/geom"
)

// parsePath reads path data by the grammar of SVG 2, chapter 9. Where the data
// break it, ok is false, at is the offset of the first bad character, and the path
// up to there is returned, as the chapter's error handling demands.
func parsePath(data string) (path []subpath, at int, ok bool) {
	s := scanner{text: data}
	var (
		cur        subpath
		open       bool // cur holds a moveto or something drawn
		ctrl       geom.Vec
		last       byte // command before, upper case
		cmd        byte
		begun      bool
		finish     = func() { path = append(path, cur) }
		startAfter = func(p geom.Vec) { cur, open = subpath{start: p}, false }
	)
	for {
		s.space()
		if s.done() {
			break
		}
		mark := s.pos
		if c := s.text[s.pos]; isCommand(c) {
			s.pos++
			cmd = c
		} else if cmd == 0 || cmd == 'Z' || cmd == 'z' {
			return endPath(path, cur, open), mark, false
		} else {
			// The command is repeated; a moveto as a lineto.
			s.comma()
			if cmd == 'M' {
				cmd = 'L'
			} else if cmd == 'm' {
				cmd = 'l'
			}
		}
		upper := cmd &^ 0x20
		if !begun && upper != 'M' {
			return nil, mark, false
		}
		here := cur.end()
		var base geom.Vec
		if cmd != upper {
			base = here
		}
		var n [7]float64
		if !s.arguments(upper, &n) {
			return endPath(path, cur, open), s.pos, false
		}
		to := func(i int) geom.Vec { return geom.Vec{X: base.X + n[i], Y: base.Y + n[i+1]} }
		if upper != 'M' && upper != 'Z' {
			open = true
		}
		switch upper {
		case 'M':
			if open {
				finish()
			}
			startAfter(to(0))
			begun = true
		case 'Z':
			cur.closed = true
			finish()
			startAfter(cur.start)
		case 'L':
			cur.lineTo(to(0))
		case 'H':
			cur.lineTo(geom.Vec{X: base.X + n[0], Y: here.Y})
		case 'V':
			cur.lineTo(geom.Vec{X: here.X, Y: base.Y + n[0]})
		case 'C':
			ctrl = to(2)
			cur.cubicTo(to(0), ctrl, to(4))
		case 'S':
			first := here
			if last == 'C' || last == 'S' {
				first = here.Mul(2).Sub(ctrl)
			}
			ctrl = to(0)
			cur.cubicTo(first, ctrl, to(2))
		case 'Q', 'T':
			end := to(0)
			if upper == 'Q' {
				ctrl, end = to(0), to(2)
			} else if last == 'Q' || last == 'T' {
				ctrl = here.Mul(2).Sub(ctrl)
			} else {
				ctrl = here
			}
			// Degree elevation: the cubic that is the same curve.
			cur.cubicTo(here.Lerp(ctrl, 2.0/3), end.Lerp(ctrl, 2.0/3), end)
		case 'A':
			cur.arcTo(ellipticalArc{n[0], n[1], n[2], n[3] != 0, n[4] != 0}, to(5))
		}
		last = upper
	}
	return endPath(path, cur, open), s.pos, true
}

func endPath(path []subpath, cur subpath, open bool) []subpath {
	if open {
		path = append(path, cur)
	}
	return path
}

func isCommand(c byte) bool {
	switch c &^ 0x20 {
	case 'M', 'L', 'H', 'V', 'C', 'S', 'Q', 'T', 'A', 'Z':
		return c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z'
	}
	return false
}

// scanner reads the numbers of path data, transforms and point lists.
type scanner struct {
	text string
	pos  int
}

func (s *scanner) done() bool { return s.pos >= len(s.text) }

func (s *scanner) space() {
	for !s.done() && isSpace(s.text[s.pos]) {
		s.pos++
	}
}

func isSpace(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f' }

// comma skips white space with at most one comma in it.
func (s *scanner) comma() {
	s.space()
	if !s.done() && s.text[s.pos] == ',' {
		s.pos++
		s.space()
	}
}

// arguments reads the numbers that one command takes.
func (s *scanner) arguments(command byte, n *[7]float64) bool {
	for i := range argumentCount(command) {
		if i == 0 {
			s.space()
		} else {
			s.comma()
		}
		var ok bool
		if command == 'A' && (i == 3 || i == 4) {
			n[i], ok = s.flag()
		} else {
			n[i], ok = s.number()
		}
		if !ok {
			return false
		}
	}
	return true
}

func argumentCount(command byte) int {
	switch command {
	case 'H', 'V':
		return 1
	case 'M', 'L', 'T':
		return 2
	case 'S', 'Q':
		return 4
	case 'C':
		return 6
	case 'A':
		return 7
	}
	return 0
}

// flag reads a single digit 0 or 1, which need not be separated from what follows.
func (s *scanner) flag() (float64, bool) {
	if s.done() || s.text[s.pos] != '0' && s.text[s.pos] != '1' {
		return 0, false
	}
	s.pos++
	return float64(s.text[s.pos-1] - '0'), true
}

// number reads the longest finite number there is: sign, digits, point and
// exponent.
func (s *scanner) number() (float64, bool) {
	i := s.pos
	at := func(j int) byte {
		if j < len(s.text) {
			return s.text[j]
		}
		return 0
	}
	digit := func(j int) bool { c := at(j); return c >= '0' && c <= '9' }
	if at(i) == '+' || at(i) == '-' {
		i++
	}
	digits := 0
	for ; digit(i); i++ {
		digits++
	}
	if at(i) == '.' && (digits > 0 || digit(i+1)) {
		for i++; digit(i); i++ {
			digits++
		}
	}
	if digits == 0 {
		return 0, false
	}
	if at(i)|0x20 == 'e' {
		j := i + 1
		if at(j) == '+' || at(j) == '-' {
			j++
		}
		if digit(j) {
			for ; digit(j); j++ {
			}
			i = j
		}
	}
	v, err := strconv.ParseFloat(s.text[s.pos:i], 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, false
	}
	s.pos = i
	return v, true
}

// parseNumbers reads numbers separated by spaces or commas, up to the first
// mistake, where ok is false.
func parseNumbers(text string) (n []float64, ok bool) {
	s := scanner{text: text}
	for s.space(); !s.done(); s.comma() {
		v, ok := s.number()
		if !ok {
			return n, false
		}
		n = append(n, v)
	}
	return n, true
}
