// Package trace turns a drawing on paper, scanned or photographed, into clean
// outlines in millimetres.
//
// The steps, each a function from values to new ones:
//
//   - the file is decoded and set upright (decode, exif, grey);
//   - a sheet of paper seen at a slant is found and gives the perspective (sheet,
//     quadrilateral, sheetedge, homography);
//   - ink is separated from the illumination of the page (illumination, ink);
//   - connected components of ink are sorted into filled figures and drawn lines
//     (components, mark, figure), lines taken at their middle (distance, midline)
//     and their gaps closed (closing);
//   - edges are followed at sub-pixel accuracy (contour) and fitted by few cubic
//     curves with their corners kept (corner, fit, bilevel, outline).
package trace

import (
	"context"
	"errors"
	"math"

	"strew/motif/geom"
	"strew/motif/say"
)

// Result is a traced drawing.
type Result struct {
	// Figures are the outlines in mm, in reading order, or the picked one alone,
	// with the top left of their bounding box at the origin. Each is sound: its
	// rings are simple and do not meet; the outer ring runs clockwise as seen,
	// holes the other way.
	Figures []geom.Region
	// Notes say what was left out or is doubtful.
	Notes []say.Message

	curves  [][][]bezier // by figure and ring, in mm
	pic     plane
	onPic   []geom.Region // all figures found, in pixels of pic
	picked  int           // 0 for all
	corners []geom.Vec    // of the sheet, in pixels; nil where none was asked for
}

// Read traces the drawing in data: PNG, JPEG, TIFF, WebP, BMP or GIF, told by
// content. An error says what is wrong with the picture or the options and what
// to do, without the name of the file. When ctx ends, its cause is returned.
func Read(ctx context.Context, data []byte, opt Options) (Result, error) {
	opt, err := opt.checked()
	if err != nil {
		return Result{}, err
	}
	pic, err := decodeUntil(ctx, data, greyOf)
	if err != nil {
		return Result{}, err
	}
	res, err := read(ctx, pic, opt)
	if !errors.Is(err, errBlank) || !pic.coloured {
		return res, err
	}
	// Pale yellow is hardly darker than white, but it lacks blue.
	if pic, err = decodeUntil(ctx, data, darkestOf); err != nil {
		return Result{}, err
	}
	return read(ctx, pic, opt)
}

// page is where in a picture the drawing lies, and how large a pixel is there.
type page struct {
	flat, back homography  // from the picture to the flat page and back, both in pixels
	rows       []span      // the page's part of each row of the picture
	pixel      float64     // mm; 0 until the size of the figures gives it
	corners    []geom.Vec  // of a sheet of paper, in pixels; nil for none
	note       say.Message // a doubt about the sheet; zero for none
}

// findPage finds the page and the size of its pixels as opt says.
func findPage(ctx context.Context, pic picture, opt Options) (page, error) {
	whole := page{rows: wholePage(pic.w, pic.h)}
	switch {
	case opt.Width > 0 || opt.Height > 0:
	case opt.DPI > 0:
		whole.pixel = inchMM / opt.DPI * float64(pic.shrunk)
	case opt.Paper != "":
		return findSheet(ctx, pic.plane, opt.Paper)
	case pic.dpi > 0:
		whole.pixel = inchMM / pic.dpi
	default:
		return page{}, pic.noSize()
	}
	return whole, nil
}

func read(ctx context.Context, pic picture, opt Options) (Result, error) {
	if err := stopped(ctx); err != nil {
		return Result{}, err
	}
	page, err := findPage(ctx, pic, opt)
	if err != nil {
		return Result{}, err
	}
	in, err := findInk(ctx, pic.plane, page.rows)
	if err != nil {
		return Result{}, err
	}
	found, err := find(ctx, in, opt)
	if err != nil {
		return Result{}, err
	}
	res := Result{pic: pic.plane, picked: opt.Pick, corners: page.corners}
	if !page.note.IsZero() {
		res.Notes = append(res.Notes, page.note)
	}
	res.Notes = append(res.Notes, found.notes...)
	if n := likeSheet(in, found.shapes); n > 0 {
		res.Notes = append(res.Notes, say.New("figure %d looks like a sheet of paper on a darker ground: say which size it has (--paper a4), and what is drawn on it is traced at its true size", n))
	}
	shapes := found.shapes
	if opt.Pick > len(shapes) {
		return Result{}, say.Errorf("there is no figure %d: %s", opt.Pick, say.Many(len(shapes), "%d figure was found on the page", "%d figures were found on the page"))
	}
	if opt.Pick > 0 {
		shapes = shapes[opt.Pick-1 : opt.Pick]
	}
	how := closeness{ink: in, bilevel: pic.bilevel(), pixel: page.pixel, smooth: opt.Smooth}
	curves, regions, err := fitShapes(ctx, shapes, page.flat, how)
	if err != nil {
		return Result{}, err
	}
	for _, s := range found.shapes {
		res.onPic = append(res.onPic, s.Region)
	}
	for i, g := range regions {
		if opt.Pick > 0 {
			i = opt.Pick - 1
		}
		res.onPic[i] = page.back.region(g)
	}
	toMM, err := toMillimetres(regions, page.pixel, opt)
	if err != nil {
		return Result{}, err
	}
	for i, g := range regions {
		res.Figures = append(res.Figures, g.Transform(toMM))
		res.curves = append(res.curves, transformed(curves[i], toMM))
	}
	return res, nil
}

// toMillimetres returns the map from pixels of the flat page to mm that puts the top
// left of the regions' bounding box at the origin. A width or height in opt gives
// the size of a pixel, else pixel does.
func toMillimetres(regions []geom.Region, pixel float64, opt Options) (geom.Affine, error) {
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
	if pixel*math.Max(box.Width(), box.Height()) > maxSize {
		return geom.Affine{}, say.Errorf("the figures would be larger than %s, the most that is traced: is the density right?", geom.Length(maxSize))
	}
	return geom.Translation(box.Min.Mul(-1)).Then(geom.Scaling(pixel, pixel)), nil
}

// transformed returns the curves of rings sent through m.
func transformed(rings [][]bezier, m geom.Affine) [][]bezier {
	out := make([][]bezier, len(rings))
	for i, ring := range rings {
		out[i] = make([]bezier, len(ring))
		for k, c := range ring {
			for j, p := range c {
				out[i][k][j] = m.Apply(p)
			}
		}
	}
	return out
}

// likeSheet returns the number of a figure that looks like a sheet of paper:
// bright on dark, large, with four sides and something on it; 0 where none does.
func likeSheet(in ink, shapes []shape) int {
	const large, square = 0.2, 0.95 // shares of the picture, and of the quadrilateral round the figure
	for i, s := range shapes {
		if !in.dark || len(s.Holes) == 0 || s.Outer.Area() < large*float64(in.w*in.h) {
			continue
		}
		if quad, ok := fourSides(geom.Hull(wholePixels(s.Outer))); ok && s.Outer.Area() > square*math.Abs(geom.Ring(quad[:]).Area()) {
			return i + 1
		}
	}
	return 0
}

// wholePixels returns the points rounded to whole pixels, which leaves a hull few
// corners.
func wholePixels(r geom.Ring) []geom.Vec {
	out := make([]geom.Vec, len(r))
	for i, p := range r {
		out[i] = geom.Vec{X: math.Round(p.X), Y: math.Round(p.Y)}
	}
	return out
}

// noSize says why the file does not tell how large the drawing is.
func (p picture) noSize() error {
	why := say.New("the picture does not say how large the drawing is")
	switch {
	case p.camera:
		why = say.New("the picture comes from a camera, which cannot know how large the drawing is")
	case p.told > 0:
		why = say.New("the picture says %.0f dpi, which programs write when they do not know the size", p.told)
	}
	return say.Errorf("%s: give a width or a height (--width 6cm), the density of the scan (--dpi 300), or the sheet of paper that a photo shows whole (--paper a4)", why)
}

// stopped returns the cause of ctx's end, nil where it has not ended.
func stopped(ctx context.Context) error { return context.Cause(ctx) }
