// Command quoin imposes label artwork for a narrow-web, roll-to-roll digital
// press. Each verb stands in a file of its own; all of them are thin: they read
// flags, call the library and print what it says.
package main

import (
	"context"
	"errors"
	"io"
	"os"
	"os/signal"
	"syscall"

	"quoin/impose/desk/worker"
	"quoin/impose/thrift"
)

func main() {
	thrift.Begin()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, streams{in: os.Stdin, out: os.Stdout, err: os.Stderr}, os.Args[1:])
	stop()
	os.Exit(code)
}

// streams are what a run reads and writes: results to out, all words to a
// person to err.
type streams struct {
	in             io.Reader
	out, err       io.Writer
	quiet, verbose bool // see talk.go
}

// run carries out a command line and gives the exit code.
func run(ctx context.Context, io streams, args []string) int {
	err := dispatch(ctx, io, args)
	if errors.Is(err, errDeskEnds) { // to be interrupted is how a desk ends
		return exitDone
	}
	if ctx.Err() != nil {
		err = ctx.Err()
	}
	if err == nil {
		return exitDone
	}
	complain(io.err, err)
	return exitCode(err)
}

// dispatch finds the verb and runs it.
func dispatch(ctx context.Context, io streams, args []string) error {
	if len(args) == 0 {
		return usagef("a verb is missing", "quoin help lists them")
	}
	switch args[0] {
	case "help", "--help", "-h":
		return help(io.out, args[1:])
	case "--version", "version":
		return printVersion(io.out)
	case piecesVerb:
		return doPieces(ctx, io)
	case deskWorker: // no verb of a person's
		return worker.Serve(ctx, io.in, io.out)
	}
	v, err := findVerb(args[0])
	if err != nil {
		return err
	}
	return v.run(ctx, io, args[1:])
}
