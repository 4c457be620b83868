package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"strew/cmd/internal/folder"
	"strew/cmd/internal/project"
	"strew/cmd/internal/record"
	"strew/cmd/internal/results"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/motif/trace"
)

// measuring is a call of measure.
type measuring struct {
	how           trace.Options
	allowances    motif.Allowances
	unit          geom.Unit
	width, height string // as given
	pictures      string // the folder for pictures; "": none are drawn
	asJSON, asCSV bool
}

func measureCommand() *cobra.Command {
	m := measuring{how: trace.DefaultOptions(), allowances: motif.DefaultAllowances(), unit: geom.Centimetre}
	c := &cobra.Command{
		Use:   "measure MOTIF...",
		Short: "Size, narrowest places, corners, backing, weight and faults of motifs",
		Long: `measure reads motifs (SVG, or scans and photos of drawings, which it traces as
strew plan does). For each piece of felt it gives the size, area and edge, the
narrowest part of the felt and the narrowest slot, the sharpest inner corner,
the widest circle inside (its centre is the glue point), the widest backing that
stays hidden at any turn, whether it is a small part, its weight and how long it
takes to cut. If one file cannot be read, the others still are.

The size of a picture comes from --width or --height of its outlines, from the
density of a scan (--dpi, or what the file says), or from the sheet of paper that
a photo shows with all its corners (--paper). All figures of a page are one motif
unless --pick takes one.`,
		Example: `  strew measure ginkgo.svg acorn.svg
  strew measure *.svg --width 6cm --picture pictures
  strew measure leaf-photo.jpg --paper a4 --json`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return wrongCall{say.Errorf("strew measure takes one motif or more, such as ginkgo.svg")}
			}
			return nil
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"svg", "svgz", "png", "jpg", "jpeg", "tif", "tiff", "webp", "bmp", "gif"}, cobra.ShellCompDirectiveFilterFileExt
		},
		RunE: m.run,
	}
	f := c.Flags()
	f.StringVar(&m.width, "width", "", "measure at this width, such as 6cm, instead of the drawing's own")
	f.StringVar(&m.height, "height", "", "measure at this height")
	f.Float64Var(&m.how.DPI, "dpi", 0, "pictures: density of the scan in pixels per inch")
	f.StringVar(&m.how.Paper, "paper", "", "pictures: the sheet that a photo shows whole: "+strings.Join(trace.PaperSizes(), ", "))
	f.IntVar(&m.how.Pick, "pick", 0, "pictures: only the figure of this number")
	f.StringVar((*string)(&m.unit), "unit", string(m.unit), "mm, cm or in: for lengths shown and for bare numbers in flags")
	f.Float64Var(&m.allowances.FeltWeight, "felt-weight", m.allowances.FeltWeight, "weight of the felt in g/m²")
	f.BoolVar(&m.asJSON, "json", false, "print JSON and nothing else")
	f.BoolVar(&m.asCSV, "csv", false, "print a table for a spreadsheet and nothing else")
	f.StringVar(&m.pictures, "picture", "", "folder for a picture of each motif with all its measures")
	completeWords(c, "paper", trace.PaperSizes()...)
	return c
}

// maxFeltWeight, g/m²: industrial felt one centimetre thick weighs less.
const maxFeltWeight = 5000.0

// check reads and checks the flags.
func (m *measuring) check(c *cobra.Command) error {
	asked := m.unit
	m.unit = geom.Unit(strings.ToLower(string(asked)))
	if m.unit != geom.Millimetre && m.unit != geom.Centimetre && m.unit != geom.Inch {
		return say.Errorf("--unit is %q; write mm, cm or in", string(asked))
	}
	if m.asJSON && m.asCSV {
		return say.Errorf("--json and --csv are both given: choose one")
	}
	if w := m.allowances.FeltWeight; !(w > 0) || w > maxFeltWeight {
		return say.Errorf("--felt-weight is %g: it is in g/m², more than 0 and at most %g", w, maxFeltWeight)
	}
	var given []string
	for _, name := range []string{"width", "height", "dpi", "paper"} {
		if c.Flags().Changed(name) {
			given = append(given, "--"+name)
		}
	}
	if len(given) > 1 {
		return say.Errorf("%s and %s are both given: give one of them, as each sets the size", given[0], given[1])
	}
	return readLengths(c, &m.how, m.width, m.height, m.unit)
}

// run measures the files and writes all that was asked for. The error then names
// the files that could not be read.
func (m *measuring) run(c *cobra.Command, names []string) error {
	if err := m.check(c); err != nil {
		return wrongCall{err}
	}
	ctx := c.Context()
	to := destination{Folder: folder.New(m.pictures, folder.Owner{Command: "measure"}), errs: c.ErrOrStderr()}
	if m.pictures != "" {
		kept, err := to.Prepare([]string{results.MeasuredFile})
		to.tell(kept)
		if err != nil {
			return err
		}
	}
	list, err := untilStopped(ctx, func() ([]stage.Measured, error) {
		return stage.Measure(ctx, project.Beside(""), names, motif.Options{Width: m.how.Width, Height: m.how.Height}, m.how), ctx.Err()
	})
	if err != nil {
		return err
	}
	w := words.Measured{Printer: say.Printer{Unit: m.unit}, Allowances: m.allowances}
	if m.pictures != "" {
		pictures, err := untilStopped(ctx, func() ([]results.File, error) { return results.Measured(ctx, list, w) })
		if err != nil {
			return err
		}
		if len(pictures) > 0 {
			if err := to.replace(ctx, pictures); err != nil {
				return err
			}
		}
	}
	if err := m.answer(c, list, w); err != nil {
		return err
	}
	return stage.Unread(list)
}

// answer prints the measures, and the warnings if the measures do not include them.
func (m *measuring) answer(c *cobra.Command, list []stage.Measured, w words.Measured) error {
	out, errs := c.OutOrStdout(), c.ErrOrStderr()
	switch {
	case m.asJSON:
		return written(out.Write(record.Measured(w.Printer, list, w.Allowances)))
	case m.asCSV:
		if err := written(out.Write(w.CSV(list))); err != nil {
			return err
		}
	default:
		if err := written(fmt.Fprint(out, w.Table(list, columns(out)))); err != nil {
			return err
		}
	}
	for _, one := range list {
		for _, text := range w.Messages(one.Warnings) {
			fmt.Fprintf(errs, "%s: %s\n", one.File, text)
		}
	}
	return nil
}
