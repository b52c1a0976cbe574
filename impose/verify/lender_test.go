package verify_test

import (
	"context"
	"testing"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/ink"
	"quoin/impose/witness"
)

// What has no resources takes those of whoever uses it, in the file too: the
// text prints, and the proof agrees. A membership of layers that the document
// doesn't declare is no alarm.
func TestBorrowedResourcesAreWritten(t *testing.T) {
	path := witness.Borrowing(t)
	j := small(path, geometry.Turn90)
	im, err := impose.Open(context.Background(), j)
	if err != nil {
		t.Fatal(err)
	}
	defer im.Close()
	if e, ok := im.Inks.Find(ink.Black); !ok || !e.Prints() {
		t.Error("the black text is no ink")
	}
	pdf, summary := finished(t, im)
	if r := verified(t, pdf, summary); !r.Same {
		t.Errorf("%+v", r.Differences)
	}
}
