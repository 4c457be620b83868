package plan

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"path"

	"strew/motif"
	"strew/motif/geom"
	"strew/render"
	"strew/scatter/skirt"
)

// Steps in which shops sell cloth by the length.
const (
	metricStep = 100.0         // 10 cm
	yardStep   = 36 * 25.4 / 8 // an eighth of a yard
)

// cutCloth drafts the top layer and the lining and finds what cloth they take.
func (p *Plan) cutCloth(files fs.FS) error {
	s := p.Project.Skirt
	step := metricStep
	if p.Project.Unit == geom.Inch {
		step = yardStep
	}
	var err error
	if p.Surface, err = p.topLayer(files); err != nil {
		return err
	}
	net, err := p.Surface.CutFrom(s.FabricWidth, s.SeamAllowance, step, s.Layers)
	if err != nil {
		return p.tooWide("skirt", "net", err)
	}
	p.Fabric = append(p.Fabric, Fabric{"net", p.Surface.Cut, net, s.FabricWidth})

	l := p.Project.Lining
	if l == nil {
		return nil
	}
	girth := s.Hip
	if l.Girth == "waist" {
		girth = s.Waist
	}
	lining, err := p.liningOf(girth*l.Fullness, s.Drop-l.ShorterBy)
	if err != nil {
		return fmt.Errorf("lining: %w", err)
	}
	cloth, err := lining.CutFrom(l.FabricWidth, s.SeamAllowance, step, 1)
	if err != nil {
		return p.tooWide("lining", "lining", err)
	}
	p.Fabric = append(p.Fabric, Fabric{"lining", lining.Cut, cloth, l.FabricWidth})
	return nil
}

// topLayer drafts the layer that is covered.
func (p *Plan) topLayer(files fs.FS) (skirt.Surface, error) {
	s := p.Project.Skirt
	girth := s.Waist * s.Fullness
	switch skirt.Cut(s.Cut) {
	case skirt.Circle:
		return skirt.NewCircle(girth, s.Drop, s.Circle, s.Panels), nil
	case skirt.Gores:
		g, err := skirt.NewGores(girth, s.HemGirth, s.Drop, s.Panels, s.Straight)
		if err != nil {
			return g, fmt.Errorf("skirt: %w", err)
		}
		return g, nil
	case skirt.Outline:
		return p.drawnLayer(files)
	}
	return skirt.NewRectangle(girth, s.Drop, s.Panels), nil
}

// drawnLayer reads the panels that the maker drew.
func (p *Plan) drawnLayer(files fs.FS) (skirt.Surface, error) {
	s := p.Project.Skirt
	data, err := readFile(files, s.Outline)
	if errors.Is(err, errNoFile) {
		err = fmt.Errorf("%w; the path is taken from the project file's folder", err)
	}
	if err != nil {
		return skirt.Surface{}, &InputError{p.Project.File, s.Line, fmt.Errorf("skirt.outline %s: %w", s.Outline, err)}
	}
	drawn, warnings, err := motif.ReadPanels(data)
	if err != nil {
		return skirt.Surface{}, &InputError{s.Outline, 0, err}
	}
	for _, w := range warnings {
		p.Warnings = append(p.Warnings, p.say().Say("%s: %s", s.Outline, w))
	}
	d := skirt.Drawing{Panels: drawn.Regions}
	for _, l := range drawn.Lines {
		d.Lines = append(d.Lines, skirt.Line(l))
	}
	out, err := skirt.NewOutline(d, s.Seams, s.WaistEdges)
	if err != nil {
		return skirt.Surface{}, &InputError{p.Project.File, s.Line, fmt.Errorf("skirt.%w", err)}
	}
	return out, nil
}

// liningOf drafts the lining, girth long at its seam.
func (p *Plan) liningOf(girth, drop float64) (skirt.Surface, error) {
	s, l := p.Project.Skirt, p.Project.Lining
	switch l.Cut {
	case "circle":
		// A sewn angle beyond a full turn takes as many panels as lie flat.
		return skirt.NewCircle(girth, drop, l.Circle, max(1, int(math.Ceil(l.Circle-geom.SameRatio)))), nil
	case "gores": // that flare like the top layer's
		flare := (s.HemGirth - s.Waist*s.Fullness) / s.Drop
		return skirt.NewGores(girth, girth+flare*drop, drop, s.Panels, s.Straight)
	}
	return skirt.NewRectangle(girth, drop, 1), nil
}

func (p *Plan) tooWide(table, part string, err error) error {
	var w *skirt.TooWide
	if !errors.As(err, &w) {
		return err
	}
	instead := "more panels, or a smaller waist, fullness or length"
	if p.Surface.Cut == skirt.Outline {
		instead = "or draw the panel in parts with a seam between"
	}
	return fmt.Errorf("%s: the %s does not come out of the cloth: its narrowest piece takes %s and %s.fabric_width is %s; use wider cloth, %s",
		table, part, p.show(w.Needs), table, p.show(w.Width), instead)
}

// cutWords says in a few words what is sewn.
func (p *Plan) cutWords() string {
	s, project := p.Surface, p.Project.Skirt
	panels := many(s.Panels, "panel", "panels")
	switch s.Cut {
	case skirt.Rectangle:
		return fmt.Sprintf("gathered skirt of %s, %s wide together, %s long", panels, p.show(s.Girth(0)), p.show(s.Drop))
	case skirt.Gores:
		edges := ""
		if s.Straight {
			edges = "straight-edged "
		}
		return fmt.Sprintf("%s, hem %s round, %s long", many(s.Panels, edges+"gore", edges+"gores"), p.show(s.Girth(s.Drop)), p.show(s.Drop))
	case skirt.Outline:
		joins := "no seam joined"
		if n := len(project.Seams); n > 0 {
			joins = many(n, "seam", "seams") + " joined"
		}
		return fmt.Sprintf("%s as drawn in %s, %s", panels, path.Base(project.Outline), joins)
	}
	return fmt.Sprintf("%s in %s, waist radius %s, %s long", render.CircleName(project.Circle), panels, p.show(s.Inner), p.show(s.Drop))
}

// below says from where a row's distance down is measured.
func (p *Plan) below() string {
	if p.Surface.Cut == skirt.Outline {
		return "below the top of the drawing"
	}
	return "below the waist seam"
}
