package results

import (
	"context"
	"errors"
	"testing"

	"strew/cmd/internal/stage/stagetest"
)

// Every file has its name once, plan.json comes first, and none is empty.
func TestFilesAreNamed(t *testing.T) {
	r := Of(stagetest.Built(t, "tide-half-grid"))
	last := 0
	files, err := r.Files(context.Background(), func(done, total int) {
		if done != last+1 || done > total {
			t.Errorf("%d of %d drawn after %d", done, total, last)
		}
		last = done
	})
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, f := range files {
		if seen[f.Name] || len(f.Data) == 0 {
			t.Errorf("%s: %d bytes, there already: %t", f.Name, len(f.Data), seen[f.Name])
		}
		seen[f.Name] = true
	}
	if files[0].Name != PlanFile || last == 0 {
		t.Errorf("%s comes first, %d drawn", files[0].Name, last)
	}
	for _, name := range []string{"skirt.png", "worn.png", "placement.png", "placement.pdf", "marking.pdf", "marking.csv", "templates.pdf", "lay-1.png", "lay.pdf", "lay.svg", "shopping.md", "shopping.csv"} {
		if !seen[name] {
			t.Errorf("there is no %s", name)
		}
	}
}

// Work that was told to stop writes nothing.
func TestStoppedFilesAreNone(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if files, err := Of(stagetest.Built(t, "tide-half-grid")).Files(ctx, nil); !errors.Is(err, context.Canceled) || files != nil {
		t.Errorf("%d files, %v", len(files), err)
	}
}
