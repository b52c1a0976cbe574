package queue

import (
	"errors"
	"fmt"
	"testing"

	"github.com/nats-io/nats.go/jetstream"

	"quoin/impose/say"
)

// TestTroubleOfTheEngineIsNobodysFault holds errors that the engine calls its own to the
// kind for which a file or an order is done again, not refused.
func TestTroubleOfTheEngineIsNobodysFault(t *testing.T) {
	for _, one := range []struct {
		err  error
		want say.Kind
	}{
		{&jetstream.APIError{Code: 500, ErrorCode: 10049, Description: "stream store failed"}, say.Away},
		{fmt.Errorf("a task: %w", &jetstream.APIError{Code: 500, ErrorCode: 10028}), say.Away},
		{&jetstream.APIError{Code: 503, ErrorCode: 10008}, say.Away},
		{&jetstream.APIError{Code: 500, ErrorCode: 10047, Description: "insufficient storage resources available"}, say.Disk},
	} {
		got := Words(one.err)
		if kind := say.KindOf(got); kind != one.want {
			t.Errorf("%v is told as %q, which is of kind %q, want %q", one.err, got, kind, one.want)
		}
		if !errors.Is(got, one.err) {
			t.Errorf("%v is not in what is told of it: %v", one.err, got)
		}
	}
	asked := &jetstream.APIError{Code: 400, ErrorCode: 10037}
	if got := Words(asked); got != error(asked) {
		t.Errorf("%v is told as %v: what was asked wrongly is no trouble of the engine", asked, got)
	}
}
