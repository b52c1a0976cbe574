package main

import (
	"context"
	"errors"
	"fmt"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/artwork"
	"quoin/impose/colour"
	"quoin/impose/colour/cgats"
	"quoin/impose/data"
	"quoin/impose/job"
	"quoin/impose/vary"
	"quoin/impose/verify"
)

// Exit codes.
const (
	exitDone        = 0
	exitFailed      = 1
	exitUsage       = 2
	exitStrict      = 3
	exitBadFile     = 4
	exitNotFit      = 5
	exitArtwork     = 6
	exitLeftOut     = 7
	exitStop        = 8
	exitInterrupted = 130
)

// exitCodes says what they mean, in the help, the manual and the README.
var exitCodes = []struct {
	code  int
	means string
}{
	{exitDone, "done"},
	{exitFailed, "failed: a file can't be read or written, or is not as its summary says"},
	{exitUsage, "the command line can't be understood"},
	{exitStrict, "done, but --strict was given and there were warnings"},
	{exitBadFile, "a job, press, die, order, summary or measurement file is wrong"},
	{exitNotFit, "it does not fit"},
	{exitArtwork, "an artwork, or a PDF to be verified, can't be used"},
	{exitLeftOut, "done, but orders were left out"},
	{exitStop, "measured, and the colour is out of tolerance: stop"},
	{exitInterrupted, "interrupted"},
}

// usageError is a command line that can't be understood.
type usageError struct{ text, way string }

func (e *usageError) Error() string { return e.text }
func (e *usageError) Hint() string  { return e.way }

func usagef(text, way string, args ...any) error {
	return &usageError{fmt.Sprintf(text, args...), way}
}

// errStrict ends a run that is done, with warnings that --strict doesn't let
// pass.
var errStrict = errors.New("done, but there were warnings and --strict was given")

// errLeftOut ends a night that is built without some of its orders.
type errLeftOut int

func (n errLeftOut) Error() string {
	if n == 1 {
		return "done, but 1 order was left out"
	}
	return fmt.Sprintf("done, but %d orders were left out", int(n))
}

func isLeftOut(err error) bool {
	_, ok := errors.AsType[errLeftOut](err)
	return ok
}

// exitCode gives the code for an error.
func exitCode(err error) int {
	var (
		usage   *usageError
		file    *job.FileError
		notFit  *geometry.NotFitError
		lanes   *impose.LaneError
		inks    *job.InksError
		bad     *artwork.Error
		source  *verify.SourceError
		output  *verify.FileError
		plan    *verify.PlanError
		shape   *impose.OutlineError
		records *impose.DataError
		record  *data.Fault
		field   *vary.FieldError
		list    *vary.ListError
		white   *impose.UnderprintError
		table   *cgats.Error
		colours *colour.Error
	)
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, context.Canceled):
		return exitInterrupted
	case errors.Is(err, errStrict):
		return exitStrict
	case isLeftOut(err):
		return exitLeftOut
	case errors.Is(err, errStop):
		return exitStop
	case errors.As(err, &usage):
		return exitUsage
	case errors.As(err, &bad), errors.As(err, &source), errors.As(err, &output):
		return exitArtwork
	case errors.As(err, &file), errors.As(err, &plan), errors.As(err, &shape), errors.As(err, &white),
		errors.As(err, &records), errors.As(err, &record), errors.As(err, &field), errors.As(err, &list),
		errors.As(err, &table), errors.As(err, &colours):
		return exitBadFile
	case errors.As(err, &notFit), errors.As(err, &lanes), errors.As(err, &inks):
		return exitNotFit
	}
	return exitFailed
}
