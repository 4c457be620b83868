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

	"strew/motif/geom"
	"strew/motif/trace"
)

func traceCommand() *cobra.Command {
	var out, width, height string
	var force, quiet bool
	opt := trace.DefaultOptions()
	c := &cobra.Command{
		Use:   "trace DRAWING -o MOTIF.svg",
		Short: "From a scan or photo of a drawing to a clean outline",
		Long: `trace finds the figures in a picture of a drawing (PNG, JPEG, TIFF, WebP, BMP or
GIF) and writes their outlines as an SVG at true size. A drawn line is cut along
its middle; small gaps in it are closed; figures inside others are holes.

The size comes from --width or --height of the outlines, from the density of a
scan (--dpi, or what the file says), or from the sheet of paper that a photo
shows with all its corners (--paper); then the photo may be taken at a slant.

A picture beside the SVG, MOTIF-overlay.png, shows outlines and numbers of the
figures on the drawing. Both files appear or neither.`,
		Example: `  strew trace leaf-scan.png -o leaf.svg
  strew trace leaf-photo.jpg -o leaf.svg --paper a4
  strew trace page.png -o acorn.svg --pick 2 --width 6cm`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return wrongCall{fmt.Errorf("strew trace takes one drawing, and there are %d", len(args))}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if err := readLengths(c, &opt, width, height, geom.Centimetre); err != nil {
				return wrongCall{err}
			}
			if out == "" {
				return wrongCall{errors.New("say where the outline goes: -o MOTIF.svg")}
			}
			return traceFile(c, args[0], out, opt, force, quiet)
		},
	}
	f := c.Flags()
	f.StringVarP(&out, "output", "o", "", "the SVG to write")
	f.StringVar(&width, "width", "", "width of the outlines, such as 6cm (a bare number is in cm)")
	f.StringVar(&height, "height", "", "height of the outlines")
	f.Float64Var(&opt.DPI, "dpi", 0, "density of the scan in pixels per inch")
	f.StringVar(&opt.Paper, "paper", "", "the sheet a photo shows whole: "+strings.Join(trace.PaperSizes(), ", "))
	f.IntVar(&opt.Pick, "pick", 0, "only the figure of this number")
	f.Float64Var(&opt.Smooth, "smooth", opt.Smooth, "0 follows each wobble of the hand, 1 evens out most")
	f.StringVar((*string)(&opt.Edge), "edge", string(opt.Edge), "of a drawn line: middle or outer")
	f.StringVar((*string)(&opt.Kind), "kind", string(opt.Kind), "what is drawn: auto, line or filled")
	f.BoolVar(&force, "force", false, "overwrite files that strew trace did not write")
	f.BoolVarP(&quiet, "quiet", "q", false, "print nothing but errors")
	completeWords(c, "paper", trace.PaperSizes())
	completeWords(c, "edge", []string{"middle", "outer"})
	completeWords(c, "kind", []string{"auto", "line", "filled"})
	return c
}

// completeWords offers the words of a flag that was just defined.
func completeWords(c *cobra.Command, flag string, words []string) {
	complete := func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return words, cobra.ShellCompDirectiveNoFileComp
	}
	if err := c.RegisterFlagCompletionFunc(flag, complete); err != nil {
		panic(err)
	}
}

// readLengths reads the flags that are lengths and refuses zeros, which the
// tracer would take for nothing asked.
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
			return fmt.Errorf("--%s: %w", l.flag, err)
		}
		if !(n > 0) || math.IsInf(float64(n), 0) {
			return fmt.Errorf("--%s is %s: it must be more than 0", l.flag, l.text)
		}
		*l.to = float64(n)
	}
	if c.Flags().Changed("dpi") && !(opt.DPI > 0) {
		return fmt.Errorf("--dpi is %g: it must be more than 0", opt.DPI)
	}
	if c.Flags().Changed("pick") && opt.Pick < 1 {
		return fmt.Errorf("--pick is %d: figures are numbered from 1", opt.Pick)
	}
	return nil
}

func traceFile(c *cobra.Command, drawing, out string, opt trace.Options, force, quiet bool) error {
	overlay := strings.TrimSuffix(out, filepath.Ext(out)) + "-overlay.png"
	for _, name := range []string{out, overlay} {
		if sameFile(name, drawing) {
			return wrongCall{fmt.Errorf("%s is the drawing itself: write the outline to another file", name)}
		}
		if err := mayWrite(name, force); err != nil {
			return err
		}
	}
	data, err := readDrawingFile(drawing)
	if err != nil {
		return wrongCall{err}
	}
	res, err := trace.Read(c.Context(), data, opt)
	switch {
	case c.Context().Err() != nil:
		return c.Context().Err()
	case err != nil:
		return wrongCall{fmt.Errorf("%s: %w", drawing, err)}
	}
	shown, err := res.Overlay()
	if err != nil {
		return err
	}
	if err := c.Context().Err(); err != nil {
		return err
	}
	if err := writeBoth([2]string{out, overlay}, [2][]byte{res.SVG(), shown}); err != nil {
		return err
	}
	if quiet {
		return nil
	}
	for _, w := range res.Notes {
		fmt.Fprintf(c.ErrOrStderr(), "strew: %s: %s\n", drawing, w)
	}
	return written(fmt.Fprint(c.OutOrStdout(), traceAnswer(res, opt, out, overlay)))
}

// traceAnswer says what was traced and where it is.
func traceAnswer(res trace.Result, opt trace.Options, out, overlay string) string {
	var b strings.Builder
	box := geom.EmptyBox()
	for i, g := range res.Figures {
		n := i + 1
		if opt.Pick > 0 {
			n = opt.Pick
		}
		box = box.Union(g.Box())
		fmt.Fprintf(&b, "figure %d  %.1f × %.1f mm", n, g.Box().Width(), g.Box().Height())
		switch h := len(g.Holes); {
		case h == 1:
			b.WriteString(", 1 hole")
		case h > 1:
			fmt.Fprintf(&b, ", %d holes", h)
		}
		b.WriteByte('\n')
	}
	if len(res.Figures) > 1 {
		fmt.Fprintf(&b, "together  %.1f × %.1f mm; --pick N takes one of them\n", box.Width(), box.Height())
	}
	fmt.Fprintf(&b, "outline   %s, %d nodes\nto check  %s\n", out, res.Nodes(), overlay)
	return b.String()
}

// maxDrawing is the largest file read, in bytes: an uncompressed picture of
// the most pixels that are traced.
const maxDrawing = 400 << 20

func readDrawingFile(name string) ([]byte, error) {
	info, err := os.Stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("there is no file %s", name)
	case err != nil:
		return nil, fmt.Errorf("cannot read %s: %w", name, err)
	case info.IsDir():
		return nil, fmt.Errorf("%s is a folder, not a drawing", name)
	case info.Size() > maxDrawing:
		return nil, fmt.Errorf("%s has %d MB, and at most %d are read: save it as PNG or JPEG", name, info.Size()>>20, maxDrawing>>20)
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, fmt.Errorf("cannot read %s: %w", name, err)
	}
	return data, nil
}

func sameFile(a, b string) bool {
	i, err := os.Stat(a)
	j, err2 := os.Stat(b)
	return err == nil && err2 == nil && os.SameFile(i, j)
}

// mayWrite refuses to write where another's file or a folder is.
func mayWrite(name string, force bool) error {
	if dir := filepath.Dir(name); dir != "." {
		if info, err := os.Stat(dir); err != nil || !info.IsDir() {
			return wrongCall{fmt.Errorf("there is no folder %s to write to", dir)}
		}
	}
	info, err := os.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return fmt.Errorf("cannot write %s: %w", name, err)
	case !info.Mode().IsRegular():
		return wrongCall{fmt.Errorf("%s is no plain file and is not overwritten", name)}
	case force:
		return nil
	}
	data, err := os.ReadFile(name)
	if err == nil && (bytes.Contains(data[:min(len(data), 200)], []byte(trace.SVGMark)) || trace.IsOverlay(data)) {
		return nil
	}
	return wrongCall{fmt.Errorf("%s is there already and strew trace did not write it: name another file, or say --force to overwrite it", name)}
}

// writeBoth writes two files whole, or leaves both as they were.
func writeBoth(names [2]string, data [2][]byte) (err error) {
	var fresh [2]string
	defer func() {
		for _, f := range fresh {
			if f != "" {
				_ = os.Remove(f) // what was not renamed
			}
		}
	}()
	for i, name := range names {
		if fresh[i], err = writeBeside(name, data[i]); err != nil {
			return fmt.Errorf("cannot write %s: %w", name, err)
		}
	}
	// The first file's old state comes back if the second cannot take its place.
	old, hadOld := os.ReadFile(names[0])
	if err := os.Rename(fresh[0], names[0]); err != nil {
		return fmt.Errorf("cannot write %s: %w", names[0], err)
	}
	fresh[0] = ""
	if err := os.Rename(fresh[1], names[1]); err != nil {
		if hadOld == nil {
			_ = os.WriteFile(names[0], old, 0o644)
		} else {
			_ = os.Remove(names[0])
		}
		return fmt.Errorf("cannot write %s: %w", names[1], err)
	}
	fresh[1] = ""
	return nil
}

// writeBeside writes data to a new file next to name and returns its name.
func writeBeside(name string, data []byte) (string, error) {
	f, err := os.CreateTemp(filepath.Dir(name), ".strew-trace-*")
	if err != nil {
		return "", err
	}
	_, err = f.Write(data)
	err = errors.Join(err, f.Chmod(0o644), f.Close())
	return f.Name(), err
}
