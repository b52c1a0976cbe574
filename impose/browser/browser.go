// Package browser opens a page in the browser that the user has set.
package browser

import (
	"context"
	"fmt"
	"net/url"
	"os/exec"
	"runtime"
	"time"

	"quoin/impose/say"
)

// patience is how long the opener is waited for. It hands the address on and
// ends; one that stays is the browser itself, which has opened.
const patience = 5 * time.Second

// Open opens an http or https address. It returns once the opener has taken
// it, and never waits for the browser. The error, of the kind Failed, says what
// to do: open the address by hand.
func Open(ctx context.Context, address string) error {
	name, args, err := command(runtime.GOOS, address)
	if err != nil {
		return err
	}
	return start(ctx, address, name, args...)
}

// command returns the opener of a system: that of the freedesktop.org utilities,
// open(1) of macOS, and the handler of addresses in url.dll of Windows, which
// takes & and % as they are, as no shell does.
func command(system, address string) (name string, args []string, err error) {
	if u, err := url.Parse(address); err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
		return "", nil, say.Refuse(say.Usage, "give one that begins with http:// or https://", "%q is no address of a page", address)
	}
	switch system {
	case "windows":
		return "rundll32", []string{"url.dll,FileProtocolHandler", address}, nil
	case "darwin":
		return "open", []string{address}, nil
	default:
		return "xdg-open", []string{address}, nil
	}
}

func start(ctx context.Context, address, name string, args ...string) error {
	refuse := func(err error) error {
		return &say.Refusal{Kind: say.Failed, Text: "the browser can't be opened", Err: err, Way: "open " + address + " in one"}
	}
	// Not under ctx: the browser may outlive what opened it.
	c := exec.Command(name, args...)
	if err := c.Start(); err != nil {
		return refuse(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	select {
	case err := <-ended:
		if err != nil {
			return refuse(fmt.Errorf("%s: %w", name, err))
		}
		return nil
	case <-time.After(patience):
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
