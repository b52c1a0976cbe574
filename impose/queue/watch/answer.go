package watch

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// Schema names the form of an answer.
const Schema = "quoin/answer/1"

// Answer is what stands beside a file once it was done or refused.
type Answer struct {
	Schema string   `json:"schema"`
	File   string   `json:"file"`
	SHA256 string   `json:"sha256"` // of the file as it was answered
	State  string   `json:"state"`  // done or refused
	Reason string   `json:"reason,omitempty"`
	Way    string   `json:"way,omitempty"`
	Kind   say.Kind `json:"kind,omitempty"` // of the refusal
	Files  []string `json:"files,omitempty"`
	Lacks  []string `json:"lacks,omitempty"` // paths of files that it names and that were not there: it is answered again when they come
	When   string   `json:"when"`
}

// The endings of answers.
const (
	jsonEnd    = ".answer.json"
	doneEnd    = ".done.txt"
	refusedEnd = ".refused.txt"
)

func isAnswer(path string) bool { return hasEnd(path, jsonEnd, doneEnd, refusedEnd, Ready) }

func hasEnd(path string, ends ...string) bool {
	return slices.ContainsFunc(ends, func(end string) bool { return strings.HasSuffix(path, end) })
}

// The states of an answer.
const (
	stateDone    = "done"
	stateRefused = "refused"
)

// answered reports whether a file has its answer, and what it lacked by that: once
// it is there, it has none.
func answered(path, sum string) (lacks []string, ok bool) {
	data, err := os.ReadFile(path + jsonEnd)
	if err != nil {
		return nil, false
	}
	var a Answer
	if json.Unmarshal(data, &a) != nil || a.Schema != Schema || a.SHA256 != sum || slices.ContainsFunc(a.Lacks, isThere) {
		return nil, false
	}
	return a.Lacks, true
}

// answered notes that a file has its answer, if it has.
func (w *Watcher) answered(it *Item, s *sight) bool {
	lacks, ok := answered(it.Path, it.SHA256)
	w.mu.Lock()
	defer w.mu.Unlock()
	if ok {
		s.answered, s.lacks = true, lacks
	}
	return ok
}

// errChanged says that a file was written to while it was done.
var errChanged = errors.New("it was changed while it was done")

// one claims a file, does it and answers it.
func (w *Watcher) one(ctx context.Context, it *Item) error {
	w.mu.Lock()
	s := w.sight(it.Path)
	w.mu.Unlock()
	sum, err := wholefile.SHA256(it.Path)
	if s == nil || err != nil {
		return err
	}
	it.SHA256 = sum
	if w.answered(it, s) {
		return nil
	}
	c, err := claimFile(w.In, it.Name)
	if err != nil {
		return err
	}
	if c == nil {
		w.unanswered.claimed()
		return nil
	}
	defer c.release()
	if w.answered(it, s) { // by another watcher, just now
		return nil
	}
	if err := os.MkdirAll(filepath.Dir(it.Out), 0o777); err != nil {
		return err
	}
	w.Log.Info("doing a file", "file", it.Name, "kind", string(it.Kind))
	done, failed := w.Do(ctx, it)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	switch kind := say.KindOf(failed); {
	case kind == say.Away || kind == say.Disk:
		return failed // not the file's fault
	}
	if again, err := wholefile.SHA256(it.Path); err != nil || again != sum {
		w.mu.Lock()
		defer w.mu.Unlock()
		delete(w.seen, it.Path)
		return errChanged
	}
	if err := w.answer(it, done, failed); err != nil {
		return err
	}
	w.answered(it, s)
	if failed != nil {
		w.Log.Info("answered a file", "file", it.Name, "sha256", sum, "refused", true, "reason", say.Clip(failed.Error(), 300))
	} else {
		w.Log.Info("answered a file", "file", it.Name, "sha256", sum, "refused", false)
	}
	return nil
}

// answer writes the text first: the JSON is what counts.
func (w *Watcher) answer(it *Item, done *Done, failed error) error {
	a := Answer{Schema: Schema, File: it.Name, SHA256: it.SHA256, State: stateDone, When: time.Now().UTC().Format(time.RFC3339)}
	text, end, other := "", doneEnd, refusedEnd
	if failed != nil {
		a.State, a.Reason, a.Way, a.Kind, a.Lacks = stateRefused, failed.Error(), say.Hint(failed), say.KindOf(failed), it.lacks()
		text, end, other = "Refused: "+a.Reason+"\n", refusedEnd, doneEnd
		switch {
		case len(a.Lacks) > 0:
			a.Way = strings.TrimPrefix(a.Way+"; once "+some(a.Lacks)+" is there, this is done by itself", "; ")
		case it.doubt:
			a.Way = strings.TrimPrefix(a.Way+"; if it is the records or the dies of a job, put the job file that names it beside it, and this refusal goes", "; ")
		}
		if a.Way != "" {
			text += "The way out: " + a.Way + "\n"
		}
	} else {
		a.Files = done.Files
		text = "Done: " + strings.Join(done.Files, ", ") + "\n"
		if done.Said != "" {
			text += "\n" + done.Said
		}
	}
	data, err := json.MarshalIndent(a, "", "  ")
	if err != nil {
		return err
	}
	if err := write(it.Path+end, text); err != nil {
		return err
	}
	if err := os.Remove(it.Path + other); err != nil && !os.IsNotExist(err) {
		return err
	}
	if err := write(it.Path+jsonEnd, string(data)+"\n"); err != nil {
		return err
	}
	if err := os.Remove(it.Path + Ready); err != nil && !os.IsNotExist(err) {
		return fmt.Errorf("the marker stays: %w", err)
	}
	return nil
}

// some names a few files.
func some(paths []string) string {
	var names []string
	for _, path := range paths[:min(3, len(paths))] {
		names = append(names, filepath.Base(path))
	}
	if n := len(paths) - len(names); n > 0 {
		names = append(names, say.Count(n, "other"))
	}
	return say.List(names)
}

func write(path, text string) error {
	_, err := wholefile.Write(path, wholefile.Options{}, func(w io.Writer) error { _, err := io.WriteString(w, text); return err })
	return err
}
