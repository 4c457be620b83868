package words

import (
	"math"
	"path"
	"strconv"

	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/render"
	"strew/scatter/skirt"
)

// cutWords says in a few words how the skirt is cut.
func cutWords(t Text) string {
	s, asked := t.Cloth.Surface, t.Project.Skirt
	panels := say.Many(s.Panels, "%d panel", "%d panels")
	drop := geom.Length(s.Drop)
	switch s.Cut {
	case skirt.Rectangle:
		return t.Say("gathered skirt of %s, %s wide together, %s long", panels, geom.Length(s.Girth(0)), drop)
	case skirt.Gores:
		gores := say.Many(s.Panels, "%d gore", "%d gores")
		if s.Straight {
			gores = say.Many(s.Panels, "%d straight-edged gore", "%d straight-edged gores")
		}
		return t.Say("%s, hem %s round, %s long", gores, geom.Length(s.Girth(s.Drop)), drop)
	case skirt.Outline:
		file := path.Base(asked.Outline)
		if n := len(asked.Seams); n > 0 {
			return t.Say("%s as drawn in %s, %s", panels, file, say.Many(n, "%d seam joined", "%d seams joined"))
		}
		return t.Say("%s as drawn in %s, no seam joined", panels, file)
	}
	return t.Say("%s in %s, waist radius %s, %s long", render.CircleName(asked.Circle), panels, geom.Length(s.Inner), drop)
}

// Fabric says what cloth one part needs, and how it is cut.
func (t Text) Fabric(f stage.Fabric) string { return fabric(t, f) }

func fabric(t Text, f stage.Fabric) string {
	return t.Say("%s %s, %s", t.clothLength(f.Length), part(t, f.Part), howCut(t, f))
}

func part(t Text, p stage.Part) string {
	if p == stage.Lining {
		return t.Say("lining")
	}
	return t.Say("net")
}

// howCut says how one part is cut from its cloth.
func howCut(t Text, f stage.Fabric) string {
	pieces := say.New("in one piece")
	if f.Seamed {
		pieces = say.Many(f.Pieces, "seamed from %d piece", "seamed from %d pieces")
	}
	if f.Layers > 1 {
		pieces = say.Many(f.Layers, "%d layer, %s", "%d layers, each %s", pieces)
	}
	long := geom.Length(f.CuttingLength)
	cut := say.New("cut %s long, seam allowance included", long)
	switch f.Surface.Cut {
	case skirt.Circle:
		cut = say.New("cutting length %s (waist radius and drop together)", long)
	case skirt.Gores:
		cut = say.New("each gore cut %s long in its middle, seam allowance included", long)
	case skirt.Outline:
		cut = say.New("cut as drawn, with the seam allowance all round")
	}
	return t.Say("%s wide: %s; %s", geom.Length(f.Width), pieces, cut)
}

// clothLength writes a length as the shop sells it: metres, or yards and
// eighths of a yard.
func (t Text) clothLength(mm float64) string {
	if t.Unit != geom.Inch {
		return number(math.Round(mm/100)/10) + " m"
	}
	eighths := int(math.Round(mm / stage.YardStep))
	whole, part := eighths/8, eighths%8
	fraction := map[int]string{1: "1/8", 2: "1/4", 3: "3/8", 4: "1/2", 5: "5/8", 6: "3/4", 7: "7/8"}[part]
	switch {
	case part == 0:
		return strconv.Itoa(whole) + " yd"
	case whole == 0:
		return fraction + " yd"
	}
	return strconv.Itoa(whole) + " " + fraction + " yd"
}
