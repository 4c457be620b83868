package record

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/sheet"
)

// Random lays: shapes with holes, bays and needles in several colours and
// sizes, on sheets and rolls of several sizes, naps, margins and prices, with
// gaps from none to 10 mm and some with patches; measured in their plan.json by
// geometry that shares nothing with the program.
//
// A few run with every test. More of them, each also given to a verifier
// outside the project, whose path is named:
//
//	STREW_LAY_PROJECTS=300 STREW_VERIFY=/path/to/verify go test -timeout 30m -run RandomLays -v ./cmd/internal/record
//
// STREW_FIRST is the first seed, 1 where it is not set.

// inventLay makes up the lay project of a seed.
func inventLay(seed uint64) (text string, files fstest.MapFS) {
	d := dice{rand.New(rand.NewPCG(seed, 100))}
	files = fstest.MapFS{}
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("title = \"lay %d\"\nunit = %q\nseed = %d", seed, d.pick("mm", "cm", "in"), d.IntN(1000))
	colours := []string{"#cc8833", "#336699", "#77aa44"}[:d.int(1, 3)]
	motifs := d.int(1, 4)
	for i := range motifs {
		files[fmt.Sprintf("m%d.svg", i)] = &fstest.MapFile{Data: []byte(d.pieces(colours))}
		line("\n[[motif]]\nname = \"m%d\"\noutline = \"m%d.svg\"\nwidth = \"%.2f mm\"\ncut = %d", i, i, d.from(12, 70), d.int(1, 24/motifs))
		if d.chance(0.3) {
			line("sizes = [1, %.2f]", d.from(0.5, 0.95))
		}
		if d.chance(0.2) {
			line("colour = %q", d.pick(colours...))
		}
	}
	gap := d.from(0, 10)
	if d.chance(0.25) {
		gap = 0
	}
	if d.chance(0.3) {
		line("\n[backing]\nshape = %q\ncolour = %q", d.pick("square", "round"), d.pick(append(colours, "#333333")...))
		if d.chance(0.4) {
			line("size = %s", d.mm(d.from(5, 25)))
		}
	}
	rolls := false
	// The first felt comes in every colour and holds whatever is asked for.
	for i := range d.int(1, 3) {
		line("\n[[sheet]]\nname = \"felt %d\"\nnap = %q\nmargin = %s", i, d.pick("none", "none", "four-way", "two-way", "one-way"), d.mm(d.from(0, 12)))
		least := 250.0
		if i > 0 {
			least = 60
		}
		line("width = %s", d.mm(d.from(least, 400)))
		switch {
		case d.chance(0.3):
			line("roll = true")
			rolls = true
			if d.chance(0.5) {
				line("sold_by = %s", d.mm(d.from(20, 200)))
			}
		default:
			line("height = %s", d.mm(d.from(least, 400)))
			if d.chance(0.4) {
				line("stock = %d", d.int(1, 3))
			}
		}
		if d.chance(0.6) {
			line("price = %.2f", d.from(0.2, 4))
		}
		if i > 0 && d.chance(0.5) {
			line("colours = [%q]", d.pick(colours...))
		}
	}
	// A roll takes much work from effort 1 on, so that few of them get it.
	effort := d.int(0, 2)
	if rolls && !d.chance(0.03) {
		effort = 0
	}
	line("\n[cutting]\ngap = %s\neffort = %d\ntrace_on = %q", d.mm(gap), effort, d.pick("back", "front"))
	return b.String(), files
}

// pieces draws one or two shapes: a ring, a bay between two arms, a needle, a
// star of uneven rays with a hole, or one of the motifs above.
func (d dice) pieces(colours []string) string {
	shape := func(x float64) string {
		switch d.IntN(5) {
		case 0: // a ring
			in := d.from(5, 80)
			return fmt.Sprintf("M%g 100a90 90 0 1 0 180 0a90 90 0 1 0 -180 0zM%g 100a%g %g 0 1 0 %g 0a%g %g 0 1 0 %g 0z", x+10, x+100-in, in, in, 2*in, in, in, -2*in)
		case 1: // a bay
			arm := d.from(10, 60)
			return fmt.Sprintf("M%g 10h180v180h-180v%gh%gv%gh%gz", x+10, -arm, 180-arm, -(180 - 2*arm), -(180 - arm))
		case 2: // a needle with a head
			return fmt.Sprintf("M%g 100l150 %.1fl20 -40l10 45l-12 48z", x+10, d.from(-8, -2))
		case 3: // a star with a hole
			path, n := "", d.int(3, 9)
			for i := range 2 * n {
				r := d.from(60, 98)
				if i%2 == 0 {
					r = d.from(30, 55)
				}
				sin, cos := math.Sincos(math.Pi * float64(i) / float64(n))
				path += fmt.Sprintf("%s%.2f %.2f", map[bool]string{true: "M", false: "L"}[i == 0], x+100+r*cos, 100+r*sin)
			}
			return path + fmt.Sprintf("zM%g 93l8 14h-16z", x+100)
		}
		return fmt.Sprintf("M%g 10C%.1f 60 %.1f 140 %g 150L%g 190H%gL%g 150C%.1f 140 %.1f 60 %g 10z",
			x+100, x+d.from(120, 190), x+d.from(120, 190), x+105, x+104, x+96, x+95, x+d.from(10, 80), x+d.from(10, 80), x+100)
	}
	paths := fmt.Sprintf(`<path fill=%q fill-rule="evenodd" d="%s"/>`, d.pick(colours...), shape(0))
	wide := 200
	if d.chance(0.3) {
		paths += fmt.Sprintf(`<path fill=%q fill-rule="evenodd" d="%s"/>`, d.pick(colours...), shape(200))
		wide = 400
	}
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="%dmm" height="200mm" viewBox="0 0 %d 200">%s</svg>`, wide, wide, paths)
}

// laidPlan is what of a lay's plan.json is measured.
type laidPlan struct {
	Surface struct{ Cut string }
	Motifs  []struct {
		Name, Backs string
		Width       float64 `json:"width_mm"`
		Backing     float64 `json:"backing_mm"`
		Pieces      []struct {
			Colour string
			Outer  [][2]float64   `json:"outer_mm"`
			Holes  [][][2]float64 `json:"holes_mm"`
		}
	}
	Placements []any
	Counts     []struct {
		Motif              string
		Size               float64
		Placed, Spare, Cut int
	}
	Cutting struct {
		Gap float64 `json:"gap_mm"`
	}
	Sheets []struct {
		Sheet, Colour, Nap string
		Number             int
		Width              float64 `json:"width_mm"`
		Height             float64 `json:"height_mm"`
		Margin             float64 `json:"margin_mm"`
		Used               float64
		Left               []struct {
			X      float64 `json:"x_mm"`
			Y      float64 `json:"y_mm"`
			Width  float64 `json:"width_mm"`
			Height float64 `json:"height_mm"`
		} `json:"left_over"`
		Pieces []struct {
			Motif   string
			Piece   int
			Size    float64
			X       float64 `json:"x_mm"`
			Y       float64 `json:"y_mm"`
			Turn    float64 `json:"turn_deg"`
			Flipped bool
		}
	}
	Order []struct {
		Sheet, Colour, Unit string
		Need, Stock, Buy    int
		AtLeast             int `json:"at_least"`
		Cost                float64
	}
}

// cutRings are the rings of a piece where it lies.
type cutRings [][]xy

func (c cutRings) box() (lo, hi xy) {
	lo, hi = xy{math.Inf(1), math.Inf(1)}, xy{math.Inf(-1), math.Inf(-1)}
	for _, p := range c[0] {
		lo = xy{math.Min(lo.x, p.x), math.Min(lo.y, p.y)}
		hi = xy{math.Max(hi.x, p.x), math.Max(hi.y, p.y)}
	}
	return lo, hi
}

// depth is how far a point lies in the felt, 0 outside.
func (c cutRings) depth(p xy) float64 {
	if !within(p, c...) {
		return 0
	}
	return c.distance(p)
}

func (c cutRings) distance(p xy) float64 {
	least := math.Inf(1)
	for _, r := range c {
		for i, a := range r {
			least = math.Min(least, pointToEdge(p, a, r[(i+1)%len(r)]))
		}
	}
	return least
}

// gap is the distance between two pieces; where they overlap it is the depth of
// the deepest point found, below 0. Points looked at are corners and middles of
// edges, and a grid over the smaller box.
func (c cutRings) gap(e cutRings, upTo float64) float64 {
	clo, chi := c.box()
	elo, ehi := e.box()
	if math.Max(math.Max(clo.x-ehi.x, elo.x-chi.x), math.Max(clo.y-ehi.y, elo.y-chi.y)) > upTo {
		return upTo
	}
	least := upTo
	for _, r := range c {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if math.Max(a.x, b.x)+least < elo.x || math.Min(a.x, b.x)-least > ehi.x || math.Max(a.y, b.y)+least < elo.y || math.Min(a.y, b.y)-least > ehi.y {
				continue
			}
			for _, s := range e {
				for k, f := range s {
					least = math.Min(least, edgeToEdge(a, b, f, s[(k+1)%len(s)]))
				}
			}
		}
	}
	deep := 0.0
	inBoth := func(p xy) { deep = math.Max(deep, math.Min(c.depth(p), e.depth(p))) }
	onOne := func(on, in cutRings) {
		for _, r := range on {
			for i, a := range r {
				b := r[(i+1)%len(r)]
				deep = math.Max(deep, math.Max(in.depth(a), in.depth(xy{(a.x + b.x) / 2, (a.y + b.y) / 2})))
			}
		}
	}
	if least < 0.01 || within(c[0][0], e...) || within(e[0][0], c...) {
		onOne(c, e)
		onOne(e, c)
		lo, hi := xy{math.Max(clo.x, elo.x), math.Max(clo.y, elo.y)}, xy{math.Min(chi.x, ehi.x), math.Min(chi.y, ehi.y)}
		for i := range 20 {
			for k := range 20 {
				inBoth(xy{lo.x + (hi.x-lo.x)*(float64(i)+0.5)/20, lo.y + (hi.y-lo.y)*(float64(k)+0.5)/20})
			}
		}
	}
	if deep > 0 {
		return math.Min(least, -deep)
	}
	return least
}

// layFaults measures a lay and says what is wrong with it. cuts are the cut
// numbers by motif.
func layFaults(data []byte, cuts map[string]int) (out []string) {
	fault := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	var p laidPlan
	if err := json.Unmarshal(data, &p); err != nil {
		return []string{err.Error()}
	}
	if p.Surface.Cut != "none" || p.Placements == nil || len(p.Placements) > 0 {
		fault("cut %q, placements %v", p.Surface.Cut, p.Placements)
	}
	type kind struct {
		motif string
		size  float64
	}
	type piece struct {
		kind
		piece int
	}
	index, want := map[string]int{}, map[piece]int{}
	for i, m := range p.Motifs {
		index[m.Name] = i
	}
	for _, c := range p.Counts {
		m := p.Motifs[index[c.Motif]]
		cut := cuts[c.Motif]
		if m.Backs != "" {
			cut = cuts[m.Backs]
		}
		if c.Placed != 0 || c.Spare != c.Cut || c.Cut != cut {
			fault("%s: %+v, wanted %d", c.Motif, c, cut)
		}
		for i := range m.Pieces {
			want[piece{kind{c.Motif, c.Size}, i}] += c.Cut
		}
	}
	sheets := map[[2]string]int{}
	lengths := map[[2]string]float64{}
	for _, s := range p.Sheets {
		key := [2]string{s.Sheet, s.Colour}
		sheets[key]++
		lengths[key] += s.Height
		if s.Number != sheets[key] {
			fault("%v: sheet %d is numbered %d", key, sheets[key], s.Number)
		}
		var laid []cutRings
		for n, q := range s.Pieces {
			of := p.Motifs[index[q.Motif]].Pieces[q.Piece]
			want[piece{kind{q.Motif, q.Size}, q.Piece}]--
			if of.Colour != s.Colour {
				fault("%v %d: piece %d is of %s", key, s.Number, n, of.Colour)
			}
			quarter := math.Mod(q.Turn+720, 90)
			steps := int(math.Round(math.Mod(q.Turn+720, 360)/90)) % 4
			if square := math.Min(quarter, 90-quarter) < 1e-4; q.Flipped || s.Nap != "none" && !square || s.Nap == "two-way" && steps%2 != 0 || s.Nap == "one-way" && steps != 0 {
				fault("%v %d: piece %d is turned %g on %s felt", key, s.Number, n, q.Turn, s.Nap)
			}
			var rings cutRings
			for _, r := range append([][][2]float64{of.Outer}, of.Holes...) {
				var ring []xy
				for _, v := range r {
					ring = append(ring, xy{v[0] * q.Size, v[1] * q.Size}.turn(q.Turn*math.Pi/180).plus(xy{q.X, q.Y}))
				}
				rings = append(rings, ring)
			}
			lo, hi := rings.box()
			if lo.x < s.Margin-allowed || lo.y < s.Margin-allowed || hi.x > s.Width-s.Margin+allowed || hi.y > s.Height-s.Margin+allowed {
				fault("%v %d: piece %d lies past the margin: %v to %v", key, s.Number, n, lo, hi)
			}
			for k, other := range laid {
				if g := rings.gap(other, p.Cutting.Gap+1); g < p.Cutting.Gap-allowed {
					fault("%v %d: pieces %d and %d lie %g apart, asked %g", key, s.Number, k, n, g, p.Cutting.Gap)
				}
			}
			laid = append(laid, rings)
		}
		for _, l := range s.Left {
			if math.Min(l.Width, l.Height) < 50 || l.X < 0 || l.Y < 0 || l.X+l.Width > s.Width+allowed || l.Y+l.Height > s.Height+allowed {
				fault("%v %d: left over %+v", key, s.Number, l)
			}
			box := cutRings{{{l.X, l.Y}, {l.X + l.Width, l.Y}, {l.X + l.Width, l.Y + l.Height}, {l.X, l.Y + l.Height}}}
			for k, other := range laid {
				if g := box.gap(other, 1); g < -allowed {
					fault("%v %d: piece %d lies %g in what is left over, %+v", key, s.Number, k, -g, l)
				}
			}
		}
	}
	for k, n := range want {
		if n != 0 {
			fault("%v: %d too few on the sheets", k, n)
		}
	}
	for _, o := range p.Order {
		key := [2]string{o.Sheet, o.Colour}
		need := sheets[key]
		if o.Unit == "mm" {
			need = int(math.Ceil(lengths[key] - 1e-3))
		}
		if o.Need != need || o.Buy != o.Need-o.Stock || o.AtLeast > o.Need || o.Cost < 0 {
			fault("order %+v, laid %d", o, need)
		}
		delete(sheets, key)
	}
	if len(sheets) > 0 {
		fault("sheets %v are not in the order", sheets)
	}
	return out
}

// Invented lays keep gap, margin, nap, colour and counts by a slow check of
// their plan.json.
func TestRandomLays(t *testing.T) {
	first, n := uint64(1), 12
	for name, to := range map[string]func(uint64){"STREW_FIRST": func(v uint64) { first = v }, "STREW_LAY_PROJECTS": func(v uint64) { n = int(v) }} {
		if s := os.Getenv(name); s != "" {
			v, err := strconv.ParseUint(s, 10, 64)
			if err != nil {
				t.Fatal(err)
			}
			to(v)
		}
	}
	verify := os.Getenv("STREW_VERIFY")
	dir := t.TempDir()
	made, pieces, passed, refused := 0, 0, 0, 0
	for seed := first; seed < first+uint64(n); seed++ {
		text, files := inventLay(seed)
		file := filepath.Join(dir, "project.toml")
		if err := os.WriteFile(file, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		p, err := project.LoadLay(file, project.Overrides{})
		if err != nil {
			t.Errorf("seed %d: %v\n%s", seed, err, text)
			continue
		}
		out, err := stage.NewPlanner(files).Lay(context.Background(), p, nil)
		var big *sheet.FitError
		if errors.As(err, &big) || err != nil && strings.Contains(err.Error(), "fits no felt") {
			refused++
			continue
		}
		if err != nil {
			t.Errorf("seed %d: %v\n%s", seed, err, text)
			continue
		}
		made++
		cuts := map[string]int{}
		for _, m := range p.Motifs {
			cuts[m.Name] = m.Cut
		}
		for _, s := range out.Laid.Lay.Sheets {
			pieces += len(s.Pieces)
		}
		faults := layFaults(planJSON(out), cuts)
		for _, f := range faults {
			t.Errorf("seed %d: %s", seed, f)
		}
		if len(faults) > 0 {
			t.Logf("seed %d is\n%s", seed, text)
		}
		if verify == "" {
			continue
		}
		file = filepath.Join(dir, "plan.json")
		if err := os.WriteFile(file, planJSON(out), 0o666); err != nil {
			t.Fatal(err)
		}
		if said, err := exec.Command(verify, file).CombinedOutput(); err != nil {
			t.Errorf("seed %d: the verifier says\n%s\n%s", seed, said, text)
		} else {
			passed++
		}
	}
	t.Logf("%d lays with %d pieces, %d with a piece too large; the verifier passed %d", made, pieces, refused, passed)
	if made < n/2 {
		t.Errorf("only %d of %d were laid", made, n)
	}
}
