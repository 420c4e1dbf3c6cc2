package server

import (
	"context"
	"io/fs"
	"log/slog"
	"net/http"
	"sync"
	"time"

	"crankwright/report"
	"crankwright/results"

	"github.com/danielgtaylor/huma/v2"
)

// Config says what a server serves and to whom.
type Config struct {
	Folder  string       // of engine files
	Addr    string       // that it listens on, as the user gives it
	Token   string       // that every request must show; empty: none is needed
	Front   fs.FS        // the built front end; nil or without index.html: a page says how to build it
	Version string       // of the program
	Log     *slog.Logger // nil: silent

	// Lead has others do what a folder of results lacks, in the place of results.Run; nil: this machine does it.
	Lead func(ctx context.Context, f *results.Folder, tell func(results.Progress)) error
	// Workers is how somebody joins them, as a command; empty without Lead.
	Workers string
}

// Server is the workbench over one folder.
type Server struct {
	cfg      Config
	folder   *folder
	hub      *hub
	cache    *cache
	drivers  drivers
	doubted  doubtStore
	priced   tables
	studies  studyStore
	refining refineStore
	checks   func() *report.Verification // computed once
	arranged func() []GalleryEntry       // the gallery, drawn once
	api      huma.API
	handler  http.Handler
	life     context.Context //nolint:containedctx // of the server itself: what is computed for nobody in particular ends with it
	stop     context.CancelFunc
	behind   sync.WaitGroup // the watching, searches, refinements and doubts, which Close waits for
	answers  time.Duration  // how long a question in SQL may take
}

// Limits of one request.
const (
	maxBody       = 1 << 20
	headerTimeout = 5 * time.Second
	readTimeout   = 20 * time.Second
	writeTimeout  = 60 * time.Second
	idleTimeout   = 2 * time.Minute
	sqlTimeout    = 50 * time.Second
)

// New opens the folder and begins to watch it. Close ends that.
func New(cfg Config) (*Server, error) {
	if cfg.Log == nil {
		cfg.Log = slog.New(slog.DiscardHandler)
	}
	s := &Server{cfg: cfg, hub: newHub(), cache: newCache(256), answers: sqlTimeout, checks: sync.OnceValue(report.VerifyAll), arranged: sync.OnceValue(makeGallery)}
	var err error
	if s.folder, err = openFolder(cfg.Folder, s.hub.tell); err != nil {
		return nil, err
	}
	s.cfg.Folder = s.folder.dir // which stays right when the folder that the process stands in is moved
	mux := http.NewServeMux()
	s.register(mux)
	mux.Handle("/", newFront(cfg.Front))
	s.handler = s.door(mux)
	ctx, stop := context.WithCancel(context.Background())
	s.life, s.stop = ctx, stop
	s.doubted.behind = &s.behind
	s.behind.Go(func() {
		s.folder.watch(ctx, func(err error) {
			cfg.Log.Warn("the system does not tell of changes; looking every two seconds instead", "reason", err)
		})
	})
	s.behind.Go(func() { _, _ = s.lineUp() }) // evaluated before the browser asks
	return s, nil
}

// Handler answers every request.
func (s *Server) Handler() http.Handler { return s.handler }

// HTTP returns an HTTP server with the limits of this one.
func (s *Server) HTTP() *http.Server {
	h := &http.Server{
		Handler: s.handler, ReadHeaderTimeout: headerTimeout, ReadTimeout: readTimeout, WriteTimeout: writeTimeout,
		IdleTimeout: idleTimeout, MaxHeaderBytes: 64 << 10,
		ErrorLog: slog.NewLogLogger(s.cfg.Log.Handler(), slog.LevelDebug),
	}
	h.RegisterOnShutdown(s.hub.close) // event streams end, so that Shutdown does not wait for them
	return h
}

// Close ends the watching and what is computed in the background, and closes the folder. A save that runs is finished first.
func (s *Server) Close() error {
	s.stop()
	s.behind.Wait()
	s.hub.close()
	s.folder.mu.Lock()
	defer s.folder.mu.Unlock()
	return s.folder.root().Close()
}
