package results

import (
	"bufio"
	"bytes"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"strew/motif/geom"
	"strew/render"
)

// The checks here look at paper as a printer would: pages are rastered at
// 300 dpi by Debian's pdftoppm (poppler), and lengths are measured in the
// pixels. 300 dpi are 300/25.4 pixels to the millimetre.
const pixels = 300 / 25.4

// needsRaster skips the test where pdftoppm is missing; STREW_REQUIRE=all
// makes that a fault.
func needsRaster(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		if os.Getenv("STREW_REQUIRE") == "all" {
			t.Fatal("pdftoppm is not installed, and STREW_REQUIRE=all asks for it: apt-get install poppler-utils")
		}
		t.Skip("pdftoppm is not installed: apt-get install poppler-utils")
	}
}

// printedPage is a page as printed: grey values, 0 black to 255 white.
type printedPage struct {
	w, h int
	grey []byte
}

// stored writes a file where other programs can read it.
func stored(t *testing.T, data []byte) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "pages.pdf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// printed rasters one page of a PDF, counted from 1; of a box in millimetres
// only that part.
func printed(t *testing.T, file string, page int, part geom.Box) printedPage {
	t.Helper()
	n := fmt.Sprint(page)
	args := []string{"-r", "300", "-gray", "-f", n, "-l", n}
	if !part.IsEmpty() {
		px := func(mm float64) string { return fmt.Sprint(int(math.Round(mm * pixels))) }
		args = append(args, "-x", px(part.Min.X), "-y", px(part.Min.Y), "-W", px(part.Width()), "-H", px(part.Height()))
	}
	out, err := exec.Command("pdftoppm", append(args, file)...).Output()
	if err != nil {
		t.Errorf("pdftoppm: %v", err)
		return printedPage{}
	}
	// Portable graymap: "P5", width, height, greatest value, one white space, bytes.
	r := bufio.NewReader(bytes.NewReader(out))
	var s printedPage
	var most int
	if _, err := fmt.Fscanf(r, "P5\n%d %d\n%d\n", &s.w, &s.h, &most); err != nil || most != 255 {
		t.Errorf("not a graymap: %v", err)
		return printedPage{}
	}
	s.grey = make([]byte, s.w*s.h)
	if _, err := io.ReadFull(r, s.grey); err != nil {
		t.Error(err)
	}
	return s
}

// dark returns how black a pixel is, 0 to 1.
func (s printedPage) dark(x, y int) float64 {
	if x < 0 || y < 0 || x >= s.w || y >= s.h {
		return 0
	}
	return 1 - float64(s.grey[y*s.w+x])/255
}

// cross finds the middle of an upright cross with arms of the given length in
// millimetres, within 2 mm of where it is looked for: the columns and rows that
// are black along the whole cross. It looks for nothing but black.
func (s printedPage) cross(near geom.Vec, arm float64) (geom.Vec, bool) {
	const search = 2.0
	c := near.Mul(pixels)
	span, reach := int((arm-0.3)*pixels), int(math.Round(search*pixels))
	// line returns where across the strip the black line lies, weighted by how
	// black each of its pixel rows is.
	line := func(at func(across, along int) float64) (float64, bool) {
		best, mid := 0.0, 0
		sums := make([]float64, 2*reach+1)
		for i := range sums {
			for along := -span; along <= span; along++ {
				sums[i] += at(i-reach, along)
			}
			if sums[i] > best {
				best, mid = sums[i], i
			}
		}
		if best < 0.55*float64(2*span+1) {
			return 0, false
		}
		weight, moment := 0.0, 0.0
		for i := max(0, mid-4); i <= min(len(sums)-1, mid+4); i++ {
			if sums[i] > 0.3*best {
				weight += sums[i]
				moment += sums[i] * (float64(i-reach) + 0.5)
			}
		}
		return moment / weight, true
	}
	cx, cy := int(c.X), int(c.Y)
	x, ok1 := line(func(across, along int) float64 { return s.dark(cx+across, cy+along) })
	// The upright arm's middle is not known yet: look along it at the found column.
	y, ok2 := line(func(across, along int) float64 { return s.dark(cx+int(math.Floor(x))+along, cy+across) })
	if !ok1 || !ok2 {
		return geom.Vec{}, false
	}
	cy += int(math.Floor(y))
	x, ok1 = line(func(across, along int) float64 { return s.dark(cx+across, cy+along) })
	y += float64(int(c.Y))
	return geom.Vec{X: (float64(cx) + x) / pixels, Y: y / pixels}, ok1
}

// bar finds the test bar, the lowest level line that is black for 100 mm,
// begins and ends at upright marks 4 mm tall and has white beyond them, and
// returns the distance between the middles of the end marks.
func (s printedPage) bar() (float64, bool) {
	black := func(x, y int) bool { return s.dark(x, y-1)+s.dark(x, y)+s.dark(x, y+1) > 0.8 }
	px := func(mm float64) int { return int(math.Round(mm * pixels)) }
	// end returns where the upright mark near x is, from the rows 2 to 3.5 mm
	// above the line.
	end := func(x, y int) (float64, bool) {
		weight, moment := 0.0, 0.0
		for row := y - px(3.5); row < y-px(2); row++ {
			for c := x - px(1.5); c <= x+px(1.5); c++ {
				if d := s.dark(c, row); d > 0.2 {
					weight += d
					moment += d * (float64(c) + 0.5)
				}
			}
		}
		return moment / weight / pixels, weight > 0.8*float64(px(1.5))
	}
	for y := s.h - 1; y > px(4); y-- {
		for _, left := range []int{px(7), px(10)} {
			line := !black(left-px(1.5), y) && !black(left+px(101.5), y)
			for x := left + px(1); x < left+px(99) && line; x += 5 {
				line = black(x, y)
			}
			if !line {
				continue
			}
			a, ok1 := end(left, y)
			b, ok2 := end(left+px(100), y)
			if ok1 && ok2 {
				return b - a, true
			}
		}
	}
	return 0, false
}

// onPaper returns the plan of an example for one paper.
func onPaper(t *testing.T, name, paper string) *Results {
	t.Helper()
	p := stagetest.Built(t, name)
	p.Project.Supplies.Paper = project.Paper(paper)
	return Of(p)
}

func config() *model.Configuration {
	api.DisableConfigDir()
	c := model.NewDefaultConfiguration()
	c.ValidationMode = model.ValidationStrict
	return c
}

// On every paper, in every PDF: 100 mm between known marks are 100 mm on the
// printed page within 0.2 mm; pdfcpu finds the file sound; its fonts are
// embedded; a second run writes the same bytes.
func TestPaperIsTrue(t *testing.T) {
	needsRaster(t)
	all := []string{"A4", "A3", "letter", "tabloid", "large"}
	if testing.Short() {
		all = all[:1]
	}
	for i, size := range all {
		name := []string{"tide-half-grid", "meadow-gathered"}[i%2]
		p := onPaper(t, name, size)
		second := onPaper(t, name, size).paper(t.Context())
		if len(p.paper(t.Context())) != 4 {
			t.Fatalf("%s: %d files to print", size, len(p.paper(t.Context())))
		}
		for k, f := range p.paper(t.Context()) {
			file, err := f.write(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			copied, err := second[k].write(t.Context())
			if err != nil || !bytes.Equal(file, copied) {
				t.Errorf("%s on %s: the second file differs, %v", f.name, size, err)
			}
			if len(file) > 3<<20 {
				t.Errorf("%s on %s: %d bytes, more than 3 MB", f.name, size, len(file))
			}
			ctx, err := api.ReadAndValidate(bytes.NewReader(file), config())
			if err != nil {
				t.Fatalf("%s on %s: pdfcpu: %v", f.name, size, err)
			}
			if n := ctx.PageCount; n != len(f.pages) {
				t.Errorf("%s on %s: %d pages, want %d", f.name, size, n, len(f.pages))
			}
			where := stored(t, file)
			checkFonts(t, where)
			// The bar stands at the foot of the page; on the large guide below the words.
			h := f.pages[0].Height
			part := geom.Box{Min: geom.Vec{Y: h - 30}, Max: geom.Vec{X: 130, Y: h}}
			if size == "large" && f.name == "placement.pdf" {
				part = geom.Box{Max: geom.Vec{X: 130, Y: 160}}
			}
			long, ok := printed(t, where, 1, part).bar()
			if !ok {
				t.Errorf("%s on %s: no test bar was found on page 1", f.name, size)
			} else if math.Abs(long-100) > 0.2 {
				t.Errorf("%s on %s: the test bar is %.3f mm long", f.name, size, long)
			}
		}
	}
}

// checkFonts asks poppler's pdffonts whether every font of the file is
// embedded: the column "emb" of its table.
func checkFonts(t *testing.T, file string) {
	t.Helper()
	out, err := exec.Command("pdffonts", file).Output()
	if err != nil {
		t.Fatalf("pdffonts: %v", err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	at := strings.Index(lines[0], "emb")
	if at < 0 || len(lines) < 3 {
		t.Fatalf("pdffonts lists no fonts:\n%s", out)
	}
	for _, l := range lines[2:] {
		if len(l) < at+3 || l[at:at+3] != "yes" {
			t.Errorf("a font is not embedded: %s", l)
		}
	}
}

// Fifty crosses picked at random lie where plan.json says, within 0.3 mm, over
// all pages of the guide: crosses are measured in the printed pages, and pages
// are joined as a maker does, by the ringed crosses they share, so that an
// error of a page's own place would show.
func TestMarksAreWhereThePlanSays(t *testing.T) {
	needsRaster(t)
	if testing.Short() {
		t.Skip("rasters twenty pages")
	}
	for _, x := range []struct{ name, paper string }{{"tide-half-grid", "A4"}} {
		p := onPaper(t, x.name, x.paper)
		var doc struct {
			Placements []struct {
				Mark, Panel int
				X           float64 `json:"x_mm"`
				Y           float64 `json:"y_mm"`
			}
		}
		data, err := p.PlanJSON(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(data, &doc); err != nil {
			t.Fatal(err)
		}
		guide := render.MarkingGuide(t.Context(), Cloth(p.plan), Marks(p.plan), nil)
		file, err := paper{"placement.pdf", "guide", guide.Pages}.write(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		// Where to look is ours to say; what is measured is the raster's.
		type join struct {
			code string
			at   geom.Vec
		}
		tiles := guide.Tiles
		joined := make([][]join, len(tiles))
		sheets := make([]printedPage, len(tiles))
		where := stored(t, file)
		for i := range tiles {
			sheets[i] = printed(t, where, tiles[i].Page+1, geom.EmptyBox())
		}
		for i, tl := range tiles {
			for _, j := range tl.Registrations {
				at, ok := sheets[i].cross(j.At, 4)
				if !ok {
					t.Fatalf("%s, page %s: ringed cross %s was not found", x.name, tl.Name, j.Code)
				}
				joined[i] = append(joined[i], join{j.Code, at})
			}
		}
		// Each page's place on the first page's paper, found from page to page.
		type place struct {
			part  int
			at    geom.Vec
			known bool
		}
		place0 := make([]place, len(tiles))
		for grown := true; grown; {
			grown = false
			for i, tl := range tiles {
				if place0[i].known {
					continue
				}
				first := true
				for k := range tiles {
					if place0[k].known && tiles[k].Part == tl.Part {
						first = false
					}
				}
				if first {
					place0[i] = place{tl.Part, geom.Vec{}, true}
					grown = true
					continue
				}
				for k := range tiles {
					if !place0[k].known || tiles[k].Part != tl.Part {
						continue
					}
					var move geom.Vec
					n := 0.0
					for _, a := range joined[k] {
						for _, b := range joined[i] {
							if a.code == b.code {
								move = move.Add(place0[k].at.Add(a.at).Sub(b.at))
								n++
							}
						}
					}
					if n > 0 {
						place0[i] = place{tl.Part, move.Mul(1 / n), true}
						grown = true
						break
					}
				}
			}
		}
		// Marks in the joined paper's frame against plan.json, up to where the
		// first page lies.
		rng := rand.New(rand.NewPCG(1, 0))
		var off []geom.Vec
		pages := map[string]bool{}
		for _, m := range rng.Perm(len(doc.Placements)) {
			mark := doc.Placements[m]
			for i, tl := range tiles {
				at, here := tl.Marks[mark.Mark]
				if !here || len(off) >= 50 {
					continue
				}
				got, ok := sheets[i].cross(at, 3)
				if !ok {
					t.Errorf("%s, page %s: the cross of mark %d was not found", x.name, tl.Name, mark.Mark)
					continue
				}
				off = append(off, place0[i].at.Add(got).Sub(geom.Vec{X: mark.X, Y: mark.Y}))
				pages[tl.Name] = true
			}
		}
		mean := geom.Vec{}
		for _, o := range off {
			mean = mean.Add(o.Mul(1 / float64(len(off))))
		}
		worst := 0.0
		for _, o := range off {
			worst = math.Max(worst, o.Dist(mean))
		}
		t.Logf("%s on %s: %d crosses on %d pages, the worst %.3f mm off", x.name, x.paper, len(off), len(pages), worst)
		if len(off) < 50 || worst > 0.3 {
			t.Errorf("%s: %d crosses measured, the worst %.3f mm off", x.name, len(off), worst)
		}
	}
}

// A guide stays small enough to be sent by mail: all of a skirt of 90 cm with
// 400 cutouts, of which nothing repeats, in under 3 MB.
func TestGuideIsSmall(t *testing.T) {
	p, files := longSkirt()
	made, err := stage.NewPlanner(files).Plan(t.Context(), p, nil)
	if err != nil {
		t.Fatal(err)
	}
	if placed, _ := made.Totals(); placed != 400 {
		t.Errorf("%d cutouts, want 400", placed)
	}
	for _, f := range Of(made).paper(t.Context()) {
		if f.name != "placement.pdf" {
			continue
		}
		file, err := f.write(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if len(file) > 3e6 {
			t.Errorf("the guide has %d bytes", len(file))
		}
		return
	}
	t.Error("no guide")
}

// lay.svg is XML in millimetres with a layer for every colour, in it one for
// every sheet and nothing but lines in that; its rings are those of plan.json's pieces, by number.
func TestLaySVGIsCutLinesInLayers(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		file, err := laySVG(t.Context(), p)
		if err != nil {
			t.Fatal(err)
		}
		type path struct {
			D      string `xml:"d,attr"`
			Fill   string `xml:"fill,attr"`
			Stroke string `xml:"stroke,attr"`
		}
		type layer struct {
			ID    string  `xml:"id,attr"`
			Title string  `xml:"title"`
			Path  []path  `xml:"path"`
			Text  []path  `xml:"text"`
			G     []layer `xml:"g"`
		}
		var doc struct {
			Width   string  `xml:"width,attr"`
			ViewBox string  `xml:"viewBox,attr"`
			G       []layer `xml:"g"`
		}
		if err := xml.Unmarshal(file, &doc); err != nil {
			t.Fatal(err)
		}
		if !strings.HasSuffix(doc.Width, "mm") || "0 0 "+strings.TrimSuffix(doc.Width, "mm") != doc.ViewBox[:strings.LastIndex(doc.ViewBox, " ")] {
			t.Fatalf("%s wide in %s", doc.Width, doc.ViewBox)
		}
		var sheets []layer
		colours := map[string]bool{}
		for _, c := range doc.G {
			if len(c.Path) > 0 || colours[c.Title] {
				t.Errorf("layer %q %q: %d lines by itself, or the colour has another layer", c.ID, c.Title, len(c.Path))
			}
			colours[c.Title] = true
			for _, g := range c.G {
				if !strings.HasPrefix(c.Title, "felt #") || !strings.Contains(g.Title, c.Title[5:]) {
					t.Errorf("layer %q lies in that of %q", g.Title, c.Title)
				}
			}
			sheets = append(sheets, c.G...)
		}
		if len(sheets) != len(p.Laid.Lay.Sheets) {
			t.Fatalf("%d layers for %d sheets", len(sheets), len(p.Laid.Lay.Sheets))
		}
		for _, g := range sheets {
			n := 0
			if _, err := fmt.Sscanf(g.ID, "sheet-%d", &n); err != nil || n < 1 || n > len(p.Laid.Lay.Sheets) {
				t.Fatalf("a layer %q", g.ID)
			}
			sh := p.Laid.Lay.Sheets[n-1]
			if !strings.Contains(g.Title, sh.Colour) || len(g.Path) != len(sh.Pieces) {
				t.Errorf("layer %q %q: %d lines for %d pieces", g.ID, g.Title, len(g.Path), len(sh.Pieces))
			}
			rings := 0
			for k, ln := range g.Path {
				if ln.Fill != "none" || ln.Stroke == "" {
					t.Errorf("layer %s: line %d is filled %q", g.ID, k+1, ln.Fill)
				}
				rings += strings.Count(ln.D, "Z")
			}
			want := 0
			for _, pc := range sh.Pieces {
				want += len(p.Mix.PieceOf(p.Laid.Items[pc.Item]).Region.Rings())
			}
			if rings != want {
				t.Errorf("layer %s: %d rings, want %d", g.ID, rings, want)
			}
		}
	})
}
