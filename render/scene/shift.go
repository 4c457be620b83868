package scene

import "strew/motif/geom"

// Shifted returns the operations moved by v, without those that then lie
// wholly outside the box. The operations given are left as they are.
func Shifted(ops []Op, v geom.Vec, keep geom.Box) []Op {
	move := geom.Translation(v)
	rings := func(in []geom.Ring) (out []geom.Ring, box geom.Box) {
		box = geom.EmptyBox()
		for _, r := range in {
			r = r.Transform(move)
			out = append(out, r)
			box = box.Union(r.Box())
		}
		return out, box
	}
	var out []Op
	for _, op := range ops {
		box := geom.EmptyBox()
		switch o := op.(type) {
		case Fill:
			o.Rings, box = rings(o.Rings)
			op = o
		case Stroke:
			var lines []Line
			for _, l := range o.Lines {
				l.Points = geom.Ring(l.Points).Transform(move)
				if b := geom.BoxOf(l.Points...); b.Gap(keep) <= o.Width {
					lines = append(lines, l)
					box = box.Union(b.Grow(o.Width))
				}
			}
			o.Lines = lines
			op = o
		case Text:
			o.At = move.Apply(o.At)
			box = o.Box()
			op = o
		case Clip:
			o.Rings, box = rings(o.Rings)
			o.Inside = Shifted(o.Inside, v, keep)
			op = o
		}
		if !box.IsEmpty() && box.Gap(keep) == 0 {
			out = append(out, op)
		}
	}
	return out
}
