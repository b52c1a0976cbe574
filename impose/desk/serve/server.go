// Package serve is the desk's pages: it turns requests into edits of files and
// plans into pages and JSON. It holds no rule of the trade.
package serve

import (
	"context"
	"embed"
	"io/fs"
	"net/http"
	"os/exec"

	"quoin/impose/desk/folder"
	"quoin/impose/desk/worker"
	night "quoin/impose/night/plan"
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
	desk   *desk
	events *eventRoom
	mux    *http.ServeMux
	stop   context.CancelFunc
}

// desk is what all its rooms share, each of which answers the requests of one
// page: what lies open, what is under way, and how answers are given.
type desk struct {
	Options
	ctx      context.Context // until the desk is closed
	pool     *worker.Pool
	alike    *worker.Comparer
	benches  *benches
	pictures *pictures
	history  *history
	receipts receipts
	hub      *hub
	tasks    *tasks
	plans    *kept[*night.Plan]
}

// New prepares a desk.
func New(o Options) *Server {
	ctx, stop := context.WithCancel(context.Background())
	pool := &worker.Pool{Command: func() *exec.Cmd { return o.Program(ctx, o.Worker) }}
	by := &worker.Comparer{Pool: pool}
	d := &desk{Options: o, ctx: ctx, pool: pool, alike: by, benches: newBenches(o.Folder, by), pictures: newPictures(), history: newHistory(), receipts: receipts{o.Folder}, hub: newHub(), tasks: newTasks(), plans: newKept(keptPlans, func(*night.Plan) int { return 1 })}
	s := &Server{desk: d, events: &eventRoom{d}, mux: http.NewServeMux(), stop: stop}
	edits, stock := &edits{d}, &stockRoom{d}
	for _, r := range []interface{ routes(*http.ServeMux) }{s.events, stock, &jobsRoom{d, edits}, &jobRoom{d, edits}, &pictureRoom{d, newCards(d)}, &uploadRoom{d, edits}, &writeRoom{d, edits},
		&diesRoom{d}, &lookRoom{d, edits}, &nightRoom{d}, &recordRoom{d}, &materialRoom{d, stock}} {
		r.routes(s.mux)
	}
	schemaRoutes(s.mux)
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
	s.desk.tasks.close()
	s.desk.hub.close()
	s.desk.pool.Close()
	s.desk.benches.close()
}

// Watch looks for changes that others make in the folder while pages are open,
// until the desk is closed.
func (s *Server) Watch() { s.events.watch() }

// ServeHTTP answers a request that a guard has let through.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	s.mux.ServeHTTP(w, asked(r))
}
