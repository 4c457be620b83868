package main

import (
	"os/exec"
	"strings"
	"testing"
)

// rank orders the packages: each may import packages of this module that stand
// in a lower rank, or its own parts listed in allowed.
var rank = map[string]int{
	"strew/motif/geom":                    0,
	"strew/motif/say":                     1,
	"strew/motif":                         2,
	"strew/motif/trace":                   2,
	"strew/sheet/nfp":                     1,
	"strew/sheet/bound":                   1,
	"strew/sheet/shape":                   2,
	"strew/sheet/search":                  3,
	"strew/sheet":                         4,
	"strew/sheet/shapetest":               1,
	"strew/scatter/skirt":                 2,
	"strew/scatter":                       3,
	"strew/render/scene":                  2,
	"strew/render/raster":                 3,
	"strew/render/pdf":                    3,
	"strew/render/svg":                    3,
	"strew/render":                        4,
	"strew/cmd/internal/project":          5,
	"strew/cmd/internal/folder":           5,
	"strew/cmd/internal/stage":            6,
	"strew/cmd/internal/stage/stagetest":  7,
	"strew/cmd/internal/words":            7,
	"strew/cmd/internal/record":           7,
	"strew/cmd/internal/results":          8,
	"strew/cmd/internal/shown":            9,
	"strew/cmd/internal/engine":           9,
	"strew/cmd/internal/desk":             10,
	"strew/cmd/internal/page":             11,
	"strew/cmd/internal/page/browsertest": 12,
	"strew/cmd/strew":                     12,
	"strew/cmd/strew-release":             12,
}

// barred names arrows that the ranks would allow and the design does not.
var barred = map[string][]string{
	"strew/scatter":              {"strew/motif", "strew/sheet", "strew/render"},
	"strew/sheet":                {"strew/motif", "strew/motif/say", "strew/motif/trace", "strew/scatter", "strew/scatter/skirt", "strew/render/"},
	"strew/cmd/internal/project": {"strew/motif", "strew/sheet", "strew/scatter", "strew/render"},
	"strew/cmd/internal/folder":  {"strew/cmd/", "strew/motif", "strew/sheet", "strew/scatter", "strew/render"},
	"strew/cmd/internal/stage":   {"strew/render"},
}

// Imports run one way: cmd → render → sheet, scatter → motif → motif/geom, and
// sheet knows motif/geom only.
func TestImportsRunOneWay(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", "{{.ImportPath}} {{join .Imports \" \"}}", "strew/...").Output()
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	for _, line := range lines {
		words := strings.Fields(line)
		from := words[0]
		own, known := rank[from]
		if !known {
			t.Errorf("%s has no rank; give it one", from)
		}
		for _, to := range words[1:] {
			if !strings.HasPrefix(to, "strew/") {
				continue
			}
			if r, ok := rank[to]; !ok || r >= own {
				t.Errorf("%s imports %s, against the arrows", from, to)
			}
			for _, b := range barred[from] {
				if to == b || strings.HasSuffix(b, "/") && strings.HasPrefix(to, b) {
					t.Errorf("%s imports %s, which it must not know", from, to)
				}
			}
		}
	}
	if len(lines) < len(rank) {
		t.Errorf("only %d packages listed, %d have a rank", len(lines), len(rank))
	}
}
