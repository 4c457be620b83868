package page

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"
)

//go:embed static
var embedded embed.FS

// Assets returns the files that the page is made of, index.html at the top.
func Assets() fs.FS {
	files, err := fs.Sub(embedded, "static")
	if err != nil {
		panic(err) // the folder is compiled in
	}
	return files
}

// asset is one file of the page, plain and compressed.
type asset struct {
	kind         string // media type
	plain, small []byte // small: by gzip; nil where that saves nothing
	tag          string // of the contents
}

// assets serves files by their paths, and index.html for "/".
type assets map[string]asset

// readAssets reads and compresses all files.
func readAssets(files fs.FS) (assets, error) {
	out := assets{}
	err := fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(files, name)
		if err != nil {
			return err
		}
		kind, known := knownTypes[path.Ext(name)]
		if !known {
			kind = "application/octet-stream"
		}
		sum := sha256.Sum256(data)
		a := asset{kind: kind, plain: data, tag: hex.EncodeToString(sum[:8])}
		if small := compressed(data, gzip.BestCompression); len(small) < len(data) {
			a.small = small
		}
		out["/"+name] = a
		return nil
	})
	for name, also := range map[string]string{"/index.html": "/", "/icon.svg": "/favicon.ico"} { // a PDF in a tab asks for the latter
		if a, ok := out[name]; ok {
			out[also] = a
		}
	}
	return out, err
}

// takesGzip reports whether who asks can read what is compressed.
func takesGzip(r *http.Request) bool {
	return strings.Contains(r.Header.Get("Accept-Encoding"), "gzip")
}

func compressed(data []byte, level int) []byte {
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, level)
	if err != nil {
		panic(err) // the levels are constants
	}
	_, _ = w.Write(data) // a buffer takes everything
	_ = w.Close()
	return b.Bytes()
}

// ServeHTTP answers GET and HEAD; a browser that has the file already is told so.
func (list assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	a, ok := list[r.URL.Path]
	if !ok {
		http.NotFound(w, r)
		return
	}
	h := w.Header()
	h.Set("Content-Type", a.kind)
	h.Set("Cache-Control", "no-cache") // kept, and asked about each time
	h.Set("Vary", "Accept-Encoding")
	body, tag := a.plain, `"`+a.tag+`"`
	if a.small != nil && takesGzip(r) {
		body, tag = a.small, `"`+a.tag+`-gzip"`
		h.Set("Content-Encoding", "gzip")
	}
	h.Set("ETag", tag)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(body))
}
