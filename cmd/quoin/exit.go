package main

import (
	"cmp"
	"context"
	"errors"

	"quoin/impose/queue/task"
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

// Kinds of what was done and still ends with a code of its own.
const (
	kindWarned say.Kind = "warned" // with warnings that --strict doesn't let pass
	kindPartly say.Kind = "partly" // without some orders or inputs
	kindStop   say.Kind = "stop"   // and what was measured is out of tolerance
)

// exitOf gives the exit code of each kind; of any other it is exitFailed.
var exitOf = map[say.Kind]int{
	say.Usage:   exitUsage,
	say.BadFile: exitBadFile,
	say.NotFit:  exitNotFit,
	say.Inks:    exitNotFit,
	say.Artwork: exitArtwork,
	kindWarned:  exitStrict,
	kindPartly:  exitLeftOut,
	kindStop:    exitStop,
}

// exitCode returns the code for an error.
func exitCode(err error) int {
	if err == nil {
		return exitDone
	}
	if errors.Is(err, context.Canceled) {
		return exitInterrupted
	}
	if said, ok := errors.AsType[errSaid](err); ok {
		return said.code
	}
	return cmp.Or(exitOf[say.KindOf(err)], exitFailed)
}

// errSaid ends a command that was carried out elsewhere, with all that it said: its
// exit code, and why it was refused.
type errSaid struct {
	code    int
	refusal *task.Answered
}

func (errSaid) Error() string { return "said already" }

// strictly ends a run that is done where --strict doesn't let its warnings pass.
func strictly(strict bool, warnings int) error {
	if !strict || warnings == 0 {
		return nil
	}
	return say.Refuse(kindWarned, "", "done, but there were warnings and --strict was given")
}
