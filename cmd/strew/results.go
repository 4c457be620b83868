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
	"sync/atomic"

	"github.com/spf13/cobra"

	"strew/cmd/internal/folder"
	"strew/cmd/internal/project"
	"strew/cmd/internal/results"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
	"strew/motif/say"
)

// job is what a command plans, and what it calls its results.
type job struct {
	command string
	suffix  string // of the folder
	plan    func(*stage.Planner, context.Context, project.Project, func(stage.Event)) (stage.Plan, error)
	sure    []string // some of the files that it writes for every project
}

// wholeSkirt is the job of plan.
func wholeSkirt() job {
	return job{"plan", "", (*stage.Planner).Plan, []string{results.PlanFile, "skirt.png", "placement.png", "marking.csv"}}
}

// layOnly is the job of lay.
func layOnly() job {
	return job{"lay", "-lay", (*stage.Planner).Lay, []string{results.PlanFile, "lay-1.png", "shopping.md"}}
}

// output are the flags that say where results go and what is printed.
type output struct {
	dir, suffix   string
	asJSON, quiet bool
}

// flags defines the flags of a command; suffix is that of its folder, and what is
// printed by --json.
func (r *output) flags(c *cobra.Command, suffix, what string) {
	r.suffix = suffix
	named := "named after the title"
	if suffix != "" {
		named += ", with " + suffix
	}
	c.Flags().StringVarP(&r.dir, "output", "o", "", fmt.Sprintf("folder for the results (default: %s, beside the project file)", named))
	c.Flags().BoolVar(&r.asJSON, "json", false, fmt.Sprintf("print %s and nothing else; writes a folder only with -o", what))
	c.Flags().BoolVarP(&r.quiet, "quiet", "q", false, "print nothing but errors")
}

// destination is where the results of a call go.
type destination struct {
	folder.Folder
	dir    string // as the answer shows it
	writes bool   // false: nothing is written
	errs   io.Writer
}

// prepare returns the folder for the results of a command: the one that -o
// names, else the one named after the project's title, beside its file; the
// built-in example writes to the current folder. Its error comes before the work
// is done, if results could not be written there.
func (r *output) prepare(c *cobra.Command, command string, p project.Project, sure []string) (destination, error) {
	to := destination{dir: r.dir, writes: !r.asJSON || c.Flags().Changed("output"), errs: c.ErrOrStderr()}
	if to.dir == "" {
		to.dir = filepath.Join(filepath.Dir(p.File), results.Slug(p.Title)+r.suffix)
	}
	to.Folder = folder.New(to.dir, folder.Owner{Command: command, Project: p.File})
	if !to.writes {
		return to, nil
	}
	kept, err := to.Prepare(sure)
	to.tell(kept)
	return to, err
}

// replace puts the files in the folder in place of earlier results. A second
// interrupt waits until all are there.
func (to destination) replace(ctx context.Context, list []results.File) error {
	held := make(chan os.Signal, 1)
	signal.Notify(held, stopSignals()...)
	defer signal.Stop(held)
	files := make([]folder.File, len(list))
	for i, f := range list {
		files[i] = folder.File(f)
	}
	kept, err := to.Replace(ctx, files)
	to.tell(kept)
	return err
}

// tell says which results were edited since strew wrote them.
func (to destination) tell(kept []folder.Kept) {
	for _, k := range kept {
		fmt.Fprintf(to.errs, "strew: %s\n", say.Printer{}.Message(k.Say()))
	}
}

// write does the job and writes its results.
func (r *output) write(c *cobra.Command, j job, p project.Project, files fs.FS) error {
	to, err := r.prepare(c, j.command, p, j.sure)
	if err != nil {
		return err
	}
	bar := newProgress(c.ErrOrStderr(), r.quiet)
	ctx := c.Context()
	var laying atomic.Bool
	answered := r.answerStop(ctx, &laying, bar, to)
	made, err := j.made(ctx, p, files, func(e stage.Event) {
		if ctx.Err() == nil { // else it is what was stopped
			laying.Store(e.Stage == stage.Laying)
		}
		bar.event(e)
	})
	answered()
	stopped := made.Laid.Lay.Stopped
	if stopped {
		ctx = context.WithoutCancel(ctx) // write what was made
	}
	drawn := results.Of(made)
	var list []results.File
	if err == nil && to.writes {
		list, err = untilStopped(ctx, func() ([]results.File, error) { return drawn.Files(ctx, bar.drawn) })
	}
	bar.finish()
	if err != nil {
		return inProject(p, err)
	}
	if to.writes {
		if err := to.replace(ctx, list); err != nil {
			return err
		}
	}
	if err := r.answer(ctx, c, drawn, to); err != nil {
		return err
	}
	if stopped {
		return errStopped
	}
	return nil
}

// answerStop says at once, when ctx is cancelled while felt is laid, what will
// come of it. Nothing is said any more once the function it returns has
// returned.
func (r *output) answerStop(ctx context.Context, laying *atomic.Bool, bar *progress, to destination) (end func()) {
	said := make(chan struct{})
	unheard := context.AfterFunc(ctx, func() {
		defer close(said)
		if !laying.Load() || r.quiet {
			return
		}
		bar.finish()
		fmt.Fprintf(to.errs, "strew: %s\n", say.Printer{}.Say("stopping: the best lay so far is being written; press Ctrl-C again to end at once"))
	})
	return func() {
		if !unheard() {
			<-said
		}
	}
}

// made makes the plan. Reading drawings can take long and does not always check
// ctx, so it is not waited for once ctx is cancelled; the best lay so far is.
func (j job) made(ctx context.Context, p project.Project, files fs.FS, tell func(stage.Event)) (stage.Plan, error) {
	var drawing atomic.Bool
	unread, giveUp := context.WithCancel(context.Background())
	defer giveUp()
	defer context.AfterFunc(ctx, func() {
		if drawing.Load() {
			giveUp()
		}
	})()
	return untilStopped(unread, func() (stage.Plan, error) {
		return j.plan(stage.NewPlanner(files), ctx, p, func(e stage.Event) {
			drawing.Store(e.Stage == stage.Drawing)
			tell(e)
		})
	})
}

// answer prints the answer, or plan.json. ctx may outlast that of the call.
func (r *output) answer(ctx context.Context, c *cobra.Command, drawn *results.Results, to destination) error {
	out := c.OutOrStdout()
	switch {
	case r.asJSON:
		data, err := drawn.PlanJSON(ctx)
		if err != nil {
			return err
		}
		return written(out.Write(data))
	case r.quiet:
		return nil
	}
	dir := ""
	if to.writes {
		dir = to.dir
	}
	text, err := drawn.Text(ctx)
	if err != nil {
		return err
	}
	return text.Answer(dir, columns(out)).Write(out, c.ErrOrStderr())
}

// errStopped is the error of work that was stopped, with its best results kept.
var errStopped = say.Errorf("stopped early; the lay is the best found until then")

// inProject words an error in the project's unit, and adds the project's file if
// the error does not name a place.
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
		return say.Errorf("cannot write the result: %s", err)
	}
	return nil
}
