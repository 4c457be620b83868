// Command strew plans felt cutouts on net skirts: how many of each, how much
// felt to buy, and where to mark the cloth.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

// stopSignals ask the program to end.
var stopSignals = []os.Signal{os.Interrupt, syscall.SIGTERM}

func main() { os.Exit(call()) }

// call carries out the call on the command line and returns its exit status.
func call() int {
	ctx, stop := signal.NotifyContext(context.Background(), stopSignals...)
	defer stop()
	// The first signal ends the work in good order, a second one at once.
	context.AfterFunc(ctx, stop)
	return run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
}
