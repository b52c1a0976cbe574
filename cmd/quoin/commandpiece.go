package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"github.com/spf13/pflag"

	"quoin/impose/job"
	"quoin/impose/queue/hand"
	"quoin/impose/queue/spread"
	"quoin/impose/queue/task"
	"quoin/impose/queue/work"
	"quoin/impose/verify"
	"quoin/impose/wholefile"
)

// commandInput is a command on its way: its flags but those that name inputs, whose
// contents travel by themselves. No name in it is a path that a worker opens.
type commandInput struct {
	Verb    string          `json:"verb"`
	Args    []string        `json:"args"`
	Job     json.RawMessage `json:"job,omitempty"`
	Outputs []string        `json:"outputs,omitempty"` // as the command line names them; the result's files are their numbers
}

// commandOutput is what it printed, and how it ended.
type commandOutput struct {
	Out  []byte `json:"out"`
	Err  []byte `json:"err"`
	Code int    `json:"code"`
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
	t := &task.Task{Kind: task.Command, Title: title}
	if t.Input, err = json.Marshal(in); err != nil {
		return err
	}
	progress := io.newProgress()
	defer progress.end()
	progress.step("waiting for a worker")
	got, err := h.Do(ctx, t, files)
	if err != nil {
		return err
	}
	defer got.Close()
	var out commandOutput
	if err := json.Unmarshal(got.Output, &out); err != nil {
		return fmt.Errorf("what a worker printed can't be read: %w", err)
	}
	for _, name := range got.Names() {
		n, err := strconv.Atoi(name)
		if err != nil || n < 0 || n >= len(in.Outputs) {
			return fmt.Errorf("a worker answers with a file %q that nobody asked for", name)
		}
		if _, err := wholefile.Write(in.Outputs[n], wholefile.Options{Inputs: inputs}, func(w writer) error { return got.Copy(w, name) }); err != nil {
			return err
		}
	}
	progress.end()
	if _, err := io.out.Write(out.Out); err != nil {
		return err
	}
	if _, err := io.err.Write(out.Err); err != nil {
		return err
	}
	if out.Code != 0 {
		return errSaid(out.Code)
	}
	return nil
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
	var err error
	switch in.Verb {
	case "impose":
		err = carryOutImpose(ctx, &to, in, at, dir)
	case "verify":
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
	code := 0
	if err != nil {
		complain(&said, err)
		code = exitCode(err)
	}
	a := &work.Answer{}
	if a.Output, err = json.Marshal(commandOutput{out.Bytes(), said.Bytes(), code}); err != nil {
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

// mayHand reports whether an imposition can be handed over. A password goes
// through no queue, and what targets should be is read from files of this machine.
func (f *imposeFlags) mayHand(io streams, j *job.Job) bool {
	if j.Locked() || j.Data != nil || len(f.targets.paths.files) > 0 {
		io.tell("this is imposed here: passwords, records and the files behind --targets are not handed over")
		return false
	}
	return true
}

// here imposes a job in this process.
func (f *imposeFlags) here(ctx context.Context, io streams, j *job.Job) error {
	progress := io.newProgress()
	defer progress.end()
	im, notes, err := f.work(ctx, io, j, io.saying(progress))
	if err != nil {
		return err
	}
	return f.end(io, im, notes, progress)
}

// hand reads an input and hands its imposition over.
func (f *imposeFlags) hand(ctx context.Context, io streams, input string) error {
	j, err := f.read(input)
	if err != nil {
		return err
	}
	io.took(j)
	return f.handJob(ctx, io, j)
}

// handJob hands the imposition of a job over, where that may be.
func (f *imposeFlags) handJob(ctx context.Context, io streams, j *job.Job) error {
	if !f.mayHand(io, j) {
		return f.here(ctx, io, j)
	}
	var err error
	in := commandInput{Verb: "impose", Args: givenFlags(f.fs, "password-file", "permitted-by", "long-content", "house-file", "no-house")}
	for _, path := range f.outputs() {
		if path != "" {
			in.Outputs = append(in.Outputs, path)
		}
	}
	if in.Job, err = j.Pack(); err != nil {
		return err
	}
	files, lack := spread.Contents(j)
	if lack {
		return f.here(ctx, io, j) // which says what is wrong with it
	}
	return handCommand(ctx, io, &f.queue, in, j.Name, files, j.Files())
}

// carryOutImpose imposes a job that was handed over.
func carryOutImpose(ctx context.Context, to *streams, in commandInput, at func(string) string, dir string) error {
	fs := pflag.NewFlagSet("impose", pflag.ContinueOnError)
	f := &imposeFlags{fs: fs, places: map[string]string{}}
	f.add(fs)
	if err := parsed(fs, to, in.Args); err != nil {
		return err
	}
	if f.access.passwordFile != "" || f.access.permittedBy != "" || f.house != (houseFlags{}) || len(f.targets.paths.files) > 0 || f.out == "-" {
		return errors.New("a command that was handed over names files of this machine")
	}
	j, err := job.Unpack(in.Job)
	if err != nil {
		return err
	}
	j.Content = at
	for i, path := range in.Outputs {
		f.places[path] = filepath.Join(dir, strconv.Itoa(i))
	}
	return f.here(ctx, *to, j)
}

// hand hands a verification over, with the file, its summary and the artworks that
// this names.
func (f *verifyFlags) hand(ctx context.Context, io streams, args []string) error {
	plan, err := f.plan(args[1])
	if err != nil {
		return err
	}
	found := map[string]string{args[0]: args[0], args[1]: args[1]}
	for _, a := range plan.Artworks {
		at, err := (&verify.Options{Summary: args[1]}).Find(plan, a.Path)
		if err != nil {
			return f.prove(ctx, io, args) // which says what is wrong with it
		}
		found[a.Path] = at
	}
	var files []hand.File
	for _, name := range slices.Sorted(maps.Keys(found)) {
		files = append(files, hand.File{Name: name, Path: found[name]})
	}
	if _, err := os.Stat(args[0]); err != nil {
		return f.prove(ctx, io, args)
	}
	in := commandInput{Verb: "verify", Args: append([]string{"--json=" + strconv.FormatBool(f.json), "--pixels=" + strconv.FormatBool(f.pixels), "--"}, args...)}
	return handCommand(ctx, io, &f.queue, in, filepath.Base(args[0]), files, nil)
}

// plan reads the summary.
func (f *verifyFlags) plan(path string) (*verify.Plan, error) {
	if f.lies == nil {
		return verify.ReadPlan(path)
	}
	file, err := os.Open(f.lies(path))
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return verify.ParsePlan(path, file)
}

// carryOutVerify verifies a file that was handed over.
func carryOutVerify(ctx context.Context, to *streams, in commandInput, at func(string) string) error {
	fs := pflag.NewFlagSet("verify", pflag.ContinueOnError)
	f := &verifyFlags{lies: at}
	fs.BoolVar(&f.json, "json", false, "")
	fs.BoolVar(&f.pixels, "pixels", false, "")
	if err := parsed(fs, to, in.Args); err != nil {
		return err
	}
	if fs.NArg() != 2 {
		return errors.New("a verification that was handed over names no two files")
	}
	return f.prove(ctx, *to, fs.Args())
}
