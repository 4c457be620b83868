package plan

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"io/fs"
	"math"
	"strconv"
	"strings"
	"sync"
	"text/tabwriter"

	"strew/cmd/internal/folder"
	"strew/cmd/internal/project"
	"strew/motif/geom"
	"strew/render"
	"strew/render/raster"
)

// Choice is one way to strew the same skirt: what is asked, then what came of
// it.
type Choice struct {
	Asked   string // the spacing as written; "" for the project's own
	Pattern string
	Project project.Project
	Plan    *Plan // nil where it could not be planned
	Err     error // why not
}

// Compare plans the choices side by side, in parallel. One whose Err is set
// already is left alone, and one that cannot be planned does not keep the
// others back. The error is that of the context. progress may be nil.
func Compare(ctx context.Context, choices []Choice, files fs.FS, progress func(Stage)) ([]Choice, error) {
	out := append([]Choice(nil), choices...)
	var mu sync.Mutex
	done := 0
	each(len(out), func(i int) {
		if out[i].Err == nil && ctx.Err() == nil {
			out[i].Plan, out[i].Err = Build(ctx, out[i].Project, files, nil)
		}
		mu.Lock()
		defer mu.Unlock()
		done++
		if progress != nil {
			progress(Stage{"comparing", done, len(out)})
		}
	})
	return out, ctx.Err()
}

// docChoice is one choice in the answer of compare. Its keys are an interface.
type docChoice struct {
	Asked   string     `json:"asked"`
	Spacing num        `json:"spacing_mm"` // as asked, or as found; 0 where it is not known
	Pattern string     `json:"pattern"`
	Placed  int        `json:"placed"`
	Cut     int        `json:"cut"`
	Sheets  []docOrder `json:"sheets"`
	Cost    num        `json:"cost"`
	Error   string     `json:"error,omitempty"`
}

func choiceDocs(list []Choice) []docChoice {
	out := []docChoice{}
	for _, c := range list {
		d := docChoice{Asked: c.Asked, Pattern: c.Pattern, Spacing: num(c.spacing()), Sheets: []docOrder{}}
		if c.Err != nil {
			d.Error = c.Err.Error()
		} else {
			d.Placed, d.Cut = c.Plan.totals()
			d.Sheets = c.Plan.orderDoc()
			cost, _ := c.Plan.feltCost()
			d.Cost = num(cost)
		}
		out = append(out, d)
	}
	return out
}

// spacing returns what was asked in millimetres, or else what was found; 0 where
// it is not known.
func (c Choice) spacing() float64 {
	if asked := c.Project.Scatter.Spacing; asked > 0 || c.Plan == nil {
		return asked
	}
	return c.Plan.Layout.Spacing
}

// totals counts the cutouts placed and to cut, patches left out.
func (p *Plan) totals() (placed, cut int) {
	for _, c := range p.Counts {
		if !p.isPatch(p.Kinds[c.Kind]) {
			placed += c.Placed
			cut += c.Cut()
		}
	}
	return placed, cut
}

// name is what a choice is called: "8 cm, polka".
func (c Choice) name() string {
	asked := c.Asked
	switch {
	case c.Project.Scatter.Spacing > 0:
		asked = geom.Length(c.spacing()).In(c.Project.Unit)
	case asked == "" && c.spacing() > 0:
		asked = geom.Length(math.Round(c.spacing())).In(c.Project.Unit) + " as found"
	case asked == "":
		asked = "the project's own number"
	}
	return asked + ", " + c.Pattern
}

// feltShort says in a few words what felt is needed.
func (p *Plan) feltShort() string {
	need, buy, length := 0, 0, 0.0
	for _, n := range p.Lay.Needs {
		if p.Project.Sheets[n.Stock].Roll {
			length += p.rollLength(n)
			continue
		}
		need += n.Sheets
		buy += n.Buy
	}
	var out []string
	if need > 0 {
		out = append(out, fmt.Sprintf("%s, %d to buy", many(need, "sheet", "sheets"), buy))
	}
	if length > 0 {
		out = append(out, p.feltLength(length)+" of felt by the length")
	}
	if len(out) == 0 {
		return "no felt"
	}
	return strings.Join(out, ", ")
}

// costShort is what the felt costs, "" where no price is known.
func (p *Plan) costShort() string {
	cost, all := p.feltCost()
	switch {
	case all:
		return p.money(cost)
	case cost > 0:
		return p.money(cost) + " and what has no price"
	}
	return ""
}

// ComparedJSON returns the answer as JSON, an entry a choice.
func ComparedJSON(list []Choice) []byte { return encode(choiceDocs(list)) }

// ComparedTable writes the answer as text. The error is the first of a write.
func ComparedTable(w io.Writer, list []Choice) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "spacing, pattern\tplaced\tcut\tfelt\tcost")
	for _, c := range list {
		if c.Err != nil {
			fmt.Fprintf(t, "%s\t-\t-\tcannot be planned\t\n", c.name())
			continue
		}
		placed, cut := c.Plan.totals()
		fmt.Fprintf(t, "%s\t%d\t%d\t%s\t%s\n", c.name(), placed, cut, c.Plan.feltShort(), c.Plan.costShort())
	}
	if err := t.Flush(); err != nil {
		return fmt.Errorf("cannot write the answer: %w", err)
	}
	return nil
}

// Why says of a choice that could not be planned what is the matter.
func (c Choice) Why() string { return c.name() + ": " + c.Err.Error() }

func comparedCSV(list []Choice) []byte {
	rows := [][]string{{"spacing_mm", "pattern", "placed", "cut", "sheet", "colour", "unit", "need", "stock", "buy", "cost", "currency", "error"}}
	for _, d := range choiceDocs(list) {
		head := []string{strconv.FormatFloat(float64(d.Spacing), 'f', -1, 64), d.Pattern, strconv.Itoa(d.Placed), strconv.Itoa(d.Cut)}
		if d.Error != "" {
			rows = append(rows, append(head, "", "", "", "", "", "", "", "", d.Error))
		}
		for _, o := range d.Sheets {
			rows = append(rows, append(head[:4:4], o.Sheet, o.Colour, o.Unit, strconv.Itoa(o.Need), strconv.Itoa(o.Stock), strconv.Itoa(o.Buy),
				strconv.FormatFloat(float64(o.Cost), 'f', 2, 64), list[0].Project.Supplies.Currency, ""))
		}
	}
	return csvBytes(rows)
}

// ComparedFile is the name of the record in a folder of compare.
const ComparedFile = "compare.json"

// ComparedFiles draws the board and writes the table and the record.
func ComparedFiles(title string, list []Choice) ([]folder.File, error) {
	choices := make([]render.Choice, len(list))
	for i, c := range list {
		choices[i] = render.Choice{Name: c.name(), Empty: c.Err != nil}
		if c.Err != nil {
			choices[i].Notes = []string{"cannot be planned: " + c.Err.Error()}
			continue
		}
		placed, cut := c.Plan.totals()
		choices[i].Notes = []string{fmt.Sprintf("%s placed, %d to cut", many(placed, "cutout", "cutouts"), cut), c.Plan.feltShort()}
		if cost := c.Plan.costShort(); cost != "" {
			choices[i].Notes = append(choices[i].Notes, "felt: "+cost)
		}
		choices[i].Cloth, choices[i].Marks = c.Plan.cloth(), c.Plan.marks()
	}
	row := 0 // of one pattern in every spacing
	for row < len(list) && list[row].Pattern == list[0].Pattern {
		row++
	}
	board := render.Comparison(title, "the same skirt, "+many(len(list), "way", "ways")+" to strew it", choices, row)
	dpi, _ := raster.Within(board, render.ScreenDPI)
	var b bytes.Buffer
	if err := raster.WritePNG(&b, board, dpi); err != nil {
		return nil, fmt.Errorf("board.png: %w", err)
	}
	record := struct {
		Format  string      `json:"format"`
		Choices []docChoice `json:"choices"`
	}{"strew-compare/1", choiceDocs(list)}
	return []folder.File{
		{Name: ComparedFile, Data: encode(record)},
		{Name: "board.png", Data: b.Bytes()},
		{Name: "compare.csv", Data: comparedCSV(list)},
	}, nil
}
