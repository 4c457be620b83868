package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"strew/cmd/internal/record"
	"strew/cmd/internal/results"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/motif/trace"
)

func measureCommand() *cobra.Command {
	var width, height, unitName, dir string
	var asJSON, asCSV bool
	a := motif.DefaultAllowances()
	how := trace.DefaultOptions()
	c := &cobra.Command{
		Use:   "measure MOTIF...",
		Short: "Size, narrowest places, corners, backing, weight and faults of motifs",
		Long: `measure reads motifs (SVG, or scans and photos of drawings, which it traces as
strew plan does) and tells of every piece of felt its size, area and edge, the
narrowest place of the felt and the narrowest slot, the sharpest inner corner,
the widest circle (its centre is the glue point), the widest backing that stays
hidden at any turn, whether it is a small part, its weight and how long it takes
to cut. A file that cannot be read does not keep the others back.

The size of a picture comes from --width or --height of its outlines, from the
density of a scan (--dpi, or what the file says), or from the sheet of paper that
a photo shows with all its corners (--paper). All figures of a page are one motif
unless --pick takes one.`,
		Example: `  strew measure ginkgo.svg acorn.svg
  strew measure *.svg --width 6cm --picture pictures
  strew measure leaf-photo.jpg --paper a4 --json`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return wrongCall{errors.New("strew measure takes one motif or more, such as ginkgo.svg")}
			}
			return nil
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"svg", "svgz", "png", "jpg", "jpeg", "tif", "tiff", "webp", "bmp", "gif"}, cobra.ShellCompDirectiveFilterFileExt
		},
		RunE: func(c *cobra.Command, args []string) error {
			unit := geom.Unit(strings.ToLower(unitName))
			if unit != geom.Millimetre && unit != geom.Centimetre && unit != geom.Inch {
				return wrongCall{fmt.Errorf("--unit is %q, and mm, cm and in are known", unitName)}
			}
			if asJSON && asCSV {
				return wrongCall{errors.New("--json and --csv are both asked for: choose one")}
			}
			if !(a.FeltWeight > 0) || a.FeltWeight > maxFeltWeight {
				return wrongCall{fmt.Errorf("--felt-weight is %g: it is in g/m², more than 0 and at most %g", a.FeltWeight, maxFeltWeight)}
			}
			if err := sizeAsked(c, &how, width, height, unit); err != nil {
				return wrongCall{err}
			}
			return measure(c, args, how, a, unit, dir, asJSON, asCSV)
		},
	}
	f := c.Flags()
	f.StringVar(&width, "width", "", "measure at this width, such as 6cm, instead of the drawing's own")
	f.StringVar(&height, "height", "", "measure at this height")
	f.Float64Var(&how.DPI, "dpi", 0, "pictures: density of the scan in pixels per inch")
	f.StringVar(&how.Paper, "paper", "", "pictures: the sheet a photo shows whole: "+strings.Join(trace.PaperSizes(), ", "))
	f.IntVar(&how.Pick, "pick", 0, "pictures: only the figure of this number")
	f.StringVar(&unitName, "unit", string(geom.Centimetre), "mm, cm or in: of lengths shown, and of bare numbers in flags")
	f.Float64Var(&a.FeltWeight, "felt-weight", a.FeltWeight, "weight of the felt in g/m²")
	f.BoolVar(&asJSON, "json", false, "print JSON and nothing else")
	f.BoolVar(&asCSV, "csv", false, "print a table to read into a spreadsheet, and nothing else")
	f.StringVar(&dir, "picture", "", "folder for a picture of each motif with all its measures")
	completeWords(c, "paper", trace.PaperSizes())
	return c
}

// maxFeltWeight, g/m²: industrial felt of a centimetre weighs less.
const maxFeltWeight = 5000.0

// sizeAsked reads the size at which motifs are to be measured.
func sizeAsked(c *cobra.Command, how *trace.Options, width, height string, unit geom.Unit) error {
	var given []string
	for _, name := range []string{"width", "height", "dpi", "paper"} {
		if c.Flags().Changed(name) {
			given = append(given, "--"+name)
		}
	}
	if len(given) > 1 {
		return fmt.Errorf("%s and %s are both given: give one of them, as each tells the size", given[0], given[1])
	}
	return readLengths(c, how, width, height, unit)
}

// measure measures the files and writes all that was asked for; files that
// could not be read are an error after that.
func measure(c *cobra.Command, names []string, how trace.Options, a motif.Allowances, unit geom.Unit, dir string, asJSON, asCSV bool) error {
	out, errs := c.OutOrStdout(), c.ErrOrStderr()
	list := stage.Measure(c.Context(), diskFiles(""), names, motif.Options{Width: how.Width, Height: how.Height}, how)
	if err := c.Context().Err(); err != nil {
		return err
	}
	w := words.Measured{Printer: say.Printer{Unit: unit}, Allowances: a}
	if dir != "" {
		pictures, err := results.Measured(c.Context(), list, w)
		if err != nil {
			return err
		}
		if len(pictures) > 0 {
			if err := replace(dir, pictures, earlierMeasured(dir)); err != nil {
				return err
			}
		}
	}
	var err error
	switch {
	case asJSON:
		err = written(out.Write(record.Measured(w.Printer, list, a)))
	case asCSV:
		err = written(out.Write(w.CSV(list)))
	default:
		err = written(fmt.Fprint(out, w.Table(list, columns(out))))
	}
	if err != nil {
		return err
	}
	if !asJSON { // which holds them
		for _, m := range list {
			for _, text := range w.Messages(m.Warnings) {
				fmt.Fprintf(errs, "%s: %s\n", m.File, text)
			}
		}
	}
	return stage.Unread(list)
}
