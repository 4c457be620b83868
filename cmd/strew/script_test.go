package main

import (
	"os"
	"os/signal"
	"testing"

	"context"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"drawing": drawingCommand,
		"strew": func() {
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
			defer stop()
			os.Exit(run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
		},
	})
}

// Each script under testdata/script plays a maker at the terminal.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata/script", RequireExplicitExec: true})
}
