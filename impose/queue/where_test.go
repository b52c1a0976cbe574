package queue

import (
	"bufio"
	"context"
	"io"
	"net"
	"strings"
	"testing"
	"time"

	"github.com/nats-io/nats.go"
)

// TestWaitIsTold reaches for a queue where nobody listens, and for one that says
// nothing, and wants to be told so while that lasts.
func TestWaitIsTold(t *testing.T) {
	t.Parallel()
	silent, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { silent.Close() })
	empty, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	empty.Close()
	for at, stage := range map[string]string{empty.Addr().String(): stageNone, silent.Addr().String(): stageDial} {
		t.Run(stage, func(t *testing.T) {
			t.Parallel()
			ctx, stop := context.WithCancel(t.Context())
			defer stop()
			told := make(chan string, 1)
			ended := make(chan error, 1)
			go func() {
				_, err := Connect(ctx, Where{URLs: []string{"nats://" + at}, Waits: func(text string) { told <- text }})
				ended <- err
			}()
			select {
			case text := <-told:
				if !strings.Contains(text, at) || !strings.HasSuffix(text, stage) {
					t.Errorf("it tells %q", text)
				}
				stop()
				if <-ended == nil {
					t.Error("it is reached")
				}
			case err := <-ended:
				t.Errorf("it ends with %v and tells nothing", err)
			}
		})
	}
}

// TestBusyBrokerIsWaitedFor reaches for a broker that asks whether the client lives
// before it has let it in, as a busy one does, and lets it in the second time.
func TestBusyBrokerIsWaitedFor(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	asked := make(chan bool, 16)
	go func() {
		for n := 0; ; {
			c, err := l.Accept()
			if err != nil {
				return
			}
			io.WriteString(c, "INFO {\"server_id\":\"x\",\"version\":\"2.12.0\",\"proto\":1,\"max_payload\":1048576}\r\n")
			r := bufio.NewReader(c)
			if line, err := r.ReadString('\n'); err != nil || !strings.HasPrefix(line, "CONNECT") {
				c.Close() // that only looked whether somebody listens
				continue
			}
			if n++; n < 3 {
				io.WriteString(c, "PING\r\n")
				continue
			}
			io.WriteString(c, "PONG\r\n")
			asked <- true
		}
	}()
	nc, err := dial(t.Context(), "nats://"+l.Addr().String(), []nats.Option{nats.Timeout(5 * time.Second), nats.NoReconnect()}, func(stage string) {
		if stage != stageBusy {
			t.Errorf("it waits as %q", stage)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	nc.Close()
	<-asked
}
