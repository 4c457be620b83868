package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime/debug"

	"github.com/spf13/cobra"

	"strew/cmd/internal/desk"
	"strew/cmd/internal/page"
	"strew/motif/say"
)

func pageCommand() *cobra.Command {
	var quietly bool
	c := &cobra.Command{
		Use:   "page [PROJECT.toml]",
		Short: "The whole job in your browser, on this computer alone",
		Long: `page opens your browser on a page where you plan the whole skirt: measures, cut,
motifs, pattern, felt, cloth and paper. Without a project it shows the built-in
example, from which you can begin your own. Nothing leaves this computer.

It prints the address of the page, which works until strew ends: with "Close
strew" on the page, with Ctrl-C, or after an hour in which nobody used it and
nothing is unsaved. Work that is not saved is kept, and offered the next time.

A double click on strew opens the page too.`,
		Example:           "  strew page\n  strew page meadow/project.toml",
		Args:              atMostOne(say.New("project file")),
		ValidArgsFunction: projectFiles,
		RunE:              func(c *cobra.Command, args []string) error { return openPage(c, args, !quietly) },
	}
	c.Flags().BoolVar(&quietly, "no-open", false, "print the address and open no browser")
	return c
}

// openPage serves the page until it ends, and opens a browser on it if browse is set.
func openPage(c *cobra.Command, args []string, browse bool) error {
	d := desk.New(c.Context())
	defer d.Close()
	o := page.Options{Desk: d, Assets: page.Assets(), Log: c.ErrOrStderr()}
	if len(args) > 0 {
		o.Project = args[0]
	}
	// Where one of these is not known, the page does without it.
	o.Home, _ = os.UserHomeDir()
	o.Start, _ = os.Getwd()
	if config, err := os.UserConfigDir(); err == nil {
		o.Config = filepath.Join(config, "strew")
	}
	o.Ready = func(address string, already bool) error {
		if err := written(fmt.Fprintf(c.OutOrStdout(), "page %s\n", address)); err != nil {
			return err
		}
		print := say.Printer{}
		if !already {
			fmt.Fprintf(c.ErrOrStderr(), "strew: %s\n", print.Say("the page is open until you close strew there or press Ctrl-C here, or nobody has it open for an hour and all is saved"))
		} else {
			fmt.Fprintf(c.ErrOrStderr(), "strew: %s\n", print.Say("%s is open already; this is the address of its page", args[0]))
		}
		if !browse {
			return nil
		}
		if err := openBrowser(address); err != nil {
			fmt.Fprintf(c.ErrOrStderr(), "strew: %s\n", print.Say("no browser could be opened; open the address above in one yourself"))
		}
		return nil
	}
	err := page.Serve(c.Context(), o)
	var no desk.Refused
	if errors.As(err, &no) {
		return wrongCall{no}
	}
	return err
}

// release is the version of a release, which its build sets.
var release string

// version is what "strew --version" prints: that of the release, or of the module.
func version() string {
	if release != "" {
		return release
	}
	const unknown = "(unknown version)"
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return unknown
	}
	if v := info.Main.Version; v != "" {
		return v
	}
	return unknown
}
