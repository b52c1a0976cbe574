package deskwalk

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"quoin/geometry/trials"
	"quoin/impose/witness"
)

// TestMain lets walks go side by side, more of them than there are cores: most of
// their time they wait.
func TestMain(m *testing.M) {
	trials.SideBySide(6)
	var err error
	if delivered, err = os.MkdirTemp("", "quoin-desk-*"); err != nil {
		panic(err)
	}
	code := m.Run()
	for _, end := range chromium.ends {
		end()
	}
	os.RemoveAll(delivered)
	os.Exit(code)
}

// delivered is the folder of the built program.
var delivered string

// program builds quoin once for all tests that need it as it is delivered.
var program = sync.OnceValues(func() (string, error) {
	return witness.Program(delivered)
})

// desk is a running desk.
type desk struct {
	t       testing.TB
	address string // with the secret
	host    string // 127.0.0.1:port
	cmd     *exec.Cmd
	client  *http.Client // that has been let in
	ended   chan error
	errors  *bytes.Buffer
}

// samplesIn copies the samples that the desk needs into a folder.
func samplesIn(t testing.TB) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../../samples")); err != nil {
		t.Fatal(err)
	}
	return dir
}

// fewOrders leaves the orders of these numbers in the samples' list: a night of few
// runs is built sooner.
func fewOrders(t testing.TB, dir string, numbers ...string) {
	t.Helper()
	path := filepath.Join(dir, "orders.csv")
	list, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var kept strings.Builder
	for line := range strings.Lines(string(list)) {
		if number, _, _ := strings.Cut(line, ","); !strings.HasPrefix(line, "0") || slices.Contains(numbers, number) {
			kept.WriteString(line)
		}
	}
	put(t, path, kept.String())
}

// oneArtwork leaves the samples' job its first artwork: nothing is compared with it.
func oneArtwork(t testing.TB, dir string) (text string) {
	t.Helper()
	path := filepath.Join(dir, "job.yaml")
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	first, others, found := strings.Cut(string(whole), "  - file: artwork/orchard-cider.pdf\n")
	_, rest, ends := strings.Cut(others, "\nmarks:")
	if !found || !ends {
		t.Fatalf("the samples' job is\n%s", whole)
	}
	text = first + "\nmarks:" + rest
	put(t, path, text)
	return text
}

// openDesk starts a desk on a folder, by its contract: the address is the first
// line on standard output.
func openDesk(t testing.TB, dir string, args ...string) *desk {
	t.Helper()
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	d := &desk{t: t, ended: make(chan error, 1), errors: &bytes.Buffer{}}
	d.cmd = exec.Command(path, append([]string{"desk", dir, "--port", "0", "--no-browser"}, args...)...)
	d.cmd.Stderr = d.errors
	out, err := d.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := d.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatalf("no address: %v\n%s", err, d.errors)
	}
	d.address = strings.TrimSpace(line)
	go func() { d.ended <- d.cmd.Wait() }()
	t.Cleanup(d.close)
	u, err := url.Parse(d.address)
	if err != nil || u.Query().Get("key") == "" {
		t.Fatalf("the first line is no address with a key: %q", line)
	}
	d.host = u.Host
	jar, _ := cookiejar.New(nil)
	d.client = &http.Client{Jar: jar, Timeout: 2 * time.Minute}
	if args == nil {
		if r, err := d.client.Get(d.address); err != nil || r.StatusCode != http.StatusOK {
			t.Fatalf("the address doesn't open: %v %v", r, err)
		}
	}
	return d
}

// close interrupts the desk, which then ends by itself.
func (d *desk) close() {
	if d.ended == nil {
		return
	}
	d.cmd.Process.Signal(syscall.SIGINT)
	select {
	case err := <-d.ended:
		if err != nil && !strings.Contains(err.Error(), "killed") {
			d.t.Errorf("the desk ended with %v\n%s", err, d.errors)
		}
	case <-time.After(patience):
		d.cmd.Process.Kill()
		d.t.Error("the desk does not end when it is interrupted")
	}
	d.ended = nil
}

// ask sends a request with JSON, and gives the answer's status and text.
func (d *desk) ask(method, path, body string) (int, string) {
	d.t.Helper()
	r, err := http.NewRequestWithContext(context.Background(), method, "http://"+d.host+path, strings.NewReader(body))
	if err != nil {
		d.t.Fatal(err)
	}
	r.Header.Set("Accept", "application/json")
	if method != http.MethodGet {
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Origin", "http://"+d.host)
	}
	answer, err := d.client.Do(r)
	if err != nil {
		d.t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		d.t.Fatal(err)
	}
	return answer.StatusCode, string(text)
}
