package motif

import (
	"os"
	"testing"
)

func BenchmarkReadGinkgo(b *testing.B) {
	data, err := os.ReadFile("../cmd/internal/project/example/ginkgo.svg")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, _, err := ReadSVG(data, Options{Width: 60}); err != nil {
			b.Fatal(err)
		}
	}
}
