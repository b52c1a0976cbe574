package verify_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"quoin/impose/job"
	"quoin/impose/verify"
	"quoin/impose/witness"
)

// TestAnotherWritersFile lets qpdf write the file anew, with other object
// numbers, without object streams, linearized: what it holds is the same.
func TestAnotherWritersFile(t *testing.T) {
	qpdf := witness.Need(t, "qpdf")
	j, err := job.Houses(nil).ReadJob("../../samples/job.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	pdf, summary := written(t, j)
	again := filepath.Join(t.TempDir(), "again.pdf")
	if out, err := exec.Command(qpdf, "--linearize", "--object-streams=disable", "--stream-data=preserve", pdf, again).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	if r := verified(t, again, summary); !r.Same || r.Stations != 72 {
		t.Errorf("%+v", r.Differences)
	}
	// Streams that are packed again are other bytes, even where they hold the
	// same.
	if out, err := exec.Command(qpdf, "--recompress-flate", "--compression-level=1", pdf, again).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	if r := verified(t, again, summary); !slices.Contains(codes(r), verify.StreamBytes) {
		t.Errorf("repacked streams: %+v", r.Differences)
	}
}

// TestAFileThatNeedsMending cuts a file short: readers find its objects all the
// same, but a press might not.
func TestAFileThatNeedsMending(t *testing.T) {
	pdf, summary := written(t, frame("../../testdata/placing/layer-off.pdf"))
	data, err := os.ReadFile(pdf)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(pdf, data[:len(data)-12], 0o666); err != nil {
		t.Fatal(err)
	}
	if r := verified(t, pdf, summary); !slices.Contains(codes(r), verify.Damaged) {
		t.Errorf("%+v", r.Differences)
	}
}
