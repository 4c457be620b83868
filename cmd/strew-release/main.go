// Command strew-release builds strew for Linux, macOS and Windows and packs each
// with something to double-click and a page to read:
//
//	go run ./cmd/strew-release -o dist -version 1.0
//
// The same source, Go and version give the same bytes.
package main

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
)

func main() {
	dir := flag.String("o", "dist", "folder for the archives")
	version := flag.String("version", "dev", "what strew --version prints")
	flag.Parse()
	if err := release(*dir, *version, goBuild); err != nil {
		fmt.Fprintln(os.Stderr, "strew-release:", err)
		os.Exit(1)
	}
}

// plainVersion is what may stand in file names and in the linker's flags.
var plainVersion = regexp.MustCompile(`^[0-9A-Za-z][0-9A-Za-z.+-]*$`)

// release writes the archive of every system into a folder, which it makes where it
// is missing.
func release(dir, version string, build builder) error {
	if !plainVersion.MatchString(version) {
		return fmt.Errorf("a version has letters, digits, dots and hyphens alone, unlike %q", version)
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	for _, s := range systems {
		data, err := s.archive(version, build)
		if err != nil {
			return fmt.Errorf("%s: %w", s.name(version), err)
		}
		path := filepath.Join(dir, s.name(version))
		if err := os.WriteFile(path, data, 0o666); err != nil {
			return err
		}
		fmt.Printf("%9d bytes  %s\n", len(data), path)
	}
	return nil
}

// builder builds strew for a system, with or without a console of its own on Windows,
// and returns the program.
type builder func(system, machine, version string, console bool) ([]byte, error)

// goBuild builds with the go command, in this module. No path of this machine and no
// state of the repository goes into the program.
func goBuild(system, machine, version string, console bool) ([]byte, error) {
	temp, err := os.MkdirTemp("", "strew-release")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(temp)
	flags := "-s -w -buildid= -X main.release=" + version
	if !console {
		flags += " -H=windowsgui"
	}
	to := filepath.Join(temp, "strew")
	c := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags", flags, "-o", to, "strew/cmd/strew")
	c.Env = append(os.Environ(), "GOOS="+system, "GOARCH="+machine, "CGO_ENABLED=0", "GOFLAGS=", "GOAMD64=v1", "GOARM64=v8.0")
	if out, err := c.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%w: %s", err, out)
	}
	return os.ReadFile(to)
}
