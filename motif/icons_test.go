package motif

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"strew/motif/geom"
)

// TestIconSets reads thousands of drawings by other hands. It runs where
// STREW_ICONS names a folder with SVG files below it, made for instance with
//
//	npm pack @mapbox/maki bootstrap-icons @tabler/icons ionicons
//
// and tar xzf on each of the packs. Every file must be read as a sound motif
// or refused with a reason, within seconds; and where rsvg-convert (librsvg)
// is installed, the area of files with plain fills must agree with a picture
// of 1024 px that it makes, within 0.5 %.
func TestIconSets(t *testing.T) {
	root := os.Getenv("STREW_ICONS")
	if root == "" {
		t.Skip("STREW_ICONS names no folder of SVG files")
	}
	raster, err := exec.LookPath("rsvg-convert")
	if err != nil {
		t.Log("rsvg-convert is not installed: areas are not compared")
	}
	var read, refused, compared, differing int
	reasons := map[string]int{}
	err = filepath.WalkDir(root, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || filepath.Ext(path) != ".svg" {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		begun := time.Now()
		m, _, err := ReadSVG(data, Options{Width: 60})
		if d := time.Since(begun); d > 5*time.Second {
			t.Errorf("%s took %v", path, d)
		}
		if err != nil {
			refused++
			reasons[kindOf(err)]++
			return nil
		}
		read++
		for i, p := range m.Pieces {
			if why := unsound(p.Region); why != "" {
				t.Errorf("%s: piece %d: %s", path, i, why)
			}
		}
		if raster == "" {
			return nil
		}
		ours, plain := plainArea(data)
		if !plain {
			return nil
		}
		theirs, err := inkedArea(raster, path)
		if err != nil {
			t.Errorf("%s: %v", path, err)
			return nil
		}
		compared++
		if math.Abs(ours-theirs) > 0.005*theirs {
			differing++
			t.Errorf("%s: covers %.5f of the page's square, the picture %.5f", path, ours, theirs)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d read, %d refused, %d compared with their picture, %d of them differ by more than 0.5 %%", read, refused, compared, differing)
	for reason, n := range reasons {
		t.Logf("refused %d: %s", n, reason)
	}
	if read == 0 {
		t.Errorf("no drawing below %s", root)
	}
}

var named = regexp.MustCompile(`<[^>]*>( in line \d+)?|[\d.]+`)

// kindOf returns an error's words without names and numbers.
func kindOf(err error) string {
	var f *Fault
	if errors.As(err, &f) {
		return f.Rule
	}
	return named.ReplaceAllString(err.Error(), "…")
}

// plainArea returns the area of all fills together as a share of the square
// over the page's width, and false for drawings whose picture shows more or
// less than their fills: strokes, see-through paint, shapes over the page's edge.
func plainArea(data []byte) (share float64, plain bool) {
	root, err := parseXML(data)
	if err != nil || bytes.Contains(data, []byte("opacity")) {
		return 0, false
	}
	d, err := readDrawing(root)
	if err != nil || len(d.lines) > 0 || d.page.IsEmpty() {
		return 0, false
	}
	box := geom.EmptyBox()
	for i, s := range d.fills {
		d.fills[i].colour = "#000000"
		box = box.Union(pathBox(s.path))
		if s.stroke > 0 {
			return 0, false
		}
	}
	if !within(box, d.page.Grow(d.page.Width()/10_000)) {
		return 0, false
	}
	const page = 1000 // mm: steps of 0.05 mm are then far below a pixel
	pieces, err := d.pieces(page/d.page.Width(), box)
	if err != nil {
		return 0, false
	}
	for _, p := range pieces {
		share += p.Region.Area() / (page * page)
	}
	return share, true
}

// inkedArea returns the area that the raster program inks, as a share of the
// square over the page's width.
func inkedArea(program, path string) (float64, error) {
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	out, err := exec.CommandContext(ctx, program, "-w", "1024", "--keep-aspect-ratio", path).Output()
	if err != nil {
		return 0, errors.New(strings.TrimSpace("rsvg-convert: " + err.Error()))
	}
	img, err := png.Decode(bytes.NewReader(out))
	if err != nil {
		return 0, err
	}
	see, ok := img.(*image.NRGBA)
	if !ok {
		return 0, fmt.Errorf("rsvg-convert: a picture of %T", img)
	}
	sum := 0.0
	for i := 3; i < len(see.Pix); i += 4 {
		sum += float64(see.Pix[i]) / 255
	}
	wide := float64(see.Rect.Dx())
	return sum / (wide * wide), nil
}
