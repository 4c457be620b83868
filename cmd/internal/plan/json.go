package plan

import (
	"bytes"
	"encoding/json"
	"math"
	"regexp"
	"strconv"

	"strew/motif"
	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Format names the shape of plan.json.
const Format = "strew-plan/1"

// num is a number as plan.json carries it: at most six decimals, never an
// exponent, never a minus zero.
type num float64

// MarshalJSON writes the number; NaN and infinities are our own bugs.
func (n num) MarshalJSON() ([]byte, error) {
	f := float64(n)
	if math.IsNaN(f) || math.IsInf(f, 0) {
		panic("plan: a number without a value reached plan.json")
	}
	f = math.Round(f*1e6)/1e6 + 0
	return strconv.AppendFloat(nil, f, 'f', -1, 64), nil
}

func deg(rad float64) num { return num(rad * 180 / math.Pi) }

type point [2]num

func pointsOf(r geom.Ring) []point {
	out := make([]point, len(r))
	for i, p := range r {
		out[i] = point{num(p.X), num(p.Y)}
	}
	return out
}

// document is plan.json. Its keys are an interface that outside checks rely on.
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
	Warnings   []string       `json:"warnings"`
}

// docContrast is how felt shows on net over lining.
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

// docWorn is what shows of the skirt as it hangs, an estimate.
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
	BaldRadius     num      `json:"bald_radius_mm"`
	BaldPanel      int      `json:"bald_panel"`
	BaldAt         point    `json:"bald_at_mm"`
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

// JSON returns plan.json: the whole plan, ready for outside checks.
func (p *Plan) JSON() []byte { return encode(p.document()) }

func (p *Plan) document() document {
	s := p.Surface
	cut, closed := string(s.Cut), s.Closed()
	if p.LayOnly {
		cut, closed = "none", false
	}
	doc := document{
		Format: Format, Title: p.Project.Title, Seed: p.Project.Seed,
		Surface: docSurface{
			Cut: cut, Closed: closed, Panels: s.Panels, PanelAngle: deg(s.Angle),
			Inner: num(s.Inner), Drop: num(s.Drop), Boundary: [][]point{},
		},
		Clearance: docClearance{
			num(p.Project.Clearance.Between), num(p.Project.Clearance.Waist),
			num(p.Project.Clearance.Hem), num(p.Project.Clearance.Seam),
		},
		Scatter: docScatter{p.Project.Scatter.Pattern, num(p.Layout.Spacing), num(p.Layout.RowSpacing), p.Layout.Repeat},
		Cutting: docCutting{num(p.Project.Cutting.Gap)},
		Motifs:  []docMotif{}, Placements: []docPlacement{}, Counts: []docCount{},
		Sheets: []docSheet{}, Contrast: []docContrast{}, Fabric: []docFabric{},
		Warnings: append([]string{}, p.Warnings...),
	}
	if s.Cut == skirt.Outline {
		for k := range s.Panels {
			for _, r := range s.PanelOutline(k).Rings() {
				doc.Surface.Boundary = append(doc.Surface.Boundary, pointsOf(r))
			}
		}
	} else {
		doc.Surface.PanelWidth = num(s.Width)
	}
	for i, m := range p.Motifs {
		d := motifDoc(m, p.Measures[i])
		if b := p.backed(i); b >= 0 {
			d.Backs = p.Motifs[b].Name
		}
		doc.Motifs = append(doc.Motifs, d)
	}
	for i, m := range p.Layout.Placements {
		k := p.Kinds[m.Kind]
		doc.Placements = append(doc.Placements, docPlacement{
			Mark: i + 1, Motif: p.Motifs[k.Motif].Name, Size: num(k.Size), Panel: m.Point.Panel + 1, Row: m.Row,
			X: num(m.Point.At.X), Y: num(m.Point.At.Y), Turn: deg(m.Turn), Down: num(m.Down), Around: num(m.Around),
		})
	}
	for _, c := range p.Counts {
		k := p.Kinds[c.Kind]
		doc.Counts = append(doc.Counts, docCount{p.Motifs[k.Motif].Name, num(k.Size), c.Placed, c.Spare, c.Cut()})
	}
	e := p.Layout.Evenness
	doc.Evenness = docEvenness{
		NearestMin: num(e.NearestMin), NearestMean: num(e.NearestMean), RelativeRadius: num(e.RelativeRadius),
		ClarkEvans: num(e.ClarkEvans), BaldRadius: num(e.BaldRadius), BaldPanel: e.BaldAt.Panel + 1,
		BaldAt: point{num(e.BaldAt.At.X), num(e.BaldAt.At.Y)}, Alike: e.Alike, AlikeByChance: num(e.AlikeByChance),
		Neighbours: e.Neighbours, Area: num(e.Area), Rows: []docRow{},
	}
	for _, r := range p.Layout.Rows {
		doc.Evenness.Rows = append(doc.Evenness.Rows, docRow{r.Row, r.Panel, num(r.Down), r.Marks, num(r.Step), num(r.First)})
	}
	for i, sh := range p.Lay.Sheets {
		stock := p.Project.Sheets[sh.Stock]
		d := docSheet{
			Sheet: stock.Name, Number: sh.Number, Colour: sh.Colour, Width: num(stock.Width), Height: num(sh.Height),
			Margin: num(stock.Margin), Nap: stock.Nap, Used: num(sh.Used), Left: []docBox{}, Pieces: []docSheetCut{},
		}
		for _, b := range p.LeftOver[i] {
			d.Left = append(d.Left, docBox{num(b.Min.X), num(b.Min.Y), num(b.Width()), num(b.Height())})
		}
		for _, pc := range sh.Pieces {
			it := p.Items[pc.Item]
			k := p.Kinds[it.Kind]
			d.Pieces = append(d.Pieces, docSheetCut{
				Motif: p.Motifs[k.Motif].Name, Piece: it.Piece, Size: num(k.Size),
				X: num(pc.At.X), Y: num(pc.At.Y), Turn: deg(pc.Turn),
			})
		}
		doc.Sheets = append(doc.Sheets, d)
	}
	doc.Order = p.orderDoc()
	for _, c := range p.Contrasts() {
		doc.Contrast = append(doc.Contrast, docContrast{c.Colour, c.Ground, num(c.DeltaE), c.Words()})
	}
	guess := p.Estimate()
	doc.Estimate = docEstimate{num(guess.Felt), num(guess.Net), num(guess.Cutting), num(guess.Fixing)}
	if p.hangs() {
		doc.Worn = &docWorn{p.inFront()}
	}
	for _, f := range p.Fabric {
		doc.Fabric = append(doc.Fabric, docFabric{f.Part, num(f.CuttingLength), f.Pieces, f.Layers, num(f.Length), f.Seamed})
	}
	return doc
}

// orderDoc returns the felt to order as plan.json carries it.
func (p *Plan) orderDoc() []docOrder {
	out := []docOrder{}
	for _, n := range p.Lay.Needs {
		o := docOrder{p.Project.Sheets[n.Stock].Name, n.Colour, "sheet", n.Sheets, n.Drawer, n.Buy, n.AtLeast, num(n.Cost)}
		if p.Project.Sheets[n.Stock].Roll {
			o.Unit = "mm"
			o.Need = int(up(p.rollLength(n)))
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

// encode writes a document as JSON, a point to a line.
func encode(doc any) []byte {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(doc); err != nil {
		panic(err) // the types above always encode
	}
	return pointLines.ReplaceAll(b.Bytes(), []byte("[$1, $2]"))
}

// pointLines is a point as the encoder spreads it over four lines. No string
// can match: a line break inside one is escaped.
var pointLines = regexp.MustCompile(`\[\n\s*(-?[\d.]+),\n\s*(-?[\d.]+)\n\s*\]`)
