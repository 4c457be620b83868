package browsertest

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// maker is a person at a computer of her own: a home folder with a project.
type maker struct {
	t       *testing.T
	home    string
	project string // path of the project file
}

// newMaker gives a maker the project that `strew init` writes, or the given
// text in its place.
func newMaker(t *testing.T, project string) *maker {
	t.Helper()
	needsBrowser(t)
	m := &maker{t: t, home: t.TempDir()}
	folder := filepath.Join(m.home, "skirt")
	m.run("init", folder)
	found, err := filepath.Glob(filepath.Join(folder, "*.toml"))
	if err != nil || len(found) != 1 {
		t.Fatalf("strew init wrote %q, want one project file", found)
	}
	m.project = found[0]
	if project != "" {
		m.write(project)
	}
	return m
}

// write replaces the text of the project file, as another program would.
func (m *maker) write(text string) {
	m.t.Helper()
	if err := os.WriteFile(m.project, []byte(text), 0o644); err != nil {
		m.t.Fatal(err)
	}
}

// read returns the text of the project file.
func (m *maker) read() string {
	m.t.Helper()
	data, err := os.ReadFile(m.project)
	if err != nil {
		m.t.Fatal(err)
	}
	return string(data)
}

// command is a call of strew on the maker's computer.
func (m *maker) command(args ...string) *exec.Cmd {
	m.t.Helper()
	program, err := shared.build()
	if err != nil {
		m.t.Fatal(err)
	}
	cmd := exec.Command(program, args...)
	cmd.Dir = m.home
	cmd.Env = append(os.Environ(), "HOME="+m.home, "XDG_CONFIG_HOME="+filepath.Join(m.home, ".config"))
	return cmd
}

// run runs strew to its end and returns what it printed to stdout.
func (m *maker) run(args ...string) []byte {
	m.t.Helper()
	cmd := m.command(args...)
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	if err := cmd.Run(); err != nil {
		m.t.Fatalf("strew %s: %v\n%s", strings.Join(args, " "), err, stderr.Bytes())
	}
	return stdout.Bytes()
}

// planOfFile returns what `strew plan --json` says of the project file as it is
// saved.
func (m *maker) planOfFile() plan {
	m.t.Helper()
	return readPlan(m.t, m.run("plan", m.project, "--json"))
}

// plan is plan.json: what is compared between page and prompt, whole.
type plan map[string]any

func readPlan(t *testing.T, data []byte) plan {
	t.Helper()
	var p plan
	if err := json.Unmarshal(data, &p); err != nil {
		t.Fatalf("not plan.json: %v\n%.200s", err, data)
	}
	if p["format"] != "strew-plan/1" {
		t.Fatalf("the plan's format is %v", p["format"])
	}
	return p
}

// program is a running `strew page`.
type program struct {
	m       *maker
	cmd     *exec.Cmd
	address string // as printed, with its key
	log     *record
	ended   chan error
	over    bool // the test ended it
}

// startLimit is how long a start may take on a busy machine.
const startLimit = 20 * time.Second

// page starts `strew page --no-open` with more arguments.
func (m *maker) page(args ...string) *program {
	m.t.Helper()
	p := &program{m: m, log: new(record), ended: make(chan error, 1)}
	p.cmd = m.command(append([]string{"page", "--no-open"}, args...)...)
	p.cmd.Stderr = p.log
	stdout, err := p.cmd.StdoutPipe()
	if err != nil {
		m.t.Fatal(err)
	}
	if err := p.cmd.Start(); err != nil {
		m.t.Fatal(err)
	}
	line := make(chan string, 1)
	go func() {
		lines := bufio.NewReader(stdout)
		first, _ := lines.ReadString('\n')
		line <- first
		_, _ = lines.WriteTo(p.log)
		p.ended <- p.cmd.Wait()
	}()
	m.t.Cleanup(p.end)
	select {
	case first := <-line:
		address, ok := strings.CutPrefix(strings.TrimSpace(first), "page ")
		if !ok {
			m.t.Fatalf("strew page printed %q, want an address\n%s", first, p.log)
		}
		p.address = address
	case <-time.After(startLimit):
		m.t.Fatalf("strew page printed no address\n%s", p.log)
	}
	return p
}

// end ends the program as Ctrl-C does, and looks through its log.
func (p *program) end() {
	p.m.t.Helper()
	if !p.over && !p.alive() {
		p.m.t.Errorf("strew page ended by itself: %v\n%s", p.cmd.ProcessState, p.log)
		p.over = true
	}
	if !p.over {
		p.over = true
		_ = p.cmd.Process.Signal(os.Interrupt)
		select {
		case <-p.ended:
		case <-time.After(startLimit):
			_ = p.cmd.Process.Kill()
			p.m.t.Errorf("strew page does not end at Ctrl-C\n%s", p.log)
		}
	}
	if bad := p.log.faults(); bad != "" {
		p.m.t.Errorf("the program's log:\n%s", bad)
	}
}

// crash kills the program, as a power cut would.
func (p *program) crash() {
	p.over = true
	_ = p.cmd.Process.Signal(syscall.SIGKILL)
	<-p.ended
}

// alive reports whether the program still runs.
func (p *program) alive() bool {
	select {
	case err := <-p.ended:
		p.ended <- err
		return false
	default:
		return true
	}
}

// origin is the page's address without path and key.
func (p *program) origin() string {
	u, err := url.Parse(p.address)
	if err != nil {
		p.m.t.Fatal(err)
	}
	return u.Scheme + "://" + u.Host
}

// memory is the program's resident memory in megabytes (proc(5), VmRSS).
func (p *program) memory() float64 {
	p.m.t.Helper()
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	if err != nil {
		p.m.t.Skipf("memory is read from /proc: %v", err)
	}
	_, rest, _ := strings.Cut(string(status), "VmRSS:")
	kb, err := strconv.ParseFloat(strings.Fields(rest)[0], 64)
	if err != nil {
		p.m.t.Fatal(err)
	}
	return kb / 1024
}

// record keeps what a program prints.
type record struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (r *record) Write(p []byte) (int, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.text.Write(p)
}

func (r *record) String() string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.text.String()
}

// faults returns the log from its first sign of a fault in the program.
func (r *record) faults() string {
	text := r.String()
	for _, sign := range []string{"panic", "goroutine ", "DATA RACE", "http: "} {
		if i := strings.Index(text, sign); i >= 0 {
			return text[i:]
		}
	}
	return ""
}

// in returns the same program for a subtest, whose windows it then fails.
func (p *program) in(t *testing.T) *program {
	return &program{m: &maker{t: t, home: p.m.home, project: p.m.project}, cmd: p.cmd, address: p.address, log: p.log, ended: p.ended}
}
