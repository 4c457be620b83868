package results

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

	"github.com/pdfcpu/pdfcpu/pkg/api"

	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
	"strew/motif/geom"
)

// Each file to print has as many pages as pdfcpu counts in its PDF.
func TestPagesAreThePDFs(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		r := Of(p)
		list, err := r.Pages(t.Context())
		if err != nil || len(list) < 3 {
			t.Fatalf("%d files, %v", len(list), err)
		}
		papers := r.paper(t.Context())
		for i, f := range list {
			data, err := papers[i].write(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			ctx, err := api.ReadAndValidate(bytes.NewReader(data), config())
			if err != nil {
				t.Fatal(err)
			}
			if ctx.PageCount != len(f.Sizes) || f.Name != papers[i].name || f.Title == "" {
				t.Errorf("%s: %d pages listed, %d in the PDF", f.Name, len(f.Sizes), ctx.PageCount)
			}
		}
	})
}

// A page as SVG is well-formed XML of the page's size that needs no font and
// loads nothing.
func TestPageSVG(t *testing.T) {
	r := Of(stagetest.Built(t, "tide-half-grid"))
	list, err := r.Pages(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range list {
		for i, size := range f.Sizes {
			data, err := r.PageSVG(t.Context(), f.Name, i+1)
			if err != nil {
				t.Fatal(err)
			}
			checkSVG(t, f.Name, data, size)
		}
	}
}

func checkSVG(t *testing.T, name string, data []byte, size geom.Vec) {
	t.Helper()
	paths := 0
	for d := xml.NewDecoder(bytes.NewReader(data)); ; {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		el, is := tok.(xml.StartElement)
		if !is {
			continue
		}
		switch el.Name.Local {
		case "svg":
			for _, a := range el.Attr {
				if a.Name.Local == "width" {
					if w, err := strconv.ParseFloat(strings.TrimSuffix(a.Value, "mm"), 64); err != nil || math.Abs(w-size.X) > 0.01 {
						t.Errorf("%s: %s wide, want %g mm", name, a.Value, size.X)
					}
				}
			}
		case "path":
			paths++
		case "text", "image", "script", "style", "use":
			t.Errorf("%s holds <%s>", name, el.Name.Local)
		}
	}
	if paths < 5 {
		t.Errorf("%s: only %d paths", name, paths)
	}
}

func TestNoSuchPage(t *testing.T) {
	r := Of(stagetest.Built(t, "tide-half-grid"))
	for _, c := range []struct {
		file string
		page int
	}{{"placement.pdf", 0}, {"placement.pdf", 10000}, {"skirt.png", 1}, {"", 1}} {
		if data, err := r.PageSVG(t.Context(), c.file, c.page); err == nil || data != nil {
			t.Errorf("%q page %d: %d bytes", c.file, c.page, len(data))
		}
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := Of(stagetest.Built(t, "tide-half-grid")).PageSVG(ctx, "lay.pdf", 1); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
	if _, err := Of(stagetest.Built(t, "tide-half-grid")).Pages(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
}
