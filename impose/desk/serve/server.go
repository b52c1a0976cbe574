// Package serve is the desk's pages: it turns requests into edits of files and
// plans into pages and JSON. It holds no rule of the trade.
package serve

import (
	"context"
	"embed"
	"io/fs"
	"net/http"
	"os/exec"
	"sync"
	"time"

	"quoin/impose/desk/folder"
	"quoin/impose/desk/plan"
	"quoin/impose/desk/worker"
)

//go:embed pages
var pages embed.FS

// Options say what a desk works with.
type Options struct {
	Folder *folder.Folder
	// Program gives a command of quoin, with its arguments; it draws and writes in
	// processes of their own.
	Program func(ctx context.Context, args ...string) *exec.Cmd
	// Worker is the argument with which the program calls worker.Serve.
	Worker string
	// Partly is the exit code of a command that is done, but left something out: an
	// order of a night. 0 is none.
	Partly int
}

// Server is a desk. Close it after use.
type Server struct {
	Options
	pool     *worker.Pool
	pictures *pictures
	history  *history
	cards    *cards
	hub      *hub
	tasks    *tasks
	plans    *plans
	mux      *http.ServeMux
	ctx      context.Context
	stop     context.CancelFunc

	mu      sync.Mutex
	benches map[string]*bench
}

// bench is a job that is worked on.
type bench struct {
	*plan.Bench
	used  time.Time
	users int
}

// New prepares a desk.
func New(o Options) *Server {
	ctx, stop := context.WithCancel(context.Background())
	s := &Server{Options: o, pictures: newPictures(), history: newHistory(), cards: newCards(), hub: newHub(), tasks: newTasks(), plans: newPlans(),
		mux: http.NewServeMux(), ctx: ctx, stop: stop, benches: map[string]*bench{}}
	s.pool = &worker.Pool{Command: func() *exec.Cmd { return o.Program(ctx, o.Worker) }}
	for _, routes := range []func(){s.jobsRoutes, s.jobRoutes, s.pictureRoutes, s.uploadRoutes, s.writeRoutes, s.diesRoutes, s.lookRoutes, s.nightRoutes, s.variableRoutes, s.editRoutes, s.materialRoutes, s.schemaRoutes, s.eventRoutes} {
		routes()
	}
	assets, _ := fs.Sub(pages, "pages/assets")
	files := http.FileServerFS(assets)
	s.mux.HandleFunc("GET /assets/", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Cache-Control", "no-cache")
		http.StripPrefix("/assets/", files).ServeHTTP(w, r)
	})
	return s
}

// Close ends what is under way.
func (s *Server) Close() {
	s.stop()
	s.tasks.close()
	s.hub.close()
	s.pool.Close()
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, b := range s.benches {
		b.Close()
	}
}

// ServeHTTP answers a request that a guard has let through.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	s.mux.ServeHTTP(w, asked(r))
}

// mostBenches is how many jobs keep their artworks open.
const mostBenches = 6

// bench gives the bench of a job, and what to call when it is no longer needed.
func (s *Server) bench(path string) (*plan.Bench, func()) {
	s.mu.Lock()
	defer s.mu.Unlock()
	b := s.benches[path]
	if b == nil {
		b = &bench{Bench: plan.NewBench(s.Folder, path)}
		s.benches[path] = b
	}
	b.users++
	b.used = time.Now()
	for len(s.benches) > mostBenches {
		oldest := ""
		for p, o := range s.benches {
			if o.users == 0 && (oldest == "" || o.used.Before(s.benches[oldest].used)) {
				oldest = p
			}
		}
		if oldest == "" {
			break
		}
		s.benches[oldest].Close()
		delete(s.benches, oldest)
	}
	return b.Bench, func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		b.users--
	}
}
