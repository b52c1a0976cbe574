package main

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"quoin/impose/night"
	"quoin/impose/night/plan"
	"quoin/impose/say"
)

// terminal opens a pseudo-terminal: what is written to tty can be read from the
// other end.
func terminal(t *testing.T) (tty *os.File, read func() string) {
	t.Helper()
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skipf("no pseudo-terminals here: %v", err)
	}
	t.Cleanup(func() { master.Close() })
	if err := unix.IoctlSetPointerInt(int(master.Fd()), unix.TIOCSPTLCK, 0); err != nil {
		t.Fatal(err)
	}
	n, err := unix.IoctlGetInt(int(master.Fd()), unix.TIOCGPTN)
	if err != nil {
		t.Fatal(err)
	}
	tty, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	return tty, func() string {
		tty.Close()
		var b bytes.Buffer
		b.ReadFrom(master) // ends with an error once the other end is closed
		return b.String()
	}
}

func TestColourOnTerminalsOnly(t *testing.T) {
	for _, c := range []struct {
		noColor, term, want string
	}{
		{"", "xterm", "\x1b[1;33mwarning:\x1b[0m look\r\n"},
		{"1", "xterm", "warning: look\r\n"},
		{"", "dumb", "warning: look\r\n"},
	} {
		t.Setenv("NO_COLOR", c.noColor)
		t.Setenv("TERM", c.term)
		tty, read := terminal(t)
		streams{err: tty}.warn("look")
		if got := read(); got != c.want {
			t.Errorf("NO_COLOR=%q TERM=%s: %q, want %q", c.noColor, c.term, got, c.want)
		}
	}
	var pipe bytes.Buffer
	t.Setenv("NO_COLOR", "")
	t.Setenv("TERM", "xterm")
	streams{err: &pipe}.warn("look")
	if got := pipe.String(); got != "warning: look\n" {
		t.Errorf("in a pipe: %q", got)
	}
}

// TestWhoSeesProgress asks each kind of stream whether it is watched.
func TestWhoSeesProgress(t *testing.T) {
	tty, read := terminal(t)
	defer read()
	for _, c := range []struct {
		name string
		s    streams
		want bool
	}{
		{"terminal", streams{err: tty}, true},
		{"pipe", streams{err: &bytes.Buffer{}}, false},
		{"quiet", streams{err: tty, quiet: true}, false},
		{"verbose", streams{err: tty, verbose: true}, false},
	} {
		p := c.s.newProgress()
		if got := p.w != nil; got != c.want {
			t.Errorf("%s: seen %v, want %v", c.name, got, c.want)
		}
		p.end()
	}
}

// TestProgressWaits shows nothing of quick work, then the step that is under way
// once the time has come, and leaves an empty line.
func TestProgressWaits(t *testing.T) {
	var quick bytes.Buffer
	p := watch(&quick, time.Hour)
	p.step("reading")
	p.tell("writing", 1, 2)
	p.end()
	if quick.Len() > 0 {
		t.Errorf("quick work showed %q", quick.String())
	}

	slow := &gate{seen: make(chan bool, 1)}
	p = watch(slow, time.Millisecond)
	p.step("reading")
	<-slow.seen
	p.tell("writing", 1, 2)
	p.end()
	want := "\rreading\rwriting: 1 of 2\r" + strings.Repeat(" ", len("writing: 1 of 2")) + "\r"
	if got := slow.b.String(); got != want {
		t.Errorf("slow work showed %q, want %q", got, want)
	}
	p.step("late")
	if got := slow.b.String(); got != want {
		t.Errorf("after the end: %q", got)
	}
}

// gate tells of its first write.
type gate struct {
	once sync.Once
	seen chan bool
	b    bytes.Buffer
}

func (g *gate) Write(b []byte) (int, error) {
	n, err := g.b.Write(b)
	g.once.Do(func() { g.seen <- true })
	return n, err
}

// TestNightIsToldOnceAtATerminal: whoever reads the report there needs no
// warnings that say the same; a log beside it does.
func TestNightIsToldOnceAtATerminal(t *testing.T) {
	plan := &plan.Plan{Unplanned: []night.Note{night.NoteOn("7", night.NoSize, "nothing says the size")}}
	tty, read := terminal(t)
	if err := (&gangFlags{}).report(streams{out: tty, err: tty}, plan); say.KindOf(err) != kindPartly {
		t.Error(err)
	}
	if got := read(); strings.Count(got, "nothing says the size") != 1 {
		t.Errorf("%q", got)
	}
	tty, read = terminal(t)
	var log bytes.Buffer
	if err := (&gangFlags{}).report(streams{out: tty, err: &log}, plan); say.KindOf(err) != kindPartly {
		t.Error(err)
	}
	read()
	if got := log.String(); got != "warning: order 7 is left out: nothing says the size\n" {
		t.Errorf("%q", got)
	}
}
