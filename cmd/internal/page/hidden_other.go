//go:build !windows

package page

import (
	"io/fs"
	"strings"
)

// hidden reports whether a file is one that people are not shown.
func hidden(e fs.DirEntry) bool { return strings.HasPrefix(e.Name(), ".") }
