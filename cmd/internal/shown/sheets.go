package shown

import (
	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
)

// Sheet is one sheet of felt, right side up, its top left corner at the origin.
type Sheet struct {
	Name     string       `json:"name"`
	Colour   string       `json:"colour"`
	Number   int          `json:"number"` // from 1, within its name and colour
	Of       int          `json:"of"`
	Roll     bool         `json:"roll"` // a length cut from a roll
	W        float64      `json:"w"`
	H        float64      `json:"h"`
	Margin   float64      `json:"margin"`
	Mirrored bool         `json:"mirrored"` // she draws on the back: to be shown turned over left to right
	Used     float64      `json:"used"`     // share that becomes cutouts
	Left     [][4]float64 `json:"left"`     // rectangles to keep: x, y, width, height
	Pieces   []Cut        `json:"pieces"`   // in cutting order
}

// Cut is a piece on a sheet.
type Cut struct {
	Motif   int     `json:"motif"` // index into the motifs of Marks
	Piece   int     `json:"piece"` // index into its pieces
	Size    float64 `json:"size"`
	X       float64 `json:"x"`
	Y       float64 `json:"y"`
	Turn    float64 `json:"turn"`
	Flipped bool    `json:"flipped"`
}

// SheetsOf returns the sheets of felt of a plan that is laid, in the plan's order.
func SheetsOf(p stage.Plan) []Sheet {
	type kind struct {
		stock  int
		colour string
	}
	of := map[kind]int{}
	for _, sh := range p.Laid.Lay.Sheets {
		of[kind{sh.Stock, sh.Colour}]++
	}
	out := []Sheet{}
	for i, sh := range p.Laid.Lay.Sheets {
		stock := p.Project.Sheets[sh.Stock]
		s := Sheet{
			Name: stock.Name, Colour: sh.Colour, Number: sh.Number, Of: of[kind{sh.Stock, sh.Colour}], Roll: stock.Roll,
			W: round(stock.Width), H: round(sh.Height), Margin: round(stock.Margin),
			Mirrored: p.Project.Cutting.TraceOn == project.SideBack, Used: sh.Used, Left: [][4]float64{}, Pieces: []Cut{},
		}
		for _, b := range p.Laid.LeftOver[i] {
			s.Left = append(s.Left, boxOf(b))
		}
		for _, pc := range sh.Pieces {
			it := p.Laid.Items[pc.Item]
			s.Pieces = append(s.Pieces, Cut{
				Motif: p.Mix.Kinds[it.Kind].Motif, Piece: it.Piece, Size: p.Mix.Size(it),
				X: round(pc.At.X), Y: round(pc.At.Y), Turn: degrees(pc.Turn),
			})
		}
		out = append(out, s)
	}
	return out
}
