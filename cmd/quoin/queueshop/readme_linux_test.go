package queueshop

import (
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestReadmesThreeMachines carries out what the README says of three machines, line
// by line, with three loopback addresses and folders in their place. Each shell
// line is the README's own but for the addresses.
func TestReadmesThreeMachines(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a cluster")
	}
	t.Parallel()
	text, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "\nThree machines")
	_, rest, _ = strings.Cut(rest, "```\n")
	block, _, ok := strings.Cut(rest, "```")
	network := ownAddress()
	network = network[:strings.LastIndexByte(network, '.')+1]
	lines := strings.Split(strings.TrimSpace(strings.ReplaceAll(block, "10.0.0.", network)), "\n")
	if !ok || len(lines) != 10 {
		t.Fatalf("the README has %d lines on three machines: %q", len(lines), lines)
	}
	machines := []string{t.TempDir(), t.TempDir(), t.TempDir()}
	home := machines[0]
	certificates(t, home, network+"1", network+"2", network+"3")
	if err := os.Rename(filepath.Join(home, "cert.pem"), filepath.Join(home, "ca.pem")); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"job.yaml": webText, "orders.csv": "order,quantity,artwork\n1,900,juice.pdf\n2,700,juice.pdf\n"} {
		if err := os.WriteFile(filepath.Join(home, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	share(t, home, map[string]string{"ca.pem": "cert.pem", mustAbs(t, "../../../samples/artwork/orchard-juice.pdf"): "juice.pdf"}, home)
	shell := func(dir, line string) *exec.Cmd {
		cmd := exec.Command("bash", "-ec", "exec 2>&1; "+lines[2]+"; "+lines[6]+"\n"+line)
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), "PATH="+filepath.Dir(program)+":"+os.Getenv("PATH"), "GOMAXPROCS=1")
		return cmd
	}
	must := func(line string) string {
		t.Helper()
		out, err := shell(home, line).Output()
		if err != nil {
			t.Fatalf("%s: %v\n%s", line, err, out)
		}
		return string(out)
	}
	must(lines[0])
	must(lines[1])
	share(t, home, map[string]string{"users": "users", "cert.pem": "cert.pem", "key.pem": "key.pem", "ca.pem": "ca.pem"}, machines[1:]...)
	for i, dir := range append(machines, home) {
		line := lines[3+min(i, 2)]
		if i == 3 {
			line = lines[7]
		}
		cmd := shell(dir, strings.Replace(line, "quoin ", "exec quoin ", 1))
		cmd.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL}
		var log strings.Builder
		cmd.Stdout = &log
		if i == 3 { // a worker joins a cluster that is there
			for _, n := range []string{"1", "2", "3"} {
				for c, err := net.Dial("tcp", network+n+":4222"); ; c, err = net.Dial("tcp", network+n+":4222") {
					if err == nil {
						c.Close()
						break
					}
					time.Sleep(50 * time.Millisecond)
				}
			}
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() {
			cmd.Process.Kill()
			cmd.Wait()
			if t.Failed() {
				t.Log(line, log.String())
			}
		})
	}
	must(lines[8])
	for _, name := range []string{"run-001.pdf", "report.txt"} {
		if info, err := os.Stat(filepath.Join(home, "night", name)); err != nil || info.Size() == 0 {
			t.Errorf("of the night: %v", err)
		}
	}
	// A piece is taken out of the queue behind its result, for which alone the night waits.
	const want = "0 waiting, 0 being done, 0 set aside"
	said := must(lines[9])
	for end := time.Now().Add(time.Minute); !strings.Contains(said, want) && time.Now().Before(end); said = must(lines[9]) {
		time.Sleep(100 * time.Millisecond)
	}
	if !strings.Contains(said, want) {
		t.Errorf("the last line says %q, want %q", said, want)
	}
}

// share copies files of a folder into others.
func share(t *testing.T, from string, names map[string]string, to ...string) {
	t.Helper()
	for name, as := range names {
		if !filepath.IsAbs(name) {
			name = filepath.Join(from, name)
		}
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, dir := range to {
			if err := os.WriteFile(filepath.Join(dir, as), data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
}
