package shown

import (
	"strew/cmd/internal/results"
	"strew/cmd/internal/stage"
	"strew/motif"
	"strew/motif/say"
	"strew/render"
)

// Marks is the flat cloth with what is strewn on it: all that is known before
// felt is laid.
type Marks struct {
	Motifs []Motif `json:"motifs"` // of the mix: the project's, then the patches that back them
	Flat   Flat    `json:"flat"`
	Marks  []Mark  `json:"marks"`
	Counts []Count `json:"counts"`
	Found  Found   `json:"found"`
}

// Motif is a cutout in its own frame: size 1, its anchor at the origin.
type Motif struct {
	Name      string     `json:"name"`
	Box       [4]float64 `json:"box"` // left, top, right, bottom
	Pieces    []Piece    `json:"pieces"`
	Narrowest Narrowest  `json:"narrowest"`
	Backs     int        `json:"backs"` // the motif that this patch backs; -1: it is a cutout
	Shows     string     `json:"shows"` // how well it shows on the net; "" where none is placed
}

// Piece is one piece of felt; the first lies lowest.
type Piece struct {
	Colour string `json:"colour"`
	D      string `json:"d"`
}

// Narrowest is where the felt is narrowest: a cut across it from edge to edge.
type Narrowest struct {
	MM float64       `json:"mm"`
	At [2][2]float64 `json:"at"`
}

// Flat is the cloth spread flat, all of it in one frame.
type Flat struct {
	Words     string     `json:"words"`  // how it is cut and what lies on it, in one line
	Box       [4]float64 `json:"box"`    // x, y, width, height, with room for labels
	Net       string     `json:"net"`    // the net's own colour
	Ground    string     `json:"ground"` // its layers over the lining
	Bare      string     `json:"bare"`   // its layers over white
	Stretches []Stretch  `json:"stretches"`
	Patches   []string   `json:"patches"` // kept bare, as path data; what lies off the cloth is not cut away
	Labels    []Label    `json:"labels"`
}

// Stretch is one piece of the flat cloth, as path data.
type Stretch struct {
	D      string `json:"d"`
	Lining string `json:"lining"` // "": none
	Seams  string `json:"seams"`
	Hem    string `json:"hem"`
	Waist  string `json:"waist"`
}

// Label is a text in the project's unit, centred at its place.
type Label struct {
	Text  string     `json:"text"`
	Short string     `json:"short"` // instead, where Text is wider than Wide; "": then none
	At    [2]float64 `json:"at"`
	Turn  float64    `json:"turn"`
	Role  string     `json:"role"`
	Wide  float64    `json:"wide"` // that the text may take; 0: any
	Out   int        `json:"out"`  // 1, -1: its place is on the cloth's edge, and it stands below or above that in its own turn; 0: on it
}

// Mark is one cutout. The first of At is where it is chosen; others are copies
// that reach in where a stretch of cloth ends.
type Mark struct {
	N     int          `json:"n"`     // from 1
	Motif int          `json:"motif"` // index into the motifs
	Size  float64      `json:"size"`
	Panel int          `json:"panel"` // from 1
	Row   int          `json:"row"`   // from 1; 0: in no row
	Hold  string       `json:"hold"`
	Hand  bool         `json:"hand,omitempty"` // placed by hand
	At    [][3]float64 `json:"at"`             // x, y, turn
}

// Count is how many of a motif in one size.
type Count struct {
	Motif  int     `json:"motif"`
	Size   float64 `json:"size"`
	Placed int     `json:"placed"`
	Spare  int     `json:"spare"`
	Cut    int     `json:"cut"`
}

// Found is what the layout came to.
type Found struct {
	Spacing    float64 `json:"spacing_mm"`
	RowSpacing float64 `json:"row_spacing_mm"`
	Repeat     int     `json:"repeat"` // times it comes round
}

// MarksOf returns the flat picture of a plan whose cutouts are strewn and counted.
// Without a skirt the flat picture is empty.
func MarksOf(p stage.Plan) Marks {
	l := p.Strewn.Layout
	out := Marks{
		Motifs: motifsOf(p), Marks: []Mark{}, Counts: []Count{},
		Flat:  Flat{Stretches: []Stretch{}, Patches: []string{}, Labels: []Label{}},
		Found: Found{round(l.Spacing), round(l.RowSpacing), l.Repeat},
	}
	for _, c := range p.Counts {
		k := p.Mix.Kinds[c.Kind]
		out.Counts = append(out.Counts, Count{k.Motif, k.Size, c.Placed, c.Spare, c.Cut()})
	}
	if p.LayOnly {
		return out
	}
	cloth, marks := results.Cloth(p), results.Marks(p)
	flat := render.FlatOf(cloth, reach(p.Mix))
	out.Flat = flatOf(cloth, flat)
	out.Flat.Words = cloth.Describe(len(marks))
	for _, b := range p.Strewn.Options.Bare {
		out.Flat.Patches = append(out.Flat.Patches, ringPath(flat.Patch(b.Panel, b.Down, b.Around), clothDecimals))
	}
	for i, m := range marks {
		kind := p.Mix.Kinds[l.Placements[i].Kind]
		out.Marks = append(out.Marks, Mark{N: m.Number, Motif: kind.Motif, Size: kind.Size, Panel: m.Point.Panel + 1, Row: m.Row, Hand: l.Placements[i].Fixed})
	}
	lie(out.Marks, flat.Lying(marks))
	return out
}

// lie puts every mark where it lies, copies after the place where it is chosen.
func lie(marks []Mark, lying []render.Lying) {
	for _, here := range []bool{true, false} {
		for _, l := range lying {
			if l.Here == here {
				m := &marks[l.Number-1]
				m.At = append(m.At, [3]float64{round(l.At.X), round(l.At.Y), degrees(l.Turn)})
			}
		}
	}
}

// reach returns how far the largest cutout reaches from its anchor.
func reach(m stage.Mix) float64 {
	far := 0.0
	for _, k := range m.Kinds[:m.Cutouts] {
		far = max(far, m.Motifs[k.Motif].Reach()*k.Size)
	}
	return far
}

func flatOf(cloth render.Cloth, flat render.Flat) Flat {
	out := Flat{Box: boxOf(flat.Box), Stretches: []Stretch{}, Patches: []string{}, Labels: []Label{}}
	out.Net, out.Ground, out.Bare = cloth.Colours()
	for _, s := range flat.Stretches() {
		out.Stretches = append(out.Stretches, Stretch{
			D: ringPath(s.Outline, clothDecimals), Lining: ringPath(s.Lining, clothDecimals),
			Seams: pathOf(s.Seams, clothDecimals), Hem: pathOf(s.Hem, clothDecimals), Waist: pathOf(s.Waist, clothDecimals),
		})
	}
	for _, l := range flat.Labels() {
		out.Labels = append(out.Labels, Label{
			cloth.Message(l.Text), cloth.Message(l.Short), pointOf(l.At), degrees(l.Turn), string(l.Role), round(l.Wide), l.Out,
		})
	}
	return out
}

func motifsOf(p stage.Plan) []Motif {
	out := []Motif{}
	showing := p.Contrasts()
	for i, m := range p.Mix.Motifs {
		b := m.Box()
		one := Motif{
			Name: m.Name, Box: [4]float64{round(b.Min.X), round(b.Min.Y), round(b.Max.X), round(b.Max.Y)},
			Narrowest: narrowestOf(p.Mix.Measures[i]), Backs: p.Mix.Backs[i],
		}
		for _, pc := range m.Pieces {
			one.Pieces = append(one.Pieces, Piece{pc.Colour, ringPath(pc.Region.Rings(), motifDecimals)})
		}
		if one.Backs < 0 {
			one.Shows = say.Printer{Unit: p.Project.Unit}.Message(shows(m, showing))
		}
		out = append(out, one)
	}
	return out
}

func narrowestOf(m motif.Measures) Narrowest {
	var best motif.Place
	for i, pc := range m.Pieces {
		if i == 0 || pc.Felt.Width() < best.Width() {
			best = pc.Felt
		}
	}
	return Narrowest{round(best.Width()), [2][2]float64{pointOf(best.From), pointOf(best.To)}}
}

// shows says how well a motif shows on the net: as well as that of its felts
// which shows best, since one that stands out shows the whole. The zero Message
// where none is placed.
func shows(m motif.Motif, all []stage.Contrast) say.Message {
	best := -1
	for i, c := range all {
		for _, pc := range m.Pieces {
			if pc.Colour == c.Colour && (best < 0 || c.DeltaE > all[best].DeltaE) {
				best = i
			}
		}
	}
	switch {
	case best < 0:
		return say.Message{}
	case all[best].DeltaE >= stage.ShowsClearly:
		return say.New("Shows clearly on the net")
	case all[best].DeltaE >= stage.HardlyShows:
		return say.New("Shows on the net")
	case all[best].Lighter:
		return say.New("Hardly shows on the net; lighter felt would show more")
	}
	return say.New("Hardly shows on the net; darker felt would show more")
}
