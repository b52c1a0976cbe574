package queueshop

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"quoin/impose/night/nighttest"
	"strings"
	"testing"
)

// TestQueuedNightIsTheLocalNight hands a night to two workers, one of whom may do
// two pieces at a time, and wants the very bytes of the local night; a second time
// everything is there already.
func TestQueuedNightIsTheLocalNight(t *testing.T) {
	dir := t.TempDir()
	command := nighttest.Small(t, "../../../samples", dir)
	bin := program
	if code, said := nighttest.Gang(t, bin, dir, append(append([]string{}, command...), "local")); code != exitLeftOut {
		t.Fatalf("the local night ends with %d: %s", code, said)
	}
	want := nighttest.Contents(t, filepath.Join(dir, "local"))
	s := openShop(t, 1, 2)
	for _, name := range []string{"first", "second"} {
		if code, said := nighttest.Gang(t, bin, dir, append(append([]string{}, command...), name, "--queue", s.url)); code != exitLeftOut {
			t.Fatalf("the night that was handed over ends with %d: %s", code, said)
		}
		nighttest.SameContents(t, nighttest.Contents(t, filepath.Join(dir, name)), want)
	}
	out, err := s.command("tasks", "--queue", s.url, "--json", "--all").Output()
	if err != nil {
		t.Fatal(err)
	}
	var list struct {
		Tasks []struct{ ID, Kind, State, Reason string }
	}
	if err := json.Unmarshal(out, &list); err != nil || len(list.Tasks) != 3 {
		t.Errorf("tasks are %s (%v)", out, err)
	}
	for _, one := range list.Tasks {
		if one.State != "done" {
			t.Errorf("task %+v", one)
		}
	}
}

// TestQueueInAFolderNeedsNoPort hands a night to a queue in the same process.
func TestQueueInAFolderNeedsNoPort(t *testing.T) {
	dir := t.TempDir()
	command, bin := queueNight(t, dir, 3), program
	want := localNight(t, bin, dir, command)
	if code, said := nighttest.Gang(t, bin, dir, append(append([]string{}, command...), "inside", "--queue", "./store")); code != exitDone {
		t.Fatalf("the night ends with %d: %s", code, said)
	}
	nighttest.SameContents(t, nighttest.Contents(t, filepath.Join(dir, "inside")), want)
}

// TestCommandsAreHandedOver imposes, verifies and varies here and by way of a
// queue, each in a folder of its own, and wants the same files, words and exit
// codes.
func TestCommandsAreHandedOver(t *testing.T) {
	if testing.Short() {
		t.Skip("draws proofs twice")
	}
	bin := program
	s := openShop(t, 1, 2)
	samples, err := filepath.Abs("../../../samples")
	if err != nil {
		t.Fatal(err)
	}
	here, there := t.TempDir(), t.TempDir()
	for _, dir := range []string{here, there} {
		if err := os.CopyFS(dir, os.DirFS(samples)); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "broken.pdf"), []byte("%PDF-1.7\nno more"), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	run := func(dir string, args []string) (code int, said string) {
		cmd := exec.Command(bin, args...)
		cmd.Dir = dir
		var out, words bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &words
		if err := cmd.Run(); cmd.ProcessState == nil {
			t.Fatal(err)
		}
		return cmd.ProcessState.ExitCode(), out.String() + words.String()
	}
	for _, line := range []string{
		"impose job.yaml -o out.pdf --summary out.json --sheet sheet.pdf --ticket ticket.json --picture out.svg -v",
		"verify out.pdf out.json --json",
		"impose artwork/orchard-juice.pdf --web 340mm --gap 3x3mm --bleed 1mm --frame-max 300mm --quantity 500 -n --proof proof.html --json",
		"impose artwork/orchard-juice.pdf --web 40mm --gap 3x3mm --bleed 1mm --frame-max 300mm --quantity 500 -o small.pdf",
		"impose broken.pdf --web 340mm --gap 3x3mm --frame-max 300mm --quantity 500 -o small.pdf",
		"impose none.pdf --web 340mm --gap 3x3mm --frame-max 300mm --quantity 500 -o small.pdf",
		"verify artwork/orchard-juice.pdf out.json",
		"vary numbered.yaml -o run.pdf --part-frames 2 --register none",
	} {
		args := strings.Fields(line)
		want, words := run(here, args)
		got, others := run(there, append(args, "--queue", s.url))
		if got != want || others != words {
			t.Errorf("%s\nends with %d, here with %d, and says\n%s\nhere\n%s", line, got, want, others, words)
		}
	}
	sameTree(t, there, here)
}

// sameTree compares two folders with all that is below.
func sameTree(t *testing.T, got, want string) {
	t.Helper()
	files := 0
	err := filepath.WalkDir(want, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		files++
		name, _ := filepath.Rel(want, path)
		a, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if b, err := os.ReadFile(filepath.Join(got, name)); err != nil || !bytes.Equal(a, b) {
			t.Errorf("%s differs (%v)", name, err)
		}
		return nil
	})
	if err != nil || files < 10 {
		t.Errorf("%d files: %v", files, err)
	}
}
