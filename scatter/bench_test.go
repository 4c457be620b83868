//go:build unix

package scatter_test

import (
	"context"
	"errors"
	"syscall"
	"testing"

	"strew/motif/geom"
	"strew/scatter"
)

// processor reports the processor time of each turn of a benchmark.
func processor(b *testing.B) func() {
	used := func() int64 {
		var u syscall.Rusage
		_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u)
		return u.Utime.Nano() + u.Stime.Nano()
	}
	start := used()
	return func() { b.ReportMetric(float64(used()-start)/float64(b.N)/1e6, "cpu-ms/op") }
}

// BenchmarkRespaced scatters the built-in example at a changed spacing.
func BenchmarkRespaced(b *testing.B) {
	s, kinds, opt := example(b)
	opt.Spacing = 109.7
	defer processor(b)()
	for b.Loop() {
		l, err := scatter.Run(context.Background(), s, kinds, opt)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(l.Placements)), "marks")
	}
}

// BenchmarkMeasure measures how even the built-in example lies.
func BenchmarkMeasure(b *testing.B) {
	s, kinds, opt := example(b)
	l, err := scatter.Run(context.Background(), s, kinds, opt)
	if err != nil {
		b.Fatal(err)
	}
	defer processor(b)()
	for b.Loop() {
		if _, err := scatter.Measure(context.Background(), s, kinds, opt, l); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkRefused refuses more cutouts than the built-in example has room for, or
// meets a spacing that is far too close.
func BenchmarkRefused(b *testing.B) {
	s, kinds, opt := example(b)
	for name, change := range map[string]func(o *scatter.Options){
		"400 polka":   func(o *scatter.Options) { o.Cutouts = 400 },
		"400 grid":    func(o *scatter.Options) { o.Pattern, o.Cutouts = scatter.Grid, 400 },
		"400 hemband": func(o *scatter.Options) { o.Pattern, o.Rows, o.Cutouts = scatter.HemBand, 3, 400 },
		"2000 polka":  func(o *scatter.Options) { o.Cutouts = 2000 },
		"spacing 40":  func(o *scatter.Options) { o.Spacing = 40 },
		"spacing 65":  func(o *scatter.Options) { o.Spacing = 65 },
	} {
		opt := opt
		change(&opt)
		b.Run(name, func(b *testing.B) {
			defer processor(b)()
			for b.Loop() {
				_, err := scatter.Run(context.Background(), s, kinds, opt)
				var no *scatter.Impossible
				if err != nil && !errors.As(err, &no) {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkMostAndMore lays the most cutouts that are found to fit and refuses a
// tenth or half more: a refusal looks for that count, so it costs some times as much.
func BenchmarkMostAndMore(b *testing.B) {
	circle, leaves, opt := example(b)
	concave := []scatter.Kind{
		{Name: "moon", Outline: []geom.Ring{crescent(20)}, Share: 1, Direction: scatter.Tossed},
		{Name: "star", Motif: 1, Outline: []geom.Ring{star(22)}, Share: 1, Direction: scatter.Tossed},
	}
	for name, kinds := range map[string][]scatter.Kind{"example": leaves, "concave": concave} {
		opt := opt
		opt.Cutouts, opt.OrFewer = 5000, true
		l, err := scatter.Run(context.Background(), circle, kinds, opt)
		if err != nil {
			b.Fatal(err)
		}
		opt.OrFewer = false
		for what, n := range map[string]int{"most": len(l.Placements), "tenth more": len(l.Placements) * 11 / 10, "half more": len(l.Placements) * 3 / 2} {
			opt := opt
			opt.Cutouts = n
			b.Run(name+"/"+what, func(b *testing.B) {
				defer processor(b)()
				for b.Loop() {
					_, err := scatter.Run(context.Background(), circle, kinds, opt)
					var no *scatter.Impossible
					if err != nil && (!errors.As(err, &no) || what == "most") {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(n), "cutouts")
			})
		}
	}
}
