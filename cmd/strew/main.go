// Command strew plans felt cutouts on net skirts: how many of each, how much
// felt to buy, and where to mark the cloth.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

// stopSignals returns the signals that ask the program to end. A program started
// with nohup ignores SIGHUP, and goes on doing so.
func stopSignals() []os.Signal {
	list := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) {
		list = append(list, syscall.SIGHUP)
	}
	return list
}

func main() { os.Exit(call()) }

// call runs the command line and returns its exit status.
func call() int {
	ctx, stop := signal.NotifyContext(context.Background(), stopSignals()...)
	defer stop()
	// The first signal ends the work in good order; a second one kills the program.
	context.AfterFunc(ctx, stop)
	return run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
}
