package main

import (
	"os"
	"syscall"
	"unsafe"

	"golang.org/x/term"
)

// startedAlone reports whether strew was started by a double click: then a console
// was opened for it in which no other program runs. A build without a console, or
// one that was started without, goes by its streams.
func startedAlone() bool {
	if n := inConsole(); n > 0 {
		return n == 1 && term.IsTerminal(int(os.Stdout.Fd()))
	}
	isTerminal := func(f *os.File) bool { return term.IsTerminal(int(f.Fd())) }
	return streamsOf(os.Stdin, os.Stdout, os.Stderr, isTerminal, true).alone()
}

// inConsole returns how many programs run in this console, or 0 where there is none
// ("GetConsoleProcessList function", Microsoft Learn).
func inConsole() int {
	proc := syscall.NewLazyDLL("kernel32.dll").NewProc("GetConsoleProcessList")
	if proc.Find() != nil {
		return 0
	}
	var ids [2]uint32 // more are counted and not listed
	n, _, _ := proc.Call(uintptr(unsafe.Pointer(&ids[0])), uintptr(len(ids)))
	return int(n)
}
