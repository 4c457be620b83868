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
	"strew/cmd/internal/plan"
	"strew/cmd/internal/project"
)

// job is what is planned: how, and where its results go unless -o says
// otherwise.
type job struct {
	build  func(context.Context, project.Project, fs.FS, func(plan.Stage)) (*plan.Plan, error)
	suffix string   // of the folder
	sure   []string // files that it writes whatever the project
}

// wholeSkirt is the job of plan, layOnly that of lay.
func wholeSkirt() job {
	return job{plan.Build, "-plan", []string{plan.PlanFile, "skirt.png", "placement.png", "marking.csv"}}
}

func layOnly() job {
	return job{plan.BuildLay, "-lay", []string{plan.PlanFile, "lay-1.png", "shopping.md"}}
}

// folderFor is where the results go unless -o says otherwise.
func (j job) folderFor(p project.Project) string {
	if p.File == "" {
		return "ginkgo-walk"
	}
	return strings.TrimSuffix(filepath.Base(p.File), filepath.Ext(p.File)) + j.suffix
}

// results are the flags that say where results go and what is printed.
type results struct {
	dir           string
	asJSON, quiet bool
}

func (r *results) flags(c *cobra.Command, j job) {
	c.Flags().StringVarP(&r.dir, "output", "o", "", "folder for the results (default: the project's name with "+j.suffix+")")
	c.Flags().BoolVar(&r.asJSON, "json", false, "print plan.json and nothing else; writes a folder only with -o")
	c.Flags().BoolVarP(&r.quiet, "quiet", "q", false, "print nothing but errors")
}

// write does the job and writes its results.
func (r *results) write(c *cobra.Command, j job, p project.Project, files fs.FS) error {
	out, errs := c.OutOrStdout(), c.ErrOrStderr()
	writes := !r.asJSON || c.Flags().Changed("output")
	dir := r.dir
	if dir == "" {
		dir = j.folderFor(p)
	}
	earlier := plan.Earlier(dir)
	if writes {
		// Long work must not end at a folder that cannot be written to.
		if err := folder.Check(dir, j.sure, earlier); err != nil {
			return err
		}
	}
	bar := newProgress(errs, r.quiet)
	ctx := c.Context()
	made, err := j.build(ctx, p, files, bar.show)
	if err == nil && made.Lay.Stopped {
		ctx = context.WithoutCancel(ctx) // what there is, is written
	}
	var list []folder.File
	if err == nil && writes {
		list, err = made.Files(ctx, bar.show)
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
		err = written(out.Write(made.JSON()))
	case !r.quiet:
		err = made.Answer(out, errs, dir, columns(out))
	}
	if err == nil && made.Lay.Stopped {
		return errStopped
	}
	return err
}

// errStopped says that the work was stopped and its best results were kept.
var errStopped = errors.New("stopped early; the lay is the best found until then")

// replace moves the files into the folder, which no second interrupt may tear.
func replace(dir string, list []folder.File, earlier []string) error {
	held := make(chan os.Signal, 1)
	signal.Notify(held, stopSignals...)
	defer signal.Stop(held)
	return folder.Replace(dir, list, earlier)
}

// inProject names the project file in an error that does not name a place.
func inProject(p project.Project, err error) error {
	var input *plan.InputError
	if p.File == "" || errors.As(err, &input) || errors.Is(err, context.Canceled) {
		return err
	}
	return fmt.Errorf("%s: %w", p.File, err)
}

// written turns a failed write to standard output into an error.
func written(_ int, err error) error {
	if err != nil {
		return fmt.Errorf("cannot write the result: %w", err)
	}
	return nil
}
