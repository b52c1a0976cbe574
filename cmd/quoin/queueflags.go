package main

import (
	"cmp"
	"context"
	"log/slog"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"quoin/impose/alike"
	"quoin/impose/miniature"
	"quoin/impose/night/build"
	"quoin/impose/plate"
	"quoin/impose/queue"
	"quoin/impose/queue/blob"
	"quoin/impose/queue/hand"
	"quoin/impose/queue/spread"
	"quoin/impose/queue/task"
	"quoin/impose/queue/work"
)

// lineFlags say how a queue is reached.
type lineFlags struct {
	queue, user, authority string
}

func (f *lineFlags) add(fs *pflag.FlagSet) {
	fs.StringVar(&f.queue, "queue", "", "`URL` of a queue that the work is handed to, as quoin queue prints it; several of a cluster with commas between; or a folder: a queue in this process")
	f.addUser(fs)
}

func (f *lineFlags) addUser(fs *pflag.FlagSet) {
	fs.StringVar(&f.user, "queue-user", "", "`FILE` with NAME:PASSWORD for the queue, which nobody else may read")
	fs.StringVar(&f.authority, "queue-ca", "", "`FILE` of the certificates that sign those of the queue's brokers (the system's)")
}

// connect reaches the queue, and tells the log what it waits for.
func (f *lineFlags) connect(ctx context.Context, as string, log *slog.Logger) (*queue.Line, error) {
	urls, err := queue.ParseURLs(f.queue)
	if err != nil {
		return nil, err
	}
	return queue.Connect(ctx, queue.Where{URLs: urls, User: f.user, Authority: f.authority, Name: as, Waits: func(text string) { log.Warn(text) }})
}

// queueFlags let a verb hand its work over.
type queueFlags struct {
	lineFlags
	priority string
}

func (f *queueFlags) add(fs *pflag.FlagSet) {
	f.lineFlags.add(fs)
	choiceVar(fs, &f.priority, "priority", "`normal`, rush: before all others', or low: after them", "normal", "rush", "low")
}

// queueFlagNames are those that change no byte of what is made.
var queueFlagNames = []string{"queue", "queue-user", "queue-ca", "priority", "ready-by"}

// hands opens the queue; nil where the work stays here.
func (f *queueFlags) hands(ctx context.Context, io streams, batch string) (*handed, error) {
	if f.queue == "" {
		return nil, nil
	}
	h := &handed{}
	log := slog.New(newPlainLog(io))
	var err error
	var broken func() error
	if namesFolder(f.queue) {
		here, err := queuesHere.open(ctx, f.queue, queueLog(ctx, log))
		if err != nil {
			return nil, err
		}
		broken = here.broker.Broken
		h.closers = append(h.closers, func() { queuesHere.leave(here) })
		if h.line, err = queue.Inside(ctx, here.broker, ""); err != nil {
			h.close()
			return nil, err
		}
	} else if h.line, err = f.connect(ctx, "quoin "+batch, log); err != nil {
		return nil, err
	}
	h.closers = append(h.closers, h.line.Close)
	priority := map[string]int{"normal": task.Normal, "rush": task.Rush, "low": task.Low}[f.priority]
	if h.Hander, err = hand.New(ctx, h.line, hand.Options{Engine: versionText(), Priority: priority, Batch: batch, Log: log, Broken: broken}); err != nil {
		h.close()
		return nil, err
	}
	h.closers = append(h.closers, h.Hander.Close)
	return h, nil
}

// handed is a queue that work is handed to.
type handed struct {
	*hand.Hander
	line    *queue.Line
	closers []func()
}

func (h *handed) close() {
	if h == nil {
		return
	}
	for i := len(h.closers) - 1; i >= 0; i-- {
		h.closers[i]()
	}
	h.closers = nil
}

// namesFolder tells a folder's name from an address.
func namesFolder(text string) bool {
	if strings.Contains(text, "://") {
		return false
	}
	info, err := os.Stat(text)
	return err == nil && info.IsDir() || strings.ContainsRune(text, os.PathSeparator)
}

// workOptions are those of the workers in a process.
type workOptions struct {
	slots      int
	cores      int // of each; 0: shared out
	time       time.Duration
	memory     int64
	cache      string
	cacheBytes int64
	log        *slog.Logger
	drain      <-chan struct{}
	started    func(*work.Worker)
}

// beginWork starts a worker; the channel is closed when it has ended.
func beginWork(ctx context.Context, l *queue.Line, o workOptions) (<-chan struct{}, error) {
	self, err := os.Executable()
	if err != nil {
		return nil, err
	}
	dir, temporary := o.cache, false
	if dir == "" {
		if dir, err = os.MkdirTemp("", "quoin-contents-"); err != nil {
			return nil, err
		}
		temporary = true
	} else if dir, err = filepath.Abs(dir); err != nil {
		return nil, err
	}
	store := blob.New(l)
	cache, err := blob.NewCache(store, dir, o.cacheBytes, 8<<30)
	if err != nil {
		return nil, err
	}
	o.cores = cmp.Or(o.cores, max(1, runtime.GOMAXPROCS(0)/max(o.slots, 1)))
	w := work.New(l, work.Options{
		Engine: versionText(), Slots: o.slots, Cache: cache, Store: store, Time: o.time, Log: o.log,
		Doer: func() work.Doer {
			return &work.Process{Command: []string{self, piecesVerb}, Memory: o.memory, Cores: o.cores}
		},
	})
	if o.started != nil {
		o.started(w)
	}
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		if temporary {
			defer os.RemoveAll(dir)
		}
		if o.drain != nil {
			go func() {
				select {
				case <-o.drain:
					w.Drain()
				case <-ended:
				}
			}()
		}
		w.Run(ctx)
	}()
	return ended, nil
}

// piecesVerb is how a worker calls this program to do its pieces. It is no verb
// for people.
const piecesVerb = "do-pieces"

// doPieces answers a worker until that ends.
func doPieces(ctx context.Context, io streams) error {
	painter := &miniature.Painter{Say: func(string) {}}
	defer painter.Close()
	meter := &plate.Meter{Say: func(string) {}, Cache: plate.UserCache()}
	defer meter.Close()
	finder := alike.New()
	defer finder.Close()
	return work.Serve(ctx, io.in, io.out, spread.Do(doCommand, build.Look{Pictures: painter.Labels, Ink: meter.Measure, Plates: meter.Find, Alike: finder}))
}
