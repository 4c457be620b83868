package engine

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"strew/cmd/internal/project"
	"strew/cmd/internal/results"
	"strew/cmd/internal/stage"
)

// A project in memory makes the files that the same project on a disk makes.
func TestMemoryAndDiskMakeTheSame(t *testing.T) {
	const dir = "../../../testdata/tide-half-grid"
	files := Files{}
	data, err := os.ReadFile(filepath.Join(dir, "project.toml"))
	if err != nil {
		t.Fatal(err)
	}
	files["skirts/project.toml"] = data
	drawings, err := filepath.Glob("../../../testdata/drawings/*")
	if err != nil || len(drawings) == 0 {
		t.Fatalf("%d drawings, %v", len(drawings), err)
	}
	for _, d := range drawings {
		if files["drawings/"+filepath.Base(d)], err = os.ReadFile(d); err != nil {
			t.Fatal(err)
		}
	}
	var told []stage.Stage
	got, err := Plan(context.Background(), files, "skirts/project.toml", func(e stage.Event) { told = append(told, e.Stage) })
	if err != nil {
		t.Fatal(err)
	}
	p, err := project.Load(filepath.Join(dir, "project.toml"), project.Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	made, err := stage.NewPlanner(disk(dir)).Plan(context.Background(), p, nil)
	if err != nil {
		t.Fatal(err)
	}
	want, err := results.Of(made).Files(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != len(want) || len(told) == 0 {
		t.Fatalf("%d files, want %d; told %v", len(got), len(want), told)
	}
	for i := range want {
		if got[i].Name != want[i].Name || !bytes.Equal(got[i].Data, want[i].Data) {
			t.Errorf("%s differs from %s", got[i].Name, want[i].Name)
		}
	}
}

type disk string

func (d disk) Open(name string) (fs.File, error) { return os.Open(filepath.Join(string(d), name)) }

func TestFaultsAreTold(t *testing.T) {
	for text, want := range map[string]string{
		"":                            "motif",
		"[skirt]\ncut = \"circel\"\n": "circle",
	} {
		if _, err := Plan(context.Background(), Files{"p.toml": []byte(text)}, "p.toml", nil); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %q", text, err, want)
		}
	}
	if _, err := Plan(context.Background(), Files{}, "p.toml", nil); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("no project file: got %v", err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Plan(ctx, nil, "", nil); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped before: got %v", err)
	}
}
