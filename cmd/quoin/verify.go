package main

import (
	"context"
	"fmt"

	"github.com/spf13/pflag"

	"quoin/impose/verify"
)

const verifyExample = "quoin verify out.pdf out.json"

var verifyVerb = verb{
	name:    "verify",
	args:    "OUT.pdf SUMMARY.json [FLAGS]",
	short:   "re-open an imposed PDF and prove it against its summary and its artworks",
	example: verifyExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &verifyFlags{}
		fs.BoolVar(&v.json, "json", false, "print the result as JSON")
		return v.run
	},
}

// verifyFlags are the flags of quoin verify.
type verifyFlags struct{ json bool }

func (f *verifyFlags) run(ctx context.Context, io streams, args []string) error {
	if len(args) != 2 {
		return usagef("a PDF and its summary are needed; %d files were named", "quoin impose writes the summary with --summary FILE; then: "+verifyExample, len(args))
	}
	plan, err := verify.ReadPlan(args[1])
	if err != nil {
		return err
	}
	result, err := verify.File(ctx, args[0], plan, verify.Options{Summary: args[1]})
	if err != nil {
		return err
	}
	if f.json {
		err = printJSON(io.out, result)
	} else {
		err = result.Text(io.out)
	}
	if err != nil {
		return fmt.Errorf("printing the result: %w", err)
	}
	if failed := asPlanned(result); failed != nil {
		return &differError{result.File, len(result.Differences), nil} // the list has been printed
	}
	return nil
}

// asPlanned gives an error with all differences, or nil.
func asPlanned(r *verify.Result) error {
	if r.Same {
		return nil
	}
	e := &differError{file: r.File, count: len(r.Differences)}
	for _, d := range r.Differences {
		e.unsaid = append(e.unsaid, d.Code+": "+d.Text)
	}
	return e
}

// differError says that a file is not as planned. unsaid are the differences
// that have not been printed yet.
type differError struct {
	file   string
	count  int
	unsaid []string
}

func (e *differError) Error() string {
	return fmt.Sprintf("%s is not as planned: %d differences", e.file, e.count)
}

// Hint gives the way out.
func (e *differError) Hint() string { return "don't print it; impose again and verify" }
