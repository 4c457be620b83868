// Package plan runs the stages in order, from a project to a whole plan, and
// turns the plan into the files and words a maker reads.
//
//	project → surface + motifs → placements → counts → lay → drawings
package plan

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"

	"strew/cmd/internal/project"
	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/scatter"
	"strew/scatter/skirt"
	"strew/sheet"
)

// Kind is a motif in one size, as it is scattered and counted.
type Kind struct {
	Motif int // index into the plan's motifs
	Size  float64
}

// Count is how many of one kind are placed and cut.
type Count struct {
	Kind, Placed, Spare int
}

// Cut returns how many to cut.
func (c Count) Cut() int { return c.Placed + c.Spare }

// Item is one piece of one kind, as it is laid on felt.
type Item struct{ Kind, Piece int }

// Fabric is the cloth of one part.
type Fabric struct {
	Part string // "net" or "lining"
	Cut  skirt.Cut
	skirt.Fabric
	Width float64 // of the cloth
}

// Plan is everything decided. It is not changed once built.
type Plan struct {
	Project  project.Project
	LayOnly  bool // no skirt: the motifs' cut numbers are laid on felt
	Surface  skirt.Surface
	Motifs   []motif.Motif    // the project's, then the patches that back them
	Measures []motif.Measures // of the motifs
	Kinds    []Kind
	Layout   scatter.Layout
	Counts   []Count
	Items    []Item // in the order of the lay's item numbers
	Lay      sheet.Lay
	LeftOver [][]geom.Box // of each sheet, the largest first; in its frame
	Fabric   []Fabric
	Warnings []string

	backs  []int    // of each motif, the one it backs, -1 for none; may be shorter than Motifs
	files  []string // names of the result files, listed in plan.json
	papers *papers
	tried  *tried // while counts are tried on the felt
}

// Stage names a stage for progress, with how far it is.
type Stage struct {
	Name        string
	Done, Total int // Total 0: not known
}

// Build makes a plan. Outlines are read from files; progress may be nil. A
// wrong input is an *InputError; anything else could not be done.
func Build(ctx context.Context, p project.Project, files fs.FS, progress func(Stage)) (*Plan, error) {
	if progress == nil {
		progress = func(Stage) {}
	}
	out := &Plan{Project: p, Warnings: append([]string(nil), p.Notes...), papers: &papers{}}
	progress(Stage{Name: "reading the motifs"})
	if err := out.readMotifs(ctx, files); err != nil {
		return nil, err
	}
	if err := out.cutCloth(files); err != nil {
		return nil, err
	}
	if err := out.scatterAndLay(ctx, progress); err != nil {
		return nil, err
	}
	out.warn()
	return out, nil
}

// InputError is a fault of a file the maker gave.
type InputError struct {
	File string
	Line int // 0: not known
	Err  error
}

func (e *InputError) Error() string {
	if e.Line > 0 {
		return fmt.Sprintf("%s:%d: %v", e.File, e.Line, e.Err)
	}
	return fmt.Sprintf("%s: %v", e.File, e.Err)
}

// Unwrap returns the cause.
func (e *InputError) Unwrap() error { return e.Err }

// say returns what writes messages in the maker's unit.
func (p *Plan) say() say.Printer { return say.Printer{Unit: p.Project.Unit} }

// largestDrawing bounds an outline file: a phone's photo, stored without loss.
const largestDrawing = 64 << 20

func (p *Plan) readMotifs(ctx context.Context, files fs.FS) error {
	for i, m := range p.Project.Motifs {
		data, err := readFile(files, m.Outline)
		if errors.Is(err, errNoFile) {
			err = fmt.Errorf("%w; the path is taken from the project file's folder", err)
		}
		if err != nil {
			return &InputError{p.Project.File, m.Line, fmt.Errorf("motif %q: outline %s: %w", m.Name, m.Outline, err)}
		}
		read, warnings, err := outlineOf(ctx, m, data)
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if err != nil {
			return &InputError{m.Outline, 0, fmt.Errorf("motif %q: %w", m.Name, err)}
		}
		for _, w := range warnings {
			p.Warnings = append(p.Warnings, p.say().Say("%s: %s", m.Outline, w))
		}
		p.Motifs = append(p.Motifs, read)
		p.Measures = append(p.Measures, read.Measure())
		for _, size := range m.Sizes {
			if p.wanted(i, size) {
				p.Kinds = append(p.Kinds, Kind{Motif: i, Size: size})
			}
		}
	}
	return nil
}

var errNoFile = errors.New("there is no such file")

func readFile(files fs.FS, name string) ([]byte, error) {
	info, err := fs.Stat(files, name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, errNoFile
	case err != nil:
		return nil, plainCause(err)
	case info.IsDir():
		return nil, errors.New("this is a folder, not a drawing")
	case info.Size() > largestDrawing:
		return nil, fmt.Errorf("the drawing is %d MB large, and %d MB is the most", info.Size()>>20, largestDrawing>>20)
	}
	data, err := fs.ReadFile(files, name)
	if err != nil {
		return nil, plainCause(err)
	}
	return data, nil
}

// plainCause drops the system call and the path from a file error.
func plainCause(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}

// show writes a length in the maker's unit.
func (p *Plan) show(mm float64) string { return geom.Length(mm).In(p.Project.Unit) }

// scatterAndLay finds the placements and the lay. Where the felt decides how
// many cutouts there are, the counts are found first.
func (p *Plan) scatterAndLay(ctx context.Context, progress func(Stage)) error {
	if p.byFelt() {
		p.tried = &tried{}
		defer func() { p.tried = nil }() // large, and of no more use
	}
	bare := *p
	cutouts := p.Project.Scatter.Cutouts
	if p.byFelt() {
		n, err := p.yield(ctx, progress)
		if err != nil {
			return err
		}
		cutouts = n
	}
	for {
		progress(Stage{Name: "scattering"})
		if err := p.scatterMarks(ctx, cutouts); err != nil {
			return err
		}
		p.addBacking()
		p.count()
		if err := p.layFelt(ctx, progress); err != nil {
			return err
		}
		if !p.byFelt() || p.withinFelt() {
			break
		}
		// The mix came out a cutout dearer than reckoned.
		if *p = bare.copied(); cutouts == 1 {
			return errors.New("scatter: no mix with every motif in it keeps to the felt; allow more felt, or use fewer motifs")
		}
		cutouts--
	}
	if p.byFelt() {
		p.tellYield(cutouts)
	}
	return nil
}

// scatterKinds returns the kinds as they are scattered.
func (p *Plan) scatterKinds() []scatter.Kind {
	kinds := make([]scatter.Kind, len(p.Kinds))
	for i, k := range p.Kinds {
		m := p.Project.Motifs[k.Motif]
		var rings []geom.Ring
		for _, r := range p.Motifs[k.Motif].Outers() {
			rings = append(rings, r.Transform(geom.Scaling(k.Size, k.Size)))
		}
		kinds[i] = scatter.Kind{
			Name: p.kindName(k), Motif: k.Motif, Outline: rings, Share: m.Share,
			Direction: scatter.Direction(m.Direction), Tilt: m.Tilt,
		}
	}
	return kinds
}

// scatterOptions returns the wishes for so many cutouts; 0: by the spacing.
func (p *Plan) scatterOptions(cutouts int) scatter.Options {
	sc, c := p.Project.Scatter, p.Project.Clearance
	return scatter.Options{
		Pattern: scatter.Pattern(sc.Pattern), Spacing: sc.Spacing, RowSpacing: sc.RowSpacing, Stagger: sc.Stagger,
		Rows: sc.Rows, Rise: sc.Rise, Jitter: sc.Jitter, Repeat: sc.Repeat, RepeatSet: sc.RepeatSet,
		Cutouts: cutouts, OrFewer: p.byFelt(), SpacingWaist: sc.SpacingWaist, Crowding: p.crowding(), Bare: p.barePatches(), Fixed: p.byHand(),
		Clearance: scatter.Clearance(c), Seed: p.Project.Seed, Unit: p.Project.Unit,
	}
}

func (p *Plan) scatterMarks(ctx context.Context, cutouts int) error {
	var err error
	p.Layout, err = scatter.Run(ctx, p.Surface, p.scatterKinds(), p.scatterOptions(cutouts))
	if err != nil {
		return fmt.Errorf("scatter: %w", err)
	}
	p.Warnings = append(p.Warnings, p.Layout.Notes...)
	return nil
}

// kindName is what a maker calls a motif in one size.
func (p *Plan) kindName(k Kind) string {
	name, of := p.Motifs[k.Motif].Name, k.Motif
	if b := p.backed(of); b >= 0 {
		of = b
	}
	if len(p.Project.Motifs[of].Sizes) == 1 && k.Size == 1 {
		return name
	}
	return fmt.Sprintf("%s × %s", name, trim(k.Size))
}

// pieceName is what a maker calls one piece of a kind; pieceOf leaves its size
// out.
func (p *Plan) pieceName(it Item) string {
	return p.kindName(p.Kinds[it.Kind]) + p.pieceWords(it)
}

func (p *Plan) pieceOf(it Item) string {
	return p.Motifs[p.Kinds[it.Kind].Motif].Name + p.pieceWords(it)
}

func (p *Plan) pieceWords(it Item) string {
	if len(p.Motifs[p.Kinds[it.Kind].Motif].Pieces) == 1 {
		return ""
	}
	return fmt.Sprintf(", piece %d", it.Piece+1)
}

func (p *Plan) count() {
	placed := make([]int, len(p.Kinds))
	for _, m := range p.Layout.Placements {
		placed[m.Kind]++
	}
	p.countPlaced(placed)
}

// countPlaced counts so many cutouts of each kind, as many patches as they
// have, and the spares of all.
func (p *Plan) countPlaced(placed []int) {
	p.Counts = make([]Count, len(p.Kinds))
	for i, n := range placed {
		p.Counts[i].Placed = n
	}
	for i := range p.Counts {
		p.Counts[i].Kind = i
	}
	cut := p.Project.Cutting
	for i := range p.Counts {
		c := &p.Counts[i]
		if k := p.Kinds[i]; p.isPatch(k) {
			c.Placed = p.countOf(Kind{p.backed(k.Motif), k.Size}).Placed
		}
		if c.Placed == 0 {
			continue
		}
		c.Spare = cut.SpareCount
		if cut.SpareShare > 0 {
			c.Spare = int(math.Ceil(cut.SpareShare*float64(c.Placed) - geom.SameRatio))
		}
	}
}

var naps = map[string]sheet.Nap{"none": sheet.AnyTurn, "four-way": sheet.FourWay, "two-way": sheet.TwoWay, "one-way": sheet.OneWay}

// layFelt lays the counts. A context done in the midst of it leaves the best lay
// so far; one done before, or where the felt decides how many are cut, is an
// error.
func (p *Plan) layFelt(ctx context.Context, progress func(Stage)) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	err := p.pack(ctx, p.Project.Cutting.Effort, func(done, total int) { progress(Stage{"laying the felt", done, total}) })
	if err != nil {
		return err
	}
	if p.Lay.Stopped {
		if p.byFelt() {
			return ctx.Err()
		}
		p.Warnings = append(p.Warnings, "the lay was stopped early and is the best found until then; a full run may need less felt")
	}
	p.findLeftOver()
	return nil
}

// pack lays the counts on felt.
func (p *Plan) pack(ctx context.Context, effort int, progress func(done, total int)) error {
	p.Items = nil
	for i, k := range p.Kinds {
		for j := range p.Motifs[k.Motif].Pieces {
			p.Items = append(p.Items, Item{i, j})
		}
	}
	var stock []sheet.Stock
	for _, s := range p.Project.Sheets {
		stock = append(stock, p.stock(s))
	}
	opt := sheet.Options{Gap: p.Project.Cutting.Gap, Effort: effort, Seed: p.Project.Seed, Fewest: p.Project.Scatter.Sheets > 0, Progress: progress}
	if p.tried != nil {
		if lay, ok := p.tried.find(p.Counts, effort); ok {
			p.Lay = lay
			return nil
		}
		opt.Memory = &p.tried.memory
	}
	lay, err := sheet.Pack(ctx, p.sheetItems(), stock, opt)
	if err != nil {
		return p.layError(err)
	}
	p.Lay = lay
	if p.tried != nil && !lay.Stopped {
		p.tried.keep(p, effort)
	}
	return nil
}
