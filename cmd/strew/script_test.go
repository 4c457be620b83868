package main

import (
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"drawing": drawingCommand,
		"strew":   main,
		"visit":   visitCommand,
		"strewto": toFileCommand,
	})
}

// Each script under testdata/script plays a maker at the terminal.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{Dir: "testdata/script", RequireExplicitExec: true})
}
