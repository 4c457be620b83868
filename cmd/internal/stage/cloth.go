package stage

import (
	"fmt"
	"io/fs"
	"math"

	"strew/cmd/internal/project"
	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/scatter/skirt"
)

// Cloth is the skirt's top layer, flattened, and the fabric that its parts need.
type Cloth struct {
	Surface skirt.Surface // of the top layer
	Fabric  []Fabric      // of the net, then of the lining if there is one
	Notes   []Note        // about the drawn panels
}

// Part names a part of the skirt that is cut from cloth by the length.
type Part string

// The parts.
const (
	Net    Part = "net"
	Lining Part = "lining"
)

// Fabric is the cloth that one part needs.
type Fabric struct {
	Part    Part
	Surface skirt.Surface // of one layer of the part
	skirt.Fabric
	Width float64 // of the bolt, millimetres
}

// ClothTooNarrow is the error where a part cannot be cut from its cloth.
type ClothTooNarrow struct {
	Part  Part
	Drawn bool // the panels are the maker's own drawing
	*skirt.TooWide
}

// Error says it in plain text; package words says it to the maker.
func (e *ClothTooNarrow) Error() string { return fmt.Sprintf("%s: %v", e.Part, e.TooWide) }

// Unwrap returns the cause.
func (e *ClothTooNarrow) Unwrap() error { return e.TooWide }

// Steps in which shops sell cloth by the length, millimetres.
const (
	MetricStep = 100.0         // 10 cm
	YardStep   = 36 * 25.4 / 8 // an eighth of a yard
)

// withFabric works out the fabric that the drafted top layer and the lining need.
func withFabric(top Cloth, p project.Project) (Cloth, error) {
	step := MetricStep
	if p.Unit == geom.Inch {
		step = YardStep
	}
	s := p.Skirt
	net, err := skirt.CutFrom(top.Surface, s.FabricWidth, s.SeamAllowance, step, s.Layers)
	if err != nil {
		return Cloth{}, tooNarrow(Net, top.Surface, err)
	}
	top.Fabric = []Fabric{{Net, top.Surface, net, s.FabricWidth}}
	if p.Lining == nil {
		return top, nil
	}
	lining, err := liningOf(p)
	if err != nil {
		return Cloth{}, &InputError{p.File, 0, "lining.fullness", say.Errorf("the lining: %s", err)}
	}
	cloth, err := skirt.CutFrom(lining, p.Lining.FabricWidth, s.SeamAllowance, step, 1)
	if err != nil {
		return Cloth{}, tooNarrow(Lining, lining, err)
	}
	top.Fabric = append(top.Fabric, Fabric{Lining, lining, cloth, p.Lining.FabricWidth})
	return top, nil
}

// tooNarrow names the part in an error about cloth that is too narrow.
func tooNarrow(part Part, s skirt.Surface, err error) error {
	if w, ok := err.(*skirt.TooWide); ok {
		return &ClothTooNarrow{part, !s.Closed(), w}
	}
	return err
}

// layer is all that the top layer's shape depends on, apart from its drawing.
type layer struct {
	Cut              skirt.Cut
	Girth, Drop      float64
	Circle, HemGirth float64
	Panels           int
	Straight         bool
	Outline          string // of a drawn one: its file's name
	Seams            [][2]string
	WaistEdges       []string
}

// layerOf returns what a project says about its top layer.
func layerOf(p project.Project) layer {
	s := p.Skirt
	return layer{
		Cut: skirt.Cut(s.Cut), Girth: s.Waist * s.Fullness, Drop: s.Drop, Circle: s.Circle, HemGirth: s.HemGirth,
		Panels: s.Panels, Straight: s.Straight, Outline: s.Outline, Seams: s.Seams, WaistEdges: s.WaistEdges,
	}
}

// topLayer drafts the layer that is covered.
func topLayer(p project.Project, files fs.FS) (Cloth, error) {
	switch l := layerOf(p); l.Cut {
	case skirt.Circle:
		return Cloth{Surface: skirt.NewCircle(l.Girth, l.Drop, l.Circle, l.Panels)}, nil
	case skirt.Gores:
		g, err := skirt.NewGores(l.Girth, l.HemGirth, l.Drop, l.Panels, l.Straight)
		if err != nil {
			return Cloth{}, &InputError{p.File, 0, "skirt.hem_girth", err}
		}
		return Cloth{Surface: g}, nil
	case skirt.Outline:
		return drawnLayer(p, files)
	default:
		return Cloth{Surface: skirt.NewRectangle(l.Girth, l.Drop, l.Panels)}, nil
	}
}

// drawnLayer reads the panels that the maker drew.
func drawnLayer(p project.Project, files fs.FS) (Cloth, error) {
	s := p.Skirt
	data, err := readFile(files, s.Outline)
	if err != nil {
		return Cloth{}, noPanels(p, err)
	}
	drawn, said, err := motif.ReadPanels(data)
	if err != nil {
		return Cloth{}, &InputError{s.Outline, 0, outlined, err}
	}
	d := skirt.Drawing{Panels: drawn.Regions}
	for _, line := range drawn.Lines {
		d.Lines = append(d.Lines, skirt.Line(line))
	}
	surface, err := skirt.NewOutline(d, s.Seams, s.WaistEdges)
	if err != nil {
		key := "skirt.seams"
		if _, seams := skirt.NewOutline(d, s.Seams, nil); seams == nil {
			key = "skirt.waist_edge"
		}
		return Cloth{}, &InputError{p.File, s.Line, key, say.Errorf("skirt.%s", err)}
	}
	out := Cloth{Surface: surface}
	for _, m := range of(s.Outline, said) {
		out.Notes = append(out.Notes, Note{Cutting, outlined, m})
	}
	return out, nil
}

// outlined is the project's key of the drawing of the panels.
const outlined = "skirt.outline"

// noPanels is the error where the drawing of the panels cannot be read.
func noPanels(p project.Project, err error) error {
	return &InputError{p.File, p.Skirt.Line, outlined, say.Errorf("skirt.outline %s: %s", p.Skirt.Outline, fromProject(err))}
}

// liningOf drafts the lining. Its girth is measured at its top seam.
func liningOf(p project.Project) (skirt.Surface, error) {
	s, l := p.Skirt, p.Lining
	girth := s.Hip
	if l.Girth == project.GirthWaist {
		girth = s.Waist
	}
	girth *= l.Fullness
	drop := s.Drop - l.ShorterBy
	switch skirt.Cut(l.Cut) {
	case skirt.Circle:
		// A sewn angle beyond a full turn takes as many panels as lie flat.
		return skirt.NewCircle(girth, drop, l.Circle, max(1, int(math.Ceil(l.Circle-geom.SameRatio)))), nil
	case skirt.Gores: // with the flare of the top layer's
		flare := (s.HemGirth - s.Waist*s.Fullness) / s.Drop
		return skirt.NewGores(girth, girth+flare*drop, drop, s.Panels, s.Straight)
	}
	return skirt.NewRectangle(girth, drop, 1), nil
}
