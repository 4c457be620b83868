package scene

import "strew/motif/geom"

// Shifted returns the operations moved by v, without those that then lie
// wholly outside the box. The operations given are left as they are.
func Shifted(ops []Op, v geom.Vec, keep geom.Box) []Op {
	move := geom.Translation(v)
	// Whether a place is inside depends only on the rings whose box it is in.
	rings := func(in []geom.Ring) (out []geom.Ring) {
		for _, r := range in {
			if r = r.Transform(move); r.Box().Gap(keep) == 0 {
				out = append(out, r)
			}
		}
		return out
	}
	var out []Op
	for _, op := range ops {
		switch o := op.(type) {
		case Fill:
			if o.Rings = rings(o.Rings); len(o.Rings) > 0 {
				out = append(out, o)
			}
		case Stroke:
			var lines []Line
			for _, l := range o.Lines {
				l.Points = geom.Ring(l.Points).Transform(move)
				if l.near(keep, o.Width) {
					lines = append(lines, l)
				}
			}
			if o.Lines = lines; len(lines) > 0 {
				out = append(out, o)
			}
		case Text:
			if o.At = move.Apply(o.At); o.Box().Gap(keep) == 0 {
				out = append(out, o)
			}
		case Clip:
			o.Rings, o.Inside = rings(o.Rings), Shifted(o.Inside, v, keep)
			if len(o.Rings) > 0 && len(o.Inside) > 0 {
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
