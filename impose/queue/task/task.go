// Package task holds the messages that pass between those who hand work over and
// those who do it: tasks and results, each with a versioned JSON Schema beside it.
package task

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"
)

// The schemas that messages name, which stand in the folder schema. Keys may be
// added, never renamed or given another meaning.
const (
	TaskSchema   = "quoin/task/1"
	ResultSchema = "quoin/result/1"
)

// Kind is what a task asks for.
type Kind string

// The kinds.
const (
	Run     Kind = "run"     // build a run of a night: PDF, job sheet, summary
	Search  Kind = "search"  // go on with the search of one group of orders
	Part    Kind = "part"    // write a part of a variable run: press file and ledger
	Command Kind = "command" // carry out impose, again or verify over files of its own
)

// Priorities: the higher goes first.
const (
	Low    = 2
	Normal = 5
	Rush   = 8
)

// Task is one piece of work that any worker of the same engine can do to the same
// bytes.
type Task struct {
	Schema   string `json:"schema"`
	ID       string `json:"id"` // see Seal
	Kind     Kind   `json:"kind"`
	Engine   string `json:"engine"`          // the version that does it to these bytes
	User     string `json:"user"`            // whose it is, for fair shares
	Priority int    `json:"priority"`        // from 0 to 9
	Batch    string `json:"batch,omitempty"` // what it is a piece of, for people
	Title    string `json:"title,omitempty"` // for people
	// Files are the SHA-256 of contents by the names that the input calls them;
	// no name is a path that a worker opens.
	Files map[string]string `json:"files,omitempty"`
	Input json.RawMessage   `json:"input"` // of its kind
}

// Seal returns the task its id, which stands for all that its result depends on: the
// same work has the same id whoever asks for it.
func (t *Task) Seal() error {
	t.Schema = TaskSchema
	var input bytes.Buffer
	if err := json.Compact(&input, t.Input); err != nil {
		return fmt.Errorf("a task's input is no JSON: %w", err)
	}
	t.Input = input.Bytes()
	h := sha256.New()
	fmt.Fprintf(h, "%s\n%q %q\n%s\n", t.Schema, t.Kind, t.Engine, t.Input)
	for _, name := range slices.Sorted(maps.Keys(t.Files)) {
		fmt.Fprintf(h, "%q %s\n", name, t.Files[name])
	}
	t.ID = hex.EncodeToString(h.Sum(nil)[:16])
	return nil
}

var (
	isID  = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[0-9a-f]{32}$`) })
	isSum = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[0-9a-f]{64}$`) })
)

// IsID reports whether a text can be a task's id.
func IsID(text string) bool { return isID().MatchString(text) }

// IsSum reports whether a text can be the SHA-256 of a content.
func IsSum(text string) bool { return isSum().MatchString(text) }

// Bounds of a message: more is refused unread.
const (
	MostBytes = 4 << 20
	mostFiles = 10_000
	mostText  = 300
)

// Parse reads a task that came from elsewhere, and refuses what is not whole: also
// one whose id is not its own.
func Parse(data []byte) (*Task, error) {
	var t Task
	if err := strict(data, &t); err != nil {
		return nil, fmt.Errorf("a task can't be read: %w", err)
	}
	said := t.ID
	switch {
	case t.Schema != TaskSchema:
		return nil, fmt.Errorf("a task has the form %.40q, and %s is known here", t.Schema, TaskSchema)
	case t.Priority < 0 || t.Priority > 9:
		return nil, fmt.Errorf("task %.40q has the priority %d, which is not from 0 to 9", said, t.Priority)
	case len(t.Files) > mostFiles:
		return nil, fmt.Errorf("task %.40q names %d files, more than %d", said, len(t.Files), mostFiles)
	case t.Kind == "" || t.Engine == "" || t.User == "" || !wordly(string(t.Kind), t.Engine, t.User, t.Batch, t.Title):
		return nil, fmt.Errorf("task %.40q lacks its kind, engine or user, or has an odd one", said)
	}
	for name, sum := range t.Files {
		if !IsSum(sum) || name == "" {
			return nil, fmt.Errorf("task %.40q names a file without its SHA-256", said)
		}
	}
	if err := t.Seal(); err != nil {
		return nil, err
	}
	if t.ID != said {
		return nil, fmt.Errorf("task %.40q was changed on its way: it should be %s", said, t.ID)
	}
	return &t, nil
}

// strict decodes one JSON value of bounded size.
func strict(data []byte, v any) error {
	if len(data) > MostBytes {
		return fmt.Errorf("it has %d bytes, more than %d", len(data), MostBytes)
	}
	return json.Unmarshal(data, v)
}

func wordly(texts ...string) bool {
	return !slices.ContainsFunc(texts, func(s string) bool { return len(s) > mostText || !utf8.ValidString(s) })
}

var notToken = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`[^A-Za-z0-9_-]`) })

// Token returns a text as one part of a subject: its own letters and a sum of it
// where it holds others.
func Token(text string) string {
	plain := notToken().ReplaceAllString(text, "_")
	if plain == text && text != "" && len(text) <= 32 {
		return text
	}
	sum := sha256.Sum256([]byte(text))
	return plain[:min(len(plain), 16)] + "_" + hex.EncodeToString(sum[:4])
}

// Subject is where the task stands in the queue.
func (t *Task) Subject() string { return Lane(t.Engine, t.Priority, t.User) + "." + t.ID }

// Lane is the subject of the tasks of one engine, priority and user, without
// their ids.
func Lane(engine string, priority int, user string) string {
	return fmt.Sprintf("quoin.task.%s.%d.%s", EngineToken(engine), priority, Token(user))
}

// EngineToken stands for an engine in subjects.
func EngineToken(engine string) string {
	sum := sha256.Sum256([]byte(engine))
	return hex.EncodeToString(sum[:6])
}

// Short is how people see an id.
func Short(id string) string { return id[:min(len(id), 12)] }

// ShortText bounds a reason that came from elsewhere.
func ShortText(s string) string {
	s = strings.ToValidUTF8(s, "?")
	if len(s) > 4000 {
		s = strings.ToValidUTF8(s[:4000], "") + "..."
	}
	return s
}
