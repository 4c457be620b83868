package project

import (
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var (
	starterHeader = regexp.MustCompile(`^(# )?(\[\[?[a-z]+\]\]?)`)
	starterKey    = regexp.MustCompile(`^(# )?([a-z_]+) *= \S`)
)

// starterLines is the starter file.
func starterLines(t *testing.T) []string {
	t.Helper()
	data, err := fs.ReadFile(exampleFiles(), starter)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(string(data), "\n")
}

// takenIn is the starter file with lines from and up to to taken in, which were
// comments.
func takenIn(t *testing.T, from, to int) []string {
	out := slices.Clone(starterLines(t))
	for i := from; i < to; i++ {
		out[i] = strings.TrimPrefix(out[i], "# ")
	}
	return out
}

// Whoever takes the # away from one thing in the starter file, and does beside it
// what its comment says, has a sound project.
func TestStarterTakesInEachComment(t *testing.T) {
	// What comments say to do as well: a line that goes, or one in its stead.
	beside := map[string][][2]string{
		"height":    {{"width     = 3.5", "# width"}},
		"cutouts":   {{"spacing = 11", "# spacing"}},
		"sheets":    {{"spacing = 11", "# spacing"}},
		"budget":    {{"spacing = 11", "# spacing"}},
		"paper":     {{`"ginkgo.svg"`, `"ginkgo.png"`}, {"width     = 6", "# width"}},
		"pick":      {{`"ginkgo.svg"`, `"ginkgo.png"`}},
		"roll":      {{"height  = 29.7", "# height"}, {"stock   = 1", "# stock"}},
		"price_per": {{"height  = 29.7", "roll = true"}, {"stock   = 1", "# stock"}},
		"sold_by":   {{"height  = 29.7", "roll = true"}, {"stock   = 1", "# stock"}},
	}
	lines := starterLines(t)
	tried := 0
	for i := 0; i < len(lines); i++ {
		name, end := "", i+1
		if m := starterHeader.FindStringSubmatch(lines[i]); m != nil && m[1] != "" {
			name = m[2]
			for end < len(lines) && starterKey.MatchString(lines[end]) {
				end++
			}
		} else if m := starterKey.FindStringSubmatch(lines[i]); m != nil && m[1] != "" {
			name = m[2]
		} else {
			continue
		}
		text := strings.Join(takenIn(t, i, end), "\n")
		for _, change := range beside[name] {
			if strings.Count(text, change[0]) != 1 {
				t.Fatalf("%s: %q is not in the file once", name, change[0])
			}
			text = strings.Replace(text, change[0], change[1], 1)
		}
		if _, err := Parse([]byte(text), "p.toml", "."); err != nil {
			t.Errorf("%s taken in: %v", name, err)
		}
		tried++
		i = end - 1
	}
	if tried < 30 {
		t.Errorf("only %d comments were found", tried)
	}
}
