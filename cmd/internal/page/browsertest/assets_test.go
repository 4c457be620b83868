package browsertest

import (
	"bytes"
	"compress/gzip"
	"io/fs"
	"os"
	"testing"
)

// mostAssets is how much the page may weigh, in bytes as gzip sends it.
const mostAssets = 150_000

// The page's files are light: under 150 kB gzip together.
func TestAssetsAreLight(t *testing.T) {
	total, files := 0, 0
	assets := os.DirFS("../static")
	err := fs.WalkDir(assets, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(assets, path)
		if err != nil {
			return err
		}
		var packed bytes.Buffer
		z, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
		if err != nil {
			return err
		}
		if _, err := z.Write(data); err != nil {
			return err
		}
		if err := z.Close(); err != nil {
			return err
		}
		total += packed.Len()
		files++
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d files, %d bytes gzip", files, total)
	if total > mostAssets || files == 0 {
		t.Errorf("%d files weigh %d bytes gzip, want at most %d", files, total, mostAssets)
	}
}
