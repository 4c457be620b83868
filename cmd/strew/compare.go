package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"strew/cmd/internal/folder"
	"strew/cmd/internal/project"
	"strew/cmd/internal/record"
	"strew/cmd/internal/results"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
	"strew/motif/geom"
	"strew/motif/say"
)

// mostCompared bounds a board: more small pictures cannot be told apart.
const mostCompared = 48

func compareCommand() *cobra.Command {
	var o overrides
	var spacings, patterns []string
	var dir string
	var asJSON, quiet bool
	c := &cobra.Command{
		Use:   "compare [PROJECT.toml] --spacing 60mm,80mm,100mm",
		Short: "The same skirt at several spacings or patterns, side by side",
		Long: `compare plans the same skirt in several ways and writes a board of small
pictures with the count, the felt and the cost under each, and the same as a
table. One that cannot be planned does not keep the others back.

The folder appears whole or not at all, and files in it that strew did not
write are left alone.`,
		Example: `  strew compare --spacing 8cm,10cm,12cm
  strew compare skirt.toml --spacing 60mm,80mm,100mm --pattern grid,polka -o board`,
		Args: atMostOne("project file"),
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"toml"}, cobra.ShellCompDirectiveFilterFileExt
		},
		RunE: func(c *cobra.Command, args []string) error {
			switch n := max(1, len(spacings)) * max(1, len(patterns)); {
			case len(spacings)+len(patterns) == 0:
				return wrongCall{errors.New("nothing to compare: give --spacing, such as 60mm,80mm,100mm, or --pattern, such as grid,polka, or both")}
			case n > mostCompared:
				return wrongCall{fmt.Errorf("--spacing and --pattern make %d choices; at most %d go on a board", n, mostCompared)}
			}
			above := o.given(c)
			above.Spacing, above.Pattern = nil, nil // of which there are several
			base, files, err := open(args, above)
			if err != nil {
				return err
			}
			list, err := choices(base, above, spacings, patterns)
			if err != nil {
				return err
			}
			if dir == "" {
				dir = job{suffix: "-compare"}.folderFor(base)
				if base.File == "" {
					dir += "-compare"
				}
			}
			writes := !asJSON || c.Flags().Changed("output")
			earlier := earlierCompared(dir)
			if writes {
				if err := folder.Check(dir, []string{results.ComparedFile, results.BoardFile, results.CompareTable}, earlier); err != nil {
					return err
				}
			}
			bar := newProgress(c.ErrOrStderr(), quiet)
			list, err = stage.NewPlanner(files).Compare(c.Context(), list, func(n int) { bar.show("comparing", n, len(list)) })
			bar.finish()
			if err != nil {
				return err
			}
			if writes {
				made, err := results.Compared(c.Context(), base.Title, list)
				if err == nil {
					err = c.Context().Err()
				}
				if err == nil {
					err = replace(dir, made, earlier)
				}
				if err != nil {
					return err
				}
			}
			return compared(c, list, dir, asJSON, quiet)
		},
	}
	f := c.Flags()
	f.StringSliceVar(&spacings, "spacing", nil, "centre to centre, such as 60mm,80mm,100mm (default: the project's own)")
	f.StringSliceVar(&patterns, "pattern", nil, "grid, hemband or polka, or several (default: the project's own)")
	f.StringVarP(&dir, "output", "o", "", "folder for the results (default: the project's name with -compare)")
	f.BoolVar(&asJSON, "json", false, "print JSON and nothing else; writes a folder only with -o")
	f.BoolVarP(&quiet, "quiet", "q", false, "print nothing but errors")
	complete(c, "pattern", "grid", "hemband", "polka")
	o.feltFlags(c)
	return c
}

// choices lists every pattern in every spacing. The error is of a spacing that
// is no length; what is impossible otherwise stands with its choice.
func choices(base project.Project, o project.Overrides, spacings, patterns []string) ([]stage.Choice, error) {
	var out []stage.Choice
	for i := range max(1, len(patterns)) {
		for j := range max(1, len(spacings)) {
			c := stage.Choice{Pattern: base.Scatter.Pattern}
			if len(patterns) > 0 {
				c.Pattern = strings.TrimSpace(patterns[i])
				o.Pattern = &c.Pattern
			}
			if len(spacings) > 0 {
				c.Asked = strings.TrimSpace(spacings[j])
				o.Spacing = &c.Asked
			}
			c.Project, c.Err = base.With(o)
			if _, err := geom.ParseLength(c.Asked, base.Unit); err != nil && c.Asked != "" {
				return nil, c.Err
			}
			out = append(out, c)
		}
	}
	return out, nil
}

// compared prints the answer. Where none of the choices could be planned, the
// first one's error says why.
func compared(c *cobra.Command, list []stage.Choice, dir string, asJSON, quiet bool) error {
	out, errs := c.OutOrStdout(), c.ErrOrStderr()
	failed := 0
	for _, l := range list {
		if l.Err != nil {
			failed++
			if !asJSON { // which holds it
				fmt.Fprintln(errs, words.ChoiceOf(l).Why())
			}
		}
	}
	if asJSON {
		if err := written(out.Write(record.Compared(list, results.WhyNot))); err != nil {
			return err
		}
	} else if !quiet {
		if err := written(fmt.Fprint(out, words.CompareTable(say.Printer{Unit: list[0].Project.Unit}, list))); err != nil {
			return err
		}
		if _, err := fmt.Fprintf(out, "\nThe board is %s.\n", filepath.Join(dir, "board.png")); err != nil {
			return written(0, err)
		}
	}
	if failed == len(list) {
		return planError{"none of them could be planned: " + results.WhyNot(list[0]), list[0].Err}
	}
	return nil
}
