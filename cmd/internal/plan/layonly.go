package plan

import (
	"context"
	"fmt"
	"io/fs"

	"strew/cmd/internal/project"
)

// BuildLay makes a plan without a skirt: the motifs' own cut numbers, so many
// in each of a motif's sizes, laid on felt. It is otherwise as Build; the
// project must come from project.LoadLay.
func BuildLay(ctx context.Context, p project.Project, files fs.FS, progress func(Stage)) (*Plan, error) {
	if progress == nil {
		progress = func(Stage) {}
	}
	out := &Plan{Project: p, LayOnly: true, Warnings: append([]string(nil), p.Notes...), papers: &papers{}}
	progress(Stage{Name: "reading the motifs"})
	if err := out.readMotifs(ctx, files); err != nil {
		return nil, err
	}
	out.addBacking()
	out.countCuts()
	if err := out.layFelt(ctx, progress); err != nil {
		return nil, err
	}
	out.warn()
	return out, nil
}

// wanted reports whether any cutouts of a motif in one size are made.
func (p *Plan) wanted(motif int, size float64) bool {
	m := p.Project.Motifs[motif]
	if p.LayOnly {
		return m.Cut > 0
	}
	return m.Share > 0 || p.placedByHand(motif, size)
}

// layWords says what is laid, in a few words.
func (p *Plan) layWords() string {
	pieces := 0
	for _, c := range p.Counts {
		pieces += c.Cut() * len(p.Motifs[p.Kinds[c.Kind].Motif].Pieces)
	}
	lengths, sheets := 0, 0
	for _, s := range p.Lay.Sheets {
		if p.Project.Sheets[s.Stock].Roll {
			lengths++
		} else {
			sheets++
		}
	}
	on := many(sheets, "sheet", "sheets")
	switch {
	case sheets == 0:
		on = many(lengths, "length", "lengths")
	case lengths > 0:
		on += " and " + many(lengths, "length", "lengths")
	}
	return fmt.Sprintf("%s laid on %s of felt", many(pieces, "piece", "pieces"), on)
}

// countCuts takes the counts from the motifs' cut numbers. No place is known
// for any of them, so all are spare.
func (p *Plan) countCuts() {
	p.Counts = make([]Count, len(p.Kinds))
	for i, k := range p.Kinds {
		m := k.Motif
		if b := p.backed(m); b >= 0 {
			m = b
		}
		p.Counts[i] = Count{Kind: i, Spare: p.Project.Motifs[m].Cut}
	}
}
