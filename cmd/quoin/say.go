package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"quoin/impose/job"
	"quoin/impose/prove"
	"quoin/impose/say"
)

// What goes to the error stream, and how it reads:
//
//   - "error:" what is wrong, then "hint:" the way out, where there is one;
//   - faults of a file each with path, line and column, the line quoted;
//   - "warning:" what to look at before the run;
//   - lines of talk.go, by how much a person wants to read.

// longestError is how many bytes of an error are shown: more than any has but
// one that quotes a file of one endless line.
const longestError = 4000

// complain prints an error.
func complain(w io.Writer, err error) {
	var file *job.FileError
	var wrong *prove.Error
	var listed *shownError
	switch {
	case errors.As(err, new(errSaid)):
	case errors.Is(err, context.Canceled):
		fmt.Fprintf(w, "%s interrupted; nothing half-made was left\n", paint(w, "error:"))
	case errors.As(err, &wrong):
		fmt.Fprintf(w, "%s %v\n", paint(w, "error:"), err)
		if !errors.As(err, &listed) {
			for _, one := range wrong.Wrong {
				fmt.Fprintln(w, one)
			}
		}
		fmt.Fprintf(w, "%s %s\n", paint(w, "hint:"), wrong.Hint())
	case errors.As(err, &file):
		fmt.Fprint(w, file.Report())
	default:
		fmt.Fprintf(w, "%s %s\n", paint(w, "error:"), say.Clip(err.Error(), longestError))
		if hint := cmp.Or(say.Hint(err), ofFile(err)); hint != "" {
			fmt.Fprintf(w, "%s %s\n", paint(w, "hint:"), say.Clip(hint, longestError))
		}
	}
}

// ofFile returns the way out of what the system says of a file, where nobody nearer
// to it knew one.
func ofFile(err error) string {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if at, ok := errors.AsType[*fs.PathError](err); ok && say.Dangling(at.Path) != "" {
			return say.DanglingWay(at.Path)
		}
		return "check the path and the name of the file"
	case errors.Is(err, fs.ErrPermission):
		return "give this user the right to the file, or name another"
	}
	return ""
}
