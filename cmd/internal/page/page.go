// Package page serves the page on which a maker plans her skirt, in the browser and
// on this machine alone. It holds the guard at the door, the calls and events
// between page and desk, and what the desk knows nothing of: the disk, recent
// projects, and unsaved work.
package page

import (
	"context"
	"crypto/rand"
	"errors"
	"io"
	"io/fs"
	"log"
	"net"
	"net/http"
	"strconv"
	"sync"
	"time"
)

// Options say what to serve.
//
//	err := page.Serve(ctx, page.Options{Desk: d, Assets: page.Assets(), Home: home, Start: here, Config: config, Ready: open})
type Options struct {
	Desk   Desk
	Assets fs.FS // the files of the page
	// Project is the project file to open, or its folder; "": what the desk has.
	Project string
	// Home and Start are the person's home folder and the one where strew was
	// started; "" for none. Folders are shown, and projects opened and saved by
	// the page, below them alone. The folder of Project is one of them too.
	Home, Start string
	// Config is the folder for recent projects and unsaved work; "": nothing is
	// kept.
	Config string
	// Ready is called once, with the address to open in a browser, when that
	// answers. already says that it is the page of another run that has the
	// project open. An error of it ends Serve.
	Ready func(address string, already bool) error
	Log   io.Writer     // faults, for a developer; nil: nowhere
	Idle  time.Duration // without use until Serve ends; 0: an hour
}

// hour is how long strew waits for somebody to come back.
const hour = time.Hour

// server is one run.
type server struct {
	desk   Desk
	shelf  *shelf
	assets assets
	own    map[string]own
	idle   *idle
	log    *log.Logger
	end    context.CancelFunc
}

// Serve serves until ctx ends, the page asks for the end, or nobody has used it for
// long and nothing is unsaved; then it returns nil. It returns within 0.2 s of the
// end, with unsaved work kept. Where another run has the project open, it calls Ready
// with that run's address and returns at once.
func Serve(ctx context.Context, o Options) error {
	ctx, end := context.WithCancel(ctx)
	defer end()
	s, err := newServer(o, end)
	if err != nil {
		return err
	}
	if o.Project != "" {
		path, err := projectIn(o.Project)
		if err != nil {
			return err
		}
		if address := s.shelf.notes.openElsewhere(ctx, path); address != "" {
			return o.Ready(address, true)
		}
		if _, err = s.shelf.open(real(path)); err != nil {
			return err
		}
	}
	return s.serve(ctx, o.Ready)
}

func newServer(o Options, end context.CancelFunc) (*server, error) {
	if o.Log == nil {
		o.Log = io.Discard
	}
	if o.Idle == 0 {
		o.Idle = hour
	}
	files, err := readAssets(o.Assets)
	if err != nil {
		return nil, err
	}
	to := log.New(o.Log, "strew: ", 0)
	s := &server{
		desk: o.Desk,
		shelf: &shelf{
			desk: o.Desk, disk: local{}, roots: rootsOf(o.Home, o.Start, o.Project),
			notes: newMemory(o.Config, local{}, to), read: map[string]stamp{},
		},
		assets: files, idle: newIdle(o.Idle), log: to, end: end,
	}
	s.own = s.calls()
	return s, nil
}

// serve listens and answers.
func (s *server) serve(ctx context.Context, ready func(string, bool) error) error {
	listener, err := net.Listen("tcp4", "127.0.0.1:0")
	if err != nil {
		return err
	}
	port := strconv.Itoa(listener.Addr().(*net.TCPAddr).Port)
	key := rand.Text()
	h := &http.Server{
		Handler:           s.handler(port, key),
		BaseContext:       func(net.Listener) context.Context { return ctx }, // its end closes the streams of events
		ReadHeaderTimeout: 10 * time.Second,
		ErrorLog:          s.log,
	}
	failed := make(chan error, 1)
	go func() { failed <- h.Serve(listener) }()
	address := "http://127.0.0.1:" + port + "/?key=" + key
	s.shelf.notes.started(address)
	defer s.shelf.notes.ended()

	aside, stop := context.WithCancel(ctx)
	var work sync.WaitGroup
	work.Go(func() { s.shelf.keepAll(aside) })
	work.Go(func() { s.shelf.lookOut(aside) })
	work.Go(func() { s.idle.wait(aside, func() bool { return s.desk.Snapshot().Unsaved }, s.end) })

	err = ready(address, false)
	if err == nil {
		select {
		case <-ctx.Done():
		case err = <-failed:
		}
	}
	stop()
	closing(h)
	work.Wait() // unsaved work is kept by now
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}

// lastAnswers is how long answers under way may take at the end.
const lastAnswers = 100 * time.Millisecond

func closing(h *http.Server) {
	ctx, stop := context.WithTimeout(context.Background(), lastAnswers)
	defer stop()
	if h.Shutdown(ctx) != nil {
		_ = h.Close() // whoever still waits is cut off
	}
}

// handler is every route, behind the guard.
func (s *server) handler(port, key string) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /api/events", s.events)
	mux.HandleFunc("GET /api/{name}", s.get)
	mux.HandleFunc("POST /api/{name}", s.post)
	mux.Handle("GET /", s.assets)
	return chain(mux, withHeaders, recovering(s.log), onlyHost(port), onlyOrigin, onlyKey(port, key))
}

// lookAgain is how often the project file is looked at.
const lookAgain = 2 * time.Second

// lookOut tells the desk when another program changes the project file, until ctx
// ends.
func (s *shelf) lookOut(ctx context.Context) {
	look := time.NewTicker(lookAgain)
	defer look.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-look.C:
			s.looked()
		}
	}
}
