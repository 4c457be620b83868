package scene

import "strew/motif/geom"

// Windows is a drawing of which many windows are shown, one a page. It knows
// the box of every part, so that a window costs little more than what shows
// in it.
type Windows struct{ parts []part }

type part struct {
	op     Op
	boxes  []geom.Box // of a Fill's or Clip's rings, a Stroke's lines, a Text
	inside Windows    // of a Clip
}

// NewWindows returns the windows of a drawing. The operations must not change
// while it is in use.
func NewWindows(ops []Op) Windows {
	w := Windows{make([]part, len(ops))}
	for i, op := range ops {
		p := part{op: op}
		switch o := op.(type) {
		case Fill:
			p.boxes = boxesOf(o.Rings)
		case Stroke:
			for _, l := range o.Lines {
				p.boxes = append(p.boxes, geom.BoxOf(l.Points...))
			}
		case Text:
			p.boxes = []geom.Box{o.Box()}
		case Clip:
			p.boxes, p.inside = boxesOf(o.Rings), NewWindows(o.Inside)
		}
		w.parts[i] = p
	}
	return w
}

func boxesOf(rings []geom.Ring) []geom.Box {
	out := make([]geom.Box, len(rings))
	for i, r := range rings {
		out[i] = r.Box()
	}
	return out
}

// Shifted returns the operations moved by v, without those that then lie
// wholly outside the box.
func (w Windows) Shifted(v geom.Vec, keep geom.Box) []Op {
	move := geom.Translation(v)
	shows := func(b geom.Box, reach float64) bool {
		return geom.Box{Min: b.Min.Add(v), Max: b.Max.Add(v)}.Gap(keep) <= reach
	}
	// Whether a place is inside depends only on the rings whose box it is in.
	rings := func(in []geom.Ring, boxes []geom.Box) (out []geom.Ring) {
		for i, r := range in {
			if shows(boxes[i], 0) {
				out = append(out, r.Transform(move))
			}
		}
		return out
	}
	var out []Op
	for _, p := range w.parts {
		switch o := p.op.(type) {
		case Fill:
			if o.Rings = rings(o.Rings, p.boxes); len(o.Rings) > 0 {
				out = append(out, o)
			}
		case Stroke:
			var lines []Line
			for i, l := range o.Lines {
				if !shows(p.boxes[i], o.Width) {
					continue
				}
				l.Points = geom.Ring(l.Points).Transform(move)
				if l.near(keep, o.Width) {
					lines = append(lines, l)
				}
			}
			if o.Lines = lines; len(lines) > 0 {
				out = append(out, o)
			}
		case Text:
			if shows(p.boxes[0], 0) {
				o.At = move.Apply(o.At)
				out = append(out, o)
			}
		case Clip:
			if o.Rings = rings(o.Rings, p.boxes); len(o.Rings) == 0 {
				continue
			}
			if o.Inside = p.inside.Shifted(v, keep); len(o.Inside) > 0 {
				out = append(out, o)
			}
		}
	}
	return out
}

// near reports whether any step of the line comes within reach of the box, as
// far as the box round the step can tell.
func (l Line) near(box geom.Box, reach float64) bool {
	for i, p := range l.Points {
		q := p
		if i > 0 {
			q = l.Points[i-1]
		} else if l.Closed {
			q = l.Points[len(l.Points)-1]
		}
		if geom.BoxOf(p, q).Gap(box) <= reach {
			return true
		}
	}
	return false
}
