package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"os/signal"
	"runtime"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/pflag"

	"quoin/impose/queue"
	"quoin/impose/queue/broker"
	"quoin/impose/queue/status"
	"quoin/impose/queue/work"
	"quoin/impose/say"
)

const queueExample = "quoin queue --store /var/lib/quoin"

var queueVerb = verb{
	name:    "queue",
	args:    "--store DIR [FLAGS]",
	short:   "run a queue that work is handed to: its broker, workers and watched folders",
	example: queueExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &serveFlags{}
		fs.StringVar(&v.broker.Store, "store", "", "`folder` that holds what waits and what is done")
		textVar(fs, "store-limit", "size", "most that the store may take, as 20GB (nine tenths of what the disk has free)", &v.limit)
		fs.IntVar(&v.broker.Port, "port", 4222, "port that others reach the queue at; 0 for a free one")
		fs.StringVar(&v.broker.Host, "host", "", "`address` of this machine that others reach it at (this machine only); needs --tls-cert, --tls-key and --users")
		fs.StringVar(&v.broker.Certificate, "tls-cert", "", "`FILE` with the broker's certificate, in PEM")
		fs.StringVar(&v.broker.Key, "tls-key", "", "`FILE` with its key")
		fs.StringVar(&v.broker.Authority, "tls-ca", "", "`FILE` of the certificates that sign those of a cluster's brokers")
		fs.StringVar(&v.broker.Users, "users", "", "`FILE` of who may use the queue; --add-user writes it")
		fs.StringVar(&v.addUser, "add-user", "", "add a user of this `NAME` to the file behind --users, write NAME:PASSWORD into a file beside it, and end")
		fs.StringVar(&v.broker.Cluster, "cluster", "", "`name` of the cluster that this broker stands in")
		fs.StringVar(&v.broker.Name, "name", "", "`name` of this broker in it")
		fs.StringVar(&v.broker.ClusterHost, "cluster-host", "", "`address` that the others reach it at (this machine only)")
		fs.IntVar(&v.broker.ClusterPort, "cluster-port", 6222, "`port` for that")
		fs.StringSliceVar(&v.broker.Routes, "peer", nil, "`host:port` of another broker of the cluster; once for each")
		v.work.add(fs, "workers", runtime.GOMAXPROCS(0), "pieces that are done at a time; 0: broker only")
		fs.StringVar(&v.lineUser, "queue-user", "", "`FILE` with NAME:PASSWORD that its own workers use, where there are users")
		fs.StringArrayVar(&v.watched, "watch", nil, "watch a folder and do what is put into it, as quoin watch does: `IN=OUT`; once for each")
		return v.run
	},
}

// serveFlags are the flags of quoin queue.
type serveFlags struct {
	broker            broker.Options
	limit             byteSize
	addUser, lineUser string
	work              workFlags
	watched           []string
}

// watch begins to watch the folders, whose work goes to the queue at url.
func (f *serveFlags) watch(ctx context.Context, io streams, url string) error {
	for _, pair := range f.watched {
		in, out, ok := strings.Cut(pair, "=")
		if !ok || in == "" || out == "" {
			return usagef("--watch %s names no two folders", "write IN=OUT", pair)
		}
		v := &watchFlags{out: out, every: 2 * time.Second, still: 5 * time.Second, atOnce: watchedAtOnce, logJSON: f.work.logJSON}
		v.queue.queue, v.queue.user, v.queue.authority, v.queue.priority = url, f.lineUser, f.broker.Authority, "normal"
		w, err := v.watcher(io, in)
		if err != nil {
			return err
		}
		go w.Run(ctx)
	}
	return nil
}

// usesQueue reports whether the process is more than a broker.
func (f *serveFlags) usesQueue() bool {
	return f.work.slots > 0 || len(f.watched) > 0 || f.work.monitor != ""
}

func (f *serveFlags) run(ctx context.Context, io streams, args []string) error {
	switch {
	case len(args) > 0:
		return usagef("%q is no flag", "as in: "+queueExample, args[0])
	case f.work.slots < 0:
		return usagef("--workers %d is less than none", "give 0 for a broker only", f.work.slots)
	case f.addUser != "":
		own, err := broker.AddUser(f.broker.Users, f.addUser)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(io.out, "%s\n", own)
		return err
	}
	f.broker.Listen, f.broker.MostBytes = true, int64(f.limit)
	log := newLog(io, f.work.logJSON)
	b, err := broker.Start(f.broker)
	if err != nil {
		return err
	}
	defer b.Close()
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	go untilBroken(ctx, b, stop)
	// First of all the address, so that whoever started this can read it.
	if _, err := fmt.Fprintln(io.out, b.URL()); err != nil {
		return err
	}
	if !f.usesQueue() {
		return errors.Join(f.work.serve(ctx, nil, log), brokenBy(ctx))
	}
	line, err := queue.Inside(ctx, b, f.lineUser)
	if err != nil {
		return err
	}
	defer line.Close()
	if err := f.watch(ctx, io, b.URL()); err != nil {
		return err
	}
	return errors.Join(f.work.serve(ctx, line, log), brokenBy(ctx))
}

// untilBroken ends a queue whose store can't be written any more.
func untilBroken(ctx context.Context, b *broker.Broker, stop context.CancelCauseFunc) {
	t := time.NewTicker(time.Second)
	defer t.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-t.C:
			if err := b.Broken(); err != nil {
				stop(err)
				return
			}
		}
	}
}

// brokenBy returns what ended a queue, where that was not a person.
func brokenBy(ctx context.Context) error {
	if err := context.Cause(ctx); say.KindOf(err) == say.Disk {
		return err
	}
	return nil
}

const workExample = "quoin work --queue nats://127.0.0.1:4222"

var workVerb = verb{
	name:    "work",
	args:    "--queue URL [FLAGS]",
	short:   "join a queue as a worker, from any machine",
	example: workExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &joinFlags{}
		v.line.add(fs)
		v.work.add(fs, "workers", runtime.GOMAXPROCS(0), "pieces that are done at a time")
		return v.run
	},
}

// joinFlags are the flags of quoin work.
type joinFlags struct {
	line lineFlags
	work workFlags
}

func (f *joinFlags) run(ctx context.Context, io streams, args []string) error {
	switch {
	case len(args) > 0:
		return usagef("%q is no flag", "as in: "+workExample, args[0])
	case f.work.slots < 1:
		return usagef("a worker of no pieces does nothing", "give --workers at least 1")
	case f.line.queue == "" || namesFolder(f.line.queue):
		return usagef("the queue's address is missing", "as in: "+workExample)
	}
	log := newLog(io, f.work.logJSON)
	line, err := f.line.connect(ctx, "quoin work", log)
	if err != nil {
		return err
	}
	defer line.Close()
	return f.work.serve(ctx, line, log)
}

// workFlags are those of whoever does pieces.
type workFlags struct {
	slots     int64
	time      time.Duration
	memory    byteSize
	cache     string
	cacheSize byteSize
	logJSON   bool
	monitor   string
}

func (f *workFlags) add(fs *pflag.FlagSet, name string, slots int, help string) {
	f.memory, f.cacheSize = 4e9, 4e9
	fs.Int64Var(&f.slots, name, int64(slots), help)
	fs.DurationVar(&f.time, "piece-time", time.Hour, "most time of one piece; it is ended then, and tried again")
	textVar(fs, "piece-memory", "size", "most memory of one piece", &f.memory)
	fs.StringVar(&f.cache, "cache", "", "`folder` that keeps artworks from one start to the next, of one worker only (a new one)")
	textVar(fs, "cache-size", "size", "most that it takes", &f.cacheSize)
	fs.BoolVar(&f.logJSON, "log-json", false, "write the log as JSON, a line for each event")
	fs.StringVar(&f.monitor, "monitor", "", "`host:port` of this machine at which a monitor reads /health and /metrics (none)")
}

// serve works until it is interrupted: the first time it finishes what it has
// begun, the second time it stops at once. Without a line it only waits.
func (f *workFlags) serve(ctx context.Context, l *queue.Line, log *slog.Logger) error {
	if l == nil {
		<-ctx.Done()
		return nil
	}
	var worker *work.Worker
	hard, stop := context.WithCancel(context.WithoutCancel(ctx))
	defer stop()
	var ended <-chan struct{}
	if f.slots > 0 {
		var err error
		ended, err = beginWork(hard, l, workOptions{
			slots: int(f.slots), time: f.time, memory: int64(f.memory), cache: f.cache, cacheBytes: int64(f.cacheSize), log: log, drain: ctx.Done(),
			started: func(w *work.Worker) { worker = w },
		})
		if err != nil {
			return err
		}
	}
	if f.monitor != "" {
		end, err := status.Serve(l, worker, f.monitor)
		if err != nil {
			return err
		}
		defer end()
	}
	if ended == nil {
		<-ctx.Done()
		return nil
	}
	again := make(chan os.Signal, 1)
	select {
	case <-ended: // it was told to
		return nil
	case <-ctx.Done():
		signal.Notify(again, os.Interrupt, syscall.SIGTERM)
		log.Info("finishing what is begun; once more stops at once")
	}
	select {
	case <-ended:
	case <-again:
		stop()
		<-ended
	}
	return nil
}
