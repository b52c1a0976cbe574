package queueshop

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"quoin/impose/wholefile"
)

// TestWatchedFolderAnswersOnce puts files of all kinds into a folder, in pieces, by
// renames and with markers, under names in several scripts, while two watchers
// look at it of which one is killed now and then; each file must be answered, and
// be done once for each content that stayed. QUOIN_WATCHED=1h keeps on for an hour.
func TestWatchedFolderAnswersOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("watches for a while")
	}
	long := 6 * time.Second
	if text := os.Getenv("QUOIN_WATCHED"); text != "" {
		var err error
		if long, err = time.ParseDuration(text); err != nil {
			t.Fatal(err)
		}
	}
	in, out := t.TempDir(), t.TempDir()
	put := func(name string, data []byte) {
		path := filepath.Join(in, filepath.FromSlash(name))
		os.MkdirAll(filepath.Dir(path), 0o777)
		if err := os.WriteFile(path, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	art, err := os.ReadFile("../../../samples/artwork/orchard-juice.pdf")
	if err != nil {
		t.Fatal(err)
	}
	settings := "web: 340mm\ngap: 3x3mm\nbleed: 1mm\nframe-max: 300mm\n"
	put("customer X/defaults.yaml", []byte(settings+"artworks:\n  - {file: any.pdf, quantity: 500}\n"))
	put("art/juice.pdf", art)
	var mu sync.Mutex
	var logs []*bytes.Buffer
	var running []*exec.Cmd
	start := func() *exec.Cmd {
		cmd := exec.Command(program, "watch", in, "--out", out, "--every", "200ms", "--still", "500ms", "--log-json")
		log := &bytes.Buffer{}
		cmd.Stderr = log
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		mu.Lock()
		defer mu.Unlock()
		logs, running = append(logs, log), append(running, cmd)
		return cmd
	}
	start()
	start()
	defer func() {
		for _, c := range running {
			c.Process.Kill()
			c.Wait()
		}
	}()
	rng := rand.New(rand.NewPCG(6, 1))
	want := map[string]string{} // state by name
	for n, end := 0, time.Now().Add(long); time.Now().Before(end) || n < 8; n++ {
		script := []string{"Saft", "сок", "蘋果汁", "عصير", "a b'c"}[n%5]
		name := fmt.Sprintf("customer X/%s-%d.pdf", script, n)
		switch n % 8 {
		case 0, 5: // in pieces
			half := rng.IntN(len(art))
			put(name, art[:half])
			time.Sleep(time.Duration(rng.IntN(300)) * time.Millisecond)
			put(name, art)
			want[name] = "done"
		case 1: // renamed in
			put(".way", art)
			if err := os.Rename(filepath.Join(in, ".way"), filepath.Join(in, filepath.FromSlash(name))); err != nil {
				t.Fatal(err)
			}
			want[name] = "done"
		case 2: // with a marker
			put(name, art)
			put(name+".ready", nil)
			want[name] = "done"
		case 3:
			put(name, art[:len(art)/3])
			want[name] = "refused"
		case 4:
			name = fmt.Sprintf("jobs/%s-%d.yaml", script, n)
			put(name, []byte(settings+"artworks:\n  - {file: ../art/juice.pdf, quantity: 500}\n"))
			want[name] = "done"
		case 6:
			name = fmt.Sprintf("jobs/%s-%d.yaml", script, n)
			put(name, []byte(settings+"colour-of-the-sky: blue\nartworks:\n  - {file: none.pdf, quantity: many}\n"))
			want[name] = "refused"
		case 7:
			name = fmt.Sprintf("customer X/%s-%d.csv", script, n)
			put(name, []byte("order,quantity,artwork\n1,900,../art/juice.pdf\n2,700,../art/juice.pdf\n"))
			want[name] = "done"
		}
		time.Sleep(time.Duration(rng.IntN(250)) * time.Millisecond)
		if n%50 == 6 { // what it had claimed is taken over once that stands still
			running[len(running)-1].Process.Kill()
			running[len(running)-1].Wait()
			start()
		}
	}
	answer := func(name string) (state, sum, reason string, files []string) {
		data, err := os.ReadFile(filepath.Join(in, filepath.FromSlash(name)) + ".answer.json")
		if err != nil {
			return "", "", "", nil
		}
		var a struct {
			State, SHA256, Reason string
			Files                 []string
		}
		if err := json.Unmarshal(data, &a); err != nil {
			t.Fatal(err)
		}
		return a.State, a.SHA256, a.Reason, a.Files
	}
	for name, state := range want {
		path := filepath.Join(in, filepath.FromSlash(name))
		sum, err := wholefile.SHA256(path)
		if err != nil {
			t.Fatal(err)
		}
		got, of, reason, files := "", "", "", []string(nil)
		for of != sum { // go test's own bound ends what never comes
			time.Sleep(50 * time.Millisecond)
			got, of, reason, files = answer(name)
		}
		if got != state {
			t.Errorf("%s is answered by %q (%s), want %s", name, got, reason, state)
		}
		if state == "refused" && reason == "" {
			t.Errorf("%s is refused without a reason", name)
		}
		if _, err := os.Stat(path + map[string]string{"done": ".done.txt", "refused": ".refused.txt"}[state]); err != nil {
			t.Error(err)
		}
		for _, file := range files {
			if _, err := os.Stat(filepath.Join(out, filepath.FromSlash(file))); err != nil {
				t.Error(err)
			}
		}
		if _, err := os.Stat(path + ".ready"); err == nil {
			t.Errorf("the marker of %s stays", name)
		}
	}
	for _, c := range running {
		c.Process.Kill()
		c.Wait()
	}
	times := map[string]int{}
	for _, log := range logs {
		for line := range strings.Lines(log.String()) {
			var e struct{ Msg, File string }
			if json.Unmarshal([]byte(line), &e) == nil && e.Msg == "answered a file" {
				times[e.File]++
			}
		}
	}
	for name := range want {
		if n := times[name]; n > 1 { // a watcher may be killed before it tells
			t.Errorf("%s was answered %d times", name, n)
		}
	}
	for name := range times {
		if want[name] == "" {
			t.Errorf("%s was answered, and nobody asked", name)
		}
	}
	t.Logf("%d files", len(want))
}
