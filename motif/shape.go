package motif

import (
	"math"

	"strew/motif/geom"
	"strew/motif/say"
)

// basicShape returns the path of a rect, circle, ellipse, line, polyline,
// polygon or path element in its own units (SVG 2, chapters 9 and 10), and what
// is wrong with it where only a part or nothing of it can be drawn.
func basicShape(e *element, v viewport) (path []subpath, fault say.Message) {
	get := func(name string, a axis) float64 {
		n, _ := v.length(e.attr[name], a)
		return n
	}
	switch e.name {
	case "path":
		path, at, ok := parsePath(e.attr["d"])
		if !ok {
			fault = pathBreaksOff(e.attr["d"], at)
		}
		return path, fault
	case "rect":
		w, h := get("width", across), get("height", down)
		if w <= 0 || h <= 0 {
			return nil, say.New("it has no width or no height")
		}
		rx, xok := v.length(e.attr["rx"], across)
		ry, yok := v.length(e.attr["ry"], down)
		xok, yok = xok && rx >= 0, yok && ry >= 0
		switch {
		case !xok && !yok:
			rx, ry = 0, 0
		case !xok:
			rx = ry
		case !yok:
			ry = rx
		}
		return roundedRect(get("x", across), get("y", down), w, h, math.Min(rx, w/2), math.Min(ry, h/2)), say.Message{}
	case "circle":
		r := get("r", either)
		if r <= 0 {
			return nil, say.New("it has no radius")
		}
		return ellipse(get("cx", across), get("cy", down), r, r), say.Message{}
	case "ellipse":
		rx, xok := v.length(e.attr["rx"], across)
		ry, yok := v.length(e.attr["ry"], down)
		if !xok {
			rx = ry
		} else if !yok {
			ry = rx
		}
		if rx <= 0 || ry <= 0 {
			return nil, say.New("it has no radius")
		}
		return ellipse(get("cx", across), get("cy", down), rx, ry), say.Message{}
	case "line":
		s := subpath{start: geom.Vec{X: get("x1", across), Y: get("y1", down)}}
		s.lineTo(geom.Vec{X: get("x2", across), Y: get("y2", down)})
		return []subpath{s}, say.Message{}
	case "polyline", "polygon":
		n, ok := parseNumbers(e.attr["points"])
		if !ok || len(n)%2 != 0 {
			fault = say.New("its list of points breaks off")
		}
		if len(n) < 2 {
			return nil, say.New("it has no points")
		}
		s := subpath{start: geom.Vec{X: n[0], Y: n[1]}, closed: e.name == "polygon"}
		for i := 2; i+1 < len(n); i += 2 {
			s.lineTo(geom.Vec{X: n[i], Y: n[i+1]})
		}
		return []subpath{s}, fault
	}
	return nil, say.Message{}
}

// pathBreaksOff says where path data stop making sense.
func pathBreaksOff(data string, at int) say.Message {
	if at >= len(data) {
		return say.New("its path data break off at their end")
	}
	return say.New("its path data break off at %q", shorten(data[at:min(len(data), at+12)]))
}

// ellipse returns a whole ellipse about (cx, cy).
func ellipse(cx, cy, rx, ry float64) []subpath {
	start := geom.Vec{X: cx + rx, Y: cy}
	return []subpath{{start: start, closed: true, curves: []curve{{
		kind: arc,
		p:    [3]geom.Vec{{X: cx, Y: cy}, {X: rx}, {Y: ry}},
		turn: 2 * math.Pi,
		end:  start,
	}}}}
}

// roundedRect returns a rectangle with elliptical corners of radii rx and ry,
// drawn as SVG 2, 10.2 says.
func roundedRect(x, y, w, h, rx, ry float64) []subpath {
	at := func(dx, dy float64) geom.Vec { return geom.Vec{X: x + dx, Y: y + dy} }
	s := subpath{start: at(rx, 0), closed: true}
	corner := func(to geom.Vec) { s.arcTo(ellipticalArc{rx: rx, ry: ry, sweep: true}, to) }
	s.lineTo(at(w-rx, 0))
	corner(at(w, ry))
	s.lineTo(at(w, h-ry))
	corner(at(w-rx, h))
	s.lineTo(at(rx, h))
	corner(at(0, h-ry))
	s.lineTo(at(0, ry))
	corner(at(rx, 0))
	return []subpath{s}
}
