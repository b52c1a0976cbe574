package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"os"
	"os/exec"
	"strconv"
	"time"

	"github.com/spf13/pflag"

	"quoin/impose/browser"
	"quoin/impose/desk/folder"
	"quoin/impose/desk/safe"
	"quoin/impose/desk/serve"
	"quoin/impose/job"
	"quoin/impose/say"
	"quoin/impose/wholefile"
)

const deskExample = "quoin desk jobs"

// deskWorker is the argument with which the desk starts itself to draw artworks.
const deskWorker = "desk-worker"

var deskVerb = verb{
	name:    "desk",
	args:    "[FOLDER] [FLAGS]",
	short:   "open a folder of jobs as pages in the browser: plan, look, write, with no shell",
	example: deskExample,
	setUp: func(fs *pflag.FlagSet) func(context.Context, streams, []string) error {
		v := &deskFlags{fs: fs}
		fs.IntVar(&v.port, "port", 0, "`number` of the port (any that is free)")
		fs.BoolVar(&v.noBrowser, "no-browser", false, "open no browser")
		fs.StringVar(&v.listen, "listen", "", "`address` to be reached at from other machines, with --password-file or --client-ca")
		fs.StringVar(&v.password, "password-file", "", "`file` with the password that others must give")
		fs.StringVar(&v.tls.certificate, "certificate", "", "`file` with the desk's own certificate, PEM: it then speaks TLS")
		fs.StringVar(&v.tls.key, "certificate-key", "", "`file` with that certificate's key, PEM")
		fs.StringVar(&v.tls.clients, "client-ca", "", "`file` with the authority whose client certificates are let in, PEM")
		return v.run
	},
}

// deskFlags are the flags of quoin desk.
type deskFlags struct {
	fs        *pflag.FlagSet
	port      int
	noBrowser bool
	listen    string
	password  string
	tls       deskTLS
}

func (f *deskFlags) run(ctx context.Context, io streams, args []string) error {
	dir := "."
	switch {
	case len(args) > 1:
		return usagef("%s and %s are two folders", "open one desk for each", args[0], args[1])
	case len(args) == 1:
		dir = args[0]
	}
	guard, err := f.guarding()
	if err != nil {
		return err
	}
	in, err := folder.Open(dir)
	if err != nil {
		return usagef("%s can't be opened as a folder: %v", "name the folder of the jobs", dir, wholefile.Cause(err))
	}
	defer in.Close()
	in.House = job.UserHouse()
	listener, err := f.listener(ctx)
	if err != nil {
		return err
	}
	defer listener.Close()
	desk := serve.New(serve.Options{Folder: in, Program: itself, Worker: deskWorker, Partly: exitLeftOut})
	defer desk.Close()
	go desk.Watch()
	guard.Port = strconv.Itoa(listener.Addr().(*net.TCPAddr).Port)
	way := safe.New(desk, guard)
	address := f.address(listener, way.Key())
	if _, err := fmt.Fprintln(io.out, address); err != nil {
		return fmt.Errorf("printing the address: %w", err)
	}
	if !f.noBrowser {
		if err := browser.Open(ctx, address); err != nil {
			io.warn("%v; %s", err, say.Hint(err))
		}
	}
	return f.serve(ctx, listener, way, desk)
}

// itself returns a command of this very program.
func itself(ctx context.Context, args ...string) *exec.Cmd {
	path, err := os.Executable()
	if err != nil {
		path = os.Args[0]
	}
	cmd := exec.CommandContext(ctx, path, args...)
	if self := os.Getenv("QUOIN_SELF"); self != "" { // of tests, whose program is another
		cmd.Path = self
	}
	return cmd
}

// How long a request may take to be sent, and the desk to end.
const (
	deskHeaders = 10 * time.Second
	deskGrace   = 3 * time.Second
)

// serve answers until the context ends.
func (f *deskFlags) serve(ctx context.Context, l net.Listener, h http.Handler, desk *serve.Server) error {
	server := &http.Server{Handler: h, ReadHeaderTimeout: deskHeaders, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 64 << 10, ErrorLog: log.New(io.Discard, "", 0)}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(l) }()
	select {
	case err := <-ended:
		return fmt.Errorf("the desk ended: %w", err)
	case <-ctx.Done():
	}
	desk.Close()
	grace, stop := context.WithTimeout(context.Background(), deskGrace)
	defer stop()
	if server.Shutdown(grace) != nil {
		server.Close()
	}
	return errDeskEnds
}

// errDeskEnds says that the desk was asked to end, which is its way to end.
var errDeskEnds = errors.New("the desk was closed")
