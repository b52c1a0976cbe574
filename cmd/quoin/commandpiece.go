package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose/queue/hand"
	"quoin/impose/queue/spread"
	"quoin/impose/queue/task"
	"quoin/impose/queue/work"
	"quoin/impose/say"
	"quoin/impose/summary"
	"quoin/impose/wholefile"
)

// The verbs that are handed over.
const (
	handImpose = "impose"
	handAgain  = "again"
	handVerify = "verify"
)

// commandInput is a command on its way: its flags but those that name inputs, whose
// contents travel by themselves. No name in it is a path that a worker opens.
type commandInput struct {
	Verb    string          `json:"verb"`
	Args    []string        `json:"args"`
	Job     json.RawMessage `json:"job,omitempty"`
	Again   *againInput     `json:"again,omitempty"`   // of a job that is printed again
	Batch   bool            `json:"batch,omitempty"`   // one of several inputs: it gives its summary, and prints nothing
	Outputs []string        `json:"outputs,omitempty"` // as the command line names them; the result's files are their numbers
}

// commandOutput is what it printed, and how it ended.
type commandOutput struct {
	Out  []byte `json:"out"`
	Err  []byte `json:"err"`
	Code int    `json:"code"`

	Refusal *task.Answered `json:"refusal,omitempty"`

	// Of one of several inputs.
	Summary *summary.Summary `json:"summary,omitempty"`
	Notes   []string         `json:"notes,omitempty"`
}

// givenFlags returns the flags of a command line that were given and that a worker
// is told: outputs, forms, and what is done. What a job says travels in the job.
func givenFlags(fs *pflag.FlagSet, leave ...string) []string {
	var args []string
	fs.Visit(func(f *pflag.Flag) {
		if _, ofJob := f.Value.(*jobFlag); ofJob || slices.Contains(queueFlagNames, f.Name) || slices.Contains(leave, f.Name) {
			return
		}
		args = append(args, "--"+f.Name+"="+f.Value.String())
	})
	return args
}

// handCommand hands a command over, lets its outputs appear and says what it said.
func handCommand(ctx context.Context, io streams, q *queueFlags, in commandInput, title string, files []hand.File, inputs []string) error {
	h, err := q.hands(ctx, io, in.Verb)
	if err != nil {
		return err
	}
	defer h.close()
	progress := io.newProgress()
	defer progress.end()
	progress.step("waiting for a worker")
	out, err := h.command(ctx, in, title, files, inputs)
	if err != nil {
		return err
	}
	progress.end()
	if _, err := io.out.Write(out.Out); err != nil {
		return err
	}
	if _, err := io.err.Write(out.Err); err != nil {
		return err
	}
	if out.Code == 0 {
		return nil
	}
	if out.Refusal == nil { // of a worker that only says it
		out.Refusal = &task.Answered{Kind: say.Artwork, Text: strings.TrimSpace(string(out.Err))}
	}
	return errSaid{out.Code, out.Refusal}
}

// command hands a command over and lets its outputs appear.
func (h *handed) command(ctx context.Context, in commandInput, title string, files []hand.File, inputs []string) (*commandOutput, error) {
	t := &task.Task{Kind: task.Command, Title: title}
	var err error
	if t.Input, err = json.Marshal(in); err != nil {
		return nil, err
	}
	got, err := h.Do(ctx, t, files)
	if err != nil {
		return nil, err
	}
	defer got.Close()
	var out commandOutput
	if err := json.Unmarshal(got.Output, &out); err != nil {
		return nil, fmt.Errorf("what a worker printed can't be read: %w", err)
	}
	for _, name := range got.Names() {
		n, err := strconv.Atoi(name)
		if err != nil || n < 0 || n >= len(in.Outputs) {
			return nil, fmt.Errorf("a worker answers with a file %q that nobody asked for", name)
		}
		if _, err := wholefile.Write(in.Outputs[n], wholefile.Options{Inputs: inputs}, func(w writer) error { return got.Copy(w, name) }); err != nil {
			return nil, err
		}
	}
	return &out, nil
}

type writer = io.Writer

// doCommand carries out a command that was handed over.
func doCommand(ctx context.Context, t *task.Task, lies map[string]string, dir string) (*work.Answer, error) {
	var in commandInput
	if err := json.Unmarshal(t.Input, &in); err != nil {
		return nil, fmt.Errorf("a command's input: %w", err)
	}
	at := func(path string) string {
		if p := lies[t.Files[path]]; p != "" {
			return p
		}
		return filepath.Join(dir, "none", "of", "these")
	}
	var out, said bytes.Buffer
	to := streams{in: bytes.NewReader(nil), out: &out, err: &said}
	var done commandOutput
	var err error
	switch in.Verb {
	case handImpose, handAgain:
		err = carryOutImpose(ctx, &to, in, at, dir, &done)
	case handVerify:
		err = carryOutVerify(ctx, &to, in, at)
	default:
		return nil, fmt.Errorf("%q is no command that is handed over", in.Verb)
	}
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil && spread.Machines(ctx, err) {
		return nil, err
	}
	if err != nil {
		done.Refusal = task.Answer(err)
		if !in.Batch {
			complain(&said, err)
			done.Code = exitCode(err)
		}
	}
	done.Out, done.Err = out.Bytes(), said.Bytes()
	a := &work.Answer{}
	if a.Output, err = json.Marshal(done); err != nil {
		return nil, err
	}
	for i := range in.Outputs {
		name := strconv.Itoa(i)
		if info, err := os.Lstat(filepath.Join(dir, name)); err == nil && info.Mode().IsRegular() {
			a.Files = append(a.Files, name)
		}
	}
	return a, nil
}

// parsed reads the flags of a command that was handed over.
func parsed(fs *pflag.FlagSet, to *streams, args []string) error {
	fs.BoolP("quiet", "q", false, "")
	fs.BoolP("verbose", "v", false, "")
	if err := fs.Parse(args); err != nil {
		return err
	}
	to.quiet, _ = fs.GetBool("quiet")
	to.verbose, _ = fs.GetBool("verbose")
	return nil
}
