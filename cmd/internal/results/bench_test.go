package results

import (
	"context"
	"io/fs"
	"math"
	"strconv"
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
		for _, f := range Of(made).paper(b.Context()) {
			if _, err := f.write(b.Context()); err != nil {
				b.Fatal(err)
			}
		}
		if _, err := laySVG(b.Context(), made); err != nil {
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

// The files of many small cutouts on a wide skirt, at effort 0:
//
//	go test -run '^$' -bench ManyMarks -benchtime 1x ./cmd/internal/results
func BenchmarkManyMarks(b *testing.B) {
	for _, n := range []int{1000, 3000, 10000} {
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			p, files := manyMarks(n)
			made, err := stage.NewPlanner(files).Plan(b.Context(), p, nil)
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				if _, err := Of(made).Files(b.Context(), nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// manyMarks is the built-in example with n leaves of 18 mm, on as much net as they
// need.
func manyMarks(n int) (project.Project, fs.FS) {
	p, files := project.Example()
	drop := 300 * math.Sqrt(float64(n)/400)
	p.Skirt.Drop, p.Skirt.Length, p.Skirt.Panels, p.Skirt.Circle = drop, drop+p.Skirt.Waistband, 2, 2
	p.Scatter.Spacing, p.Scatter.Cutouts, p.Scatter.Repeat, p.Scatter.RepeatSet = 0, n, 1, true
	p.Clearance.Between, p.Clearance.Waist, p.Cutting.Effort = 2, 10, 0
	for i := range p.Motifs {
		p.Motifs[i].Width, p.Motifs[i].Height = 18, 0
	}
	return p, files
}
