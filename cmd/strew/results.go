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
	"strew/cmd/internal/project"
	"strew/cmd/internal/results"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
)

// job is what a command plans, and what it calls its results.
type job struct {
	command string
	suffix  string // of the folder
	plan    func(*stage.Planner, context.Context, project.Project, func(stage.Event)) (stage.Plan, error)
	sure    []string // files that it writes whatever the project
}

// wholeSkirt is the job of plan.
func wholeSkirt() job {
	return job{"plan", "", (*stage.Planner).Plan, []string{results.PlanFile, "skirt.png", "placement.png", "marking.csv"}}
}

// layOnly is the job of lay.
func layOnly() job {
	return job{"lay", "-lay", (*stage.Planner).Lay, []string{results.PlanFile, "lay-1.png", "shopping.md"}}
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

// output are the flags that say where results go and what is printed.
type output struct {
	dir           string
	asJSON, quiet bool
}

func (r *output) flags(c *cobra.Command, j job) {
	c.Flags().StringVarP(&r.dir, "output", "o", "", "folder for the results "+defaultFolder(j.suffix))
	c.Flags().BoolVar(&r.asJSON, "json", false, "print plan.json and nothing else; writes a folder only with -o")
	c.Flags().BoolVarP(&r.quiet, "quiet", "q", false, "print nothing but errors")
}

// write does the job and writes its results.
func (r *output) write(c *cobra.Command, j job, p project.Project, files fs.FS) error {
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
		if err := replace(ctx, errs, to, list); err != nil {
			return err
		}
	} else {
		dir = ""
	}
	switch {
	case r.asJSON:
		err = written(out.Write(drawn.PlanJSON()))
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

// defaultFolder says in a flag's help where results go without -o.
func defaultFolder(suffix string) string {
	if suffix == "" {
		return "(default: named after the title, beside the project file)"
	}
	return fmt.Sprintf("(default: named after the title, with %s, beside the project file)", suffix)
}

// replace makes the files the results in the folder and tells which of the
// earlier ones had been edited. A second interrupt waits until all have moved.
func replace(ctx context.Context, errs io.Writer, to folder.Folder, list []results.File) error {
	held := make(chan os.Signal, 1)
	signal.Notify(held, stopSignals()...)
	defer signal.Stop(held)
	files := make([]folder.File, len(list))
	for i, f := range list {
		files[i] = folder.File(f)
	}
	kept, err := to.Replace(ctx, files)
	tellKept(errs, kept)
	return err
}

// tellKept says which results were edited since strew wrote them.
func tellKept(errs io.Writer, kept []folder.Kept) {
	for _, k := range kept {
		fmt.Fprintf(errs, "strew: %s\n", k.Say())
	}
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
