package results

import (
	"context"
	"io/fs"
	"testing"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
)

// What the files to print add to a run of the built-in example.
func BenchmarkPaper(b *testing.B) {
	p, files := project.Example()
	made, err := stage.NewPlanner(files).Plan(context.Background(), p, nil)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		for _, f := range Of(made).paper() {
			if _, err := f.write(); err != nil {
				b.Fatal(err)
			}
		}
		if _, err := laySVG(made); err != nil {
			b.Fatal(err)
		}
	}
}

// All files of the built-in example.
func BenchmarkFiles(b *testing.B) {
	p, files := project.Example()
	made, err := stage.NewPlanner(files).Plan(context.Background(), p, nil)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Of(made).Files(context.Background(), nil); err != nil {
			b.Fatal(err)
		}
	}
}

// longSkirt is the built-in example as a full circle in one panel of 90 cm with
// 400 cutouts: nothing repeats, so that all of it is printed.
func longSkirt() (project.Project, fs.FS) {
	p, files := project.Example()
	p.Skirt.Drop, p.Skirt.Length, p.Skirt.Panels = 900, 900+p.Skirt.Waistband, 1
	p.Scatter.Spacing, p.Scatter.Cutouts, p.Scatter.Repeat, p.Scatter.RepeatSet = 0, 400, 1, true
	return p, files
}

// All that strew plan does for a long skirt, its longest guide among it.
func BenchmarkLongSkirt(b *testing.B) {
	for b.Loop() {
		p, files := longSkirt()
		made, err := stage.NewPlanner(files).Plan(context.Background(), p, nil)
		if err != nil {
			b.Fatal(err)
		}
		out, err := Of(made).Files(context.Background(), nil)
		if err != nil {
			b.Fatal(err)
		}
		for _, f := range out {
			if f.Name == "placement.pdf" {
				b.ReportMetric(float64(len(f.Data))/1e6, "guide-MB")
			}
		}
	}
}
