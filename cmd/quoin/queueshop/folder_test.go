package queueshop

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"quoin/geometry/trials"
)

// folderShop is a watched folder of copies of one job, whose work goes through a
// queue over a folder.
type folderShop struct {
	*testing.T
	dir  string
	want []byte // the PDF that each copy becomes
}

func newFolderShop(t *testing.T) *folderShop {
	t.Helper()
	s := &folderShop{T: t, dir: t.TempDir()}
	if err := os.CopyFS(filepath.Join(s.dir, "in", "art"), os.DirFS("../../../samples/artwork")); err != nil {
		t.Fatal(err)
	}
	s.copies("copy", 1)
	if out, err := s.command(t.Context(), "impose", "in/copy-0.yaml", "-o", "want.pdf").CombinedOutput(); err != nil {
		t.Fatalf("imposing here: %v\n%s", err, out)
	}
	s.want = s.read("want.pdf")
	return s
}

// copies puts copies of the job into the folder.
func (s *folderShop) copies(name string, n int) {
	for i := range n {
		text := webText + "name: copies\nartworks:\n  - {file: art/orchard-juice.pdf, quantity: 500}\n"
		if err := os.WriteFile(filepath.Join(s.dir, "in", fmt.Sprintf("%s-%d.yaml", name, i)), []byte(text), 0o666); err != nil {
			s.Fatal(err)
		}
	}
}

func (s *folderShop) command(ctx context.Context, args ...string) *exec.Cmd {
	cmd := exec.CommandContext(ctx, program, args...)
	cmd.Dir = s.dir
	cmd.Env = append(os.Environ(), "QUOIN_CLAIM_DEAD=1s")
	return cmd
}

func (s *folderShop) watch(ctx context.Context, more ...string) *exec.Cmd {
	return s.command(ctx, append([]string{"watch", "in", "--out", "out", "--every", "100ms", "--still", "0s", "--at-once", "6", "--queue", "./store"}, more...)...)
}

func (s *folderShop) read(name string) []byte {
	s.Helper()
	data, err := os.ReadFile(filepath.Join(s.dir, name))
	if err != nil {
		s.Error(err)
	}
	return data
}

// done wants each copy done, as it is done here.
func (s *folderShop) done(name string, n int) {
	s.Helper()
	for i := range n {
		one := fmt.Sprintf("%s-%d", name, i)
		s.read(filepath.Join("in", one+".yaml.done.txt"))
		if got := s.read(filepath.Join("out", one+"-job.pdf")); !bytes.Equal(got, s.want) {
			s.Errorf("%s-job.pdf has %d bytes that are not the %d of the local one", one, len(got), len(s.want))
		}
	}
}

// TestCopiesShareTheFoldersQueue does copies of one job at once, each a command of
// its own, through a queue in the watcher's process. No piece may be lost to a
// worker that is gone: it would be silent for longer than this waits.
func TestCopiesShareTheFoldersQueue(t *testing.T) {
	t.Parallel()
	s := newFolderShop(t)
	ctx, stop := context.WithTimeout(t.Context(), 2*time.Minute)
	defer stop()
	s.copies("copy", 12)
	cmd := s.watch(ctx, "--once")
	cmd.Env = append(cmd.Env, "QUOIN_ACK_WAIT=1h")
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("watching: %v\n%s", err, out)
	}
	s.done("copy", 12)
}

// TestFoldersQueueOutlivesItsUsers has two watchers and a command use one folder as
// their queue, and kills a watcher in the middle, again and again: who is left has
// the folder next, and all is done as it would be here.
func TestFoldersQueueOutlivesItsUsers(t *testing.T) {
	if testing.Short() {
		t.Skip("waits for claims of the dead")
	}
	t.Parallel()
	s := newFolderShop(t)
	rounds := 2
	if trials.Long() {
		rounds = 10
	}
	for round := range rounds {
		ctx, stop := context.WithTimeout(t.Context(), 2*time.Minute)
		name := fmt.Sprint("round ", round)
		s.copies(name, 8)
		begin := func(cmd *exec.Cmd) (*exec.Cmd, *bytes.Buffer) {
			said := &bytes.Buffer{}
			cmd.Stdout, cmd.Stderr = said, said
			cmd.Env = append(cmd.Env, "QUOIN_ACK_WAIT=1s")
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			return cmd, said
		}
		killed, _ := begin(s.watch(ctx))
		left, watched := begin(s.watch(ctx, "--once"))
		by, imposed := begin(s.command(ctx, "impose", "in/copy-0.yaml", "-o", name+".pdf", "--queue", "./store"))
		time.Sleep(time.Duration(200+300*round) * time.Millisecond)
		killed.Process.Kill()
		killed.Wait()
		if err := left.Wait(); err != nil {
			t.Errorf("the watcher that is left: %v\n%s", err, watched)
		}
		if err := by.Wait(); err != nil || !bytes.Equal(s.read(name+".pdf"), s.want) {
			t.Errorf("the command: %v\n%s", err, imposed)
		}
		// What the dead watcher had claimed.
		if out, err := s.watch(ctx, "--once", "--every", "500ms").CombinedOutput(); err != nil {
			t.Errorf("watching once more: %v\n%s", err, out)
		}
		stop()
		s.done(name, 8)
	}
}
