// Package record writes results for other programs: plan.json, and the JSON of
// measure and compare. Its keys are an interface that outside checks rely on.
package record

import (
	"maps"
	"math"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/motif"
	"strew/motif/geom"
)

// Format names the shape of plan.json.
const Format = "strew-plan/1"

// document is plan.json.
type document struct {
	Format     string         `json:"format"`
	Title      string         `json:"title"`
	Seed       uint64         `json:"seed"`
	Surface    docSurface     `json:"surface"`
	Clearance  docClearance   `json:"clearance"`
	Scatter    docScatter     `json:"scatter"`
	Motifs     []docMotif     `json:"motifs"`
	Placements []docPlacement `json:"placements"`
	Counts     []docCount     `json:"counts"`
	Evenness   docEvenness    `json:"evenness"`
	Cutting    docCutting     `json:"cutting"`
	Sheets     []docSheet     `json:"sheets"`
	Order      []docOrder     `json:"order"`
	Fabric     []docFabric    `json:"fabric"`
	Contrast   []docContrast  `json:"contrast"`
	Estimate   docEstimate    `json:"estimate"`
	Worn       *docWorn       `json:"worn,omitempty"` // left out where nothing hangs
	Cost       docCost        `json:"cost"`
	Hours      docHours       `json:"hours"`
	Pages      map[string]int `json:"pages"` // sheets of paper of each file to print
	Notes      []docNote      `json:"notes"`
	Warnings   []string       `json:"warnings"` // the texts of the notes
}

// docCost leaves out what has no price.
type docCost struct {
	Currency string `json:"currency"`
	Felt     *num   `json:"felt,omitempty"`
	Cloth    *num   `json:"cloth,omitempty"`
	Fixing   *num   `json:"fixing,omitempty"`
	Paper    *num   `json:"paper,omitempty"`
	Total    *num   `json:"total,omitempty"`
}

// docHours is guessed by the rules that shopping.md states; without a skirt there
// is only cutting.
type docHours struct {
	Marking num `json:"marking,omitempty"`
	Cutting num `json:"cutting"`
	Fixing  num `json:"fixing,omitempty"`
}

// docNote leaves out what does not apply.
type docNote struct {
	Text  string  `json:"text"`
	Key   string  `json:"key,omitempty"`
	Motif string  `json:"motif,omitempty"`
	At    []point `json:"at_mm,omitempty"`
	Marks []int   `json:"marks,omitempty"`
}

// docContrast is how well felt shows on net over lining.
type docContrast struct {
	Colour string `json:"colour"`
	Ground string `json:"ground"`
	DeltaE num    `json:"delta_e"` // CIEDE2000
	Words  string `json:"words"`
}

// docEstimate is guessed by the rules that shopping.md states.
type docEstimate struct {
	Felt    num `json:"felt_g"`
	Net     num `json:"net_layer_g"`
	Cutting num `json:"cutting_h"`
	Fixing  num `json:"fixing_h"`
}

// docWorn is how the skirt looks as it hangs, an estimate.
type docWorn struct {
	Front int `json:"front"` // cutouts that show from the front
}

type docSurface struct {
	Cut        string    `json:"cut"`
	Closed     bool      `json:"closed"`
	Panels     int       `json:"panels"`
	PanelAngle num       `json:"panel_angle_deg"`
	Inner      num       `json:"inner_radius_mm"`
	Drop       num       `json:"drop_mm"`
	PanelWidth num       `json:"panel_width_mm"`
	Boundary   [][]point `json:"boundary_mm"`
}

type docClearance struct {
	Between num `json:"between_mm"`
	Waist   num `json:"waist_mm"`
	Hem     num `json:"hem_mm"`
	Seam    num `json:"seam_mm"`
}

type docScatter struct {
	Pattern    string `json:"pattern"`
	Spacing    num    `json:"spacing_mm"`
	RowSpacing num    `json:"row_spacing_mm"`
	Repeat     int    `json:"repeat"`
}

type docMotif struct {
	Name      string     `json:"name"`
	Backs     string     `json:"backs"`
	Anchor    point      `json:"anchor_mm"`
	Width     num        `json:"width_mm"`
	Height    num        `json:"height_mm"`
	Area      num        `json:"area_mm2"`
	Edge      num        `json:"edge_mm"`
	Narrowest num        `json:"narrowest_mm"`
	Backing   num        `json:"backing_mm"`
	Pieces    []docPiece `json:"pieces"`
}

type docPiece struct {
	Colour string    `json:"colour"`
	Outer  []point   `json:"outer_mm"`
	Holes  [][]point `json:"holes_mm"`

	Measured *docMeasured `json:"measured,omitempty"` // by measure only
}

type docPlacement struct {
	Mark   int    `json:"mark"`
	Motif  string `json:"motif"`
	Size   num    `json:"size"`
	Panel  int    `json:"panel"`
	Row    int    `json:"row"`
	X      num    `json:"x_mm"`
	Y      num    `json:"y_mm"`
	Turn   num    `json:"turn_deg"`
	Down   num    `json:"down_mm"`
	Around num    `json:"around_mm"`
}

type docCount struct {
	Motif  string `json:"motif"`
	Size   num    `json:"size"`
	Placed int    `json:"placed"`
	Spare  int    `json:"spare"`
	Cut    int    `json:"cut"`
}

type docEvenness struct {
	NearestMin     num      `json:"nearest_min_mm"`
	NearestMean    num      `json:"nearest_mean_mm"`
	RelativeRadius num      `json:"relative_radius"`
	ClarkEvans     num      `json:"clark_evans"`
	EmptyRadius    num      `json:"bald_radius_mm"`
	EmptyPanel     int      `json:"bald_panel"`
	EmptyAt        point    `json:"bald_at_mm"`
	Alike          int      `json:"alike_neighbours"`
	AlikeByChance  num      `json:"alike_by_chance"`
	Neighbours     int      `json:"neighbours"`
	Area           num      `json:"area_mm2"`
	Rows           []docRow `json:"rows"`
}

type docRow struct {
	Row   int `json:"row"`
	Panel int `json:"panel"`
	Down  num `json:"down_mm"`
	Marks int `json:"marks"`
	Step  num `json:"step_mm"`
	First num `json:"first_mm"`
}

type docCutting struct {
	Gap num `json:"gap_mm"`
}

type docSheet struct {
	Sheet  string        `json:"sheet"`
	Number int           `json:"number"`
	Colour string        `json:"colour"`
	Width  num           `json:"width_mm"`
	Height num           `json:"height_mm"`
	Margin num           `json:"margin_mm"`
	Nap    string        `json:"nap"`
	Used   num           `json:"used"`
	Left   []docBox      `json:"left_over"` // rectangles to keep
	Pieces []docSheetCut `json:"pieces"`
}

type docBox struct {
	X      num `json:"x_mm"`
	Y      num `json:"y_mm"`
	Width  num `json:"width_mm"`
	Height num `json:"height_mm"`
}

type docSheetCut struct {
	Motif   string `json:"motif"`
	Piece   int    `json:"piece"`
	Size    num    `json:"size"`
	X       num    `json:"x_mm"`
	Y       num    `json:"y_mm"`
	Turn    num    `json:"turn_deg"`
	Flipped bool   `json:"flipped"`
}

// docOrder counts sheets, or millimetres of a roll.
type docOrder struct {
	Sheet   string `json:"sheet"`
	Colour  string `json:"colour"`
	Unit    string `json:"unit"` // "sheet" or "mm"
	Need    int    `json:"need"`
	Stock   int    `json:"stock"`
	Buy     int    `json:"buy"`
	AtLeast int    `json:"at_least"`
	Cost    num    `json:"cost"`
}

type docFabric struct {
	Part          string `json:"part"`
	CuttingLength num    `json:"cutting_length_mm"`
	Pieces        int    `json:"pieces"`
	Layers        int    `json:"layers"`
	Length        num    `json:"length_mm"`
	Seamed        bool   `json:"seamed"`
}

// Note is something to know before cutting: the key of the project file to change,
// and the motif, the two ends of a place in its frame and the marks that it is
// about, each empty where it does not apply.
type Note struct {
	Text, Key, Motif string
	At               []geom.Vec
	Marks            []int
}

// Cost is what the shopping list costs; nil is a part without a price.
type Cost struct {
	Currency                          string
	Felt, Cloth, Fixing, Paper, Total *float64
}

// Said is what words and pictures say about a plan.
type Said struct {
	Notes    []Note
	Cost     Cost
	Pages    map[string]int              // sheets of paper of each file to print
	Hangs    bool                        // the skirt is shown as it hangs
	InFront  int                         // cutouts that show in front as it hangs
	Contrast func(stage.Contrast) string // how well a felt shows, in words
}

// Plan returns plan.json: the whole plan in millimetres and degrees, numbers to six
// decimals.
func Plan(p stage.Plan, said Said) []byte {
	doc := document{
		Format: Format, Title: p.Project.Title, Seed: p.Project.Seed,
		Surface: surfaceOf(p), Clearance: clearanceOf(p.Project.Clearance),
		Scatter: docScatter{string(p.Project.Scatter.Pattern), num(p.Strewn.Layout.Spacing), num(p.Strewn.Layout.RowSpacing), p.Strewn.Layout.Repeat},
		Motifs:  motifsOf(p.Mix), Placements: placementsOf(p), Counts: countsOf(p),
		Evenness: evennessOf(p), Cutting: docCutting{num(p.Project.Cutting.Gap)},
		Sheets: sheetsOf(p), Order: orderOf(p), Fabric: fabricOf(p.Cloth), Contrast: []docContrast{},
		Cost: costOf(said.Cost), Pages: map[string]int{}, Notes: []docNote{}, Warnings: []string{},
	}
	maps.Copy(doc.Pages, said.Pages)
	for _, n := range said.Notes {
		doc.Notes = append(doc.Notes, docNote{n.Text, n.Key, n.Motif, pointsOf(n.At), n.Marks})
		doc.Warnings = append(doc.Warnings, n.Text)
	}
	for _, c := range p.Contrasts() {
		doc.Contrast = append(doc.Contrast, docContrast{c.Colour, c.Ground, num(c.DeltaE), said.Contrast(c)})
	}
	guess := p.Estimate()
	doc.Estimate = docEstimate{num(guess.Felt), num(guess.Net), num(guess.Cutting), num(guess.Fixing)}
	doc.Hours = docHours{num(guess.Marking), num(guess.Cutting), num(guess.Fixing)}
	if said.Hangs {
		doc.Worn = &docWorn{said.InFront}
	}
	return encode(doc)
}

func costOf(c Cost) docCost {
	sum := func(f *float64) *num {
		if f == nil {
			return nil
		}
		n := num(*f)
		return &n
	}
	return docCost{c.Currency, sum(c.Felt), sum(c.Cloth), sum(c.Fixing), sum(c.Paper), sum(c.Total)}
}

func surfaceOf(p stage.Plan) docSurface {
	s := p.Cloth.Surface
	if p.LayOnly {
		return docSurface{Cut: "none", Boundary: [][]point{}}
	}
	out := docSurface{
		Cut: string(s.Cut), Closed: s.Closed(), Panels: s.Panels, PanelAngle: deg(s.Angle),
		Inner: num(s.Inner), Drop: num(s.Drop), Boundary: [][]point{},
	}
	if s.Closed() {
		out.PanelWidth = num(s.Width)
		return out
	}
	for k := range s.Panels {
		for _, r := range s.PanelOutline(k).Rings() {
			out.Boundary = append(out.Boundary, pointsOf(r))
		}
	}
	return out
}

func clearanceOf(c project.Clearance) docClearance {
	return docClearance{num(c.Between), num(c.Waist), num(c.Hem), num(c.Seam)}
}

func motifsOf(m stage.Mix) []docMotif {
	out := []docMotif{}
	for i, one := range m.Motifs {
		d := motifDoc(one, m.Measures[i])
		if b := m.Backs[i]; b >= 0 {
			d.Backs = m.Motifs[b].Name
		}
		out = append(out, d)
	}
	return out
}

func placementsOf(p stage.Plan) []docPlacement {
	out := []docPlacement{}
	for i, m := range p.Strewn.Layout.Placements {
		k := p.Mix.Kinds[m.Kind]
		out = append(out, docPlacement{
			Mark: i + 1, Motif: p.Mix.Motifs[k.Motif].Name, Size: num(k.Size), Panel: m.Point.Panel + 1, Row: m.Row,
			X: num(m.Point.At.X), Y: num(m.Point.At.Y), Turn: deg(m.Turn), Down: num(m.Down), Around: num(m.Around),
		})
	}
	return out
}

func countsOf(p stage.Plan) []docCount {
	out := []docCount{}
	for i, c := range p.Counts {
		k := p.Mix.Kinds[i]
		out = append(out, docCount{p.Mix.Motifs[k.Motif].Name, num(k.Size), c.Placed, c.Spare, c.Cut()})
	}
	return out
}

func evennessOf(p stage.Plan) docEvenness {
	e, l := p.Even, p.Strewn.Layout
	out := docEvenness{
		NearestMin: num(e.NearestMin), NearestMean: num(e.NearestMean), RelativeRadius: num(e.RelativeRadius),
		ClarkEvans: num(e.ClarkEvans), EmptyRadius: num(e.EmptyRadius), EmptyPanel: e.EmptyAt.Panel + 1,
		EmptyAt: point{num(e.EmptyAt.At.X), num(e.EmptyAt.At.Y)}, Alike: e.Alike, AlikeByChance: num(e.AlikeByChance),
		Neighbours: e.Neighbours, Area: num(e.Area), Rows: []docRow{},
	}
	for _, r := range l.Rows {
		out.Rows = append(out.Rows, docRow{r.Row, r.Panel, num(r.Down), r.Marks, num(r.Step), num(r.First)})
	}
	return out
}

func sheetsOf(p stage.Plan) []docSheet {
	out := []docSheet{}
	for i, sh := range p.Laid.Lay.Sheets {
		stock := p.Project.Sheets[sh.Stock]
		d := docSheet{
			Sheet: stock.Name, Number: sh.Number, Colour: sh.Colour, Width: num(stock.Width), Height: num(sh.Height),
			Margin: num(stock.Margin), Nap: string(stock.Nap), Used: num(sh.Used), Left: []docBox{}, Pieces: []docSheetCut{},
		}
		for _, b := range p.Laid.LeftOver[i] {
			d.Left = append(d.Left, docBox{num(b.Min.X), num(b.Min.Y), num(b.Width()), num(b.Height())})
		}
		for _, pc := range sh.Pieces {
			it := p.Laid.Items[pc.Item]
			k := p.Mix.Kinds[it.Kind]
			d.Pieces = append(d.Pieces, docSheetCut{
				Motif: p.Mix.Motifs[k.Motif].Name, Piece: it.Piece, Size: num(k.Size),
				X: num(pc.At.X), Y: num(pc.At.Y), Turn: deg(pc.Turn),
			})
		}
		out = append(out, d)
	}
	return out
}

func fabricOf(c stage.Cloth) []docFabric {
	out := []docFabric{}
	for _, f := range c.Fabric {
		out = append(out, docFabric{string(f.Part), num(f.CuttingLength), f.Pieces, f.Layers, num(f.Length), f.Seamed})
	}
	return out
}

// orderOf returns the felt to order.
func orderOf(p stage.Plan) []docOrder {
	out := []docOrder{}
	for _, n := range p.Laid.Lay.Needs {
		o := docOrder{p.Project.Sheets[n.Stock].Name, n.Colour, "sheet", n.Sheets, n.Drawer, n.Buy, n.AtLeast, num(n.Cost)}
		if p.Project.Sheets[n.Stock].Roll {
			o.Unit = "mm"
			o.Need = int(math.Ceil(n.Length - geom.Touch))
			o.Buy = o.Need
		}
		out = append(out, o)
	}
	return out
}

// motifDoc returns a motif as plan.json carries it.
func motifDoc(m motif.Motif, size motif.Measures) docMotif {
	d := docMotif{
		Name: m.Name, Width: num(size.Width), Height: num(size.Height), Area: num(size.Area),
		Edge: num(size.Edge), Narrowest: num(size.Narrowest), Backing: num(size.BackingSquare),
	}
	for _, pc := range m.Pieces {
		holes := [][]point{}
		for _, h := range pc.Region.Holes {
			holes = append(holes, pointsOf(h))
		}
		d.Pieces = append(d.Pieces, docPiece{Colour: pc.Colour, Outer: pointsOf(pc.Region.Outer), Holes: holes})
	}
	return d
}
