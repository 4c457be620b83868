package stage

import (
	"context"
	"crypto/sha256"
	"io/fs"

	"strew/cmd/internal/project"
	"strew/scatter"
	"strew/scatter/skirt"
	"strew/sheet"
)

// Planner makes plans, and keeps what its stages made: a stage runs again only if
// one of its inputs changed. What it returns does not depend on what it made
// before. It is safe for concurrent use.
type Planner struct {
	drawings drawings
	figures  memo[figure]
	layers   memo[Cloth] // the top layer alone
	strewn   memo[Strewn]
	laid     memo[Laid]
	even     memo[scatter.Evenness]
	yields   memo[yielded]
	cache    sheet.Cache // of shapes, for all lays
}

// yielded is what strewByFelt found.
type yielded struct {
	strewn Strewn
	counts []Count
	laid   Laid
}

const (
	// figuresKept is how many drawings a planner keeps: more than the 64 motifs
	// that a project may have.
	figuresKept = 100
	// stepsKept is how many values of every other stage it keeps: as many changes
	// can be undone, or choices compared, without working anything out again.
	stepsKept = 50
)

// NewPlanner returns a planner that reads drawings from files, and has made
// nothing yet.
func NewPlanner(files fs.FS) *Planner {
	return &Planner{
		drawings: drawings{files: files, seen: map[string]stamp{}},
		figures:  memo[figure]{most: figuresKept}, layers: memo[Cloth]{most: stepsKept}, strewn: memo[Strewn]{most: stepsKept},
		laid: memo[Laid]{most: stepsKept}, even: memo[scatter.Evenness]{most: stepsKept}, yields: memo[yielded]{most: stepsKept},
	}
}

// Plan makes the whole plan of a project. tell, which may be nil, receives
// progress. A wrong input is an *InputError; other errors say what could not
// be done. If the context ends while the felt is laid, the plan has the best lay
// so far, with Laid.Lay.Stopped set; if it ends earlier, or the felt decides how
// many cutouts there are, its error is returned.
func (p *Planner) Plan(ctx context.Context, pr project.Project, tell func(Event)) (Plan, error) {
	if tell == nil {
		tell = func(Event) {}
	}
	out, strewn, err := p.plan(ctx, pr, tell)
	if err != nil {
		return Plan{}, err
	}
	tell(Event{Stage: Measuring, Plan: &out})
	if out.Laid.Lay.Stopped {
		ctx = context.WithoutCancel(ctx) // the plan is kept, so finish it
	}
	even, err := p.even.get(strewn, func() (scatter.Evenness, bool, error) {
		e, err := out.Strewn.Measure(ctx, out.Cloth)
		return e, true, err
	})
	if err != nil {
		return Plan{}, err
	}
	measured := out // the plan given to tell is not changed
	measured.Even = even
	return measured, nil
}

// plan makes a plan without its evenness, and returns the key of what is strewn.
func (p *Planner) plan(ctx context.Context, pr project.Project, tell func(Event)) (Plan, key, error) {
	tell(Event{Stage: Drawing})
	drawn, keys, err := p.draw(ctx, pr)
	if err != nil {
		return Plan{}, key{}, err
	}
	out := Plan{Project: pr, Mix: MixOf(pr, drawn, false)}
	tell(Event{Stage: Cutting})
	var top key
	if out.Cloth, top, err = p.cut(pr); err != nil {
		return Plan{}, key{}, err
	}
	mixed := mixKey(out.Mix, keys, pr.Backing)
	cutouts := pr.Scatter.Cutouts
	strewn := keyOf(top, mixed, strewOptions(out.Cloth, out.Mix, pr, cutouts), strewnKey(pr))
	if ByFelt(pr) {
		strewn = keyOf(strewn, FeltOf(pr), pr.Scatter, pr.Cutting)
		out, err = p.planByFelt(ctx, out, strewn, tell)
		return out, strewn, err
	}
	tell(Event{Stage: Strewing})
	out.Strewn, err = p.strewn.get(strewn, func() (Strewn, bool, error) {
		s, err := Strew(ctx, out.Cloth, out.Mix, pr, cutouts)
		return s, true, err
	})
	if err != nil {
		return Plan{}, key{}, err
	}
	out.Counts = CountPlaced(out.Mix, placed(out.Mix, out.Strewn.Layout), pr.Cutting)
	out, err = p.withLay(ctx, out, mixed, tell)
	return out, strewn, err
}

// Lay makes a plan without a skirt: each motif's own cut number, in each of its
// sizes, laid on felt. The project must have been read by project.LoadLay.
// Otherwise it is like Plan.
func (p *Planner) Lay(ctx context.Context, pr project.Project, tell func(Event)) (Plan, error) {
	if tell == nil {
		tell = func(Event) {}
	}
	tell(Event{Stage: Drawing})
	drawn, keys, err := p.draw(ctx, pr)
	if err != nil {
		return Plan{}, err
	}
	out := Plan{Project: pr, LayOnly: true, Mix: MixOf(pr, drawn, true)}
	out.Counts = CountCuts(out.Mix, pr.Motifs)
	return p.withLay(ctx, out, mixKey(out.Mix, keys, pr.Backing), tell)
}

// withLay reports the plan so far and lays the counts.
func (p *Planner) withLay(ctx context.Context, out Plan, mixed key, tell func(Event)) (Plan, error) {
	marked := out
	tell(Event{Stage: Laying, Plan: &marked})
	felt := FeltOf(out.Project)
	var err error
	out.Laid, err = p.laid.get(keyOf(mixed, out.Counts, felt), func() (Laid, bool, error) {
		laid, err := Lay(ctx, out.Mix, out.Counts, felt, &p.cache, tell)
		return laid, !laid.Lay.Stopped, err
	})
	if err != nil {
		return Plan{}, err
	}
	return out, nil
}

// planByFelt finishes a plan whose felt decides how many cutouts there are.
func (p *Planner) planByFelt(ctx context.Context, out Plan, wish key, tell func(Event)) (Plan, error) {
	found, err := p.yields.get(wish, func() (yielded, bool, error) {
		strewn, counts, laid, err := strewByFelt(ctx, out, &p.cache, tell)
		return yielded{strewn, counts, laid}, true, err
	})
	if err != nil {
		return Plan{}, err
	}
	out.Strewn, out.Counts, out.Laid = found.strewn, found.counts, found.laid
	return out, nil
}

// draw reads the motifs whose drawings changed, and returns a key of each.
func (p *Planner) draw(ctx context.Context, pr project.Project) (Drawn, []key, error) {
	var out Drawn
	var keys []key
	for i, m := range pr.Motifs {
		sum, err := p.drawings.sum(m.Outline)
		if err != nil {
			return Drawn{}, nil, noOutline(pr, i, p.drawings.files, err)
		}
		k := keyOf(m.Name, m.Outline, m.Width, m.Height, m.Paper, m.Pick, m.Colour, sum)
		one, err := p.figures.get(k, func() (figure, bool, error) {
			f, err := readMotif(ctx, pr, i, p.drawings.files)
			return f, true, err
		})
		if err != nil {
			return Drawn{}, nil, err
		}
		out = out.with(one)
		keys = append(keys, k)
	}
	return out, keys, nil
}

// cut drafts the skirt; its key is that of the top layer, on which cutouts lie.
func (p *Planner) cut(pr project.Project) (Cloth, key, error) {
	var sum [sha256.Size]byte
	if skirt.Cut(pr.Skirt.Cut) == skirt.Outline {
		var err error
		if sum, err = p.drawings.sum(pr.Skirt.Outline); err != nil {
			return Cloth{}, key{}, noPanels(pr, err)
		}
	}
	k := keyOf(layerOf(pr), sum)
	top, err := p.layers.get(k, func() (Cloth, bool, error) {
		c, err := topLayer(pr, p.drawings.files)
		return c, true, err
	})
	if err != nil {
		return Cloth{}, key{}, err
	}
	out, err := withFabric(top, pr)
	return out, k, err
}

// strewnKey is the key of what the motifs' tables say about strewing.
func strewnKey(pr project.Project) key {
	var kinds []scatter.Kind
	for _, m := range pr.Motifs {
		kinds = append(kinds, scatter.Kind{Name: m.Name, Share: m.Share, Direction: scatter.Direction(m.Direction), Tilt: m.Tilt})
	}
	return keyOf(kinds)
}

// mixKey is the key of a mix of motifs, given those of their drawings.
func mixKey(m Mix, figures []key, b project.Backing) key {
	return keyOf(figures, m.Kinds, m.Cutouts, m.Sizes, m.Backs, b)
}
