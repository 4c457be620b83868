package plan

import (
	"context"
	"testing"

	"strew/cmd/internal/project"
)

// What the files to print add to a run of the built-in example.
func BenchmarkPaper(b *testing.B) {
	p, files := project.Example()
	made, err := Build(context.Background(), p, files, nil)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		q := *made
		q.papers = &papers{}
		for _, f := range q.papersOf() {
			if _, err := f.write(); err != nil {
				b.Fatal(err)
			}
		}
		if _, err := q.laySVG(); err != nil {
			b.Fatal(err)
		}
	}
}

// All files of the built-in example.
func BenchmarkFiles(b *testing.B) {
	p, files := project.Example()
	made, err := Build(context.Background(), p, files, nil)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		q := *made
		q.papers = &papers{}
		if _, err := q.Files(context.Background(), nil); err != nil {
			b.Fatal(err)
		}
	}
}
