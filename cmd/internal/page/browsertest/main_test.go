package browsertest

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
)

// What the tests share: one program and one browser, whose tabs are apart.
var shared = struct {
	folder string // for as long as the tests run
	build  func() (string, error)
	browse func() (context.Context, error)
	close  context.CancelFunc
}{}

func TestMain(m *testing.M) {
	os.Exit(runAll(m))
}

func runAll(m *testing.M) int {
	folder, err := os.MkdirTemp("", "strew-browser")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(folder)
	shared.folder = folder
	shared.build = sync.OnceValues(build)
	shared.browse = sync.OnceValues(browse)
	shared.close = func() {}
	defer func() { shared.close() }()
	return m.Run()
}

// build returns the path of the program to test.
func build() (string, error) {
	if given := os.Getenv("STREW_PROGRAM"); given != "" {
		return given, nil
	}
	program := filepath.Join(shared.folder, "strew")
	out, err := exec.Command("go", "build", "-o", program, "strew/cmd/strew").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("go build: %w\n%s", err, out)
	}
	return program, nil
}

// chromium is the browser's name on Debian.
const chromium = "chromium"

// browse starts the browser. It runs as root in CI, where its sandbox cannot.
func browse() (context.Context, error) {
	path, err := exec.LookPath(chromium)
	if err != nil {
		return nil, err
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path),
		chromedp.NoSandbox,
		chromedp.DisableGPU,
		chromedp.UserDataDir(filepath.Join(shared.folder, "browser")),
		chromedp.Flag("lang", "en-GB"),
		// So that performance.memory is exact.
		chromedp.Flag("enable-precise-memory-info", true),
	)
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, cancel := chromedp.NewContext(allocator)
	shared.close = func() {
		_ = chromedp.Cancel(ctx)
		cancel()
		stop()
	}
	return ctx, chromedp.Do(ctx)
}

// needsBrowser skips the test where Chromium is missing.
func needsBrowser(t *testing.T) {
	t.Helper()
	needs(t, lookChromium(), "apt-get install chromium")
}

func lookChromium() error {
	_, err := exec.LookPath(chromium)
	return err
}

// needs skips the test if something it needs is missing, which err says;
// STREW_REQUIRE=all makes that a failure.
func needs(t *testing.T, err error, remedy string) {
	t.Helper()
	if err == nil {
		return
	}
	if os.Getenv("STREW_REQUIRE") == "all" {
		t.Fatalf("%v, and STREW_REQUIRE=all asks for it: %s", err, remedy)
	}
	t.Skipf("%v: %s", err, remedy)
}
