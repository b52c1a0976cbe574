package work_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"quoin/geometry/trials"
	"quoin/impose/queue"
	"quoin/impose/queue/blob"
	"quoin/impose/queue/broker"
	"quoin/impose/queue/hand"
	"quoin/impose/queue/status"
	"quoin/impose/queue/task"
	"quoin/impose/queue/work"
	"quoin/impose/say"
	"quoin/impose/witness/schemas"
)

// TestMain lets this binary be the process that does pieces.
func TestMain(m *testing.M) {
	if os.Getenv("QUOIN_TEST_PIECES") != "" {
		work.Serve(context.Background(), os.Stdin, os.Stdout, trouble)
		os.Exit(1)
	}
	os.Setenv("QUOIN_TEST_PIECES", "1") // for those that it starts
	trials.SideBySide(8)
	os.Exit(m.Run())
}

// trouble does what its input says.
func trouble(ctx context.Context, t *task.Task, _ map[string]string, dir string) (*work.Answer, error) {
	var what string
	json.Unmarshal(t.Input, &what)
	switch what {
	case "hang":
		select {}
	case "grow":
		var all [][]byte
		for {
			b := make([]byte, 16<<20)
			for i := 0; i < len(b); i += 4096 {
				b[i] = 1
			}
			all = append(all, b)
			runtime.KeepAlive(all)
			time.Sleep(5 * time.Millisecond)
		}
	case "crash":
		panic("out of ink")
	}
	return &work.Answer{Output: []byte(what)}, nil
}

// bench is a queue in this process.
type bench struct {
	*testing.T
	line  *queue.Line
	store *blob.Store
	log   *safeBuffer
}

type safeBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *safeBuffer) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *safeBuffer) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}

func openLine(tb testing.TB, o broker.Options) *queue.Line {
	tb.Helper()
	o.Store = tb.TempDir()
	b, err := broker.Start(o)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(b.Close)
	l, err := queue.Inside(tb.Context(), b, "")
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(l.Close)
	return l
}

func newBench(t *testing.T) *bench {
	l := openLine(t, broker.Options{})
	return &bench{t, l, blob.New(l), &safeBuffer{}}
}

// worker starts one of so many slots.
func (b *bench) worker(engine string, slots int, d func() work.Doer, limit time.Duration) *work.Worker {
	b.Helper()
	return startWorker(b, b.line, engine, slots, d, limit, slog.New(slog.NewTextHandler(b.log, nil)))
}

func startWorker(tb testing.TB, l *queue.Line, engine string, slots int, d func() work.Doer, limit time.Duration, log *slog.Logger) *work.Worker {
	tb.Helper()
	store := blob.New(l)
	cache, err := blob.NewCache(store, tb.TempDir(), 1<<20, 1<<30)
	if err != nil {
		tb.Fatal(err)
	}
	w := work.New(l, work.Options{Engine: engine, Slots: slots, Cache: cache, Store: store, Doer: d, Time: limit, Log: log})
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan struct{})
	go func() { defer close(ended); w.Run(ctx) }()
	tb.Cleanup(func() { stop(); <-ended })
	return w
}

func (b *bench) hander(user string, priority int) *hand.Hander {
	b.Helper()
	h, err := hand.New(b.Context(), b.line, hand.Options{Engine: "one", User: user, Priority: priority, Batch: "tests"})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(h.Close)
	return h
}

func said(what string) *task.Task {
	input, _ := json.Marshal(what)
	return &task.Task{Kind: task.Search, Title: what, Input: input}
}

// inProcess lets a function of this process do the pieces.
func inProcess(d work.Do) func() work.Doer { return func() work.Doer { return here(d) } }

type here work.Do

func (h here) Do(ctx context.Context, t *task.Task, lies map[string]string, dir string) (*work.Answer, error) {
	return h(ctx, t, lies, dir)
}

func (here) Close() {}

// TestThirdFailureIsSetAside: a piece that fails is tried three times, set aside
// with its reason and its input, and done once it is retried and can be.
func TestThirdFailureIsSetAside(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	var mu sync.Mutex
	tries, mended := 0, false
	b.worker("one", 1, inProcess(func(_ context.Context, t *task.Task, _ map[string]string, _ string) (*work.Answer, error) {
		mu.Lock()
		defer mu.Unlock()
		if tries++; !mended {
			return nil, errors.New("the disk is on fire")
		}
		return &work.Answer{Output: []byte("whole")}, nil
	}), time.Minute)
	h := b.hander("ann", task.Normal)
	_, err := h.Do(t.Context(), said("piece"), nil)
	if say.KindOf(err) != say.Away || !strings.Contains(err.Error(), "failed 3 times") || !strings.Contains(err.Error(), "on fire") || tries != 3 {
		t.Fatalf("after %d tries: %v", tries, err)
	}
	list, err := status.Read(t.Context(), b.line, false)
	if err != nil || len(list.Tasks) != 1 {
		t.Fatalf("%+v, %v", list, err)
	}
	if one := list.Tasks[0]; one.State != task.SetAside || one.Tries != 3 || !strings.Contains(one.Reason, "on fire") || one.Kind != task.Search {
		t.Errorf("%+v", one)
	}
	mu.Lock()
	mended = true
	mu.Unlock()
	if err := status.Retry(t.Context(), b.line, list.Tasks[0].ID); err != nil {
		t.Fatal(err)
	}
	got, err := h.Do(t.Context(), said("piece"), nil)
	if err != nil || string(got.Output) != "whole" {
		t.Errorf("retried: %+v, %v", got, err)
	}
}

// TestFailedPieceIsPassedOn: what fails at one worker, as for want of a renderer, is
// done by another, and the try that failed is counted.
func TestFailedPieceIsPassedOn(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	bad := b.worker("one", 2, inProcess(func(context.Context, *task.Task, map[string]string, string) (*work.Answer, error) {
		return nil, errors.New("the renderer does not start")
	}), time.Minute)
	h := b.hander("ann", task.Normal)
	came := make(chan error, 1)
	go func() { _, err := h.Do(t.Context(), said("piece"), nil); came <- err }()
	for bad.Failed.Load() == 0 {
		time.Sleep(5 * time.Millisecond)
	}
	last := make(chan bool, 1)
	good := b.worker("one", 1, inProcess(func(ctx context.Context, _ *task.Task, _ map[string]string, _ string) (*work.Answer, error) {
		last <- work.LastTry(ctx)
		return &work.Answer{}, nil
	}), time.Minute)
	if err := <-came; err != nil || good.Done.Load() != 1 || bad.Failed.Load() != 1 || <-last {
		t.Errorf("%v; the good worker did %d, the bad one failed %d times", err, good.Done.Load(), bad.Failed.Load())
	}
	if s, err := queue.StateOf(t.Context(), b.line, b.only()); err != nil || s.Tries != 1 || !strings.Contains(s.Reason, "renderer") {
		t.Errorf("it is noted as %+v (%v)", s, err)
	}
}

// only returns the id of the only task that is known.
func (b *bench) only() string {
	b.Helper()
	list, err := status.Read(b.Context(), b.line, true)
	if err != nil || len(list.Tasks) != 1 {
		b.Fatalf("%+v, %v", list, err)
	}
	return list.Tasks[0].ID
}

// TestCancelEndsAPieceEverywhere cancels one that is being done.
func TestCancelEndsAPieceEverywhere(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	began, ended := make(chan string, 1), make(chan error, 1)
	b.worker("one", 1, inProcess(func(ctx context.Context, t *task.Task, _ map[string]string, _ string) (*work.Answer, error) {
		began <- t.ID
		<-ctx.Done()
		ended <- context.Cause(ctx)
		return nil, ctx.Err()
	}), time.Minute)
	h := b.hander("ann", task.Normal)
	failed := make(chan error, 1)
	go func() { _, err := h.Do(t.Context(), said("long"), nil); failed <- err }()
	id := <-began
	if err := status.Cancel(t.Context(), b.line, &status.Task{ID: id}); err != nil {
		t.Fatal(err)
	}
	if err := <-failed; err == nil || !strings.Contains(err.Error(), "cancelled") {
		t.Errorf("who waits is told %v", err)
	}
	<-ended
}

// TestRushGoesFirstAndUsersShare lets one slot work off what two users want, one of
// them far more, and a rush piece.
func TestRushGoesFirstAndUsersShare(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	var mu sync.Mutex
	var order []string
	gate := make(chan struct{})
	b.worker("one", 1, inProcess(func(_ context.Context, t *task.Task, _ map[string]string, _ string) (*work.Answer, error) {
		if t.Title == "first" {
			<-gate
		} else {
			time.Sleep(20 * time.Millisecond)
		}
		mu.Lock()
		defer mu.Unlock()
		order = append(order, t.Title)
		return &work.Answer{}, nil
	}), time.Minute)
	var all sync.WaitGroup
	ask := func(h *hand.Hander, name string) {
		all.Go(func() {
			if _, err := h.Do(t.Context(), said(name), nil); err != nil {
				t.Error(err)
			}
		})
	}
	ann, bob, rush := b.hander("ann", task.Normal), b.hander("bob", task.Normal), b.hander("cid", task.Rush)
	ask(ann, "first")
	time.Sleep(300 * time.Millisecond)
	for i := range 20 {
		ask(ann, fmt.Sprint("ann ", i))
	}
	time.Sleep(300 * time.Millisecond)
	for i := range 4 {
		ask(bob, fmt.Sprint("bob ", i))
	}
	ask(rush, "rush")
	time.Sleep(700 * time.Millisecond)
	close(gate)
	all.Wait()
	at := map[string]int{}
	for i, name := range order {
		at[name] = i
	}
	if at["rush"] != 1 {
		t.Errorf("the rush piece comes as number %d: %q", at["rush"], order)
	}
	last := 0
	for i := range 4 {
		last = max(last, at[fmt.Sprint("bob ", i)])
	}
	if last > 12 {
		t.Errorf("bob's four pieces wait for ann's twenty: %q", order)
	}
}

// TestOtherVersionTakesNothing: a worker of another version leaves the pieces and
// says so; one of the same takes them.
func TestOtherVersionTakesNothing(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	other := b.worker("two", 1, inProcess(trouble), time.Minute)
	h := b.hander("ann", task.Normal)
	got := make(chan error, 1)
	go func() { _, err := h.Do(t.Context(), said("piece"), nil); got <- err }()
	for end := time.Now().Add(10 * time.Second); !strings.Contains(b.log.String(), "another version"); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("nothing is said of it: %s", b.log.String())
		}
	}
	b.worker("one", 1, inProcess(trouble), time.Minute)
	if err := <-got; err != nil || other.Done.Load() != 0 {
		t.Errorf("%v; the other version did %d", err, other.Done.Load())
	}
}

// TestPiecesAreLimited: a piece that hangs, one that grows and one that crashes are
// ended, set aside with the reason, and take nothing with them.
func TestPiecesAreLimited(t *testing.T) {
	t.Parallel()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for what, c := range map[string]struct {
		most time.Duration // enough on any machine, where time is not what ends it
		want string
	}{"hang": {300 * time.Millisecond, "more than 300ms"}, "grow": {time.Minute, "MB of memory"}, "crash": {time.Minute, "out of ink"}} {
		if what == "grow" && !haveProc() {
			continue
		}
		t.Run(what, func(t *testing.T) {
			t.Parallel()
			b := newBench(t)
			b.worker("one", 1, func() work.Doer { return &work.Process{Command: []string{self}, Memory: 256 << 20} }, c.most)
			h := b.hander("ann", task.Normal)
			if _, err := h.Do(t.Context(), said(what), nil); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%s ends with %v, want %q", what, err, c.want)
			}
			if got, err := h.Do(t.Context(), said("well"), nil); what != "hang" && (err != nil || string(got.Output) != "well") {
				t.Errorf("after it: %v", err)
			}
		})
	}
}

func haveProc() bool { _, err := os.Stat("/proc/self/statm"); return err == nil }

func sendBytes(t *testing.T, s *blob.Store, data []byte) (string, error) {
	sum := fmt.Sprintf("%x", sha256.Sum256(data))
	return sum, s.Send(t.Context(), sum, func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(data)), nil })
}

// TestFullStoreSaysSo fills a store of a few megabytes.
func TestFullStoreSaysSo(t *testing.T) {
	t.Parallel()
	l := openLine(t, broker.Options{MostBytes: 4 << 20})
	s := blob.New(l)
	var err error
	for i := range 12 {
		data := bytes.Repeat([]byte{byte(i)}, 1<<20)
		if _, err = sendBytes(t, s, data); err != nil {
			break
		}
	}
	if err == nil || !strings.Contains(err.Error(), "store is full") || !strings.Contains(say.Hint(err), "--store-limit") {
		t.Errorf("a full store says %v (%s)", err, say.Hint(err))
	}
}

// TestFullStoreEndsWhoWaits: a worker that finds no room for a result tells who
// waits for it, who would wait for good.
func TestFullStoreEndsWhoWaits(t *testing.T) {
	t.Parallel()
	l := openLine(t, broker.Options{MostBytes: 4 << 20})
	b := &bench{t, l, blob.New(l), &safeBuffer{}}
	b.worker("one", 1, inProcess(func(_ context.Context, _ *task.Task, _ map[string]string, dir string) (*work.Answer, error) {
		return &work.Answer{Files: []string{"big"}}, os.WriteFile(dir+"/big", make([]byte, 9<<20), 0o666)
	}), time.Minute)
	_, err := b.hander("ann", task.Normal).Do(t.Context(), said("piece"), nil)
	if say.KindOf(err) != say.Disk || !strings.Contains(err.Error(), "store is full") || !strings.Contains(say.Hint(err), "--store-limit") {
		t.Errorf("it ends with %v (%s)", err, say.Hint(err))
	}
}

// TestContentsComeWhole sends contents of several sizes once, has them in a cache
// that holds two of them, and refuses what is larger than allowed.
func TestContentsComeWhole(t *testing.T) {
	t.Parallel()
	l := openLine(t, broker.Options{})
	s := blob.New(l)
	cache, err := blob.NewCache(s, t.TempDir(), 5<<20, 8<<20)
	if err != nil {
		t.Fatal(err)
	}
	for i, n := range []int{0, 1, 1 << 20, 1<<20 + 1, 3 << 20, 2 << 20} {
		data := bytes.Repeat([]byte{byte('a' + i)}, n)
		sum, err := sendBytes(t, s, data)
		if err != nil {
			t.Fatal(err)
		}
		path, release, err := cache.Hold(t.Context(), sum)
		if err != nil {
			t.Fatal(err)
		}
		got, err := os.ReadFile(path)
		if err != nil || !bytes.Equal(got, data) {
			t.Errorf("%d bytes come as %d: %v", n, len(got), err)
		}
		release()
		if held := cache.Bytes(); held > 5<<20 {
			t.Errorf("the cache holds %d bytes", held)
		}
	}
	big, err := sendBytes(t, s, make([]byte, 9<<20))
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := cache.Hold(t.Context(), big); err == nil || !strings.Contains(err.Error(), "larger") {
		t.Errorf("nine megabytes: %v", err)
	}
	if err := s.Fetch(t.Context(), strings.Repeat("0", 64), 10, io.Discard); !errors.Is(err, blob.ErrMissing) {
		t.Errorf("what was never sent: %v", err)
	}
}

// TestMessagesKeepTheirSchema proves what is sent against the schemas, and that
// what breaks them is refused.
func TestMessagesKeepTheirSchema(t *testing.T) {
	t.Parallel()
	tasks, results := schemas.File(t, "../task/schema/task.schema.json"), schemas.File(t, "../task/schema/result.schema.json")
	valid := func(s *jsonschema.Schema, v any) error {
		data, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		return s.Validate(doc)
	}
	one := said("piece")
	one.Engine, one.User, one.Priority, one.Files = "one", "ann", 5, map[string]string{"a.pdf": strings.Repeat("a", 64)}
	if err := one.Seal(); err != nil {
		t.Fatal(err)
	}
	if err := valid(tasks, one); err != nil {
		t.Error(err)
	}
	data, _ := json.Marshal(one)
	if back, err := task.Parse(data); err != nil || back.ID != one.ID {
		t.Errorf("%v", err)
	}
	for _, spoil := range []func(*task.Task){
		func(t *task.Task) { t.ID = strings.Repeat("0", 32) }, func(t *task.Task) { t.Priority = 10 }, func(t *task.Task) { t.Files["b"] = "../../etc" },
		func(t *task.Task) { t.Schema = "quoin/task/2" }, func(t *task.Task) { t.User = "" }, func(t *task.Task) { t.Input = json.RawMessage(`"other"`) },
	} {
		bad := *one
		bad.Files = map[string]string{"a.pdf": strings.Repeat("a", 64)}
		spoil(&bad)
		data, _ := json.Marshal(bad)
		if _, err := task.Parse(data); err == nil {
			t.Errorf("%s is taken", data)
		}
	}
	r := task.Result{Schema: task.ResultSchema, ID: one.ID, State: task.Refused, Refusal: task.Answer(say.Refuse(say.NotFit, "use a wider web", "too wide"))}
	if err := valid(results, r); err != nil {
		t.Error(err)
	}
	if err := r.Refusal.Error(); say.KindOf(err) != say.NotFit || say.Hint(err) != "use a wider web" {
		t.Errorf("a refusal comes back as %v", err)
	}
	for _, name := range []string{"../up", "/root", "", "a/b", ".."} {
		bad := task.Result{Schema: task.ResultSchema, ID: one.ID, State: task.Done, Files: []task.File{{Name: name, SHA256: strings.Repeat("a", 64)}}}
		data, _ := json.Marshal(bad)
		if _, err := task.ParseResult(data); err == nil {
			t.Errorf("a result's file %q is taken", name)
		}
	}
}

// BenchmarkRatioSmallPieces prints how many pieces a second pass through a queue in one
// process that flushes each, with two slots.
func BenchmarkRatioSmallPieces(b *testing.B) {
	l := openLine(b, broker.Options{})
	startWorker(b, l, "one", 2, inProcess(func(_ context.Context, t *task.Task, _ map[string]string, _ string) (*work.Answer, error) {
		return &work.Answer{Output: t.Input}, nil
	}), time.Minute, slog.New(slog.DiscardHandler))
	h, err := hand.New(b.Context(), l, hand.Options{Engine: "one"})
	if err != nil {
		b.Fatal(err)
	}
	defer h.Close()
	room := make(chan struct{}, 256)
	var all sync.WaitGroup
	n := 0
	began := time.Now()
	for b.Loop() {
		room <- struct{}{}
		n++
		one := said(fmt.Sprint("piece ", n))
		all.Go(func() {
			defer func() { <-room }()
			if _, err := h.Do(b.Context(), one, nil); err != nil {
				b.Error(err)
			}
		})
	}
	all.Wait()
	b.ReportMetric(float64(n)/time.Since(began).Seconds(), "pieces/s")
}
