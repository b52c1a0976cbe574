package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"quoin/impose"
	"quoin/impose/job"
)

// What goes to the error stream, and how it reads:
//
//   - "error:" what is wrong, then "hint:" the way out, where there is one;
//   - faults of a file each with path, line and column, the line quoted;
//   - "warning:" what to look at before the run;
//   - nothing else, so that a script may keep the stream for a person.

// complain prints an error.
func complain(w io.Writer, err error) {
	var file *job.FileError
	var differs *differError
	switch {
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(w, "error: interrupted; nothing half-made was left")
	case errors.Is(err, errStrict), isLeftOut(err):
		fmt.Fprintf(w, "error: %v\n", err)
	case errors.As(err, &differs):
		fmt.Fprintf(w, "error: %v\n", err)
		if !differs.printed {
			for _, wrong := range differs.wrong {
				fmt.Fprintln(w, wrong)
			}
		}
		fmt.Fprintf(w, "hint: %s\n", differs.Hint())
	case errors.As(err, &file):
		fmt.Fprint(w, file.Report())
	default:
		fmt.Fprintf(w, "error: %v\n", err)
		if hint := hintOf(err); hint != "" {
			fmt.Fprintf(w, "hint: %s\n", hint)
		}
	}
}

// hintOf finds the way out that an error or one that it wraps knows.
func hintOf(err error) string {
	var hinted interface{ Hint() string }
	if errors.As(err, &hinted) {
		return hinted.Hint()
	}
	return ""
}

// warn prints the warnings of a summary.
func warn(w io.Writer, warnings []impose.Warning) {
	for _, x := range warnings {
		fmt.Fprintf(w, "warning: %s\n", x.Text)
	}
}
