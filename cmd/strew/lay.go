package main

import (
	"github.com/spf13/cobra"

	"strew/cmd/internal/project"
	"strew/motif/say"
)

func layCommand() *cobra.Command {
	var out output
	var o overrides
	c := &cobra.Command{
		Use:   "lay PROJECT.toml",
		Short: "Lay the motifs' own cut numbers on felt, without a skirt",
		Long: `lay reads a project file that needs no [skirt] and no [scatter]. It lays as many
of each motif as its cut number says, in each of its sizes, on the project's felt,
and writes the order and the lays: pictures of every sheet, templates, a shopping
list, and plan.json.

Ctrl-C while the felt is laid stops the search for a tighter lay and writes the
best one so far; at any other time nothing is written. A second Ctrl-C ends at
once.

The folder appears whole or not at all. Files in it that strew did not write
are left alone.`,
		Example: `  strew lay meadow.toml
  strew lay meadow.toml -o order --effort 8`,
		Args:              exactlyOne(say.New("project file")),
		ValidArgsFunction: projectFiles,
		RunE: func(c *cobra.Command, args []string) error {
			p, err := project.LoadLay(args[0], o.given(c))
			if err != nil {
				return err
			}
			return out.write(c, layOnly(), p, project.Beside(p.Dir))
		},
	}
	out.flags(c, layOnly().suffix, "plan.json")
	o.feltFlags(c, "another one makes another lay")
	return c
}
