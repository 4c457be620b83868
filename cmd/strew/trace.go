package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"strew/cmd/internal/folder"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/motif/trace"
)

// tracing is a call of trace.
type tracing struct {
	opt                trace.Options
	out, width, height string // as given
	force, quiet       bool
}

func traceCommand() *cobra.Command {
	t := tracing{opt: trace.DefaultOptions()}
	c := &cobra.Command{
		Use:   "trace DRAWING -o MOTIF.svg",
		Short: "From a scan or photo of a drawing to a clean outline",
		Long: `trace finds the figures in a picture of a drawing (PNG, JPEG, TIFF, WebP, BMP or
GIF) and writes their outlines as an SVG at true size. A drawn line is cut along
its middle; small gaps in it are closed; figures inside others are holes.

The size comes from --width or --height of the outlines, from the density of a
scan (--dpi, or what the file says), or from the sheet of paper that a photo
shows with all its corners (--paper); then the photo may be taken at a slant.

A picture beside the SVG, MOTIF-overlay.png, shows the outlines and numbers of
the figures on the drawing. Both files appear or neither.`,
		Example: `  strew trace leaf-scan.png -o leaf.svg
  strew trace leaf-photo.jpg -o leaf.svg --paper a4
  strew trace page.png -o acorn.svg --pick 2 --width 6cm`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return wrongCall{say.Errorf("strew trace takes one drawing, but %d were given", len(args))}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if err := readLengths(c, &t.opt, t.width, t.height, geom.Centimetre); err != nil {
				return wrongCall{err}
			}
			if t.out == "" {
				return wrongCall{say.Errorf("say where the outline goes: -o MOTIF.svg")}
			}
			return t.run(c, args[0])
		},
	}
	f := c.Flags()
	f.StringVarP(&t.out, "output", "o", "", "the SVG to write")
	f.StringVar(&t.width, "width", "", "width of the outlines, such as 6cm (a bare number is in cm)")
	f.StringVar(&t.height, "height", "", "height of the outlines")
	f.Float64Var(&t.opt.DPI, "dpi", 0, "density of the scan in pixels per inch")
	f.StringVar(&t.opt.Paper, "paper", "", "the sheet that a photo shows whole: "+strings.Join(trace.PaperSizes(), ", "))
	f.IntVar(&t.opt.Pick, "pick", 0, "only the figure of this number")
	f.Float64Var(&t.opt.Smooth, "smooth", t.opt.Smooth, "0 follows every wobble of the hand, 1 smooths out most")
	f.StringVar((*string)(&t.opt.Edge), "edge", string(t.opt.Edge), "which edge of a drawn line to cut: middle or outer")
	f.StringVar((*string)(&t.opt.Kind), "kind", string(t.opt.Kind), "what is drawn: auto, line or filled")
	f.BoolVar(&t.force, "force", false, "overwrite files that strew trace did not write")
	f.BoolVarP(&t.quiet, "quiet", "q", false, "print nothing but errors")
	completeWords(c, "paper", trace.PaperSizes()...)
	completeWords(c, "edge", "middle", "outer")
	completeWords(c, "kind", "auto", "line", "filled")
	return c
}

// completeWords offers the words that a flag takes.
func completeWords(c *cobra.Command, flag string, words ...string) {
	err := c.RegisterFlagCompletionFunc(flag, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return words, cobra.ShellCompDirectiveNoFileComp
	})
	if err != nil {
		panic(err) // a flag that was just defined
	}
}

// readLengths reads the flags that are lengths, and refuses zeros, which to the
// tracer mean that nothing is asked.
func readLengths(c *cobra.Command, opt *trace.Options, width, height string, unit geom.Unit) error {
	for _, l := range []struct {
		flag, text string
		to         *float64
	}{{"width", width, &opt.Width}, {"height", height, &opt.Height}} {
		if !c.Flags().Changed(l.flag) {
			continue
		}
		n, err := geom.ParseLength(l.text, unit)
		if err != nil {
			return say.Errorf("--%s: %s", l.flag, err)
		}
		if !(n > 0) || math.IsInf(float64(n), 0) {
			return say.Errorf("--%s is %s: it must be more than 0", l.flag, l.text)
		}
		*l.to = float64(n)
	}
	if c.Flags().Changed("dpi") && !(opt.DPI > 0) {
		return say.Errorf("--dpi is %g: it must be more than 0", opt.DPI)
	}
	if c.Flags().Changed("pick") && opt.Pick < 1 {
		return say.Errorf("--pick is %d: figures are numbered from 1", opt.Pick)
	}
	return nil
}

// run traces the drawing and writes the outline and the picture to check it by.
func (t *tracing) run(c *cobra.Command, drawing string) error {
	overlay := strings.TrimSuffix(t.out, filepath.Ext(t.out)) + "-overlay.png"
	for _, name := range []string{t.out, overlay} {
		if sameFile(name, drawing) {
			return wrongCall{say.Errorf("%s is the drawing itself: write the outline to another file", name)}
		}
		if err := mayWrite(name, t.force); err != nil {
			return err
		}
	}
	data, err := readDrawingFile(drawing)
	if err != nil {
		return wrongCall{err}
	}
	ctx := c.Context()
	res, err := untilStopped(ctx, func() (trace.Result, error) { return trace.Read(ctx, data, t.opt) })
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		return wrongCall{say.Errorf("%s: %s", drawing, err)}
	}
	shown, err := untilStopped(ctx, res.Overlay)
	if err != nil {
		return err
	}
	both := []folder.File{{Name: filepath.Base(t.out), Data: res.SVG()}, {Name: filepath.Base(overlay), Data: shown}}
	if err := folder.Overwrite(ctx, filepath.Dir(t.out), both); err != nil {
		return err
	}
	if t.quiet {
		return nil
	}
	for _, w := range res.Notes {
		fmt.Fprintf(c.ErrOrStderr(), "strew: %s: %s\n", drawing, say.Printer{}.Message(w))
	}
	return written(fmt.Fprint(c.OutOrStdout(), t.answer(res, overlay)))
}

// answer says what was traced and where it is.
func (t *tracing) answer(res trace.Result, overlay string) string {
	var b strings.Builder
	print := say.Printer{}
	box := geom.EmptyBox()
	for i, g := range res.Figures {
		n := i + 1
		if t.opt.Pick > 0 {
			n = t.opt.Pick
		}
		box = box.Union(g.Box())
		figure := say.New("figure %d  %.1f × %.1f mm", n, g.Box().Width(), g.Box().Height())
		if h := len(g.Holes); h > 0 {
			figure = say.Many(h, "%[2]s, %[1]d hole", "%[2]s, %[1]d holes", figure)
		}
		fmt.Fprintln(&b, print.Message(figure))
	}
	if len(res.Figures) > 1 {
		fmt.Fprintln(&b, print.Say("together  %.1f × %.1f mm; --pick N takes one of them", box.Width(), box.Height()))
	}
	fmt.Fprintln(&b, print.Say("outline   %s, %d nodes", t.out, res.Nodes()))
	fmt.Fprintln(&b, print.Say("to check  %s", overlay))
	return b.String()
}

// maxDrawing is the largest file read, in bytes: an uncompressed picture with as
// many pixels as can be traced.
const maxDrawing = 400 << 20

func readDrawingFile(name string) ([]byte, error) {
	info, err := os.Stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, say.Errorf("%s: there is no such file", name)
	case err != nil:
		return nil, say.Errorf("cannot read %s: %s", name, err)
	case info.IsDir():
		return nil, say.Errorf("%s is a folder, not a drawing", name)
	case info.Size() > maxDrawing:
		return nil, say.Errorf("%s has %d MB, and at most %d are read: save it as PNG or JPEG", name, info.Size()>>20, maxDrawing>>20)
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, say.Errorf("cannot read %s: %s", name, err)
	}
	return data, nil
}

func sameFile(a, b string) bool {
	i, err := os.Stat(a)
	j, err2 := os.Stat(b)
	return err == nil && err2 == nil && os.SameFile(i, j)
}

// mayWrite refuses to overwrite a file that strew trace did not write, or anything
// that is not a file.
func mayWrite(name string, force bool) error {
	if dir := filepath.Dir(name); dir != "." {
		if info, err := os.Stat(dir); err != nil || !info.IsDir() {
			return wrongCall{say.Errorf("there is no folder %s to write to", dir)}
		}
	}
	info, err := os.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return say.Errorf("cannot write %s: %s", name, err)
	case !info.Mode().IsRegular():
		return wrongCall{say.Errorf("%s is not an ordinary file and is not overwritten", name)}
	case force:
		return nil
	}
	data, err := os.ReadFile(name)
	if err == nil && (bytes.Contains(data[:min(len(data), 200)], []byte(trace.SVGMark)) || trace.IsOverlay(data)) {
		return nil
	}
	return wrongCall{say.Errorf("%s is already there and was not written by strew trace: name another file, or use --force to overwrite it", name)}
}
