package trace

import (
	"math"
	"strings"

	"strew/motif/geom"
	"strew/motif/say"
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
	Auto   Kind = "auto"   // decided figure by figure
	Line   Kind = "line"   // drawn outlines
	Filled Kind = "filled" // solid figures
)

// Options says how to trace a drawing. Its size comes from one of Width,
// Height, DPI and Paper, or else from the file. Start from DefaultOptions:
//
//	opt := trace.DefaultOptions()
//	opt.Width = 60
//	result, err := trace.Read(ctx, data, opt)
type Options struct {
	Width, Height float64 // mm, of all traced figures together
	DPI           float64 // pixels per inch of the picture
	Paper         string  // the sheet that a photo shows whole: one of PaperSizes
	Pick          int     // number of the one figure to trace; 0 for all
	Smooth        float64 // from 0, which follows each wobble, to 1, which smooths most
	Edge          Edge    // "" is Middle
	Kind          Kind    // "" is Auto
}

// DefaultOptions returns the usual choice: all figures, the middle of lines, a
// smoothness of 0.5, the size that the file states.
func DefaultOptions() Options { return Options{Smooth: 0.5, Edge: Middle, Kind: Auto} }

// maxSize is the largest motif, in mm: no craft sheet is wider.
const maxSize = 2000

// checked returns the options with defaults filled in, or why they cannot be met.
func (o Options) checked() (Options, error) {
	given := 0
	for _, l := range []struct {
		what     say.Message
		v, limit float64
	}{{say.New("width"), o.Width, maxSize}, {say.New("height"), o.Height, maxSize}, {say.New("dpi"), o.DPI, 10_000}} {
		if math.IsNaN(l.v) || l.v < 0 || l.v > l.limit {
			return o, say.Errorf("the %s is %g: it must be more than 0 and at most %g", l.what, l.v, l.limit)
		}
		if l.v > 0 {
			given++
		}
	}
	if o.Paper != "" {
		given++
		if _, ok := geom.PaperNamed(o.Paper); !ok {
			return o, say.Errorf("%q is not a known paper size; use one of %s", o.Paper, strings.Join(PaperSizes(), ", "))
		}
	}
	if given > 1 {
		return o, say.Errorf("the size is given more than once: give one of width, height, dpi and paper")
	}
	if o.Pick < 0 {
		return o, say.Errorf("there is no figure %d: figures are numbered from 1", o.Pick)
	}
	if !(o.Smooth >= 0 && o.Smooth <= 1) {
		return o, say.Errorf("smooth is %g: it must be from 0 to 1", o.Smooth)
	}
	switch o.Edge {
	case "":
		o.Edge = Middle
	case Middle, Outer:
	default:
		return o, say.Errorf(`edge is %q: it must be "middle" or "outer"`, string(o.Edge))
	}
	switch o.Kind {
	case "":
		o.Kind = Auto
	case Auto, Line, Filled:
	default:
		return o, say.Errorf(`kind is %q: it must be "auto", "line" or "filled"`, string(o.Kind))
	}
	return o, nil
}
