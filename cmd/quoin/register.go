package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"quoin/impose/register"
	"quoin/impose/say"
	"quoin/impose/vary"
	"quoin/impose/wholefile"
)

const registerExample = `quoin register runs/ --code "(01)09501101530003(21)0000417"`

var registerVerb = verb{
	name:    "register",
	args:    "REGISTER|FOLDER [FLAGS]",
	short:   "say where a code was printed, when and from what; list the runs; void labels; export for cameras",
	example: registerExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		f := &registerFlags{}
		fs.StringVar(&f.code, "code", "", "say where the label with this `CODE` was printed; the code is what a field or symbol of it says")
		fs.StringVar(&f.csv, "csv", "", "write all labels to this `FILE` as CSV, for an inspection camera")
		fs.StringVar(&f.void, "void", "", "mark the records that this `FILE` lists as never to be printed again; with --reason")
		fs.StringVar(&f.reason, "reason", "", "`WHY` labels are void")
		fs.StringVar(&f.run, "run", "", "press `FILE` of the run that is meant; where there is one only, it is that")
		fs.BoolVar(&f.json, "json", false, "print what is asked for as JSON")
		return func(ctx context.Context, to streams, args []string) error { return onRegister(f.act(ctx, to, args)) }
	},
}

// registerFlags are the flags of quoin register.
type registerFlags struct {
	code, csv, void, reason, run string
	json                         bool
}

func (f *registerFlags) act(_ context.Context, to streams, args []string) error {
	if len(args) != 1 {
		return usagef("one register or its folder is needed; %d were named", "as in: "+registerExample, len(args))
	}
	path := args[0]
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		path = filepath.Join(path, registerName)
	}
	switch {
	case f.code != "":
		return f.find(to.out, path)
	case f.csv != "":
		_, err := wholefile.Write(f.csv, wholefile.Options{Inputs: []string{path}}, func(w io.Writer) error { return vary.Export(path, f.run, w) })
		return err
	case f.void != "":
		return vary.Strike(path, f.run, f.void, f.reason)
	}
	return f.list(to.out, path)
}

// onRegister returns an error about the register the way out of this verb, which is
// told it without a flag.
func onRegister(err error) error {
	x, ok := errors.AsType[*register.Unread](err)
	if !ok {
		return err
	}
	return &say.Refusal{Kind: x.Kind, Text: x.Text, Way: "name the folder that the run was written to, or its " + registerName + ", as in: " + registerExample}
}

// find prints where a code was printed.
func (f *registerFlags) find(w io.Writer, path string) error {
	list, err := vary.Find(path, f.code)
	if err != nil {
		return err
	}
	if len(list) == 0 {
		return say.Refuse(say.BadFile, "give the code as the label says it, GS1 data with their identifiers in parentheses", "%s knows no label that says %q", path, f.code)
	}
	if f.json {
		return say.JSON(w, list)
	}
	var b strings.Builder
	for _, l := range list {
		fmt.Fprintf(&b, "Code       %s\n", strings.ReplaceAll(l.Code, "\t", " | "))
		fmt.Fprintf(&b, "State      %s\n", l.State)
		if l.Voided != "" {
			fmt.Fprintf(&b, "Void       %s\n", l.Voided)
		}
		printing(&b, "Printed", l.Printings)
		for _, again := range l.Again {
			printing(&b, "Reprinted", again)
		}
		fmt.Fprintf(&b, "From       record %d, made from %s", l.Record, l.Made[:16])
		if l.Data != "" {
			fmt.Fprintf(&b, ", records %s", l.Data[:16])
		}
		b.WriteString("\n")
	}
	_, err = io.WriteString(w, b.String())
	return err
}

// clockForm writes a time for people, with its zone.
const clockForm = "2006-01-02 15:04:05 MST"

func printing(b *strings.Builder, word string, p vary.Printings) {
	when := "not yet: entered " + p.Entered.Format(clockForm)
	if p.File != "" {
		when = p.Printed.Format(clockForm) + " in " + p.File + " (SHA-256 " + p.Sum[:16] + ")"
	}
	fmt.Fprintf(b, "%-10s %s: frame %d, lane %d, row %d, roll %d, metre %.3f", word, when, p.Frame, p.Lane, p.Row, p.Roll, p.Metre)
	if p.Reason != "" {
		fmt.Fprintf(b, "; %s", p.Reason)
	}
	b.WriteString("\n")
}

// list prints the runs.
func (f *registerFlags) list(w io.Writer, path string) error {
	runs, err := vary.Runs(path)
	if err != nil {
		return err
	}
	if f.json {
		return say.JSON(w, runs)
	}
	var b strings.Builder
	for _, r := range runs {
		what := fmt.Sprintf("%s of %s printed", say.Number(r.Printed), say.CountOf(int(r.Labels), "label", "labels"))
		if r.Changes > 0 {
			what += ", " + say.CountOf(r.Changes, "change-over label", "change-over labels")
		}
		if r.Of != "" {
			what = "reprint of " + r.Of + ", " + what
		}
		fmt.Fprintf(&b, "%-10s %s: %s\n", r.Entered.Format("2006-01-02"), r.Run, what)
	}
	_, err = io.WriteString(w, b.String())
	return err
}
