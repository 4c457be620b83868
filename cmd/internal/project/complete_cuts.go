package project

import (
	"math"
	"path/filepath"
	"strings"

	"strew/motif/geom"
	"strew/motif/say"
)

// What the cuts ask for besides the body's measures.

// gores checks the keys of flared panels against one another.
func (c *completion) gores(s section, sk Skirt) {
	if !s.written("hem_girth") {
		c.missing(s.at, "skirt.hem_girth", say.New(`it is missing; write how long the hems of all gores are together, as in hem_girth = "2.4 m"`))
	}
	if !s.ok("hem_girth", "waist") || !s.sound("fullness", "panels", "drop", "length", "waistband") || sk.Drop <= 0 {
		return
	}
	top := sk.Waist * sk.Fullness
	if sk.HemGirth <= top {
		c.add(s.where("hem_girth"), "skirt.hem_girth", say.New("gores that are %s round at the waist seam do not flare to a hem of %s; write a longer hem, or choose straight panels (cut = \"rectangle\")",
			geom.Length(top), geom.Length(sk.HemGirth)))
		return
	}
	if turn := (sk.HemGirth - top) / (2 * math.Pi * sk.Drop); !sk.Straight && turn >= float64(sk.Panels) {
		c.add(s.where("hem_girth"), "skirt.hem_girth", say.New("a hem of %s on gores %s long makes each wider than a full turn; make it %d panels or more, or the hem shorter",
			geom.Length(sk.HemGirth), geom.Length(sk.Drop), int(turn)+1))
	}
}

// drawn checks the keys of drawn panels against one another, and clears those that
// the drawing decides.
func (c *completion) drawn(s section, sk *Skirt) {
	switch ext := strings.ToLower(filepath.Ext(sk.Outline)); {
	case !s.written("outline"):
		c.missing(s.at, "skirt.outline", say.New(`it is missing; write the file of the panels' drawing, as in outline = "cape.svg"`))
	case s.ok("outline") && ext != ".svg":
		c.add(s.where("outline"), "skirt.outline", say.New("%s is not an SVG file; panels are cut true to size, so draw them in an SVG file whose page states its size", shown(sk.Outline)))
	}
	sk.Line = s.where("outline").line
	sk.Panels, sk.Drop, sk.Length, sk.Fullness = 0, 0, 0, 1
}
