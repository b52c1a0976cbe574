package wholefile

import (
	"io"
	"os"
	"testing"
)

func TestScratchLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
	t.Setenv("TMP", dir) // where Windows looks
	s, err := NewScratch("scratch-*")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.WriteString("much"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Seek(0, io.SeekStart); err != nil {
		t.Fatal(err)
	}
	if got, err := io.ReadAll(s); err != nil || string(got) != "much" {
		t.Errorf("read back %q, %v", got, err)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
		t.Errorf("%v stays, %v", left, err)
	}
}
