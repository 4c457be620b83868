package motif

import (
	"cmp"
	"math"
	"slices"
)

// spoke is a border seen from one of its ends.
type spoke struct {
	at, to spot
	border int
	out    bool // the border runs away from at
}

// facesOf walks the borders with the felt on the left hand, as on a page with y
// up, and returns the faces they bound, in sweep order of their first points.
func facesOf(borders []border) []face {
	spokes := make([]spoke, 0, 2*len(borders))
	for i, b := range borders {
		spokes = append(spokes, spoke{b.a, b.b, i, !b.swap}, spoke{b.b, b.a, i, b.swap})
	}
	slices.SortFunc(spokes, func(s, t spoke) int {
		if c := s.at.compare(t.at); c != 0 {
			return c
		}
		return compareAngle(s.at, s.to, t.to)
	})
	// arrival[i] is the spoke by which border i ends; group[k] is the first spoke at
	// the point of spoke k.
	arrival := make([]int, len(borders))
	group := make([]int, len(spokes)+1)
	for k, s := range spokes {
		if !s.out {
			arrival[s.border] = k
		}
		group[k] = k
		if k > 0 && spokes[k-1].at == s.at {
			group[k] = group[k-1]
		}
	}
	after := func(k int) (end int) {
		for end = k; end < len(spokes) && spokes[end].at == spokes[k].at; end++ {
		}
		return end
	}

	ringOf := make([]int, len(borders))
	for i := range ringOf {
		ringOf[i] = -1
	}
	type ring struct {
		loop  loop
		face  int // index of its face, once known
		below int // the border under its first point
		hole  bool
	}
	var rings []ring
	for start, b := range borders {
		if ringOf[start] >= 0 {
			continue
		}
		// The first border met in sweep order is the lowest at the ring's
		// first point, so the ring is a hole where the felt is below it.
		r := ring{below: b.below, hole: b.swap, face: -1}
		for at := start; ringOf[at] < 0; {
			ringOf[at] = len(rings)
			from := borders[at].a
			if borders[at].swap {
				from = borders[at].b
			}
			r.loop = append(r.loop, from)
			k := arrival[at]
			first := group[k]
			n := after(k) - first
			for step := 1; step < n; step++ {
				s := spokes[first+((k-first-step)%n+n)%n]
				if s.out {
					at = s.border
					break
				}
			}
		}
		rings = append(rings, r)
	}
	var faces []face
	for i := range rings {
		r := &rings[i]
		if !r.hole {
			r.face = len(faces)
			faces = append(faces, face{outer: r.loop})
			continue
		}
		// Borders come in sweep order, so the ring below was met before.
		r.face = rings[ringOf[r.below]].face
		faces[r.face].holes = append(faces[r.face].holes, r.loop)
	}
	return faces
}

// compareAngle orders the directions from o to p and to q by their angle from
// the direction of -x, exactly.
func compareAngle(o, p, q spot) int {
	half := func(r spot) int {
		if r.y > o.y || r.y == o.y && r.x > o.x {
			return 1
		}
		return 0
	}
	if c := cmp.Compare(half(p), half(q)); c != 0 {
		return c
	}
	return -turn(o, p, q)
}

// openPinches cuts a ring apart at each point that it visits more than once, and
// reports whether there was one: all visits but the one with the widest angle of
// felt lose their corner, back far enough that the two sides no longer touch.
func openPinches(l loop, back float64) (loop, bool) {
	visits := make(map[spot]int, len(l))
	pinched := false
	for _, p := range l {
		visits[p]++
		pinched = pinched || visits[p] > 1
	}
	if !pinched {
		return l, false
	}
	widest := make(map[spot]int)
	angle := func(i int) float64 {
		v, u, w := l[i], l[(i+len(l)-1)%len(l)], l[(i+1)%len(l)]
		in := math.Atan2(float64(u.y-v.y), float64(u.x-v.x))
		out := math.Atan2(float64(w.y-v.y), float64(w.x-v.x))
		// The felt lies between the way out and the way back, on the left hand.
		return math.Mod(in-out+4*math.Pi, 2*math.Pi)
	}
	for i, p := range l {
		if j, seen := widest[p]; visits[p] > 1 && (!seen || angle(i) > angle(j)) {
			widest[p] = i
		}
	}
	var out loop
	for i, v := range l {
		if visits[v] == 1 || widest[v] == i {
			out = append(out, v)
			continue
		}
		for _, u := range []spot{l[(i+len(l)-1)%len(l)], l[(i+1)%len(l)]} {
			dx, dy := float64(u.x-v.x), float64(u.y-v.y)
			if k := back / math.Hypot(dx, dy); k < 0.5 {
				out = append(out, spot{v.x + int64(math.Round(k*dx)), v.y + int64(math.Round(k*dy))})
			} // else the cut goes back to the neighbour itself
		}
	}
	return out, true
}

// dropStraight leaves out the points at which a sound ring goes straight on.
func dropStraight(l loop) loop {
	out := make(loop, 0, len(l))
	for i, p := range l {
		before := l[(i+len(l)-1)%len(l)]
		if len(out) > 0 {
			before = out[len(out)-1]
		}
		if turn(before, p, l[(i+1)%len(l)]) != 0 {
			out = append(out, p)
		}
	}
	return out
}
