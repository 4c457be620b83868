// Package results draws and writes the files of a plan, each when it is asked
// for, from values to bytes. It touches no disk.
package results

import (
	"context"
	"fmt"
	"io/fs"
	"runtime"
	"slices"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"strew/cmd/internal/record"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
	"strew/motif/say"
	"strew/render"
)

// File is one result: its name, without a folder, and its bytes.
type File struct {
	Name string
	Data []byte
}

// PlanFile is the name of the plan among the results.
const PlanFile = "plan.json"

// Results are the files of one plan. They are safe for concurrent use.
type Results struct {
	plan stage.Plan

	printing sync.Mutex
	printed  bool
	papers   []paper

	hung    sync.Once
	inFront int

	mu    sync.Mutex
	notes []say.Message // about pictures drawn at fewer dpi than asked
}

// Of returns the results of a plan. Nothing is drawn yet.
func Of(p stage.Plan) *Results { return &Results{plan: p} }

// Title returns the title of the plan.
func (r *Results) Title() string { return r.plan.Project.Title }

// note keeps a note for the answer.
func (r *Results) note(m say.Message) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.notes = append(r.notes, m)
}

// words returns the texts of the plan that need nothing drawn.
func (r *Results) words() words.Text { return words.Of(r.plan, words.Drawn{}) }

// Text returns the texts of the plan. It draws the paper, to count the pages, and
// the skirt as it hangs; notes about other pictures are included once Files has
// drawn them. The error is the context's.
func (r *Results) Text(ctx context.Context) (words.Text, error) {
	d := words.Drawn{Hangs: r.hangs()}
	for _, p := range r.paper(ctx) {
		d.Paper = append(d.Paper, words.Pages{File: p.name, Sheets: len(p.pages)})
	}
	if err := ctx.Err(); err != nil {
		return words.Text{}, err
	}
	if d.Hangs {
		d.InFront = r.front()
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	d.Notes = slices.Clone(r.notes)
	slices.SortFunc(d.Notes, func(a, b say.Message) int { return strings.Compare(a.String(), b.String()) }) // pictures are drawn in any order
	return words.Of(r.plan, d), nil
}

// hangs reports whether the skirt can be shown worn: drawn panels do not say how
// they are worn.
func (r *Results) hangs() bool {
	return !r.plan.LayOnly && r.plan.Cloth.Surface.Closed()
}

// front returns how many cutouts show from the front.
func (r *Results) front() int {
	r.hung.Do(func() { r.inFront = render.ShowInFront(Cloth(r.plan), Marks(r.plan)) })
	return r.inFront
}

// PlanJSON returns the contents of plan.json. It draws what Text draws; the error
// is the context's.
func (r *Results) PlanJSON(ctx context.Context) ([]byte, error) {
	t, err := r.Text(ctx)
	if err != nil {
		return nil, err
	}
	return planJSON(t), nil
}

// planJSON writes plan.json with the notes and sums of the texts.
func planJSON(t words.Text) []byte {
	said := record.Said{
		Cost: record.Cost(t.Cost()), Pages: t.Pages(), Hangs: t.Drawn.Hangs, InFront: t.Drawn.InFront,
		Contrast: func(c stage.Contrast) string { return words.Contrast(t.Printer, c) },
	}
	for _, n := range t.Notes() {
		said.Notes = append(said.Notes, record.Note(n))
	}
	return record.Plan(t.Plan, said)
}

// drawing is a file that is still to be drawn.
type drawing struct {
	name string
	draw func() ([]byte, error)
}

// Files draws and writes every result into memory: plan.json first, then pictures,
// paper, tables and lists. tell, which may be nil, is called with the number drawn
// so far. The error is the context's, or that of a file that could not be drawn.
func (r *Results) Files(ctx context.Context, tell func(done, total int)) ([]File, error) {
	files, err := drawAll(ctx, r.pictures(ctx), tell)
	if err != nil {
		return nil, err
	}
	text, err := r.Text(ctx) // drawn pictures may add notes to it
	if err != nil {
		return nil, err
	}
	files = append([]File{{PlanFile, planJSON(text)}}, files...)
	for _, t := range textsOf(r.plan) {
		files = append(files, File{t.name, t.write(text)})
	}
	return files, nil
}

// File draws and writes one result. Its error is fs.ErrNotExist if the plan has none
// of that name, else the context's or that of drawing it.
func (r *Results) File(ctx context.Context, name string) ([]byte, error) {
	if name == PlanFile {
		return r.PlanJSON(ctx)
	}
	for _, t := range textsOf(r.plan) {
		if t.name == name {
			text, err := r.Text(ctx)
			if err != nil {
				return nil, err
			}
			return t.write(text), nil
		}
	}
	for _, d := range r.pictures(ctx) {
		if d.name == name {
			return d.draw()
		}
	}
	return nil, fs.ErrNotExist
}

// written is a result that is a table or a list.
type written struct {
	name  string
	write func(words.Text) []byte
}

// textsOf lists the results of a plan that are tables and lists.
func textsOf(p stage.Plan) []written {
	out := []written{{"shopping.md", words.Text.ShoppingMarkdown}, {"shopping.csv", words.Text.ShoppingCSV}}
	if p.LayOnly {
		return out
	}
	return append([]written{{"marking.csv", words.Text.MarkingCSV}}, out...)
}

// drawAll draws on all processors, and returns the files in the order of the list.
func drawAll(ctx context.Context, list []drawing, tell func(done, total int)) ([]File, error) {
	files := make([]File, len(list))
	var mu sync.Mutex
	done := 0
	g, ctx := errgroup.WithContext(ctx)
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i, d := range list {
		g.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			data, err := d.draw()
			if err != nil {
				return fmt.Errorf("%s: %w", d.name, err)
			}
			files[i] = File{d.name, data}
			mu.Lock()
			defer mu.Unlock()
			done++
			if tell != nil {
				tell(done, len(list))
			}
			return nil
		})
	}
	return files, g.Wait()
}
