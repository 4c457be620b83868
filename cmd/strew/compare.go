package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"strew/cmd/internal/project"
	"strew/cmd/internal/record"
	"strew/cmd/internal/results"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
	"strew/motif/geom"
	"strew/motif/say"
)

// mostCompared is the most pictures on a board: more would be too small to compare.
const mostCompared = 48

// comparing is a call of compare.
type comparing struct {
	output
	overrides
	spacings, patterns []string
}

func compareCommand() *cobra.Command {
	var b comparing
	c := &cobra.Command{
		Use:   "compare [PROJECT.toml] --spacing 60mm,80mm,100mm",
		Short: "The same skirt at several spacings or patterns, side by side",
		Long: `compare plans the same skirt in several ways. It writes a board of small
pictures, each with its count, felt and cost, and the same as a table. If one
of them cannot be planned, the others still are.

The folder appears whole or not at all. Files in it that strew did not write
are left alone.`,
		Example: `  strew compare --spacing 8cm,10cm,12cm
  strew compare skirt.toml --spacing 60mm,80mm,100mm --pattern grid,polka -o board`,
		Args:              atMostOne(say.New("project file")),
		ValidArgsFunction: projectFiles,
		RunE:              b.run,
	}
	f := c.Flags()
	f.StringSliceVar(&b.spacings, "spacing", nil, "centre to centre, such as 60mm,80mm,100mm, decimals with a point (default: the project's own)")
	f.StringSliceVar(&b.patterns, "pattern", nil, "one or more of grid, hemband and polka (default: the project's own)")
	b.output.flags(c, "-compare", "JSON")
	completeWords(c, "pattern", "grid", "hemband", "polka")
	b.feltFlags(c, "another one makes another layout")
	return c
}

// run plans every choice and writes the board.
func (b *comparing) run(c *cobra.Command, args []string) error {
	switch n := max(1, len(b.spacings)) * max(1, len(b.patterns)); {
	case len(b.spacings)+len(b.patterns) == 0:
		return wrongCall{say.Errorf("nothing to compare: give --spacing, such as 60mm,80mm,100mm, or --pattern, such as grid,polka, or both")}
	case n > mostCompared:
		return wrongCall{say.Errorf("--spacing and --pattern make %d choices; at most %d fit on a board", n, mostCompared)}
	}
	above := b.given(c)
	above.Spacing, above.Pattern = nil, nil // each choice has its own
	base, files, err := open(args, above)
	if err != nil {
		return err
	}
	list, err := b.choices(base, above)
	if err != nil {
		return err
	}
	to, err := b.prepare(c, "compare", base, []string{results.ComparedFile, results.BoardFile, results.CompareTable})
	if err != nil {
		return err
	}
	bar := newProgress(c.ErrOrStderr(), b.quiet)
	list, err = stage.NewPlanner(files).Compare(c.Context(), list, func(n int) { bar.show(say.Printer{}.Say("comparing"), n, len(list)) })
	bar.finish()
	if err != nil {
		return err
	}
	if to.writes {
		made, err := untilStopped(c.Context(), func() ([]results.File, error) { return results.Compared(c.Context(), base.Title, list) })
		if err != nil {
			return err
		}
		if err := to.replace(c.Context(), made); err != nil {
			return err
		}
	}
	return b.answer(c, list, to.dir)
}

// known refuses a pattern that there is none of.
func (b *comparing) known(base project.Project) error {
	for _, p := range b.patterns {
		word := strings.TrimSpace(p)
		if slices.Contains([]project.Pattern{project.PatternPolka, project.PatternGrid, project.PatternHemBand}, project.Pattern(word)) {
			continue
		}
		_, err := base.With(project.Overrides{Pattern: &word})
		return err
	}
	return nil
}

// choices lists every pattern at every spacing. The error is that of a word that
// is no pattern or of a spacing that is not a length; any other is kept with its
// choice.
func (b *comparing) choices(base project.Project, o project.Overrides) ([]stage.Choice, error) {
	if err := b.known(base); err != nil {
		return nil, err
	}
	var out []stage.Choice
	for i := range max(1, len(b.patterns)) {
		for j := range max(1, len(b.spacings)) {
			c := stage.Choice{Pattern: string(base.Scatter.Pattern)}
			if len(b.patterns) > 0 {
				c.Pattern = strings.TrimSpace(b.patterns[i])
				o.Pattern = &c.Pattern
			}
			if len(b.spacings) > 0 {
				c.Asked = strings.TrimSpace(b.spacings[j])
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

// answer prints the table. If no choice could be planned, the error says why the
// first could not.
func (b *comparing) answer(c *cobra.Command, list []stage.Choice, dir string) error {
	out, errs := c.OutOrStdout(), c.ErrOrStderr()
	failed := 0
	for _, l := range list {
		if l.Err != nil {
			failed++
			if !b.asJSON { // the JSON has it
				fmt.Fprintln(errs, words.ChoiceOf(l).Why())
			}
		}
	}
	if b.asJSON {
		if err := written(out.Write(record.Compared(list, results.WhyNot))); err != nil {
			return err
		}
	} else if !b.quiet {
		p := say.Printer{Unit: list[0].Project.Unit}
		board := p.Say("The board is %s.", filepath.Join(dir, results.BoardFile))
		if err := written(fmt.Fprintf(out, "%s\n%s\n", words.CompareTable(p, list), board)); err != nil {
			return err
		}
	}
	if failed == len(list) {
		return planError{say.New("none of them could be planned: %s", results.WhyNot(list[0])).String(), list[0].Err}
	}
	return nil
}
