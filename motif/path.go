package motif

import (
	"math"
	"strconv"

	"strew/motif/geom"
)

// curve is one step of a subpath, a function of t from 0 to 1 that starts
// where the step before it ends.
type curve struct {
	kind curveKind
	// line: p[2]. cubic: controls p[0], p[1], end p[2]. arc: centre p[0] and
	// the half axes p[1], p[2] as vectors, so that the point at angle a is
	// p[0] + cos a · p[1] + sin a · p[2]; every affine map keeps that form.
	p          [3]geom.Vec
	from, turn float64 // arc: first angle and the angle run through, radians
	end        geom.Vec
}

type curveKind uint8

const (
	line curveKind = iota
	cubic
	arc
)

// subpath is a run of curves without a pen lift.
type subpath struct {
	start  geom.Vec
	curves []curve
	closed bool
}

func (s subpath) end() geom.Vec {
	if n := len(s.curves); n > 0 {
		return s.curves[n-1].end
	}
	return s.start
}

func (s *subpath) lineTo(p geom.Vec) {
	s.curves = append(s.curves, curve{kind: line, end: p})
}

func (s *subpath) cubicTo(a, b, p geom.Vec) {
	s.curves = append(s.curves, curve{kind: cubic, p: [3]geom.Vec{a, b}, end: p})
}

// arcTo adds an elliptical arc after SVG 2, appendix B.2.4 and B.2.5: radii
// too small are scaled up, a zero radius gives a straight line, equal ends
// give nothing. turned is the x axis rotation in degrees.
func (s *subpath) arcTo(rx, ry, turned float64, large, sweep bool, to geom.Vec) {
	from := s.end()
	if from == to {
		return
	}
	rx, ry = math.Abs(rx), math.Abs(ry)
	if rx == 0 || ry == 0 {
		s.lineTo(to)
		return
	}
	phi := math.Mod(turned, 360) * math.Pi / 180
	// Step 1: the middle of the chord, in the ellipse's own axes.
	h := from.Sub(to).Mul(0.5).Rotate(-phi)
	x, y := h.X/rx, h.Y/ry
	lambda := x*x + y*y
	if lambda > 1 {
		k := math.Sqrt(lambda)
		rx, ry, x, y = rx*k, ry*k, x/k, y/k
		lambda = 1
	}
	// Step 2: the centre, on the unit circle that the ellipse is stretched from.
	k := math.Sqrt(math.Max(0, 1/lambda-1))
	if large == sweep {
		k = -k
	}
	c := geom.Vec{X: k * y, Y: -k * x}
	// Step 3: back to the drawing.
	u := geom.Vec{X: rx}.Rotate(phi)
	v := geom.Vec{Y: ry}.Rotate(phi)
	centre := from.Lerp(to, 0.5).Add(u.Mul(c.X)).Add(v.Mul(c.Y))
	// Step 4: the angles.
	a := math.Atan2(y-c.Y, x-c.X)
	b := math.Atan2(-y-c.Y, -x-c.X)
	turn := b - a
	if sweep && turn < 0 {
		turn += 2 * math.Pi
	} else if !sweep && turn > 0 {
		turn -= 2 * math.Pi
	}
	s.curves = append(s.curves, curve{kind: arc, p: [3]geom.Vec{centre, u, v}, from: a, turn: turn, end: to})
}

// transform returns the subpath with every point sent through m.
func (s subpath) transform(m geom.Affine) subpath {
	out := subpath{start: m.Apply(s.start), closed: s.closed, curves: make([]curve, len(s.curves))}
	for i, c := range s.curves {
		switch c.kind {
		case cubic:
			c.p[0], c.p[1] = m.Apply(c.p[0]), m.Apply(c.p[1])
		case arc:
			c.p[0], c.p[1], c.p[2] = m.Apply(c.p[0]), m.Linear(c.p[1]), m.Linear(c.p[2])
		}
		c.end = m.Apply(c.end)
		out.curves[i] = c
	}
	return out
}

// parsePath reads path data by the grammar of SVG 2, chapter 9. Where the data
// break the grammar, the path up to there is returned with ok false, as the
// chapter's error handling asks; at is the offset of the first bad character.
func parsePath(data string) (path []subpath, at int, ok bool) {
	s := scanner{text: data}
	var (
		cur        subpath
		open       bool // cur has been begun by a moveto, or follows a closepath
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
			// An implicit repeat; a moveto goes on as a lineto.
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
			// A quadratic raised to the cubic that is the same curve.
			cur.cubicTo(here.Lerp(ctrl, 2.0/3), end.Lerp(ctrl, 2.0/3), end)
		case 'A':
			cur.arcTo(n[0], n[1], n[2], n[3] != 0, n[4] != 0, to(5))
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

// flag reads one of the single digits 0 and 1; nothing need follow it.
func (s *scanner) flag() (float64, bool) {
	if s.done() || s.text[s.pos] != '0' && s.text[s.pos] != '1' {
		return 0, false
	}
	s.pos++
	return float64(s.text[s.pos-1] - '0'), true
}

// number reads a finite number: sign, digits, point and exponent, as far as
// they can belong to it.
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
