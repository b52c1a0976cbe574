package watch

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"quoin/impose/say"
)

// room is a folder that is watched, and what was done with its files.
type room struct {
	*testing.T
	*Watcher

	mu   sync.Mutex
	did  []string // names, in the order in which they were begun
	now  int      // being done
	most int
}

// watched watches a new folder; hold, when set, is what doing a file waits for.
func watched(t *testing.T, still time.Duration, atOnce int, hold func(ctx context.Context, it *Item) error) *room {
	t.Helper()
	r := &room{T: t}
	var err error
	r.Watcher, err = New(Options{In: t.TempDir(), Out: t.TempDir(), Every: 10 * time.Millisecond, Still: still, AtOnce: atOnce, Do: func(ctx context.Context, it *Item) (*Done, error) {
		r.mu.Lock()
		r.did, r.now = append(r.did, it.Name), r.now+1
		r.most = max(r.most, r.now)
		r.mu.Unlock()
		defer func() { r.mu.Lock(); r.now--; r.mu.Unlock() }()
		if hold != nil {
			if err := hold(ctx, it); err != nil {
				return nil, err
			}
		}
		return &Done{Files: []string{it.Name}}, nil
	}})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func (r *room) put(name, text string) {
	r.Helper()
	path := filepath.Join(r.In, filepath.FromSlash(name))
	os.MkdirAll(filepath.Dir(path), 0o777)
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		r.Fatal(err)
	}
}

// answer reads what stands beside a file; nil where nothing does.
func (r *room) answer(name string) *Answer {
	data, err := os.ReadFile(filepath.Join(r.In, name+jsonEnd))
	if err != nil {
		return nil
	}
	a := &Answer{}
	if err := json.Unmarshal(data, a); err != nil {
		r.Fatal(err)
	}
	return a
}

// until waits for something that must come; go test's own bound ends what does not.
func (r *room) until(there func() bool) {
	for !there() {
		time.Sleep(2 * time.Millisecond)
	}
}

func (r *room) run() {
	ctx, stop := context.WithCancel(r.Context())
	ended := make(chan struct{})
	go func() { defer close(ended); r.Watcher.Run(ctx) }()
	r.Cleanup(func() { stop(); <-ended })
}

const (
	orders  = "order,quantity,artwork\n1,900,\n"
	someJob = "web: 340mm\nartworks: [{file: art.pdf, quantity: 5}]\n"
)

// TestLongNightsHoldNoJobBack puts more nights into a folder than are done at a
// time, which don't end, and then a job of another customer.
func TestLongNightsHoldNoJobBack(t *testing.T) {
	t.Parallel()
	end := make(chan struct{})
	r := watched(t, 0, 3, func(ctx context.Context, it *Item) error {
		if it.long() {
			select {
			case <-end:
			case <-ctx.Done():
			}
		}
		return nil
	})
	for i := range 5 {
		r.put(fmt.Sprintf("a/night %d.csv", i), orders)
	}
	r.run()
	r.until(func() bool { r.mu.Lock(); defer r.mu.Unlock(); return len(r.did) == 2 })
	for i := range 4 {
		r.put(fmt.Sprintf("b/job %d.yaml", i), "artworks: []\n")
	}
	for i := range 4 {
		r.until(func() bool { return r.answer(fmt.Sprintf("b/job %d.yaml", i)) != nil })
	}
	close(end)
	for i := range 5 {
		r.until(func() bool { return r.answer(fmt.Sprintf("a/night %d.csv", i)) != nil })
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.most != 3 || len(r.did) != 9 {
		t.Errorf("%d at a time, 3 may be; done: %q", r.most, r.did)
	}
}

// TestFoldersTakeTurns wants the second customer's files between those of the first,
// who has many.
func TestFoldersTakeTurns(t *testing.T) {
	t.Parallel()
	step := make(chan struct{})
	r := watched(t, 0, 2, func(ctx context.Context, _ *Item) error {
		select {
		case <-step:
		case <-ctx.Done():
		}
		return nil
	})
	for i := range 6 {
		r.put(fmt.Sprintf("a/%d.yaml", i), "artworks: []\n")
	}
	for i := range 2 {
		r.put(fmt.Sprintf("b/%d.yaml", i), "artworks: []\n")
	}
	r.run()
	for i := range 8 {
		r.until(func() bool { r.mu.Lock(); defer r.mu.Unlock(); return len(r.did) >= min(i+2, 8) })
		step <- struct{}{}
	}
	r.until(func() bool { return !r.working() })
	r.mu.Lock()
	defer r.mu.Unlock()
	first := slices.Clone(r.did[:2])
	if slices.Sort(first); !slices.Equal(first, []string{"a/0.yaml", "b/0.yaml"}) || slices.Index(r.did, "b/1.yaml") > 4 {
		t.Errorf("done in this order: %q", r.did)
	}
}

// TestTableWaitsForItsJob puts records into the folder before the job that names
// them: they are no order list, and one that was refused as one is taken back.
func TestTableWaitsForItsJob(t *testing.T) {
	t.Parallel()
	records := "number\n1\n2\n"
	r := watched(t, 100*time.Millisecond, 2, func(_ context.Context, it *Item) error {
		if it.Kind == Orders {
			return say.Refuse(say.BadFile, "name the columns", "no column is called order")
		}
		return nil
	})
	r.run()
	r.put("early.csv", records)
	time.Sleep(150 * time.Millisecond) // unchanged for long enough to be whole, but not to be alone
	r.put("early.yaml", "artworks: []\ndata: {file: early.csv}\n")
	r.until(func() bool { return r.answer("early.yaml") != nil })
	r.put("late.csv", records)
	r.until(func() bool { return r.answer("late.csv") != nil })
	if a := r.answer("late.csv"); a.State != stateRefused || !strings.Contains(a.Way, "records") {
		t.Errorf("a table that nobody names is answered by %+v", a)
	}
	r.put("late.yaml", "artworks: []\ndata: {file: late.csv}\n")
	r.until(func() bool { return r.answer("late.yaml") != nil && r.answer("late.csv") == nil })
	if _, err := os.Stat(filepath.Join(r.In, "late.csv"+refusedEnd)); err == nil {
		t.Error("the refusal's text stays")
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if !slices.Equal(r.did, []string{"early.yaml", "late.csv", "late.yaml"}) {
		t.Errorf("done: %q", r.did)
	}
}

// TestJobWaitsForItsArtworks puts a job and an order list into the folder before
// what they name: they wait while it is written, are refused if it does not come,
// and done when it comes at last.
func TestJobWaitsForItsArtworks(t *testing.T) {
	t.Parallel()
	r := watched(t, 120*time.Millisecond, 2, nil)
	r.Do = func(do func(context.Context, *Item) (*Done, error)) func(context.Context, *Item) (*Done, error) {
		return func(ctx context.Context, it *Item) (*Done, error) {
			data, err := os.ReadFile(filepath.Join(filepath.Dir(it.Path), "art.pdf"))
			if err != nil {
				do(ctx, it)
				return nil, errors.New("art.pdf is not there")
			}
			if string(data) != "whole" {
				r.Errorf("%s was begun when its artwork was %q", it.Name, data)
			}
			return do(ctx, it)
		}
	}(r.Do)
	r.run()
	for _, name := range []string{"x/job.yaml", "y/list.csv"} {
		text := someJob
		if strings.HasSuffix(name, ".csv") {
			text = "order,quantity,artwork\n1,900,art.pdf\n"
		}
		art := filepath.Dir(name) + "/art.pdf"
		r.put(name, text)
		for i := range 6 { // it takes longer to come than the job waits for what is missing
			r.put(art, strings.Repeat("half", i+1))
			time.Sleep(80 * time.Millisecond)
		}
		r.put(art, "whole")
		r.until(func() bool { return r.answer(name) != nil })
		if a := r.answer(name); a.State != stateDone {
			t.Errorf("%s is answered by %+v", name, a)
		}
	}
	r.put("z/job.yaml", someJob)
	r.until(func() bool { return r.answer("z/job.yaml") != nil })
	if a := r.answer("z/job.yaml"); a.State != stateRefused || len(a.Lacks) != 1 || !strings.Contains(a.Way, "art.pdf") {
		t.Errorf("a job without its artwork is answered by %+v", a)
	}
	r.put("z/art.pdf", "whole")
	r.until(func() bool { a := r.answer("z/job.yaml"); return a != nil && a.State == stateDone })
	r.mu.Lock()
	defer r.mu.Unlock()
	if !slices.Equal(r.did, []string{"x/job.yaml", "y/list.csv", "z/job.yaml", "z/job.yaml"}) {
		t.Errorf("done: %q", r.did)
	}
}

// TestOnceEndsWhenAllIsAnswered lets a queue be away for the first tries, and wants
// the file answered by one call.
func TestOnceEndsWhenAllIsAnswered(t *testing.T) {
	t.Parallel()
	tries := 0
	r := watched(t, 10*time.Millisecond, 1, func(context.Context, *Item) error {
		if tries++; tries < 8 {
			return say.Refuse(say.Away, "", "the queue does not answer")
		}
		return nil
	})
	r.put("job.yaml", "artworks: []\n")
	if err := r.Once(t.Context()); err != nil {
		t.Fatal(err)
	}
	if a := r.answer("job.yaml"); a == nil || a.State != stateDone || tries != 8 {
		t.Errorf("after %d tries the answer is %+v", tries, a)
	}
}

// TestOnceWaitsForAnothersFile claims a file as another watcher does: what is there is
// not answered before that one gives it up.
func TestOnceWaitsForAnothersFile(t *testing.T) {
	t.Parallel()
	r := watched(t, 10*time.Millisecond, 1, func(context.Context, *Item) error { return nil })
	r.put("job.yaml", "artworks: []\n")
	c, err := claimFile(r.In, "job.yaml")
	if err != nil || c == nil {
		t.Fatal(c, err)
	}
	time.AfterFunc(500*time.Millisecond, c.release)
	if err := r.Once(t.Context()); err != nil {
		t.Fatal(err)
	}
	if a := r.answer("job.yaml"); a == nil || a.State != stateDone {
		t.Errorf("the answer is %+v", a)
	}
}
