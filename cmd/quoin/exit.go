package main

import (
	"context"
	"errors"

	"quoin/impose/batch"
	"quoin/impose/say"
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
	{exitLeftOut, "done, but orders were left out, or inputs of a batch refused"},
	{exitStop, "measured, and the colour is out of tolerance: stop"},
	{exitInterrupted, "interrupted"},
}

// usagef refuses a command line that can't be understood.
func usagef(text, way string, args ...any) error {
	return say.Refuse(say.Usage, way, text, args...)
}

// errStrict ends a run that is done, with warnings that --strict doesn't let
// pass.
var errStrict = errors.New("done, but there were warnings and --strict was given")

// errLeftOut ends a night that is built without some of its orders.
type errLeftOut int

func (n errLeftOut) Error() string {
	return "done, but " + say.CountOf(int(n), "order was", "orders were") + " left out"
}

func isLeftOut(err error) bool {
	_, orders := errors.AsType[errLeftOut](err)
	_, inputs := errors.AsType[errRefused](err)
	return orders || inputs
}

// errRefused ends a batch of which some inputs were refused.
type errRefused int

func (n errRefused) Error() string {
	return "done, but " + say.CountOf(int(n), "input was", "inputs were") + " refused"
}

// allRefused ends a batch that came to nothing.
type allRefused struct{ inputs []batch.Input }

func (e *allRefused) Error() string {
	return "nothing was done: all " + say.CountOf(len(e.inputs), "input was", "inputs were") + " refused"
}

// code returns that of all inputs, where they have one.
func (e *allRefused) code() int {
	for _, in := range e.inputs {
		if in.Exit != e.inputs[0].Exit {
			return exitFailed
		}
	}
	return e.inputs[0].Exit
}

// errSaid ends a command that was carried out elsewhere, with all that it said and
// its exit code.
type errSaid int

func (errSaid) Error() string { return "said already" }

// exitOf gives the exit code of each kind of refusal.
var exitOf = map[say.Kind]int{
	say.Usage:   exitUsage,
	say.BadFile: exitBadFile,
	say.NotFit:  exitNotFit,
	say.Inks:    exitNotFit,
	say.Artwork: exitArtwork,
}

// exitCode returns the code for an error.
func exitCode(err error) int {
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, context.Canceled):
		return exitInterrupted
	case errors.Is(err, errStrict):
		return exitStrict
	case isLeftOut(err):
		return exitLeftOut
	case errors.As(err, new(errSaid)):
		said, _ := errors.AsType[errSaid](err)
		return int(said)
	case errors.Is(err, errStop):
		return exitStop
	}
	if none, ok := errors.AsType[*allRefused](err); ok {
		return none.code()
	}
	if code, known := exitOf[say.KindOf(err)]; known {
		return code
	}
	return exitFailed
}
