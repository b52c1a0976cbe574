package queueshop

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"quoin/impose/night/nighttest"
)

// TestQueuedNightIsTheLocalNight hands a night of which an order is left out to two
// workers, and wants the very bytes of the local night; a second time everything is
// there already. A queue in the same process needs no port and makes the same.
func TestQueuedNightIsTheLocalNight(t *testing.T) {
	t.Parallel()
	n := &night{dir: t.TempDir()}
	n.command = nighttest.Small(t, "../../../samples", n.dir)
	run := func(args []string) {
		t.Helper()
		if code, said := nighttest.Gang(t, program, n.dir, args); code != exitLeftOut {
			t.Fatalf("%q ends with %d: %s", args, code, said)
		}
	}
	run(n.args("local"))
	n.want = nighttest.Contents(t, filepath.Join(n.dir, "local"))
	s := openShop(t, 1, 2)
	for _, name := range []string{"first", "second"} {
		run(n.args(name, "--queue", s.url))
		n.same(t, name)
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
		if one.State != "done" || one.Kind != "run" {
			t.Errorf("task %+v", one)
		}
	}
	run(n.args("inside", "--queue", "./store"))
	n.same(t, "inside")
}

// TestCommandsAreHandedOver imposes, verifies and varies here and by way of a
// queue, each in a folder of its own, and wants the same files, words and exit
// codes.
func TestCommandsAreHandedOver(t *testing.T) {
	if testing.Short() {
		t.Skip("draws proofs twice")
	}
	t.Parallel()
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
		for name, text := range map[string]string{
			"broken.pdf": "%PDF-1.7\nno more",
			"old.yaml":   "web: 340mm\ngap: 3x3mm\nbleed: 1mm\nframe-max: 300mm\nartworks: [{file: gone.pdf, quantity: 500}]\n",
		} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
	lines := []string{
		"impose job.yaml -o out.pdf --summary out.json --sheet sheet.pdf --ticket ticket.json --picture out.svg -v",
		"verify out.pdf out.json --json",
		"impose artwork/orchard-juice.pdf --web 340mm --gap 3x3mm --bleed 1mm --frame-max 300mm --quantity 500 -n --proof proof.html --json",
		"impose artwork/orchard-juice.pdf --web 40mm --gap 3x3mm --bleed 1mm --frame-max 300mm --quantity 500 -o small.pdf",
		"impose broken.pdf --web 340mm --gap 3x3mm --frame-max 300mm --quantity 500 -o small.pdf",
		"impose none.pdf --web 340mm --gap 3x3mm --frame-max 300mm --quantity 500 -o small.pdf",
		"verify artwork/orchard-juice.pdf out.json",
		"impose artwork/orchard-juice.pdf broken.pdf artwork/orchard-cider.pdf none.pdf --web 340mm --gap 3x3mm --bleed 1mm --frame-max 300mm --quantity 500 -o many/ --json",
		"impose artwork/orchard-juice.pdf artwork/orchard-cider.pdf --web 340mm --gap 3x3mm --bleed 1mm --frame-max 300mm --quantity 500 -n",
		"again job.yaml --no-look-alikes --artwork orchard-cider.pdf=artwork/orchard-perry.pdf -o again.pdf --summary again.json --difference differs.png",
		"again old.yaml --artwork artwork/orchard-perry.pdf -o late.pdf --summary late.json",
		"vary numbered.yaml -o run.pdf --part-frames 100",
		"verify --run run.pdf --json",
		"verify --run run.pdf --records artwork/orchard-juice.pdf",
	}
	said := func(dir string, more ...string) (all []string) {
		for _, line := range lines {
			cmd := exec.Command(bin, append(strings.Fields(line), more...)...)
			cmd.Dir = dir
			var out, words bytes.Buffer
			cmd.Stdout, cmd.Stderr = &out, &words
			if err := cmd.Run(); cmd.ProcessState == nil {
				t.Error(err)
			} else {
				all = append(all, fmt.Sprintf("exit code %d\n%s%s", cmd.ProcessState.ExitCode(), &out, &words))
			}
		}
		return all
	}
	var want []string
	var both sync.WaitGroup
	both.Go(func() { want = said(here) })
	got := said(there, "--queue", s.url)
	both.Wait()
	waits := regexp.MustCompile(`(?m)^warning: waiting for the queue at .*\n`) // where the machine is busy
	for i, line := range lines {
		if !t.Failed() && waits.ReplaceAllString(got[i], "") != want[i] {
			t.Errorf("%s\nends by way of the queue with\n%s\nhere with\n%s", line, got[i], want[i])
		}
	}
	sameTree(t, there, here)
	out, err := s.command("tasks", "--queue", s.url, "--json", "--all").Output()
	if err != nil {
		t.Fatal(err)
	}
	// All but none.pdf, which is refused here, and the parts of the run; two prove it.
	if n := bytes.Count(out, []byte(`"kind": "command"`)); n != 15 {
		t.Errorf("%d commands went through the queue: %s", n, out)
	}
}

// sameTree compares two folders with all that is below.
func sameTree(t *testing.T, got, want string) {
	t.Helper()
	files := 0
	err := filepath.WalkDir(want, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || d.Name() == "quoin.register" { // which says when a run was begun
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
