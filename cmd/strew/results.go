package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"strew/cmd/internal/folder"
	"strew/cmd/internal/project"
	"strew/cmd/internal/results"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
)

// job is what is planned: how, and where its results go unless -o says
// otherwise.
type job struct {
	plan   func(*stage.Planner, context.Context, project.Project, func(stage.Event)) (stage.Plan, error)
	suffix string   // of the folder
	sure   []string // files that it writes whatever the project
}

// wholeSkirt is the job of plan, layOnly that of lay.
func wholeSkirt() job {
	return job{(*stage.Planner).Plan, "-plan", []string{results.PlanFile, "skirt.png", "placement.png", "marking.csv"}}
}

func layOnly() job {
	return job{(*stage.Planner).Lay, "-lay", []string{results.PlanFile, "lay-1.png", "shopping.md"}}
}

// folderFor is where the results go unless -o says otherwise.
func (j job) folderFor(p project.Project) string {
	if p.File == "" {
		return "ginkgo-walk"
	}
	return strings.TrimSuffix(filepath.Base(p.File), filepath.Ext(p.File)) + j.suffix
}

// output are the flags that say where results go and what is printed.
type output struct {
	dir           string
	asJSON, quiet bool
}

func (r *output) flags(c *cobra.Command, j job) {
	c.Flags().StringVarP(&r.dir, "output", "o", "", "folder for the results (default: the project's name with "+j.suffix+")")
	c.Flags().BoolVar(&r.asJSON, "json", false, "print plan.json and nothing else; writes a folder only with -o")
	c.Flags().BoolVarP(&r.quiet, "quiet", "q", false, "print nothing but errors")
}

// write does the job and writes its results.
func (r *output) write(c *cobra.Command, j job, p project.Project, files fs.FS) error {
	out, errs := c.OutOrStdout(), c.ErrOrStderr()
	writes := !r.asJSON || c.Flags().Changed("output")
	dir := r.dir
	if dir == "" {
		dir = j.folderFor(p)
	}
	earlier := earlierPlan(dir)
	if writes {
		// Long work must not end at a folder that cannot be written to.
		if err := folder.Check(dir, j.sure, earlier); err != nil {
			return err
		}
	}
	bar := newProgress(errs, r.quiet)
	ctx := c.Context()
	made, err := j.plan(stage.NewPlanner(files), ctx, p, bar.event)
	stopped := made.Laid.Lay.Stopped
	drawn := results.Of(made)
	if stopped {
		ctx = context.WithoutCancel(ctx) // what there is, is written
	}
	var list []results.File
	if err == nil && writes {
		list, err = drawn.Files(ctx, bar.drawn)
	}
	bar.finish()
	if err != nil {
		return inProject(p, err)
	}
	if writes {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := replace(dir, list, earlier); err != nil {
			return err
		}
	} else {
		dir = ""
	}
	switch {
	case r.asJSON:
		err = written(out.Write(drawn.PlanJSON(nil)))
	case !r.quiet:
		err = drawn.Text().Answer(dir, columns(out)).Write(out, errs)
	}
	if err == nil && stopped {
		return errStopped
	}
	return err
}

// errStopped says that the work was stopped and its best results were kept.
var errStopped = errors.New("stopped early; the lay is the best found until then")

// replace moves the files into the folder, which no second interrupt may tear.
func replace(dir string, list []results.File, earlier []string) error {
	held := make(chan os.Signal, 1)
	signal.Notify(held, stopSignals...)
	defer signal.Stop(held)
	files := make([]folder.File, len(list))
	for i, f := range list {
		files[i] = folder.File(f)
	}
	return folder.Replace(dir, files, earlier)
}

// inProject says in the project's unit why it could not be planned, and names
// the project's file where the error does not name a place.
func inProject(p project.Project, err error) error {
	if errors.Is(err, context.Canceled) {
		return err
	}
	said := planError{words.Error(p, err), err}
	var input *stage.InputError
	if p.File != "" && !errors.As(err, &input) {
		said.text = p.File + ": " + said.text
	}
	return said
}

// planError is an error in the maker's words.
type planError struct {
	text string
	err  error
}

func (e planError) Error() string { return e.text }
func (e planError) Unwrap() error { return e.err }

// written turns a failed write to standard output into an error.
func written(_ int, err error) error {
	if err != nil {
		return fmt.Errorf("cannot write the result: %w", err)
	}
	return nil
}
