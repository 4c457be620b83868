//go:build !windows

package main

import (
	"os"
	"runtime"

	"golang.org/x/term"
)

// startedAlone reports whether strew was started by a double click.
func startedAlone() bool {
	desktop := runtime.GOOS == "darwin" || os.Getenv("DISPLAY") != "" || os.Getenv("WAYLAND_DISPLAY") != ""
	isTerminal := func(f *os.File) bool { return term.IsTerminal(int(f.Fd())) }
	return streamsOf(os.Stdin, os.Stdout, os.Stderr, isTerminal, desktop).alone()
}
