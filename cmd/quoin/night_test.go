package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/sync/errgroup"

	"quoin/geometry/trials"
	"quoin/impose/night/nighttest"
)

// quoinProgram returns the program that is killed: this test's own binary, which
// TestMain lets be called so. Nothing is built once more.
func quoinProgram(tb testing.TB) string {
	tb.Helper()
	bin, err := exec.LookPath("quoin")
	if err != nil {
		tb.Fatal(err)
	}
	return bin
}

// smallNight puts a night's orders into a folder. Its labels are compared for
// look-alikes in the long pass only.
func smallNight(t *testing.T, dir string) (command []string) {
	command = nighttest.Small(t, "../../samples", dir)
	if !trials.Long() {
		command = nighttest.Apart(command)
	}
	return command
}

// whole is the small night built without a break, once for all tests.
var whole struct {
	sync.Mutex
	files map[string]string
	took  time.Duration
}

// unbroken gives the files of the small night, and how long they took.
func unbroken(t *testing.T) (files map[string]string, took time.Duration) {
	t.Helper()
	whole.Lock()
	defer whole.Unlock()
	if whole.files == nil {
		dir := t.TempDir()
		command := smallNight(t, dir)
		began := time.Now()
		if code, said := nighttest.Gang(t, quoinProgram(t), dir, append(command, "unbroken")); code != exitLeftOut {
			t.Fatalf("the unbroken night ends with %d: %s", code, said)
		}
		whole.files, whole.took = nighttest.Contents(t, filepath.Join(dir, "unbroken")), time.Since(began)
	}
	return whole.files, whole.took
}

// TestKilledNightLosesAndDoublesNothing kills the program at 4 random moments, 50
// in the long pass, and at more until one came late enough, starts it again each time, and wants the folder of an unbroken
// night, byte by byte. No start shows an unfinished folder.
func TestKilledNightLosesAndDoublesNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("kills take a while")
	}
	t.Parallel()
	dir := t.TempDir()
	bin, command := quoinProgram(t), smallNight(t, dir)
	want, usual := unbroken(t)
	rng := rand.New(rand.NewPCG(7, 11))
	most := trials.Number(t, "QUOIN_NIGHT_KILLS", 4, 50)
	kills, kept := 0, 0
	for nights := 0; kills < most || kept == 0 && kills < 50; nights++ {
		night := fmt.Sprint("night", nights)
		place := filepath.Join(dir, night)
		given := float64(usual)
		for done := false; !done; given *= 1.2 { // on a machine that has become busy, too, one start gets to the end
			ctx, cancel := context.WithTimeout(t.Context(), time.Duration(rng.Float64()*given))
			cmd := exec.CommandContext(ctx, bin, append(command, night)...) // ends in SIGKILL
			cmd.Dir = dir
			var stderr bytes.Buffer
			cmd.Stderr = &stderr
			if err := cmd.Start(); err == nil { // not before the moment has come
				cmd.Wait()
			}
			cancel()
			if cmd.ProcessState == nil {
				continue
			}
			if strings.Contains(stderr.String(), "files are kept") {
				kept++
			}
			switch done = cmd.ProcessState.ExitCode() == exitLeftOut; {
			case done:
			case cmd.ProcessState.Exited():
				t.Fatalf("the night ends with %d: %s", cmd.ProcessState.ExitCode(), stderr.String())
			default:
				kills++
			}
			if _, err := os.Stat(place); err == nil {
				got := nighttest.Contents(t, place)
				delete(got, ".journal") // a kill right behind the rename leaves what was for the making only
				delete(got, ".found")
				nighttest.SameContents(t, got, want)
			} else if done || !errors.Is(err, fs.ErrNotExist) {
				t.Fatal(err)
			}
		}
		nighttest.SameContents(t, nighttest.Contents(t, place), want)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".night*")); len(left) > 0 {
		t.Errorf("left behind: %q", left)
	}
	if kept == 0 {
		t.Error("no start ever kept what another had finished: the kills come too early to test anything")
	}
	t.Logf("%d kills, %d starts went on with an unfinished night", kills, kept)
}

// TestStartsAtOneTimeDontCollide lets four starts build one folder. One builds
// it; the others say that it is being built, or that it was built already.
func TestStartsAtOneTimeDontCollide(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program")
	}
	t.Parallel()
	dir := t.TempDir()
	bin, command := quoinProgram(t), smallNight(t, dir)
	want, _ := unbroken(t)
	var mu sync.Mutex
	built, busy := 0, 0
	var starts errgroup.Group
	for range 4 {
		starts.Go(func() error {
			code, said := nighttest.Gang(t, bin, dir, append(append([]string{}, command...), "night"))
			mu.Lock()
			defer mu.Unlock()
			switch {
			case code == exitLeftOut && !strings.Contains(said, "built already"):
				built++
			case code == exitLeftOut, code == exitFailed && strings.Contains(said, "another start is building this folder"):
				busy++
			default:
				return fmt.Errorf("a start ends with %d: %s", code, said)
			}
			return nil
		})
	}
	if err := starts.Wait(); err != nil {
		t.Fatal(err)
	}
	if built != 1 || busy != 3 {
		t.Errorf("%d starts built the folder, %d stood back", built, busy)
	}
	nighttest.SameContents(t, nighttest.Contents(t, filepath.Join(dir, "night")), want)
}

// TestNightGoesOnAfterAFullDisk sets a limit on the size of files, which fails
// the larger ones as a full disk does, and then takes it away.
func TestNightGoesOnAfterAFullDisk(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program")
	}
	t.Parallel()
	sh, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("no shell can limit the size of files here")
	}
	dir := t.TempDir()
	bin, command := quoinProgram(t), smallNight(t, dir)
	want, _ := unbroken(t)
	night := append(append([]string{}, command...), "night")
	code, said := nighttest.Gang(t, sh, dir, append([]string{"-c", `ulimit -f 200; exec "$0" "$@"`, bin}, night...))
	if code != exitFailed || !strings.Contains(said, "error: building night: file too large") || !strings.Contains(said, "hint: make room") {
		t.Fatalf("the full disk ends with %d: %s", code, said)
	}
	if _, err := os.Stat(filepath.Join(dir, "night")); !errors.Is(err, fs.ErrNotExist) {
		t.Fatalf("an unfinished night is shown: %v", err)
	}
	code, said = nighttest.Gang(t, bin, dir, night)
	if code != exitLeftOut || !strings.Contains(said, "files are kept") {
		t.Errorf("the next start ends with %d: %s", code, said)
	}
	nighttest.SameContents(t, nighttest.Contents(t, filepath.Join(dir, "night")), want)
}
