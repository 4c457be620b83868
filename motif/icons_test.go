package motif

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io/fs"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
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
	var files []string
	known := map[[sha256.Size]byte]bool{} // packs hold many drawings more than once
	err = filepath.WalkDir(root, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || filepath.Ext(path) != ".svg" {
			return err
		}
		data, err := os.ReadFile(path)
		if sum := sha256.Sum256(data); !known[sum] {
			known[sum] = true
			files = append(files, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 {
		t.Fatalf("no drawing below %s", root)
	}
	icons := make([]icon, len(files))
	var next atomic.Int64
	var workers sync.WaitGroup
	for range runtime.NumCPU() {
		workers.Go(func() {
			for i := next.Add(1) - 1; i < int64(len(files)); i = next.Add(1) - 1 {
				icons[i] = readIcon(files[i], raster)
			}
		})
	}
	workers.Wait()

	var read, refused, compared, differing int
	reasons := map[string]int{}
	for i, c := range icons {
		switch {
		case c.fault != "":
			t.Errorf("%s: %s", files[i], c.fault)
		case c.reason != "":
			refused++
			reasons[c.reason]++
			continue
		}
		read++
		if c.theirs == 0 {
			continue
		}
		compared++
		if math.Abs(c.ours-c.theirs) > 0.005*c.theirs {
			differing++
			t.Errorf("%s: covers %.5f of the page's square, the picture %.5f", files[i], c.ours, c.theirs)
		}
	}
	t.Logf("%d read, %d refused, %d compared with their picture, %d of them differ by more than 0.5 %%", read, refused, compared, differing)
	for _, reason := range slices.Sorted(maps.Keys(reasons)) {
		t.Logf("refused %d: %s", reasons[reason], reason)
	}
}

// icon is what became of one file: a fault of ours, a reason to refuse it, or
// its area and that of its picture as shares of the square over the page's
// width. theirs is 0 where the two cannot be compared.
type icon struct {
	fault, reason string
	ours, theirs  float64
}

func readIcon(path, raster string) (c icon) {
	data, err := os.ReadFile(path)
	if err != nil {
		c.fault = err.Error()
		return c
	}
	begun := time.Now()
	m, _, err := ReadSVG(data, Options{Width: 60})
	if d := time.Since(begun); d > 5*time.Second {
		c.fault = fmt.Sprintf("took %v", d)
	}
	if err != nil {
		c.reason = kindOf(err)
		return c
	}
	for i, p := range m.Pieces {
		if why := unsound(p.Region); why != "" {
			c.fault = fmt.Sprintf("piece %d: %s", i, why)
		}
	}
	ours, plain := plainArea(data)
	if raster == "" || !plain {
		return c
	}
	c.ours = ours
	if c.theirs, err = inkedArea(raster, path); err != nil {
		c.fault = err.Error()
	}
	return c
}

var named = regexp.MustCompile(`<[^>]*>( in line \d+)?|[\d.]+`)

// kindOf returns an error's words without names and numbers.
func kindOf(err error) string {
	var f *Fault
	if errors.As(err, &f) {
		return string(f.Rule)
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
	cut, err := d.cut(page/d.page.Width(), box)
	if err != nil {
		return 0, false
	}
	for _, p := range cut.pieces {
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
