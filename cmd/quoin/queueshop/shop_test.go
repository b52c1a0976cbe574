package queueshop

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
)

// shop is brokers and workers as processes of their own, that are killed and
// started again.
type shop struct {
	tb    testing.TB
	bin   string
	dir   string
	host  string
	ports []int // of the brokers; 0 until one has said which it took
	among []int // of the cluster's brokers among each other
	url   string

	mu      sync.Mutex
	brokers []*exec.Cmd
	workers []*exec.Cmd
}

// ownAddress returns a loopback address that nobody else is likely to stand at, so
// that a broker that is killed finds its port free when it is started again. Other
// systems than Linux have one address only.
func ownAddress() string {
	if runtime.GOOS != "linux" {
		return "127.0.0.1"
	}
	return net.IPv4(127, byte(1+rand.IntN(254)), byte(rand.IntN(256)), byte(1+rand.IntN(254))).String()
}

// freePorts returns ports that must be known before they are taken: the brokers of
// a cluster are told each other's.
func freePorts(tb testing.TB, host string, n int) (ports []int) {
	tb.Helper()
	for range n {
		l, err := net.Listen("tcp", net.JoinHostPort(host, "0"))
		if err != nil {
			tb.Fatal(err)
		}
		defer l.Close() // all at once, so that none comes twice
		ports = append(ports, l.Addr().(*net.TCPAddr).Port)
	}
	return ports
}

// openShop starts so many brokers and workers.
func openShop(tb testing.TB, brokers, workers int) *shop {
	tb.Helper()
	s := &shop{tb: tb, bin: program, dir: tb.TempDir(), host: ownAddress(), ports: make([]int, brokers), brokers: make([]*exec.Cmd, brokers), workers: make([]*exec.Cmd, workers)}
	if brokers > 1 {
		s.among = freePorts(tb, s.host, brokers)
	}
	var urls []string
	for i := range brokers {
		s.startBroker(i)
		urls = append(urls, fmt.Sprintf("nats://%s:%d", s.host, s.ports[i]))
	}
	s.url = strings.Join(urls, ",")
	for i := range workers {
		s.startWorker(i)
	}
	tb.Cleanup(func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		for _, c := range append(s.workers, s.brokers...) {
			if c != nil {
				c.Process.Kill()
				c.Wait()
			}
		}
	})
	return s
}

func (s *shop) command(args ...string) *exec.Cmd {
	cmd := exec.Command(s.bin, args...)
	cmd.Dir = s.dir
	cmd.Env = append(os.Environ(), "QUOIN_ACK_WAIT=1s", "GOMAXPROCS=1")
	return cmd
}

func (s *shop) store(i int) string { return filepath.Join(s.dir, fmt.Sprint("store", i)) }

func (s *shop) startBroker(i int) {
	args := []string{"queue", "--store", s.store(i), "--host", s.host, "--port", fmt.Sprint(s.ports[i]), "--workers", "0", "-q"}
	if len(s.brokers) > 1 {
		args = append(args, "--cluster", "shop", "--name", fmt.Sprint("broker", i), "--cluster-host", s.host, "--cluster-port", fmt.Sprint(s.among[i]))
		for k, port := range s.among {
			if k != i {
				args = append(args, "--peer", fmt.Sprintf("%s:%d", s.host, port))
			}
		}
	}
	cmd := s.command(args...)
	var port int
	address := firstLine(s.tb, cmd)
	if _, err := fmt.Sscanf(address, "nats://"+s.host+":%d", &port); err != nil || s.ports[i] != 0 && port != s.ports[i] {
		s.tb.Errorf("a broker says that it stands at %q: %v", address, err)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.brokers[i], s.ports[i] = cmd, port
}

// firstLine starts a command and returns the first line that it prints, which is
// its address. What it says on standard error is told if there is none.
func firstLine(tb testing.TB, cmd *exec.Cmd) string {
	tb.Helper()
	var words bytes.Buffer
	if cmd.Stderr == nil {
		cmd.Stderr = &words
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		tb.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		tb.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		cmd.Process.Kill()
		cmd.Wait()
		tb.Errorf("%q says no address: %v\n%s", cmd.Args, err, words.String())
	}
	return strings.TrimSpace(line)
}

func (s *shop) startWorker(i int) {
	cmd := s.command("work", "--queue", s.url, "--workers", "1", "-q")
	if err := cmd.Start(); err != nil {
		s.tb.Fatal(err)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.workers[i] = cmd
}

func (s *shop) kill(list []*exec.Cmd, i int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if c := list[i]; c != nil {
		c.Process.Kill()
		c.Wait()
		list[i] = nil
	}
}

func (s *shop) killWorker(i int) {
	s.kill(s.workers, i)
	s.startWorker(i)
}

func (s *shop) killBroker(i int, wipe bool) {
	s.kill(s.brokers, i)
	if wipe {
		if err := os.RemoveAll(s.store(i)); err != nil {
			s.tb.Error(err)
		}
	}
	s.startBroker(i)
}

// clear takes results out, so that the same night is work again.
func (s *shop) clear() {
	s.tb.Helper()
	if out, err := s.command("tasks", "--queue", s.url, "--clear").CombinedOutput(); err != nil {
		s.tb.Fatalf("clearing the queue: %v\n%s", err, out)
	}
}

// night hands a night over while trouble is made, and wants the folder of the
// local one.
func (s *shop) night(name string, n *night, trouble func(ctx context.Context)) {
	s.tb.Helper()
	ctx, stop := context.WithCancel(s.tb.Context())
	var made sync.WaitGroup
	made.Go(func() { trouble(ctx) })
	cmd := exec.Command(s.bin, n.args(name, "--queue", s.url, "-v")...)
	cmd.Dir = n.dir
	cmd.Env = append(os.Environ(), "QUOIN_ACK_WAIT=1s")
	var said bytes.Buffer
	cmd.Stderr = &said
	err := cmd.Run()
	stop()
	made.Wait()
	if err != nil {
		s.tb.Fatalf("the night that was handed over ends with %v: %s", err, said.String())
	}
	n.same(s.tb, name)
	os.RemoveAll(filepath.Join(n.dir, name))
}
