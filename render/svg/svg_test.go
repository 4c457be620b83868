package svg

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/render/scene"
)

// write writes the scene as one layer.
func write(w io.Writer, title string, s *scene.Scene) error {
	return Write(context.Background(), w, title, geom.Vec{X: s.Width, Y: s.Height}, []Layer{{ID: "a", Ops: s.Ops}})
}

func sample() *scene.Scene {
	s := &scene.Scene{Width: 210, Height: 297}
	ring := geom.Ring{{X: 10, Y: 20}, {X: 110, Y: 20}, {X: 110, Y: 40.5}}
	s.Add(scene.Fill{Rings: []geom.Ring{ring}, Colour: scene.Colour{R: 217, G: 165, B: 33, Alpha: 0.3}, EvenOdd: true},
		scene.Clip{Rings: []geom.Ring{ring}, Inside: []scene.Op{scene.Stroke{Lines: scene.Open(ring...), Width: 0.25, Dash: []float64{2, 1}, Colour: scene.Colour{Alpha: 1}}}},
		scene.Text{At: geom.Vec{X: 50, Y: 60}, Text: `<hem> & "seam"`, Size: 9, Turn: 0.4, Anchor: scene.Middle, Colour: scene.Colour{Alpha: 1}})
	return s
}

// elements reads the file as XML and returns its elements in order.
func elements(t *testing.T, file []byte) []xml.StartElement {
	t.Helper()
	var out []xml.StartElement
	d := xml.NewDecoder(bytes.NewReader(file))
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			t.Fatalf("not XML: %v", err)
		}
		if e, ok := tok.(xml.StartElement); ok {
			out = append(out, e.Copy())
		}
	}
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// One user unit is one millimetre: SVG 1.1, 7.7 "The viewBox attribute": the
// box given is mapped to the width and height given.
func TestTrueSize(t *testing.T) {
	var file bytes.Buffer
	if err := write(&file, "Ginkgo <walk>", sample()); err != nil {
		t.Fatal(err)
	}
	all := elements(t, file.Bytes())
	if w, h, box := attr(all[0], "width"), attr(all[0], "height"), attr(all[0], "viewBox"); w != "210mm" || h != "297mm" || box != "0 0 210 297" {
		t.Errorf("the file is %s × %s with viewBox %q", w, h, box)
	}
	if d := attr(all[4], "d"); d != "M10 20L110 20 110 40.5Z" || attr(all[4], "fill-opacity") != "0.3" || attr(all[4], "fill") != "#d9a521" || attr(all[4], "fill-rule") != "evenodd" {
		t.Errorf("the fill is %v", all[4])
	}
	if last := all[len(all)-1]; attr(last, "aria-label") != `<hem> & "seam"` {
		t.Errorf("the text is %v", last)
	}
}

// Letters lie where the scene says: all their points are in the text's box.
func TestLettersLieInTheirBox(t *testing.T) {
	s := sample()
	text := s.Ops[2].(scene.Text)
	var file bytes.Buffer
	if err := write(&file, "", s); err != nil {
		t.Fatal(err)
	}
	all := elements(t, file.Bytes())
	box := text.Box().Grow(0.5)
	d := strings.NewReplacer("M", " ", "L", " ", "Q", " ", "Z", " ").Replace(attr(all[len(all)-1], "d"))
	n := strings.Fields(d)
	for i := 0; i+1 < len(n); i += 2 {
		x, err1 := strconv.ParseFloat(n[i], 64)
		y, err2 := strconv.ParseFloat(n[i+1], 64)
		if err1 != nil || err2 != nil || !box.Contains(geom.Vec{X: x, Y: y}) {
			t.Fatalf("point %s %s is not in %v", n[i], n[i+1], box)
		}
	}
	if len(n) < 100 {
		t.Errorf("only %d numbers for %q", len(n), text.Text)
	}
}

func TestAnyTextIsXML(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := &scene.Scene{Width: 100, Height: 100}
		s.Add(scene.Text{At: geom.Vec{X: 50, Y: 50}, Text: rapid.String().Draw(r, "text"), Size: 8, Colour: scene.Colour{Alpha: 1}})
		var file bytes.Buffer
		if err := write(&file, rapid.String().Draw(r, "title"), s); err != nil {
			r.Fatal(err)
		}
		elements(t, file.Bytes())
	})
}

func TestSameBytesAndErrors(t *testing.T) {
	var a, b bytes.Buffer
	if write(&a, "x", sample()) != nil || write(&b, "x", sample()) != nil || !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same scene gave two different files")
	}
	bad := sample()
	bad.Add(scene.Stroke{Lines: scene.Open(geom.Vec{X: math.Inf(1)}, geom.Vec{}), Width: 1, Colour: scene.Colour{Alpha: 1}})
	for _, s := range []*scene.Scene{{}, bad} {
		if err := write(io.Discard, "x", s); err == nil || !strings.Contains(err.Error(), "cannot be written") {
			t.Errorf("error %v", err)
		}
	}
}
