package main

import (
	"io"
	"os"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
	"strew/motif/say"
)

// foldAt is the width of lines that do not go to a terminal, and the widest on one:
// longer lines are hard to read.
const foldAt = 100

// columns returns how wide lines written to w may be.
func columns(w io.Writer) int {
	if f, ok := w.(*os.File); ok {
		if wide, _, err := term.GetSize(int(f.Fd())); err == nil && wide > 40 {
			return min(wide, foldAt)
		}
	}
	return foldAt
}

// progress shows the stages on a terminal, and nothing anywhere else.
type progress struct {
	bar *progressbar.ProgressBar
}

func newProgress(w io.Writer, quiet bool) *progress {
	f, ok := w.(*os.File)
	if quiet || !ok || !term.IsTerminal(int(f.Fd())) || os.Getenv("TERM") == "dumb" {
		return &progress{}
	}
	return &progress{progressbar.NewOptions(-1,
		progressbar.OptionSetWriter(f),
		progressbar.OptionEnableColorCodes(os.Getenv("NO_COLOR") == ""),
		progressbar.OptionClearOnFinish(),
		progressbar.OptionThrottle(100*time.Millisecond),
		progressbar.OptionSetWidth(24),
		progressbar.OptionSetElapsedTime(false),
		progressbar.OptionSetPredictTime(false),
	)}
}

func (p *progress) show(text string, done, total int) {
	if p.bar == nil {
		return
	}
	p.bar.Describe(text)
	if total > 0 {
		p.bar.ChangeMax(total)
		_ = p.bar.Set(done) // losing a step of a progress bar does no harm
	}
}

// event shows the progress of a plan.
func (p *progress) event(e stage.Event) { p.show(words.Progress(say.Printer{}, e), e.Done, e.Total) }

// drawn shows how many files have been drawn.
func (p *progress) drawn(done, total int) { p.show(say.Printer{}.Say("drawing"), done, total) }

func (p *progress) finish() {
	if p.bar != nil {
		_ = p.bar.Clear()
	}
}
