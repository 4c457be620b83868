package main

import (
	"fmt"
	"io/fs"
	"path/filepath"

	"github.com/spf13/cobra"

	"strew/cmd/internal/project"
	"strew/motif/say"
)

func planCommand() *cobra.Command {
	var out output
	var o overrides
	c := &cobra.Command{
		Use:   "plan [PROJECT.toml]",
		Short: "From a project file to a folder of results",
		Long: `plan reads a project file and writes a folder of results: pictures of the skirt
and of every sheet of felt, a numbered map and a table to mark from, a shopping
list, and plan.json. Without a file it plans the built-in example.

Ctrl-C while the felt is laid stops the search for a tighter lay and writes the
best one so far; at any other time nothing is written. A second Ctrl-C ends at
once.

The folder appears whole or not at all. Files in it that strew did not write
are left alone, and results that you have edited are kept.`,
		Example: `  strew plan
  strew plan skirt.toml -o results
  strew plan skirt.toml --cutouts 60
  strew plan skirt.toml --spacing "3 1/2 in" --unit in`,
		Args:              atMostOne(say.New("project file")),
		ValidArgsFunction: projectFiles,
		RunE: func(c *cobra.Command, args []string) error {
			p, files, err := open(args, o.given(c))
			if err != nil {
				return err
			}
			return out.write(c, wholeSkirt(), p, files)
		},
	}
	out.flags(c, wholeSkirt().suffix, "plan.json")
	o.flags(c)
	return c
}

// open reads the project named, or the built-in example, with the overrides, and
// returns the files that its drawings are read from.
func open(args []string, o project.Overrides) (project.Project, fs.FS, error) {
	if len(args) == 0 {
		p, files := project.Example()
		p, err := p.With(o)
		return p, files, err
	}
	p, err := project.Load(args[0], o)
	if err != nil {
		return p, nil, err
	}
	return p, project.Beside(p.Dir), nil
}

// overrides are the flags that replace keys of the project file.
type overrides struct {
	pattern, spacing, unit  string
	cutouts, sheets, effort int
	budget                  float64
	seed                    uint64
}

func (o *overrides) flags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.pattern, "pattern", "", "grid, hemband or polka")
	f.StringVar(&o.spacing, "spacing", "", "centre to centre, such as 9cm")
	f.IntVar(&o.cutouts, "cutouts", 0, "place exactly this many, instead of a spacing")
	f.IntVar(&o.sheets, "sheets", 0, "as many cutouts as this many sheets of felt yield")
	f.Float64Var(&o.budget, "budget", 0, "as many cutouts as this much money buys felt for")
	completeWords(c, "pattern", "grid", "hemband", "polka")
	o.feltFlags(c, "another one makes another layout")
}

// feltFlags defines the overrides that make sense without a skirt too; another
// says what another seed does.
func (o *overrides) feltFlags(c *cobra.Command, another string) {
	f := c.Flags()
	f.Uint64Var(&o.seed, "seed", 0, "any whole number; "+another)
	f.IntVar(&o.effort, "effort", 0, "0 quick to 10 thorough: how hard to look for a tighter lay")
	f.StringVar(&o.unit, "unit", "", "mm, cm or in: for lengths shown and for bare numbers in flags")
	completeWords(c, "unit", "mm", "cm", "in")
}

// projectFiles completes the name of a project file.
func projectFiles(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return []string{"toml"}, cobra.ShellCompDirectiveFilterFileExt
}

// given returns the overrides that the command line has.
func (o *overrides) given(c *cobra.Command) project.Overrides {
	return project.Overrides{
		Pattern: changed(c, "pattern", &o.pattern), Spacing: changed(c, "spacing", &o.spacing), Unit: changed(c, "unit", &o.unit),
		Cutouts: changed(c, "cutouts", &o.cutouts), Sheets: changed(c, "sheets", &o.sheets), Effort: changed(c, "effort", &o.effort),
		Budget: changed(c, "budget", &o.budget), Seed: changed(c, "seed", &o.seed),
	}
}

// changed returns value if the command line has the flag, else nil.
func changed[T any](c *cobra.Command, flag string, value *T) *T {
	if c.Flags().Lookup(flag) == nil || !c.Flags().Changed(flag) {
		return nil
	}
	return value
}

func initCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "init [DIR]",
		Short: "Write a commented project file and two example motifs to start from",
		Long: `init writes a project file in which every key is explained, and the outlines it
names, into DIR (this folder where none is named). It overwrites nothing.`,
		Example: "  strew init meadow\n  strew plan meadow/project.toml",
		Args:    atMostOne(say.New("folder")),
		RunE: func(c *cobra.Command, args []string) error {
			dir := "."
			if len(args) == 1 {
				dir = args[0]
			}
			names, err := project.Init(dir)
			if err != nil {
				return err
			}
			if len(names) == 0 {
				return say.Errorf("nothing was written")
			}
			for _, n := range names {
				fmt.Fprintln(c.OutOrStdout(), filepath.Join(dir, n))
			}
			fmt.Fprintf(c.ErrOrStderr(), "\n%s\n", say.Printer{}.Say("Now plan it:  strew plan %s", filepath.Join(dir, names[0])))
			return nil
		},
	}
}
