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
	d.routes(s.mux, s.events)
	schemaRoutes(s.mux)
	assets, _ := fs.Sub(pages, "pages/assets")
	files := http.FileServerFS(assets)
	s.mux.HandleFunc("GET /assets/", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Cache-Control", "no-cache")
		http.StripPrefix("/assets/", files).ServeHTTP(w, r)
	})
	return s
}

// routes gives each request to the room that answers it.
func (d *desk) routes(mux *http.ServeMux, events *eventRoom) {
	edits, stock, dies, nights, records := &edits{d}, &stockRoom{d}, &diesRoom{d}, &nightRoom{d}, &recordRoom{d}
	jobs, one, drawn, uploads := &jobsRoom{d, edits}, &jobRoom{d, edits}, &pictureRoom{d, newCards(d)}, &uploadRoom{d, edits}
	written, look, materials := &writeRoom{d, edits}, &lookRoom{d, edits}, &materialRoom{d, stock}
	d.handle(mux, "GET /stock", stock.list)
	d.handle(mux, "GET /stock/{path...}", stock.getFile)
	d.handle(mux, "POST /stock/{path...}", posted(mostStock, stock.postFile))
	d.handle(mux, "GET /{$}", jobs.get)
	d.handle(mux, "GET /jobs", jobs.get)
	d.handle(mux, "POST /new", posted(mostRequest, jobs.postNew))
	d.handle(mux, "POST /copy/{path...}", jobs.postCopy)
	d.handle(mux, "GET /job/{path...}", d.ofJob(one.get))
	d.handle(mux, "POST /change/{path...}", posted(mostRequest, one.postChange))
	d.handle(mux, "POST /undo/{path...}", one.postUndo(false))
	d.handle(mux, "POST /redo/{path...}", one.postUndo(true))
	d.handle(mux, "GET /picture/{id}", drawn.get)
	d.handle(mux, "GET /card/{path...}", drawn.getCard)
	d.handle(mux, "GET /thumb/{path...}", drawn.getThumb)
	d.handle(mux, "POST /upload", uploads.post)
	d.handle(mux, "POST /lanes/{path...}", posted(mostRequest, uploads.postLanes))
	d.handle(mux, "GET /write/{path...}", d.ofJob(written.get))
	d.handle(mux, "POST /write/{path...}", posted(mostRequest, written.post))
	d.handle(mux, "GET /task/{id}", written.getTask)
	d.handle(mux, "POST /stop/{id}", written.postStop)
	d.handle(mux, "GET /files/{path...}", written.getFile)
	d.handle(mux, "GET /dies/{path...}", d.ofJob(dies.get))
	d.handle(mux, "GET /look/{path...}", d.ofJob(look.get))
	d.handle(mux, "GET /plate/{path...}", d.ofJob(look.getPlate))
	d.handle(mux, "GET /artwork/{path...}", look.getArtwork)
	d.handle(mux, "GET /again/{path...}", d.ofJob(look.getAgain))
	d.handle(mux, "POST /again/{path...}", posted(mostRequest, look.postAgain))
	d.handle(mux, "GET /nights", nights.list)
	d.handle(mux, "GET /night/{path...}", nights.get)
	d.handle(mux, "GET /night-plan/{path...}", nights.getPlan)
	d.handle(mux, "POST /night-plan/{path...}", posted(mostRequest, nights.postPlan))
	d.handle(mux, "POST /night-build/{path...}", posted(mostRequest, nights.postBuild))
	d.handle(mux, "GET /records/{path...}", d.ofJob(records.get))
	d.handle(mux, "GET /record-picture/{path...}", records.getPicture)
	d.handle(mux, "GET /materials", materials.get)
	d.handle(mux, "POST /materials/{path...}", posted(mostRequest, materials.post))
	d.handle(mux, "GET /events", events.get)
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
