package stage_test

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"reflect"
	"testing"
	"testing/fstest"
	"time"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/sheet"
)

// counted counts how often files are read.
type counted struct {
	fstest.MapFS
	reads int
}

func (c *counted) ReadFile(name string) ([]byte, error) {
	c.reads++
	return c.MapFS.ReadFile(name)
}

// changes are projects that differ from the built-in example in one thing each,
// and it again.
func changes() (map[string]project.Project, fs.FS) {
	example, files := project.Example()
	example.Cutting.Effort = 0
	out := map[string]project.Project{"as it is": example}
	for name, change := range map[string]func(p *project.Project){
		"spacing":   func(p *project.Project) { p.Scatter.Spacing = 140 },
		"seed":      func(p *project.Project) { p.Seed++ },
		"clearance": func(p *project.Project) { p.Clearance.Hem += 20 },
		"drop":      func(p *project.Project) { p.Skirt.Drop -= 50 },
		"colour":    func(p *project.Project) { p.Skirt.Colour = "#112233" },
		"cloth":     func(p *project.Project) { p.Skirt.FabricWidth += 100 },
		"inches":    func(p *project.Project) { p.Unit = geom.Inch },
		"share":     func(p *project.Project) { p.Motifs[0].Share = 1 },
		"width":     func(p *project.Project) { p.Motifs[1].Width += 5 },
		"sizes":     func(p *project.Project) { p.Motifs[1].Sizes = []float64{1, 0.8} },
		"direction": func(p *project.Project) { p.Motifs[0].Direction = "tossed" },
		"gap":       func(p *project.Project) { p.Cutting.Gap++ },
		"spares":    func(p *project.Project) { p.Cutting.SpareShare, p.Cutting.SpareCount = 0, 7 },
		"felt":      func(p *project.Project) { p.Sheets[0].Width += 30 },
		"patches": func(p *project.Project) {
			p.Backing = project.Backing{Shape: "round", Colour: "#333333"}
		},
		"cutouts": func(p *project.Project) { p.Scatter.Spacing, p.Scatter.Cutouts = 0, 90 },
		"sheets":  func(p *project.Project) { p.Scatter.Spacing, p.Scatter.Sheets = 0, 4 },
		"title":   func(p *project.Project) { p.Title = "another" },
	} {
		p := example
		p.Motifs = append([]project.Motif(nil), p.Motifs...)
		p.Sheets = append([]project.Sheet(nil), p.Sheets...)
		change(&p)
		out[name] = p
	}
	return out, files
}

// A planner that made other plans before makes the plan that a new one makes:
// nothing that a stage depends on is left out of what it is known by.
func TestPlannerDoesNotDependOnThePast(t *testing.T) {
	list, files := changes()
	used := stage.NewPlanner(files)
	for _, round := range []string{"first", "again"} {
		for name, p := range list {
			got, err := used.Plan(context.Background(), p, nil)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			want, err := stage.NewPlanner(files).Plan(context.Background(), p, nil)
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(got, want) {
				t.Errorf("%s, %s: the plan is not that of a new planner", name, round)
			}
		}
		if testing.Short() {
			break
		}
	}
}

// Drawings that did not change are not read again, whatever else did.
func TestDrawingsAreNotReadAgain(t *testing.T) {
	list, own := changes()
	files := &counted{MapFS: fstest.MapFS{}}
	p := list["as it is"]
	for _, m := range p.Motifs {
		data, err := fs.ReadFile(own, m.Outline)
		if err != nil {
			t.Fatal(err)
		}
		files.MapFS[m.Outline] = &fstest.MapFile{Data: data, ModTime: time.Unix(1_000_000, 0)}
	}
	planner := stage.NewPlanner(files)
	first := 0
	for i, change := range []string{"as it is", "spacing", "as it is", "gap"} {
		told := 0 // plans before the felt was laid
		if _, err := planner.Plan(context.Background(), list[change], func(e stage.Event) {
			if e.Plan != nil && e.Stage == stage.Laying {
				told++
			}
		}); err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			first = files.reads
		}
		if files.reads != first || first == 0 || told != 1 {
			t.Errorf("%s: %d files read, %d at first; %d plans told of", change, files.reads, first, told)
		}
	}
}

// A drawing in which something did change is read again, whether or not its file
// has a time of change.
func TestChangedDrawingsAreReadAgain(t *testing.T) {
	list, own := changes()
	for _, now := range []time.Time{{}, time.Unix(1_000_000, 0)} {
		files := fstest.MapFS{}
		p := list["as it is"]
		for _, m := range p.Motifs {
			data, err := fs.ReadFile(own, m.Outline)
			if err != nil {
				t.Fatal(err)
			}
			files[m.Outline] = &fstest.MapFile{Data: data, ModTime: now}
		}
		planner := stage.NewPlanner(files)
		before, err := planner.Plan(context.Background(), p, nil)
		if err != nil {
			t.Fatal(err)
		}
		// The first motif drawn as the second one.
		later := time.Time{}
		if !now.IsZero() {
			later = now.Add(time.Second)
		}
		files[p.Motifs[0].Outline] = &fstest.MapFile{Data: files[p.Motifs[1].Outline].Data, ModTime: later}
		after, err := planner.Plan(context.Background(), p, nil)
		if err != nil {
			t.Fatal(err)
		}
		if reflect.DeepEqual(before.Mix.Motifs[0].Pieces, after.Mix.Motifs[0].Pieces) || !reflect.DeepEqual(before.Mix.Motifs[1], after.Mix.Motifs[1]) {
			t.Errorf("time %v: the first motif was to change, the second was not", now)
		}
	}
}

// Choices that are planned side by side are the plans of one after the other, and
// one that cannot be planned does not keep the others back.
func TestCompareIsPlanByPlan(t *testing.T) {
	list, files := changes()
	var choices []stage.Choice
	for _, name := range []string{"as it is", "spacing", "cutouts"} {
		choices = append(choices, stage.Choice{Asked: name, Project: list[name]})
	}
	broken := list["as it is"]
	broken.Scatter.Spacing, broken.Scatter.Cutouts = 0, 5000
	fault := errors.New("fault")
	choices = append(choices, stage.Choice{Asked: "too many", Project: broken}, stage.Choice{Asked: "faulty", Err: fault})
	told := 0
	got, err := stage.NewPlanner(files).Compare(context.Background(), choices, func(n int) { told = n })
	if err != nil || told != len(choices) {
		t.Fatalf("%d told, %v", told, err)
	}
	for i, c := range got[:3] {
		want, err := stage.NewPlanner(files).Plan(context.Background(), choices[i].Project, nil)
		c.Plan.Even = want.Even // which a comparison does not measure
		if err != nil || c.Err != nil || !reflect.DeepEqual(c.Plan, want) {
			t.Errorf("%s: not the plan by itself, %v, %v", c.Asked, err, c.Err)
		}
	}
	if got[3].Err == nil || got[4].Err != fault {
		t.Errorf("got %v and %v", got[3].Err, got[4].Err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := stage.NewPlanner(files).Compare(ctx, choices, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: got %v", err)
	}
}

// While felt is laid, what was told is marks first, then orders that only get
// better, the last of them the plan's own.
func TestOrderIsToldAsItIsFound(t *testing.T) {
	list, files := changes()
	p := list["as it is"]
	p.Cutting.Effort = 3
	var best []sheet.Need
	marks := false
	made, err := stage.NewPlanner(files).Plan(context.Background(), p, func(e stage.Event) {
		if e.Stage != stage.Laying {
			return
		}
		marks = marks || e.Plan != nil
		if len(e.Best) > 0 && !marks {
			t.Error("an order was reported before the marks")
		}
		if e.Best != nil {
			best = e.Best
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	sum := func(needs []sheet.Need) (n int) {
		for _, d := range needs {
			n += d.Sheets
		}
		return n
	}
	if sum(best) != sum(made.Laid.Lay.Needs) {
		t.Errorf("told last: %+v, laid: %+v", best, made.Laid.Lay.Needs)
	}
}

// A plan that was stopped while the felt was laid is made again when it is asked
// for again.
func TestStoppedLayIsNotKept(t *testing.T) {
	list, files := changes()
	p := list["as it is"]
	p.Cutting.Effort = 5
	planner := stage.NewPlanner(files)
	ctx, stop := context.WithCancel(context.Background())
	made, err := planner.Plan(ctx, p, func(e stage.Event) {
		if e.Stage == stage.Laying && e.Total > 0 {
			stop()
		}
	})
	if err != nil || !made.Laid.Lay.Stopped {
		t.Fatalf("stopped: %t, %v", made.Laid.Lay.Stopped, err)
	}
	if made, err = planner.Plan(context.Background(), p, nil); err != nil || made.Laid.Lay.Stopped {
		t.Errorf("again, stopped: %t, %v", made.Laid.Lay.Stopped, err)
	}
}

// benchmarkChange times the plan up to the placements after each of several
// changes, the lay left out.
func benchmarkChange(b *testing.B, change func(p *project.Project, i int)) {
	p, files := project.Example()
	p.Cutting.Effort = 0
	planner := stage.NewPlanner(files)
	if _, err := planner.Plan(context.Background(), p, nil); err != nil {
		b.Fatal(err)
	}
	i := 0
	for b.Loop() {
		i++
		q := p
		change(&q, i)
		ctx, stop := context.WithCancel(context.Background())
		marks := 0
		_, err := planner.Plan(ctx, q, func(e stage.Event) {
			if e.Plan != nil {
				marks = len(e.Plan.Strewn.Layout.Placements)
				stop()
			}
		})
		stop()
		if marks < 100 || err != nil && !errors.Is(err, context.Canceled) {
			b.Fatal(fmt.Sprint(marks, " marks, ", err))
		}
	}
}

// A change of spacing, to the new placements.
func BenchmarkSpacingChanged(b *testing.B) {
	benchmarkChange(b, func(p *project.Project, i int) { p.Scatter.Spacing = 110 + float64(i)*1e-3 })
}

// A project that did not change, as a whole.
func BenchmarkUnchanged(b *testing.B) {
	p, files := project.Example()
	p.Cutting.Effort = 0
	planner := stage.NewPlanner(files)
	for b.Loop() {
		if _, err := planner.Plan(context.Background(), p, nil); err != nil {
			b.Fatal(err)
		}
	}
}
