package queue

import (
	"bufio"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"fmt"
	"io"
	"net"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/nats-io/nats.go"

	"quoin/impose/queue/broker"
)

// TestSlowClientsAreLetIn comes to a broker with users, in the open and by TLS, as a
// client of a busy machine does: it is let in though it dawdles for longer than the
// 2 s that the engine waits by itself, for a handshake or a password.
func TestSlowClientsAreLetIn(t *testing.T) {
	if testing.Short() {
		t.Skip("dawdles")
	}
	t.Parallel()
	dir := t.TempDir()
	users := filepath.Join(dir, "users")
	own, err := broker.AddUser(users, "ann")
	if err != nil {
		t.Fatal(err)
	}
	name, password, err := readUser(own)
	if err != nil {
		t.Fatal(err)
	}
	certificate, key := serverCertificate(t, dir)
	for where, o := range map[string]broker.Options{"open": {}, "TLS": {Certificate: certificate, Key: key}} {
		t.Run(where, func(t *testing.T) {
			t.Parallel()
			o.Store, o.Users, o.Listen = t.TempDir(), users, true
			b, err := broker.Start(o)
			if err != nil {
				t.Fatal(err)
			}
			t.Cleanup(b.Close)
			at, err := url.Parse(b.URL())
			if err != nil {
				t.Fatal(err)
			}
			conn, err := net.Dial("tcp", at.Host)
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close()
			r := bufio.NewReader(conn)
			if line, err := r.ReadString('\n'); err != nil || !strings.HasPrefix(line, "INFO ") {
				t.Fatalf("the broker begins with %q (%v), want INFO", line, err)
			}
			time.Sleep(2200 * time.Millisecond)
			if o.Certificate != "" {
				secure := tls.Client(conn, &tls.Config{InsecureSkipVerify: true})
				if err := secure.Handshake(); err != nil {
					t.Fatalf("a late handshake ends with %v", err)
				}
				conn, r = secure, bufio.NewReader(secure)
			}
			fmt.Fprintf(conn, "CONNECT {\"user\":%q,\"pass\":%q,\"verbose\":false}\r\nPING\r\n", name, password)
			line, err := r.ReadString('\n')
			for err == nil && strings.HasPrefix(line, "PING") { // whether the client lives
				line, err = r.ReadString('\n')
			}
			if err != nil || line != "PONG\r\n" {
				t.Errorf("who came late is answered %q (%v), want PONG", line, err)
			}
		})
	}
}

// serverCertificate writes the certificate of Go's own test server.
func serverCertificate(t *testing.T, dir string) (certificate, key string) {
	t.Helper()
	s := httptest.NewTLSServer(nil)
	defer s.Close()
	one := s.TLS.Certificates[0]
	private, err := x509.MarshalPKCS8PrivateKey(one.PrivateKey)
	if err != nil {
		t.Fatal(err)
	}
	certificate, key = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	for path, block := range map[string]*pem.Block{certificate: {Type: "CERTIFICATE", Bytes: one.Certificate[0]}, key: {Type: "PRIVATE KEY", Bytes: private}} {
		if err := os.WriteFile(path, pem.EncodeToMemory(block), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return certificate, key
}

// busyInside is a broker of this process that asks whether the client lives before it
// has let it in, and lets it in the third time.
type busyInside struct{ tries atomic.Int32 }

func (b *busyInside) InProcessConn() (net.Conn, error) {
	client, server := net.Pipe()
	answer := "PONG\r\n"
	if b.tries.Add(1) < 3 {
		answer = "PING\r\n"
	}
	go func() {
		io.WriteString(server, "INFO {\"server_id\":\"x\",\"version\":\"2.12.0\",\"proto\":1,\"max_payload\":1048576}\r\n")
		for r := bufio.NewReader(server); ; {
			line, err := r.ReadString('\n')
			if err != nil {
				return
			}
			if strings.HasPrefix(line, "PING") {
				io.WriteString(server, answer)
			}
		}
	}()
	return client, nil
}

// TestBusyBrokerInsideIsWaitedFor: a queue that does work itself does not give up
// because its own broker is slow to prove the worker's password.
func TestBusyBrokerInsideIsWaitedFor(t *testing.T) {
	t.Parallel()
	b := &busyInside{}
	nc, err := dialInside(t.Context(), b, []nats.Option{nats.NoReconnect()})
	if err != nil {
		t.Fatalf("after %d tries: %v, want a connection", b.tries.Load(), err)
	}
	nc.Close()
	if n := b.tries.Load(); n != 3 {
		t.Errorf("%d tries, want 3", n)
	}
}
