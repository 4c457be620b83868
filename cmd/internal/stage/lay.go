package stage

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"strew/cmd/internal/project"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/sheet"
)

// Felt is the felt that can be had, and how it is cut.
type Felt struct {
	Sheets []project.Sheet
	Gap    float64 // between cutouts, millimetres
	Effort int     // 0 to 10
	Seed   uint64
	Fewest bool // fewest sheets, whatever they cost
}

// FeltOf returns the felt of a project.
func FeltOf(p project.Project) Felt {
	return Felt{p.Sheets, p.Cutting.Gap, p.Cutting.Effort, p.Seed, p.Scatter.Sheets > 0}
}

// Laid is where each cutout lies on the felt.
type Laid struct {
	Items    []Item       // in the order of the lay's item numbers
	Lay      sheet.Lay    // its pieces' Item is an index into Items
	LeftOver [][]geom.Box // of each sheet, in its frame, the largest first
}

// LayError names the piece that could not be laid.
type LayError struct {
	Item   Item
	Motif  int    // index of the project's motif that it is cut for
	Patch  bool   // it is a patch behind that motif
	Name   string // of its kind
	Pieces int    // that the kind has
	Err    error  // a *sheet.FitError, *sheet.ColourError or *sheet.ShortError
}

// Error says it in plain text; package words says it to the maker.
func (e *LayError) Error() string { return fmt.Sprintf("lay: %v", e.Err) }

// Unwrap returns the cause.
func (e *LayError) Unwrap() error { return e.Err }

// Lay lays the counts on felt. If the context ends meanwhile, it returns the best
// lay so far with Lay.Stopped set; if it ended before, its error. Any other error
// is a *LayError, or wraps a *sheet.StockError for felt that cannot be laid on.
// cache and tell may be nil.
func Lay(ctx context.Context, m Mix, counts []Count, f Felt, cache *sheet.Cache, tell func(Event)) (Laid, error) {
	if err := ctx.Err(); err != nil {
		return Laid{}, err
	}
	lay, err := pack(ctx, m, counts, f, sheet.Options{Cache: cache, Progress: laying(tell)})
	if err != nil {
		return Laid{}, err
	}
	return laidAs(m, counts, f, lay), nil
}

// laying passes on the progress of a lay; nil if nobody listens.
func laying(tell func(Event)) func(sheet.Progress) {
	if tell == nil {
		return nil
	}
	return func(p sheet.Progress) { tell(Event{Stage: Laying, Done: p.Done, Total: p.Total, Best: p.Best}) }
}

// laidAs returns a lay with its items and what it leaves over.
func laidAs(m Mix, counts []Count, f Felt, lay sheet.Lay) Laid {
	return Laid{m.Items(), lay, leftOver(sheetItems(m, counts), f, lay)}
}

// pack lays the counts on felt; opt gives what Felt does not: cache, hints and
// progress.
func pack(ctx context.Context, m Mix, counts []Count, f Felt, opt sheet.Options) (sheet.Lay, error) {
	opt.Gap, opt.Effort, opt.Seed, opt.Fewest = f.Gap, f.Effort, f.Seed, f.Fewest
	var stock []sheet.Stock
	for _, s := range f.Sheets {
		stock = append(stock, stockOf(s))
	}
	items := sheetItems(m, counts)
	lay, err := sheet.Pack(ctx, items, stock, opt)
	if err != nil {
		return lay, layError(err, m, items)
	}
	return lay, nil
}

// layError names the piece that a lay failed at.
func layError(err error, m Mix, items []sheet.Item) error {
	name := ""
	var big *sheet.FitError
	var colour *sheet.ColourError
	var short *sheet.ShortError
	switch {
	case errors.As(err, &big):
		name = big.Item
	case errors.As(err, &colour):
		name = colour.Item
	case errors.As(err, &short):
		name = short.Item
	default:
		return say.Errorf("lay: %s", err)
	}
	i := slices.IndexFunc(items, func(it sheet.Item) bool { return it.Name == name })
	it := m.Items()[i]
	return &LayError{
		Item: it, Motif: m.Kinds[m.CutoutOf(it.Kind)].Motif, Patch: m.IsPatch(it.Kind),
		Name: m.Name(it.Kind), Pieces: len(m.Motifs[m.Kinds[it.Kind].Motif].Pieces), Err: err,
	}
}

// sheetItems lists every piece of every kind as it is laid, each with a name of
// its own.
func sheetItems(m Mix, counts []Count) []sheet.Item {
	var out []sheet.Item
	for _, it := range m.Items() {
		pc, size := m.PieceOf(it), m.Size(it)
		out = append(out, sheet.Item{
			Name:  fmt.Sprintf("%s #%d", m.Name(it.Kind), it.Piece+1),
			Shape: pc.Region.Transform(geom.Scaling(size, size)), Colour: pc.Colour, Count: counts[it.Kind].Cut(),
		})
	}
	return out
}

// stockOf returns a kind of felt as package sheet has it.
func stockOf(s project.Sheet) sheet.Stock {
	return sheet.Stock{
		Name: s.Name, Width: s.Width, Height: s.Height, Margin: s.Margin, Nap: naps()[s.Nap],
		Roll: s.Roll, PricePer: s.PricePer, SoldBy: s.SoldBy,
		Colours: s.Colours, Price: s.Price, InDrawer: s.Stock, NotSold: s.NotSold,
	}
}

func naps() map[project.Nap]sheet.Nap {
	return map[project.Nap]sheet.Nap{
		project.NapNone: sheet.AnyTurn, project.NapFourWay: sheet.FourWay, project.NapTwoWay: sheet.TwoWay, project.NapOneWay: sheet.OneWay,
	}
}
