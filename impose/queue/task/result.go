package task

import (
	"errors"
	"fmt"
	"path/filepath"

	"quoin/impose/say"
)

// State is what became of a task.
type State string

// The states. A refusal is an answer: the work was done and its input found
// wanting, so nobody tries again.
const (
	Queued    State = "queued"
	Running   State = "running"
	Done      State = "done"
	Refused   State = "refused"
	SetAside  State = "set-aside" // failed three times; input and reason are kept
	Cancelled State = "cancelled"
)

// Result is the answer to a task.
type Result struct {
	Schema  string    `json:"schema"`
	ID      string    `json:"id"`
	State   State     `json:"state"`
	Files   []File    `json:"files,omitempty"` // in the order of Pack
	Pack    string    `json:"pack,omitempty"`  // SHA-256 of all files one behind the other; where they lie in the store
	Inline  []byte    `json:"inline,omitempty"`
	Output  []byte    `json:"output,omitempty"` // of its kind
	Refusal *Answered `json:"refusal,omitempty"`
	Tries   int       `json:"tries,omitempty"`
	Millis  int64     `json:"ms,omitempty"` // that the work took

	// For people.
	Worker string `json:"worker,omitempty"`
	Kind   Kind   `json:"kind,omitempty"`
	User   string `json:"user,omitempty"`
	Batch  string `json:"batch,omitempty"`
	Title  string `json:"title,omitempty"`
}

// Answer begins the answer to a task.
func (t *Task) Answer(s State) *Result {
	return &Result{Schema: ResultSchema, ID: t.ID, State: s, Kind: t.Kind, User: t.User, Batch: t.Batch, Title: t.Title}
}

// File is one file of a result.
type File struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
	Bytes  int64  `json:"bytes"`
}

// Answered is a refusal on its way: what an error says, without the error.
type Answered struct {
	Kind say.Kind `json:"kind,omitempty"`
	Text string   `json:"text"`
	Way  string   `json:"way,omitempty"`
}

// Answer returns an error as it travels. Hints stay beside the text, so that
// people read at the far end what they would have read here.
func Answer(err error) *Answered {
	return &Answered{Kind: say.KindOf(err), Text: ShortText(err.Error()), Way: ShortText(say.Hint(err))}
}

// Error returns the refusal as an error of the same kind and words.
func (a *Answered) Error() error { return &say.Refusal{Kind: a.Kind, Text: a.Text, Way: a.Way} }

// ParseResult reads a result that came from elsewhere.
func ParseResult(data []byte) (*Result, error) {
	var r Result
	if err := strict(data, &r); err != nil {
		return nil, fmt.Errorf("a result can't be read: %w", err)
	}
	switch {
	case r.Schema != ResultSchema:
		return nil, fmt.Errorf("a result has the form %.40q, and %s is known here", r.Schema, ResultSchema)
	case !IsID(r.ID):
		return nil, errors.New("a result names no task")
	case len(r.Files) > mostFiles || r.Pack != "" && !IsSum(r.Pack):
		return nil, fmt.Errorf("the result of %s names too many files, or an odd content", r.ID)
	case (r.State == Refused || r.State == SetAside) && r.Refusal == nil:
		return nil, fmt.Errorf("the result of %s is %s and says not why", r.ID, r.State)
	}
	for _, f := range r.Files {
		if f.Bytes < 0 || !IsSum(f.SHA256) || !plainName(f.Name) {
			return nil, fmt.Errorf("the result of %s names an odd file, %.40q", r.ID, f.Name)
		}
	}
	return &r, nil
}

// plainName reports whether a name is one of a file beside others.
func plainName(name string) bool {
	return name != "" && name != "." && name != ".." && filepath.Base(name) == name && filepath.IsLocal(name) && len(name) <= 255
}

// Bytes returns the size of all files together.
func (r *Result) Bytes() int64 {
	sum := int64(0)
	for _, f := range r.Files {
		sum += f.Bytes
	}
	return sum
}
