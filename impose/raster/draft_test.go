package raster

import (
	"bytes"
	"io"
	"path/filepath"
	"testing"
)

// TestDraftsAreReadAsWritten, those in memory and those in files, and leave nothing.
func TestDraftsAreReadAsWritten(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
	t.Setenv("TMP", dir)
	for _, parts := range []int{0, 1, 300} {
		var d Draft
		var want []byte
		for i := range parts {
			part := bytes.Repeat([]byte{byte(i)}, 5000)
			want = append(want, part...)
			if n, err := d.Write(part); n != len(part) || err != nil {
				t.Fatal(n, err)
			}
		}
		for range 2 {
			r, err := d.Reader()
			if err != nil {
				t.Fatal(err)
			}
			if got, err := io.ReadAll(r); err != nil || !bytes.Equal(got, want) || d.Size() != int64(len(want)) {
				t.Errorf("%d bytes, want %d: %v", len(got), len(want), err)
			}
		}
		d.Close()
		if _, err := d.Write([]byte{1}); err == nil {
			t.Error("a closed draft is written")
		}
	}
	if left, err := filepath.Glob(filepath.Join(dir, "*")); err != nil || len(left) > 0 {
		t.Errorf("left behind: %q, %v", left, err)
	}
}
