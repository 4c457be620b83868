// Package trace turns a drawing on paper, scanned or photographed, into clean
// outlines in millimetres.
//
// The steps, each a function from values to new ones: the file is decoded and
// set upright (decode, exif, grey); a sheet of paper seen at a slant is found
// (paper); the ink is set off against the light on the page (light); ink that
// hangs together is taken apart into filled figures and drawn lines (blobs,
// figure, line); edges are followed to parts of a pixel (field) and become few
// curves with their corners kept (corner, fit).
package trace

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"strew/motif/geom"
)

// Edge says which edge of a drawn line is the outline.
type Edge string

// The edges of a drawn line.
const (
	Middle Edge = "middle" // the middle of the line
	Outer  Edge = "outer"  // its outer side
)

// Kind says what the drawing is.
type Kind string

// The kinds of drawing.
const (
	Auto   Kind = "auto"   // told apart figure by figure
	Line   Kind = "line"   // drawn outlines
	Filled Kind = "filled" // solid figures
)

// Options says how to trace a drawing. Its size comes from one of Width,
// Height, DPI and Paper, or else from the file.
type Options struct {
	Width, Height float64 // mm, of all traced figures together
	DPI           float64 // pixels per inch of the picture
	Paper         string  // the sheet the photo shows whole: a key of PaperSizes
	Pick          int     // number of the one figure to trace; 0 for all
	Smooth        float64 // 0 follows each wobble, 1 evens out most; 0.5 is usual
	Edge          Edge    // "" is Middle
	Kind          Kind    // "" is Auto
}

// DefaultOptions returns what is usual: all figures, the middle of lines, the
// size that the file states.
func DefaultOptions() Options { return Options{Smooth: 0.5, Edge: Middle, Kind: Auto} }

// Result is a traced drawing.
type Result struct {
	// Figures are the outlines in mm, in reading order or the picked one alone,
	// the top left of the box round them at the origin. Each is sound: its
	// rings are simple and do not meet; the outer ring runs clockwise as seen, holes
	// the other way.
	Figures []geom.Region
	// Found is how many figures the page holds.
	Found int
	// PixelMM is the size of a pixel of the file on paper, in the middle of a slanted photo.
	PixelMM float64
	// Warnings say what was left out or not believed.
	Warnings []string

	curves  [][][]bezier // by figure and ring, in mm
	pic     plane
	onPic   []geom.Region // all figures found, in pixels of pic
	picked  int           // 0 for all
	corner  geom.Vec      // where the origin lies on the flat page, in pixels
	corners []geom.Vec    // of the sheet, in pixels; nil where none was asked for
}

// maxSize is the largest motif, in mm: no craft sheet is wider.
const maxSize = 2000

func (o *Options) check() error {
	given := 0
	for _, l := range []struct {
		what string
		v    float64
		max  float64
	}{{"width", o.Width, maxSize}, {"height", o.Height, maxSize}, {"dpi", o.DPI, 10_000}} {
		if math.IsNaN(l.v) || l.v < 0 || l.v > l.max {
			return fmt.Errorf("the %s is %g: it must be more than 0 and at most %g", l.what, l.v, l.max)
		}
		if l.v > 0 {
			given++
		}
	}
	if o.Paper != "" {
		given++
		if _, ok := geom.PaperNamed(o.Paper); !ok {
			return fmt.Errorf("%q is no size of paper: %s are known", o.Paper, strings.Join(PaperSizes(), ", "))
		}
	}
	if given > 1 {
		return errors.New("the size is given more than once: give one of width, height, dpi and paper")
	}
	if o.Pick < 0 {
		return fmt.Errorf("there is no figure %d: figures are numbered from 1", o.Pick)
	}
	if !(o.Smooth >= 0 && o.Smooth <= 1) {
		return fmt.Errorf("smooth is %g: it must be from 0 to 1", o.Smooth)
	}
	switch o.Edge {
	case "":
		o.Edge = Middle
	case Middle, Outer:
	default:
		return fmt.Errorf("%q is no edge of a line: \"middle\" and \"outer\" are", o.Edge)
	}
	switch o.Kind {
	case "":
		o.Kind = Auto
	case Auto, Line, Filled:
	default:
		return fmt.Errorf("%q is no kind of drawing: \"auto\", \"line\" and \"filled\" are", o.Kind)
	}
	return nil
}

// Read traces the drawing in data: PNG, JPEG, TIFF, WebP, BMP or GIF, told by
// content. An error says what is wrong with the picture or the call and what
// to do, without the name of the file; on ctx's end it is ctx's cause.
func Read(ctx context.Context, data []byte, opt Options) (Result, error) {
	if err := opt.check(); err != nil {
		return Result{}, err
	}
	pic, err := decode(data, greyOf)
	if err != nil {
		return Result{}, err
	}
	res, err := read(ctx, pic, opt)
	if !errors.Is(err, errBlank) || !pic.coloured {
		return res, err
	}
	// Pale yellow is hardly darker than white, but it lacks blue.
	if pic, err = decode(data, darkestOf); err != nil {
		return Result{}, err
	}
	return read(ctx, pic, opt)
}

func read(ctx context.Context, pic picture, opt Options) (Result, error) {
	if err := stopped(ctx); err != nil {
		return Result{}, err
	}
	res := Result{pic: pic.plane, picked: opt.Pick}
	flat, back, rows := homography{}, homography{}, wholePage(pic.w, pic.h)
	pixel := 0.0 // mm; 0 until the figures' size gives it
	switch {
	case opt.Width > 0 || opt.Height > 0:
	case opt.DPI > 0:
		pixel = inchMM / opt.DPI * float64(pic.shrunk)
	case opt.Paper != "":
		sheet, err := findSheet(ctx, pic.plane, opt.Paper)
		if err != nil {
			return Result{}, err
		}
		flat, back, rows, pixel = sheet.flat, sheet.back, sheet.rows(pic.plane), sheet.pixel
		res.corners = sheet.corners[:]
		if sheet.note != "" {
			res.Warnings = append(res.Warnings, sheet.note)
		}
	case pic.dpi > 0:
		pixel = inchMM / pic.dpi
	default:
		return Result{}, pic.noSize()
	}
	in, err := findInk(ctx, pic.plane, rows)
	if err != nil {
		return Result{}, err
	}
	found, err := find(ctx, in, opt)
	if err != nil {
		return Result{}, err
	}
	res.Found = len(found.shapes)
	res.Warnings = append(res.Warnings, found.notes...)
	for _, s := range found.shapes {
		res.onPic = append(res.onPic, s.Region)
	}
	if n := likeSheet(in, found.shapes); n > 0 {
		res.Warnings = append(res.Warnings, fmt.Sprintf("figure %d looks like a sheet of paper on a darker ground: say which size it has (--paper a4), and what is drawn on it is traced at its true size", n))
	}
	shapes := found.shapes
	if opt.Pick > len(shapes) {
		return Result{}, fmt.Errorf("there is no figure %d: %s found on the page", opt.Pick, count(len(shapes), "figure was", "figures were"))
	}
	if opt.Pick > 0 {
		shapes = shapes[opt.Pick-1 : opt.Pick]
	}
	curves, regions, err := fitShapes(ctx, shapes, flat, in, pic.bilevel(), pixel, opt.Smooth)
	if err != nil {
		return Result{}, err
	}
	box := geom.EmptyBox()
	for _, g := range regions {
		box = box.Union(g.Box())
	}
	switch {
	case opt.Width > 0:
		pixel = opt.Width / box.Width()
	case opt.Height > 0:
		pixel = opt.Height / box.Height()
	}
	if w := pixel * math.Max(box.Width(), box.Height()); w > maxSize {
		return Result{}, fmt.Errorf("the figures would be %.0f mm large, and at most %d mm are traced: is the density right?", w, maxSize)
	}
	toMM := geom.Translation(box.Min.Mul(-1)).Then(geom.Scaling(pixel, pixel))
	for i, g := range regions {
		if opt.Pick > 0 {
			i = opt.Pick - 1
		}
		res.onPic[i] = geom.Region{Outer: back.ring(g.Outer)}
		for _, h := range g.Holes {
			res.onPic[i].Holes = append(res.onPic[i].Holes, back.ring(h))
		}
	}
	for i, g := range regions {
		res.Figures = append(res.Figures, g.Transform(toMM))
		for _, ring := range curves[i] {
			for k := range ring {
				for j := range ring[k] {
					ring[k][j] = toMM.Apply(ring[k][j])
				}
			}
		}
	}
	res.corner = box.Min
	res.curves, res.PixelMM = curves, pixel/float64(pic.shrunk)
	return res, nil
}

// likeSheet returns the number of a figure that looks like a sheet of paper: bright
// on dark, large, with four sides and something on it; 0 where none does.
func likeSheet(in ink, shapes []shape) int {
	const large, square = 0.2, 0.95 // of the picture; of the four-sided figure round it
	for i, s := range shapes {
		if !in.dark || len(s.Holes) == 0 || s.Outer.Area() < large*float64(in.w*in.h) {
			continue
		}
		if quad, ok := fourSides(hull(wholePixels(s.Outer))); ok && s.Outer.Area() > square*math.Abs(geom.Ring(quad[:]).Area()) {
			return i + 1
		}
	}
	return 0
}

func wholePixels(r geom.Ring) []geom.Vec {
	out := make([]geom.Vec, len(r))
	for i, p := range r {
		out[i] = geom.Vec{X: math.Round(p.X), Y: math.Round(p.Y)}
	}
	return out
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// noSize says why the file does not tell how large the drawing is.
func (p picture) noSize() error {
	why := "the picture does not say how large the drawing is"
	switch {
	case p.camera:
		why = "the picture comes from a camera, which cannot know how large the drawing is"
	case p.told > 0:
		why = fmt.Sprintf("the picture says %.0f dpi, which programs write that do not know the size", p.told)
	}
	return fmt.Errorf("%s: give a width or a height (--width 6cm), the density of the scan (--dpi 300), or the sheet of paper that a photo shows whole (--paper a4)", why)
}

// Accuracy of curves, in pixels, for pictures of different kinds.
const (
	cleanOff, cleanWindow     = 0.1, 4 // grey, without grain
	grainOff, grainWindow     = 0.3, 4
	bilevelOff, bilevelWindow = 0.25, 9 // two shades: edges lie up to 0.7 px off
	gateOff                   = 0.05    // two shades, set between the pixels
	// Pixels are small squares, and straight steps between their middles cut a
	// bend short: found on discs of 10 to 100 pixels, whose areas are known.
	cleanPull, bilevelPull = 0.4, 0.15
	// drawnOff, in mm, is how far a steady hand strays from the line it means:
	// half of what scissors can follow.
	drawnOff    = geom.FlattenTol / 2
	mostOff     = 1.5 // pixels
	mostWindow  = 25
	defaultArm  = 7
	bilevelArm  = 9
	drawnArmMM  = 1.0 // mm; corners of a drawn line are rounded by the pen
	mostArm     = 30
	smoothTwice = 2 // smooth 0.5 ± 0.5 changes the slack by 2 to this power
)

// fittingFor says how closely the edge of s is followed.
func fittingFor(s shape, in ink, bilevel bool, pixel, smooth float64) fitting {
	const grain = 0.004 // of the page's brightness, after blurring
	f := fitting{arm: defaultArm, corner: cornerTurn, window: cleanWindow, off: cleanOff, pull: cleanPull}
	switch {
	case bilevel:
		f.arm, f.window, f.off, f.pull = bilevelArm, bilevelWindow, bilevelOff, bilevelPull
		if s.stroke == 0 {
			f.gates, f.off, f.pull = gateSmooth, gateOff, 0
		}
	case s.stroke > 0 || in.noise > grain:
		f.window, f.off, f.pull = grainWindow, grainOff, 0
	}
	if s.stroke > 0 {
		f.arm = math.Max(f.arm, s.stroke)
		if pixel > 0 {
			f.off = math.Max(f.off, math.Min(mostOff, drawnOff/pixel))
			f.arm = math.Max(f.arm, math.Min(mostArm, drawnArmMM/pixel))
		}
		f.window = max(f.window, min(mostWindow, int(f.arm/2)))
	}
	k := math.Pow(2, smoothTwice*(2*smooth-1))
	f.off, f.gates = f.off*k, f.gates*math.Pow(k, 1.0/6)
	f.window = max(1, min(mostWindow, int(math.Round(float64(f.window)*math.Sqrt(k)))))
	f.corner *= math.Max(1, math.Sqrt(k)/1.3)
	return f
}

// fitShapes turns figures into curves in pixels of the flat page, and into
// regions of straight steps. Where curves would meet or turn over they are fitted closer;
// in the end the steps are those of the pixels.
func fitShapes(ctx context.Context, shapes []shape, flat homography, in ink, bilevel bool, pixel, smooth float64) (curves [][][]bezier, regions []geom.Region, err error) {
	rings := make([][]geom.Ring, len(shapes))
	for i, s := range shapes {
		for _, r := range s.Rings() {
			rings[i] = append(rings[i], flat.ring(r))
		}
	}
	const tries = 4
	for try := range tries {
		curves, regions = make([][][]bezier, len(shapes)), make([]geom.Region, len(shapes))
		var all []geom.Ring
		turned := false // a small ring fitted loosely can come out inside out
		for i, s := range shapes {
			if err := stopped(ctx); err != nil {
				return nil, nil, err
			}
			f := fittingFor(s, in, bilevel, pixel, smooth)
			f.off /= math.Pow(2, float64(try))
			f.window = max(1, f.window>>try)
			for k, r := range rings[i] {
				c := polygon(r)
				if try < tries-1 {
					c = f.curve(r)
				}
				ring := flatten(c, flattenPixels)
				curves[i] = append(curves[i], c)
				if k == 0 {
					regions[i].Outer = ring
				} else {
					regions[i].Holes = append(regions[i].Holes, ring)
				}
				all = append(all, ring)
				turned = turned || ring.Area()*r.Area() <= 0
			}
		}
		if !turned && simple(all) {
			return curves, regions, nil
		}
	}
	return nil, nil, errors.New("the outline crosses itself: draw it with a thinner pen, or scan it at a higher density")
}

// flattenPixels is how far straight steps may lie off a curve, in pixels: less
// than the edge is known to.
const flattenPixels = 0.002

// polygon returns a ring as straight curves.
func polygon(r geom.Ring) []bezier {
	var out []bezier
	for i, p := range r {
		if q := r.At(i + 1); p != q {
			out = append(out, straight(p, q))
		}
	}
	return out
}
