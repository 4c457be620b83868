package words

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/scatter"
	"strew/sheet"
)

// Blame returns the key of the project file, "motif.0.width", whose value stands in
// the way of a plan, or a table's name where the table is missing. Where several
// do, it is the one that the maker most likely set: one that she wrote. It is ""
// where no value is to blame.
func Blame(p project.Project, err error) string {
	var problems project.Problems
	var input *stage.InputError
	var narrow *stage.ClothTooNarrow
	var little *stage.TooLittleFelt
	var lay *stage.LayError
	var no *scatter.Impossible
	switch {
	case errors.As(err, &problems) && len(problems) > 0:
		return blamed(problems).Key
	case errors.As(err, &input):
		return input.Key
	case errors.As(err, &narrow):
		return narrowKey(p, narrow)
	case errors.As(err, &little) && little.Sheets > 0:
		return "scatter.sheets"
	case errors.As(err, &little):
		return "scatter.budget"
	case errors.As(err, &lay):
		return layKey(p, lay)
	case errors.As(err, &no):
		return impossibleKey(p, no.Key)
	}
	return ""
}

// blamed returns the first problem that names a key; the first one where none does.
func blamed(problems project.Problems) project.Problem {
	i := slices.IndexFunc(problems, func(p project.Problem) bool { return p.Key != "" })
	return problems[max(0, i)]
}

// narrowKey blames the width of the cloth where it was written, and else what makes
// the panels wide.
func narrowKey(p project.Project, e *stage.ClothTooNarrow) string {
	width := clothTable(e) + ".fabric_width"
	others := []string{"skirt.panels"}
	switch {
	case e.Drawn:
		others = []string{"skirt.outline"}
	case e.Part == stage.Lining:
		others = []string{"lining.circle", "lining.fullness"}
	}
	return cmp.Or(firstWritten(p, append([]string{width}, others...)...), width)
}

// sizeKey is the key that sets the size of the i-th motif's drawing.
func sizeKey(p project.Project, i int) string {
	return cmp.Or(firstWritten(p, motifKey(i, "width"), motifKey(i, "height")), motifKey(i, "width"))
}

// layKey blames the felt where the maker described it, and else the piece.
func layKey(p project.Project, e *stage.LayError) string {
	size, colour := sizeKey(p, e.Motif), motifKey(e.Motif, "colour")
	if e.Patch {
		size, colour = cmp.Or(firstWritten(p, "backing.size"), "backing.shape"), "backing.colour"
	}
	sheetKey := func(i int, key string) string { return fmt.Sprintf("sheet.%d.%s", max(0, i), key) }
	var big *sheet.FitError
	var short *sheet.ShortError
	switch {
	case errors.As(e.Err, &big):
		if other := otherSheet(p, big); other >= 0 {
			return sheetKey(other, "colours")
		}
		largest := slices.IndexFunc(p.Sheets, func(s project.Sheet) bool { return s.Name == big.Largest })
		return cmp.Or(firstWritten(p, sheetKey(largest, "width")), size)
	case errors.As(e.Err, &short):
		return sheetKey(slices.IndexFunc(p.Sheets, func(s project.Sheet) bool {
			return s.NotSold && (len(s.Colours) == 0 || slices.Contains(s.Colours, short.Colour))
		}), "stock")
	}
	// No felt comes in the piece's colour.
	listed := slices.IndexFunc(p.Sheets, func(s project.Sheet) bool { return len(s.Colours) > 0 })
	return cmp.Or(firstWritten(p, colour), sheetKey(listed, "colours"))
}

// impossibleKey is the key that package scatter names, or one beside it that the
// maker wrote, where that one is a default.
func impossibleKey(p project.Project, key string) string {
	if p.Written(key) {
		return key
	}
	table, _, _ := strings.Cut(key, ".")
	switch table {
	case "motif":
		if i, ok := motifOf(key); ok && strings.HasSuffix(key, ".width") {
			return sizeKey(p, i)
		}
	case "bare":
		return cmp.Or(firstWritten(p, strings.Replace(key, ".down", ".around", 1)), key)
	case "scatter":
		return cmp.Or(firstWritten(p, densityKey(p)), key)
	case "clearance":
		return cmp.Or(firstWritten(p, "clearance.waist", "clearance.hem", "clearance.between"), sizeKey(p, widest(p)))
	}
	return key
}

// widest returns the number of the motif with the largest size in the file; the
// first one where none has a size.
func widest(p project.Project) int {
	at, most := 0, 0.0
	for i, m := range p.Motifs {
		if size := math.Max(m.Width, m.Height); size > most {
			at, most = i, size
		}
	}
	return at
}
