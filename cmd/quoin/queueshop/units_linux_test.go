package queueshop

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// booted is a systemd of its own, with the units of samples.
type booted struct {
	*testing.T
	pid  int    // of its first process
	root string // its files, as this machine sees them
}

// boot starts it, and skips the test where that may not be: it takes root, and
// namespaces.
func boot(t *testing.T) *booted {
	t.Helper()
	for _, name := range []string{"unshare", "nsenter", "systemctl", "/lib/systemd/systemd", "useradd"} {
		if _, err := exec.LookPath(name); err != nil {
			cannot(t, "%v (Debian: util-linux, systemd, passwd)", err)
		}
	}
	if out, err := exec.Command("unshare", "--mount", "--pid", "--fork", "--net", "--cgroup", "mount", "-t", "tmpfs", "tmpfs", "/mnt").CombinedOutput(); err != nil {
		cannot(t, "this machine allows no namespaces: %s", out)
	}
	units, err := filepath.Abs("../../../samples/systemd")
	if err != nil {
		t.Fatal(err)
	}
	layer := t.TempDir()
	cmd := exec.Command("unshare", "--fork", "--kill-child", "--pid", "--mount", "--uts", "--ipc", "--net", "--cgroup", "testdata/boot.sh", layer, units, program)
	cmd.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL} // nothing stays if the tests are ended
	var log strings.Builder
	cmd.Stdout, cmd.Stderr = &log, &log
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Kill(); cmd.Wait() })
	b := &booted{T: t}
	for end := time.Now().Add(time.Minute); ; time.Sleep(50 * time.Millisecond) {
		children, _ := os.ReadFile(fmt.Sprintf("/proc/%d/task/%d/children", cmd.Process.Pid, cmd.Process.Pid))
		if fmt.Sscan(string(children), &b.pid); b.pid != 0 {
			if out, err := b.in("systemctl is-system-running").CombinedOutput(); err == nil || strings.TrimSpace(string(out)) == "degraded" {
				break
			}
		}
		if time.Now().After(end) {
			cannot(t, "systemd does not start in namespaces here: %s", log.String())
		}
	}
	b.root = fmt.Sprintf("/proc/%d/root", b.pid)
	b.do("ip link set lo up; useradd --system --user-group quoin")
	return b
}

// cannot skips the test, but where everything must be tried.
func cannot(t *testing.T, why string, args ...any) {
	t.Helper()
	if why = "units are not run: " + fmt.Sprintf(why, args...); os.Getenv("CI") == "true" {
		t.Fatal(why)
	}
	t.Skip(why)
}

// in is a command of its shell.
func (b *booted) in(line string) *exec.Cmd {
	return exec.Command("nsenter", "-t", fmt.Sprint(b.pid), "-m", "-u", "-i", "-n", "-p", "-r", "-w", "/bin/bash", "-ec", line)
}

// do runs a command that must go well, and returns what it says.
func (b *booted) do(line string) string {
	b.Helper()
	out, err := b.in(line).CombinedOutput()
	if err != nil {
		b.Fatalf("%s: %v\n%s", line, err, out)
	}
	return strings.TrimSpace(string(out))
}

// until waits for a command to go well.
func (b *booted) until(line string) string {
	b.Helper()
	for end := time.Now().Add(time.Minute); ; time.Sleep(100 * time.Millisecond) {
		out, err := b.in(line).CombinedOutput()
		if err == nil {
			return strings.TrimSpace(string(out))
		}
		if time.Now().After(end) {
			b.Fatalf("%s: %v\n%s\n%s", line, err, out, b.do("systemctl status --no-pager 'quoin-*' 'broker*' || true; journalctl --no-pager -n 40 || true"))
		}
	}
}

func (b *booted) copy(from, to string) {
	b.Helper()
	data, err := os.ReadFile(from)
	if err == nil {
		err = os.WriteFile(filepath.Join(b.root, to), data, 0o666)
	}
	if err != nil {
		b.Fatal(err)
	}
}

// TestUnitsRun starts the services of samples under systemd. The queue answers a
// file that is put into its folder by the bytes of a local run, answers its
// monitor, comes back when it is killed and ends well; the worker joins a broker
// with TLS and users by its credential, and does a night.
func TestUnitsRun(t *testing.T) {
	if testing.Short() {
		t.Skip("boots")
	}
	t.Parallel()
	b := boot(t)
	b.do("systemctl start quoin-queue")
	if said := b.until("stat -c %U:%G:%a /var/lib/quoin/in"); said != "quoin:quoin:3775" {
		t.Errorf("the folder is %s", said)
	}
	const text = webText + "artworks:\n  - {file: juice.pdf, quantity: 500}\n"
	here := t.TempDir()
	b.copy("../../../samples/artwork/orchard-juice.pdf", "/var/lib/quoin/in/juice.pdf")
	for _, path := range []string{filepath.Join(here, "job.yaml"), b.root + "/var/lib/quoin/in/job.yaml"} {
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(mustAbs(t, "../../../samples/artwork/orchard-juice.pdf"), filepath.Join(here, "juice.pdf")); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(program, "impose", filepath.Join(here, "job.yaml"), "-o", filepath.Join(here, "out.pdf"), "-q").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	if said := b.until("cat /var/lib/quoin/in/job.yaml.answer.json"); !strings.Contains(said, `"done"`) {
		t.Fatal(said)
	}
	want, _ := os.ReadFile(filepath.Join(here, "out.pdf"))
	if got, err := os.ReadFile(b.root + "/var/lib/quoin/out/job-job.pdf"); err != nil || string(got) != string(want) || len(got) == 0 {
		t.Errorf("the queue's file has %d bytes, the local one %d (%v)", len(got), len(want), err)
	}
	if said := b.do(`exec 3<>/dev/tcp/127.0.0.1/9400; printf 'GET /health HTTP/1.0\r\n\r\n' >&3; cat <&3`); !strings.HasSuffix(said, "ok") {
		t.Errorf("the monitor reads %q", said)
	}
	const process = "systemctl show -P MainPID quoin-queue"
	killed := b.do(process + "; systemctl kill -s KILL quoin-queue")
	b.until(`new=$(` + process + `); [ "$new" != 0 ] && [ "$new" != ` + killed + ` ] && quoin tasks --queue nats://127.0.0.1:4222`)
	b.worker(here)
	for _, unit := range []string{"quoin-worker", "quoin-queue"} {
		if said := b.do("systemctl stop " + unit + "; systemctl show -P Result " + unit); said != "success" {
			t.Errorf("%s ends as %s", unit, said)
		}
	}
	if said := b.do("journalctl -u quoin-worker -u quoin-queue --no-pager -o cat"); strings.Contains(said, b.do("cut -d: -f2 /etc/quoin/worker")) {
		t.Error("the worker's password stands in the journal")
	}
}

// worker lets the worker's unit do a night.
func (b *booted) worker(here string) {
	b.Helper()
	certificates(b.T, here)
	b.copy(filepath.Join(here, "cert.pem"), "/etc/quoin/ca.pem")
	b.copy(filepath.Join(here, "key.pem"), "/etc/quoin/key.pem")
	b.do(`cd /etc/quoin; for u in worker ann; do quoin queue --store /var/lib/broker --users users --add-user $u; done; mv users.worker worker
mkdir -p /etc/systemd/system/quoin-worker.service.d
printf '[Service]\nEnvironment=QUEUE=tls://127.0.0.1:4333\n' >/etc/systemd/system/quoin-worker.service.d/here.conf
printf '[Service]\nExecStart=/usr/local/bin/quoin queue --store /var/lib/broker --port 4333 --tls-cert /etc/quoin/ca.pem --tls-key /etc/quoin/key.pem --users /etc/quoin/users --workers 0\n' >/etc/systemd/system/broker.service
systemctl daemon-reload
systemctl start broker
mkdir /tmp/night; cp /var/lib/quoin/in/juice.pdf /tmp/night
printf 'order,quantity,artwork\n1,900,juice.pdf\n2,700,juice.pdf\n' >/tmp/night/orders.csv`)
	b.until("quoin tasks --queue tls://127.0.0.1:4333 --queue-ca /etc/quoin/ca.pem --queue-user /etc/quoin/users.ann")
	// The renderer that this machine has compiled already.
	b.do(`[ ! -d "${XDG_CACHE_HOME:-$HOME/.cache}/quoin/renderer" ] || { mkdir -p /var/cache/private/quoin-worker/quoin; chmod 700 /var/cache/private; cp -r "${XDG_CACHE_HOME:-$HOME/.cache}/quoin/renderer" /var/cache/private/quoin-worker/quoin; }`)
	b.do("systemctl start quoin-worker")
	b.until("journalctl -u quoin-worker -o cat | grep -q 'worker joins'")
	b.do(`cd /tmp/night; quoin gang orders.csv --web 340mm --gap 3x3mm --bleed 1mm --frame-max 300mm --time 50ms --out night -q --queue tls://127.0.0.1:4333 --queue-ca /etc/quoin/ca.pem --queue-user /etc/quoin/users.ann
test -s night/run-001.pdf; systemctl is-active quoin-worker`)
	if said := b.do("ps -o user= -C quoin | sort -u"); strings.Count(said, "\n") < 1 {
		b.Errorf("who runs it: %s", said)
	}
	if said := b.do("cat /proc/[0-9]*/cmdline | tr '\\0' ' '"); strings.Contains(said, b.do("cut -d: -f2 /etc/quoin/worker")) {
		b.Error("the worker's password stands in the list of processes")
	}
}

func mustAbs(t *testing.T, path string) string {
	t.Helper()
	path, err := filepath.Abs(path)
	if err != nil {
		t.Fatal(err)
	}
	return path
}
