package queue

import (
	"context"
	"net"
	"strings"
	"testing"
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
