// Package stagetest makes plans of the example projects, for tests.
package stagetest

import (
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
)

// Examples is where the example projects lie, from the folder of a package in
// cmd/internal.
const Examples = "../../../testdata"

// least is how many examples there are at least.
const least = 8

// Files reads outlines relative to a folder, upward paths as well.
type Files string

// Open implements fs.FS, also for paths that are not rooted.
func (d Files) Open(name string) (fs.File, error) { return os.Open(filepath.Join(string(d), name)) }

// built keeps the plans made so far: a plan is a value.
var built sync.Map

// Built plans an example with the quickest lay.
func Built(t testing.TB, name string) stage.Plan {
	t.Helper()
	if p, ok := built.Load(name); ok {
		return p.(stage.Plan)
	}
	quick := 0
	p, err := With(name, project.Overrides{Effort: &quick})
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	built.Store(name, p)
	return p
}

// With plans an example with overrides.
func With(name string, o project.Overrides) (stage.Plan, error) {
	p, err := project.Load(filepath.Join(Examples, name, "project.toml"), o)
	if err != nil {
		return stage.Plan{}, err
	}
	return stage.NewPlanner(Files(p.Dir)).Plan(context.Background(), p, nil)
}

// Each runs a test on every example.
func Each(t *testing.T, do func(t *testing.T, p stage.Plan)) {
	found, err := filepath.Glob(filepath.Join(Examples, "*", "project.toml"))
	if err != nil || len(found) < least {
		t.Fatalf("%d example projects, %v", len(found), err)
	}
	for _, f := range found {
		name := filepath.Base(filepath.Dir(f))
		t.Run(name, func(t *testing.T) { do(t, Built(t, name)) })
	}
}

// BuiltIn plans the built-in example, quickly.
func BuiltIn(t testing.TB) stage.Plan {
	t.Helper()
	p, files := project.Example()
	p.Cutting.Effort = 0
	out, err := stage.NewPlanner(files).Plan(context.Background(), p, nil)
	if err != nil {
		t.Fatal(err)
	}
	return out
}
