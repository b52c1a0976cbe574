package witness

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// interpreter is a Ghostscript that goes on from file to file: to start takes it ten
// times as long as to draw a small page. It ends with the process of the tests, whose
// pipe it reads.
type interpreter struct {
	in       io.Writer
	out, err *bufio.Reader
	kill     func()
}

// idle are the interpreters that wait for work, by the arguments they were started
// with. Tests side by side take one each.
var idle = struct {
	sync.Mutex
	of map[string][]*interpreter
}{of: map[string][]*interpreter{}}

// How shapes are filled: a pixel that a shape touches is inside, Ghostscript's
// own rule, or only one whose centre is.
const (
	touched = "touched"
	centred = "centred"
)

// interpret has a Ghostscript that was started with some arguments draw all pages of
// some files, one file after another, with parameters as setpagedevice takes them.
// Pictures are numbered upwards, from any number. An interpreter that found a fault
// draws no other test's files.
func interpret(t testing.TB, started, parameters, fill string, paths ...string) result {
	t.Helper()
	g := taken(t, started)
	var all result
	for _, path := range paths {
		r := g.draw(fmt.Sprintf("{ << %s >> setpagedevice %s %s (r) file runpdf } finish\n", parameters, fill, psString(t, path)))
		all.stdout, all.stderr, all.exit = append(all.stdout, r.stdout...), append(all.stderr, r.stderr...), r.exit
		if r.exit != 0 || complained(r) {
			g.kill()
			return all
		}
	}
	idle.Lock()
	defer idle.Unlock()
	idle.of[started] = append(idle.of[started], g)
	return all
}

// taken returns an interpreter that waited, or a new one.
func taken(t testing.TB, started string) *interpreter {
	t.Helper()
	path := Need(t, "gs")
	idle.Lock()
	defer idle.Unlock()
	if free := idle.of[started]; len(free) > 0 {
		idle.of[started] = free[:len(free)-1]
		return free[len(free)-1]
	}
	// As safe as ever, but that it reads and writes where later tests have their files.
	// Told to read from "-", it would wait for more than one line.
	cmd := exec.Command(path, append(strings.Fields(started),
		"-dSAFER", "--permit-file-read=*", "--permit-file-write=*", "-dNOPAUSE", "-dNOPROMPT", "-dUseCropBox", "-sOutputFile="+os.DevNull)...)
	in, noIn := cmd.StdinPipe()
	out, noOut := cmd.StdoutPipe()
	stderr, noErr := cmd.StderrPipe()
	for _, err := range []error{noIn, noOut, noErr, cmd.Start()} {
		if err != nil {
			t.Fatalf("gs: %v", err)
		}
	}
	g := &interpreter{in: in, out: bufio.NewReader(out), err: bufio.NewReader(stderr)}
	g.kill = sync.OnceFunc(func() {
		cmd.Process.Kill()
		cmd.Wait()
	})
	io.WriteString(in, prologue)
	return g
}

// ended is the line behind all that is said of one file, on both outputs.
const ended = "-- that is all of this file --"

// prologue says how a file is drawn, and both ways to fill.
const prologue = `
[ .currentfilladjust2 ] cvx /usual exch def
/touched { usual .setfilladjust2 } def
/centred { 0 0 .setfilladjust2 } def
/finish {
	stopped { (%stderr) (w) file dup (stopped by ) writestring dup $error /errorname get =string cvs writestring (\n) writestring flushfile } if
	clear
	(\n` + ended + `\n) print flush
	(%stderr) (w) file dup (\n` + ended + `\n) writestring flushfile
} def
`

// draw tells what draws one file and gives what was said of it. Exit is 1 where the
// interpreter ended by it, or was silent for too long.
func (g *interpreter) draw(program string) result {
	late := time.AfterFunc(patience, g.kill)
	defer late.Stop()
	var r result
	stderr := make(chan bool)
	var whole bool
	go func() {
		var whole bool
		r.stderr, whole = answer(g.err)
		stderr <- whole
	}()
	io.WriteString(g.in, program) // to a dead one: it is silent
	r.stdout, whole = answer(g.out)
	if !<-stderr || !whole {
		r.exit = 1
	}
	return r
}

// answer is what is said up to the end of a file; whole tells whether that came.
func answer(from *bufio.Reader) (said []byte, whole bool) {
	for {
		line, err := from.ReadBytes('\n')
		if string(bytes.TrimSpace(line)) == ended {
			return bytes.TrimSuffix(said, []byte("\n")), true
		}
		said = append(said, line...)
		if err != nil {
			return said, false
		}
	}
}

// pictures are the parameters of a device that writes pictures into a folder.
func pictures(t testing.TB, file string, dpi float64) string {
	t.Helper()
	return fmt.Sprintf("/HWResolution [%[1]s %[1]s] /OutputFile %s", number(dpi), psString(t, file))
}

// psString is a file's path as a string of PostScript, from the root: an interpreter
// stays in the folder where it was started.
func psString(t testing.TB, path string) string {
	t.Helper()
	whole, err := filepath.Abs(path)
	if err != nil {
		t.Fatal(err)
	}
	return "(" + strings.NewReplacer(`\`, `\\`, "(", `\(`, ")", `\)`).Replace(whole) + ")"
}
