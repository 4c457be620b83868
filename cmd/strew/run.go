package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"strew/cmd/internal/folder"
	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/motif/say"
)

// Exit statuses.
const (
	exitDone        = 0
	exitFailed      = 1   // it could not be done
	exitWrong       = 2   // the input or the call is wrong
	exitInterrupted = 130 // stopped by Ctrl-C: 128 + SIGINT, as shells count
)

// wrongCall marks an error in the command line itself.
type wrongCall struct{ err error }

func (e wrongCall) Error() string { return e.err.Error() }
func (e wrongCall) Unwrap() error { return e.err }

// run runs one command line and returns its exit status. Results go to out,
// everything else to errs.
func run(ctx context.Context, args []string, in io.Reader, out, errs io.Writer) int {
	root := rootCommand()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errs)
	err := root.ExecuteContext(ctx)
	if err == nil {
		return exitDone
	}
	print := say.Printer{}
	var wrong wrongCall
	var listed project.Problems
	var input *stage.InputError
	var refused *folder.Refused
	switch {
	case errors.Is(err, errStopped):
		fmt.Fprintf(errs, "strew: %s\n", print.Error(err))
		return exitInterrupted
	case errors.Is(err, context.Canceled):
		fmt.Fprintf(errs, "strew: %s\n", print.Say("stopped; nothing was written"))
		return exitInterrupted
	case errors.As(err, &listed):
		fmt.Fprintln(errs, listed)
		return exitWrong
	case errors.As(err, &wrong), errors.As(err, &refused):
		fmt.Fprintf(errs, "strew: %s\n", print.Error(err))
		return exitWrong
	case errors.As(err, &input):
		fmt.Fprintln(errs, print.Error(err))
		return exitWrong
	}
	fmt.Fprintf(errs, "strew: %s\n", print.Error(err))
	return exitFailed
}

func rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "strew",
		Short: "Plan felt cutouts on net skirts: counts, felt to buy, and where to mark",
		Long: `strew takes body measures, the cut of a skirt and motifs you drew. It spreads
the motifs over the flattened net, counts them, lays them on sheets of felt,
and writes pictures, a marking table and a shopping list.

Start with "strew page": all of it in your browser, on this computer alone. Or
write a project file with "strew init", and see the built-in example with
"strew plan".`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          noWords,
		Version:       version(),
		RunE: func(c *cobra.Command, args []string) error {
			if startedAlone() {
				c.SetOut(io.Discard) // nobody reads it, and it may be closed
				return openPage(c, args, true)
			}
			return c.Help()
		},
	}
	root.SetVersionTemplate("{{.Name}} {{.Version}}\n")
	cobra.EnableCommandSorting = false  // the page first
	cobra.MousetrapHelpText = ""        // a double click on Windows is welcome
	root.SuggestionsMinimumDistance = 2 // a slip of one or two letters
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		var bad *pflag.InvalidValueError
		if errors.As(err, &bad) {
			return wrongCall{notANumber(bad.GetFlag(), bad.GetValue())}
		}
		return wrongCall{say.Errorf("%s; see %q", err, c.CommandPath()+" --help")}
	})
	root.AddCommand(pageCommand(), planCommand(), compareCommand(), layCommand(), initCommand(), traceCommand(), measureCommand())
	return root
}

// notANumber says why the text given for a flag is no number that it takes. All
// flags that the command line itself checks are numbers, or true or false.
func notANumber(flag *pflag.Flag, text string) error {
	n, err := strconv.ParseFloat(text, 64)
	number := err == nil || errors.Is(err, strconv.ErrRange)
	whole := number && n == math.Trunc(n)
	switch kind := flag.Value.Type(); {
	case kind == "bool":
		return say.Errorf("--%s: %q is neither yes nor no; leave it out, or write true or false", flag.Name, text)
	case kind == "uint64" && whole:
		return say.Errorf("--%s: %s is out of range; write a whole number from 0 up", flag.Name, text)
	case number && (whole || kind == "float64"):
		return say.Errorf("--%s: %s is out of range; write a number nearer to 0", flag.Name, text)
	case kind == "float64":
		return say.Errorf("--%s: %q is not a number", flag.Name, text)
	}
	return say.Errorf("--%s: %q is not a whole number", flag.Name, text)
}

// noWords refuses words that are not a command.
func noWords(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if near := c.SuggestionsFor(args[0]); len(near) > 0 {
		return wrongCall{say.Errorf("there is no command %q; did you mean %q?", args[0], near[0])}
	}
	return wrongCall{say.Errorf(`there is no command %q; see "strew --help"`, args[0])}
}

// exactlyOne refuses any other number of words after a command.
func exactlyOne(what say.Message) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) == 0 {
			return wrongCall{say.Errorf("%s takes one %s; name it, as in %q", c.CommandPath(), what, c.CommandPath()+" meadow.toml")}
		}
		return atMostOne(what)(c, args)
	}
}

// atMostOne refuses a second word after a command.
func atMostOne(what say.Message) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) > 1 {
			return wrongCall{say.Errorf("%s takes one %s at most, but %d were given", c.CommandPath(), what, len(args))}
		}
		return nil
	}
}
