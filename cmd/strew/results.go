package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"

	"github.com/spf13/cobra"

	"strew/cmd/internal/folder"
	"strew/cmd/internal/plan"
	"strew/cmd/internal/project"
)

// job is what a command plans, and what it calls its results.
type job struct {
	command string
	suffix  string // of the folder
	build   func(context.Context, project.Project, fs.FS, func(plan.Stage)) (*plan.Plan, error)
	sure    []string // files that it writes whatever the project
}

// wholeSkirt is the job of plan.
func wholeSkirt() job {
	return job{"plan", "", plan.Build, []string{plan.PlanFile, "skirt.png", "placement.png", "marking.csv"}}
}

// layOnly is the job of lay.
func layOnly() job {
	return job{"lay", "-lay", plan.BuildLay, []string{plan.PlanFile, "lay-1.png", "shopping.md"}}
}

// resultFolder returns the folder for a command's results: asked, if -o names
// one, else the one named after the project's title, beside its file. The
// built-in example writes to the current folder.
func resultFolder(command, suffix, asked string, p project.Project) (dir string, f folder.Folder) {
	dir = asked
	if dir == "" {
		dir = filepath.Join(filepath.Dir(p.File), folder.Slug(p.Title)+suffix)
	}
	return dir, folder.New(dir, folder.Owner{Command: command, Project: p.File})
}

// results are the flags that say where results go and what is printed.
type results struct {
	dir           string
	asJSON, quiet bool
}

func (r *results) flags(c *cobra.Command, j job) {
	c.Flags().StringVarP(&r.dir, "output", "o", "", "folder for the results "+defaultFolder(j.suffix))
	c.Flags().BoolVar(&r.asJSON, "json", false, "print plan.json and nothing else; writes a folder only with -o")
	c.Flags().BoolVarP(&r.quiet, "quiet", "q", false, "print nothing but errors")
}

// write does the job and writes its results.
func (r *results) write(c *cobra.Command, j job, p project.Project, files fs.FS) error {
	out, errs := c.OutOrStdout(), c.ErrOrStderr()
	writes := !r.asJSON || c.Flags().Changed("output")
	dir, to := resultFolder(j.command, j.suffix, r.dir, p)
	if writes {
		// Long work must not end at a folder that cannot be written to.
		kept, err := to.Prepare(j.sure)
		tellKept(errs, kept)
		if err != nil {
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
		if err := replace(ctx, errs, to, list); err != nil {
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

// defaultFolder says in a flag's help where results go without -o.
func defaultFolder(suffix string) string {
	if suffix == "" {
		return "(default: named after the title, beside the project file)"
	}
	return fmt.Sprintf("(default: named after the title, with %s, beside the project file)", suffix)
}

// replace makes the files the results in the folder and tells which of the
// earlier ones had been edited. A second interrupt waits until all have moved.
func replace(ctx context.Context, errs io.Writer, to folder.Folder, list []folder.File) error {
	held := make(chan os.Signal, 1)
	signal.Notify(held, stopSignals()...)
	defer signal.Stop(held)
	kept, err := to.Replace(ctx, list)
	tellKept(errs, kept)
	return err
}

// tellKept says which results were edited since strew wrote them.
func tellKept(errs io.Writer, kept []folder.Kept) {
	for _, k := range kept {
		fmt.Fprintf(errs, "strew: %s\n", k.Say())
	}
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
