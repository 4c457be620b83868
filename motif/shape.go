package motif

import (
	"math"

	"strew/motif/geom"
)

// basicShape returns the path of a rect, circle, ellipse, line, polyline,
// polygon or path element in its own units (SVG 2, chapters 9 and 10), and
// what is wrong with it where it can only be drawn in part.
func basicShape(e *element, v viewport) (path []subpath, fault string) {
	get := func(name string, a axis) float64 {
		n, _ := v.length(e.attr[name], a)
		return n
	}
	switch e.name {
	case "path":
		path, at, ok := parsePath(e.attr["d"])
		if !ok {
			fault = "its path data break off at " + quoteFrom(e.attr["d"], at)
		}
		return path, fault
	case "rect":
		w, h := get("width", across), get("height", down)
		if w <= 0 || h <= 0 {
			return nil, "it has no width or no height"
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
		return roundedRect(get("x", across), get("y", down), w, h, math.Min(rx, w/2), math.Min(ry, h/2)), ""
	case "circle":
		r := get("r", either)
		if r <= 0 {
			return nil, "it has no radius"
		}
		return ellipse(get("cx", across), get("cy", down), r, r), ""
	case "ellipse":
		rx, xok := v.length(e.attr["rx"], across)
		ry, yok := v.length(e.attr["ry"], down)
		if !xok {
			rx = ry
		} else if !yok {
			ry = rx
		}
		if rx <= 0 || ry <= 0 {
			return nil, "it has no radius"
		}
		return ellipse(get("cx", across), get("cy", down), rx, ry), ""
	case "line":
		s := subpath{start: geom.Vec{X: get("x1", across), Y: get("y1", down)}}
		s.lineTo(geom.Vec{X: get("x2", across), Y: get("y2", down)})
		return []subpath{s}, ""
	case "polyline", "polygon":
		n, ok := parseNumbers(e.attr["points"])
		if !ok || len(n)%2 != 0 {
			fault = "its list of points breaks off"
		}
		if len(n) < 2 {
			return nil, "it has no points"
		}
		s := subpath{start: geom.Vec{X: n[0], Y: n[1]}, closed: e.name == "polygon"}
		for i := 2; i+1 < len(n); i += 2 {
			s.lineTo(geom.Vec{X: n[i], Y: n[i+1]})
		}
		return []subpath{s}, fault
	}
	return nil, ""
}

func quoteFrom(text string, at int) string {
	if at >= len(text) {
		return "its end"
	}
	return `"` + shorten(text[at:min(len(text), at+12)]) + `"`
}

func ellipse(cx, cy, rx, ry float64) []subpath {
	start := geom.Vec{X: cx + rx, Y: cy}
	return []subpath{{start: start, closed: true, curves: []curve{{
		kind: arc,
		p:    [3]geom.Vec{{X: cx, Y: cy}, {X: rx}, {Y: ry}},
		turn: 2 * math.Pi,
		end:  start,
	}}}}
}

func roundedRect(x, y, w, h, rx, ry float64) []subpath {
	at := func(dx, dy float64) geom.Vec { return geom.Vec{X: x + dx, Y: y + dy} }
	s := subpath{start: at(rx, 0), closed: true}
	s.lineTo(at(w-rx, 0))
	s.arcTo(rx, ry, 0, false, true, at(w, ry))
	s.lineTo(at(w, h-ry))
	s.arcTo(rx, ry, 0, false, true, at(w-rx, h))
	s.lineTo(at(rx, h))
	s.arcTo(rx, ry, 0, false, true, at(0, h-ry))
	s.lineTo(at(0, ry))
	s.arcTo(rx, ry, 0, false, true, at(rx, 0))
	return []subpath{s}
}
