package results

import (
	"bytes"
	"context"
	"fmt"

	"strew/cmd/internal/record"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
	"strew/motif/say"
	"strew/render"
	"strew/render/raster"
)

// The files of compare.
const (
	ComparedFile = "compare.json"
	BoardFile    = "board.png"
	CompareTable = "compare.csv"
)

// Compared draws the board of the choices, and returns it with their record and
// their table. title is the project's.
func Compared(ctx context.Context, title string, list []stage.Choice) ([]File, error) {
	choices := make([]render.Choice, len(list))
	for i, c := range list {
		text := words.ChoiceOf(c)
		choices[i] = render.Choice{Name: text.Name(), Empty: c.Err != nil, Notes: text.Notes()}
		if c.Err == nil {
			choices[i].Cloth, choices[i].Marks = Cloth(c.Plan), Marks(c.Plan)
		}
	}
	row := 0 // of one pattern in every spacing
	for row < len(list) && list[row].Pattern == list[0].Pattern {
		row++
	}
	board := render.Comparison(ctx, title, words.CompareBoard(say.Printer{Unit: list[0].Project.Unit}, len(list)), choices, row)
	dpi, _ := raster.Within(board, render.ScreenDPI)
	var b bytes.Buffer
	if err := raster.WritePNG(ctx, &b, board, dpi); err != nil {
		return nil, fmt.Errorf("%s: %w", BoardFile, err)
	}
	return []File{
		{ComparedFile, record.ComparedFiles(list, WhyNot)},
		{BoardFile, b.Bytes()},
		{CompareTable, words.CompareCSV(list)},
	}, nil
}

// WhyNot says why a choice could not be planned.
func WhyNot(c stage.Choice) string { return words.Error(c.Project, c.Err) }
