package main

import (
	"os/exec"
	"runtime"
	"slices"
)

// browsers are the programs that open an address in the person's own browser, each
// with its first arguments, in the order to be tried.
func browsers(system string) [][]string {
	switch system {
	case "windows":
		return [][]string{{"rundll32", "url.dll,FileProtocolHandler"}}
	case "darwin":
		return [][]string{{"/usr/bin/open"}}
	}
	return [][]string{{"xdg-open"}, {"gio", "open"}, {"x-www-browser"}, {"sensible-browser"}}
}

// openBrowser opens an address in a browser, and does not wait for it. The error is
// that of the last program that could not be started.
func openBrowser(address string) (err error) {
	for _, b := range browsers(runtime.GOOS) {
		call := exec.Command(b[0], append(slices.Clone(b[1:]), address)...)
		if err = call.Start(); err == nil {
			go func() { _ = call.Wait() }() // it ends when it likes
			return nil
		}
	}
	return err
}
