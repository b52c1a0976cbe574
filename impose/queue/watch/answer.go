package watch

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
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
	When   string   `json:"when"`
}

// The endings of answers.
const (
	jsonEnd    = ".answer.json"
	doneEnd    = ".done.txt"
	refusedEnd = ".refused.txt"
)

func isAnswer(path string) bool {
	for _, end := range []string{jsonEnd, doneEnd, refusedEnd, Ready} {
		if strings.HasSuffix(path, end) {
			return true
		}
	}
	return false
}

// answered reports whether a file has its answer.
func answered(path, sum string) bool {
	data, err := os.ReadFile(path + jsonEnd)
	if err != nil {
		return false
	}
	var a Answer
	return json.Unmarshal(data, &a) == nil && a.Schema == Schema && a.SHA256 == sum
}

// errChanged says that a file was written to while it was done.
var errChanged = errors.New("it was changed while it was done")

// one claims a file, does it and answers it.
func (w *Watcher) one(ctx context.Context, it *Item) error {
	sum, err := wholefile.SHA256(it.Path)
	if err != nil {
		return err
	}
	it.SHA256 = sum
	s := w.seen[it.Path]
	if answered(it.Path, sum) {
		s.answered = true
		return nil
	}
	c, err := claimFile(w.In, it.Name)
	if err != nil || c == nil {
		return err
	}
	defer c.release()
	if answered(it.Path, sum) { // by another watcher, just now
		s.answered = true
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
	case kind == say.Away || kind == say.Disk || errors.As(failed, new(*wholefile.DiskError)):
		return failed // not the file's fault
	}
	if again, err := wholefile.SHA256(it.Path); err != nil || again != sum {
		delete(w.seen, it.Path)
		return errChanged
	}
	if err := w.answer(it, done, failed); err != nil {
		return err
	}
	s.answered = true
	if failed != nil {
		w.Log.Info("answered a file", "file", it.Name, "sha256", sum, "refused", true, "reason", say.Clip(failed.Error(), 300))
	} else {
		w.Log.Info("answered a file", "file", it.Name, "sha256", sum, "refused", false)
	}
	return nil
}

// answer writes the text first: the JSON is what counts.
func (w *Watcher) answer(it *Item, done *Done, failed error) error {
	a := Answer{Schema: Schema, File: it.Name, SHA256: it.SHA256, State: "done", When: time.Now().UTC().Format(time.RFC3339)}
	text, end, other := "", doneEnd, refusedEnd
	if failed != nil {
		a.State, a.Reason, a.Way, a.Kind = "refused", failed.Error(), say.Hint(failed), say.KindOf(failed)
		text, end, other = "Refused: "+a.Reason+"\n", refusedEnd, doneEnd
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

func write(path, text string) error {
	_, err := wholefile.Write(path, wholefile.Options{}, func(w io.Writer) error { _, err := io.WriteString(w, text); return err })
	return err
}
