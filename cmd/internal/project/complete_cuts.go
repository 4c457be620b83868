package project

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
)

// What the cuts ask for besides the body's measures.

// gores weighs the keys of flared panels against one another.
func (d document) gores(s section, sk Skirt, r *report) {
	if !s.written("hem_girth") {
		d.missing(r, s.at, "skirt.hem_girth", `it is missing; write how long the hems of all gores are together, as in hem_girth = "2.4 m"`)
	}
	if !s.ok("hem_girth", "waist") || !s.sound("fullness", "panels", "drop", "length", "waistband") || sk.Drop <= 0 {
		return
	}
	top := sk.Waist * sk.Fullness
	if sk.HemGirth <= top {
		r.add(s.where("hem_girth"), "skirt.hem_girth", fmt.Sprintf("gores that are %s round at the waist seam do not flare to a hem of %s; write a longer hem, or cut = \"rectangle\" for straight panels",
			d.say(top), d.say(sk.HemGirth)), "")
		return
	}
	if turn := (sk.HemGirth - top) / (2 * math.Pi * sk.Drop); !sk.Straight && turn >= float64(sk.Panels) {
		r.add(s.where("hem_girth"), "skirt.hem_girth", fmt.Sprintf("a hem of %s on gores %s long makes each wider than a full turn; write panels = %d or more, or a shorter hem",
			d.say(sk.HemGirth), d.say(sk.Drop), int(turn)+1), "")
	}
}

// drawn weighs the keys of drawn panels against one another, and clears what a
// drawing says itself.
func (d document) drawn(s section, sk *Skirt, r *report) {
	switch ext := strings.ToLower(filepath.Ext(sk.Outline)); {
	case !s.written("outline"):
		d.missing(r, s.at, "skirt.outline", `it is missing; write the file of the panels' drawing, as in outline = "cape.svg"`)
	case s.ok("outline") && ext != ".svg":
		r.add(s.where("outline"), "skirt.outline", fmt.Sprintf("%s is no SVG file; panels are cut true to size, so draw them in one whose page states its size", shown(sk.Outline)), "")
	}
	sk.Line = s.where("outline").line
	sk.Panels, sk.Drop, sk.Length, sk.Fullness = 0, 0, 0, 1
}
