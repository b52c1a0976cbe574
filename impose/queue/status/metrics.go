package status

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"time"

	"quoin/impose/queue"
	"quoin/impose/queue/work"
	"quoin/impose/say"
)

// Metrics writes the counters of a queue, and of a worker where there is one, in
// the text form that Prometheus reads (prometheus.io, "Exposition formats",
// version 0.0.4).
func Metrics(ctx context.Context, w io.Writer, l *queue.Line, worker *work.Worker) error {
	totals, err := readTotals(ctx, l)
	if err != nil {
		return queue.Words(err)
	}
	lanes, err := queue.Lanes(ctx, l)
	if err != nil {
		return queue.Words(err)
	}
	put := func(name, kind, help string, lines ...string) {
		fmt.Fprintf(w, "# HELP quoin_%s %s\n# TYPE quoin_%s %s\n", name, help, name, kind)
		for _, line := range lines {
			fmt.Fprintf(w, "quoin_%s%s\n", name, line)
		}
	}
	one := func(v any) string { return fmt.Sprintf(" %v", v) }
	var waiting, busy []string
	for _, lane := range lanes {
		labels := fmt.Sprintf(`{user="%s",priority="%d",engine="%s"}`, escape(lane.User), lane.Priority, escape(lane.Engine))
		waiting = append(waiting, labels+one(lane.Waiting))
		busy = append(busy, labels+one(lane.Busy))
	}
	put("tasks_waiting", "gauge", "Pieces that wait for a worker.", waiting...)
	put("tasks_busy", "gauge", "Pieces that are at a worker.", busy...)
	put("tasks_set_aside", "gauge", "Pieces that failed three times.", one(totals.SetAside))
	put("results", "gauge", "Results in the store.", one(totals.Results))
	put("store_bytes", "gauge", "Bytes that the queue's streams take.", one(totals.StoreBytes))
	if worker == nil {
		return nil
	}
	put("worker_pieces_total", "counter", "Pieces that this worker had, by what became of them.",
		`{state="done"}`+one(worker.Done.Load()), `{state="refused"}`+one(worker.Refused.Load()), `{state="failed"}`+one(worker.Failed.Load()),
		`{state="set_aside"}`+one(worker.SetAside.Load()), `{state="lacking"}`+one(worker.Lacking.Load()))
	put("worker_busy", "gauge", "Pieces that this worker is doing.", one(worker.Busy.Load()))
	put("worker_seconds_total", "counter", "Time that its pieces took.", one(float64(worker.Millis.Load())/1000))
	put("worker_cache_bytes", "gauge", "Bytes of contents that it keeps.", one(worker.Cache.Bytes()))
	return nil
}

// escape writes a label's value as the format has it.
func escape(s string) string {
	return strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`).Replace(s)
}

// Serve lets a monitor of this machine read /health and /metrics.
func Serve(l *queue.Line, worker *work.Worker, at string) (end func(), err error) {
	host, _, err := net.SplitHostPort(at)
	if ip := net.ParseIP(host); err != nil || host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return nil, say.Refuse(say.Usage, "write 127.0.0.1:9400; what others are to see goes through a server that asks who they are", "%q is no address of this machine only", at)
	}
	listen, err := net.Listen("tcp", at)
	if err != nil {
		return nil, err
	}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /health", func(w http.ResponseWriter, r *http.Request) {
		ctx, stop := context.WithTimeout(r.Context(), 3*time.Second)
		defer stop()
		if _, err := readTotals(ctx, l); err != nil {
			http.Error(w, "the queue does not answer", http.StatusServiceUnavailable)
			return
		}
		io.WriteString(w, "ok\n")
	})
	mux.HandleFunc("GET /metrics", func(w http.ResponseWriter, r *http.Request) {
		var b strings.Builder
		if err := Metrics(r.Context(), &b, l, worker); err != nil {
			http.Error(w, "the queue does not answer", http.StatusServiceUnavailable)
			return
		}
		w.Header().Set("Content-Type", "text/plain; version=0.0.4; charset=utf-8")
		io.WriteString(w, b.String())
	})
	s := &http.Server{Handler: mux, ReadHeaderTimeout: 5 * time.Second}
	go s.Serve(listen)
	return func() { s.Close() }, nil
}
