package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"cmp"
	"compress/gzip"
	"io/fs"
	"slices"
	"time"
)

// file is a file of an archive.
type file struct {
	name string // with slashes
	data []byte
	runs bool // it may be started
}

func (f file) mode() fs.FileMode {
	if f.runs {
		return 0o755
	}
	return 0o644
}

// packed is the time of every file: the earliest that a zip can have, so that
// archives of the same files are the same.
var packed = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// sorted returns the files by name.
func sorted(list []file) []file {
	return slices.SortedFunc(slices.Values(list), func(a, b file) int { return cmp.Compare(a.name, b.name) })
}

// packZip returns a zip of the files, with their modes as Unix systems read them.
func packZip(list []file) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range sorted(list) {
		h := &zip.FileHeader{Name: f.name, Method: zip.Deflate, Modified: packed}
		h.SetMode(f.mode())
		w, err := z.CreateHeader(h)
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(f.data); err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return b.Bytes(), err
}

// packTarGz returns a compressed tar of the files.
func packTarGz(list []file) ([]byte, error) {
	var b bytes.Buffer
	small, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	t := tar.NewWriter(small)
	for _, f := range sorted(list) {
		h := &tar.Header{Name: f.name, Mode: int64(f.mode()), Size: int64(len(f.data)), ModTime: packed, Format: tar.FormatUSTAR}
		if err := t.WriteHeader(h); err != nil {
			return nil, err
		}
		if _, err := t.Write(f.data); err != nil {
			return nil, err
		}
	}
	if err := t.Close(); err != nil {
		return nil, err
	}
	err = small.Close()
	return b.Bytes(), err
}
