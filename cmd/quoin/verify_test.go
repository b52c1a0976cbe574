package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"quoin/geometry"
	"quoin/impose"
	"quoin/impose/job"
	"quoin/impose/prove"
	"quoin/impose/wholefile"
)

// TestWhatFailsNeverAppears lets impose --verify find another frame's content
// in the file that is about to appear.
func TestWhatFailsNeverAppears(t *testing.T) {
	open := func(shift geometry.Length) *imposed {
		j, err := job.Houses(nil).ReadJob("../../samples/job.yaml", nil)
		if err != nil {
			t.Fatal(err)
		}
		j.Shift = shift
		im, err := impose.Open(context.Background(), j)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { im.Close() })
		return &imposed{frame: im}
	}
	im := open(0)
	if err := im.writePDF(context.Background(), new(bytes.Buffer)); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "out.pdf")
	f := &imposeFlags{out: path}
	holds, err := f.proof(context.Background(), im)
	if err != nil {
		t.Fatal(err)
	}
	var differs *prove.Error
	_, err = wholefile.Write(path, wholefile.Options{}, func(w io.Writer) error {
		return open(10*geometry.Micrometre).frame.WritePDF(context.Background(), w)
	}, holds)
	if !errors.As(err, &differs) || exitCode(err) != exitFailed {
		t.Fatalf("error %v", err)
	}
	var words strings.Builder
	complain(&words, differs)
	if got := words.String(); !strings.Contains(got, "out.pdf is not as planned") || !strings.Contains(got, "\ndiffers: station-moved: the label stands 10.0 um across") {
		t.Error(got)
	}
	if left, err := os.ReadDir(filepath.Dir(path)); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}
