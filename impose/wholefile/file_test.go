package wholefile

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"quoin/impose/say"
)

// TestSumIsOfWhatIsWritten writes parts of all lengths, also across chunks.
func TestSumIsOfWhatIsWritten(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	path := filepath.Join(t.TempDir(), "out")
	for range 20 {
		var all []byte
		sum, err := Write(path, Options{}, func(w io.Writer) error {
			for range random.IntN(20) {
				part := make([]byte, random.IntN(3*chunkBytes))
				for i := range part {
					part[i] = byte(random.Uint32())
				}
				all = append(all, part...)
				if n, err := w.Write(part); n != len(part) || err != nil {
					t.Fatal(n, err)
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		got, err := os.ReadFile(path)
		if err != nil || !bytes.Equal(got, all) {
			t.Fatalf("%d bytes are in the file, %d were written: %v", len(got), len(all), err)
		}
		want := sha256.Sum256(all)
		if sum != (Sum{hex.EncodeToString(want[:]), int64(len(all))}) {
			t.Fatalf("got the sum %v of %d bytes, want %x", sum, len(all), want)
		}
		if read, err := SHA256(path); read != sum.SHA256 || err != nil {
			t.Fatal(read, err)
		}
	}
}

// TestNothingIsLeft sees that what fails leaves the old file, and nothing else.
func TestNothingIsLeft(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "out")
	if err := os.WriteFile(path, []byte("old"), 0o666); err != nil {
		t.Fatal(err)
	}
	failed := errors.New("failed")
	text := func(w io.Writer) error { _, err := io.WriteString(w, "new"); return err }
	refuse := func(working string) error {
		if got, err := os.ReadFile(working); string(got) != "new" || err != nil {
			t.Errorf("the check reads %q, %v", got, err)
		}
		return failed
	}
	for _, working := range []string{"", "out.unfinished"} {
		if _, err := Write(path, Options{Working: working}, func(io.Writer) error { return failed }); err != failed {
			t.Error(err)
		}
		if _, err := Write(path, Options{Working: working}, text, refuse); err != failed {
			t.Error(err)
		}
	}
	if got, err := os.ReadFile(path); string(got) != "old" || err != nil {
		t.Errorf("the file holds %q, %v", got, err)
	}
	if left, err := os.ReadDir(dir); len(left) != 1 || err != nil {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestTargetsAreRefused(t *testing.T) {
	dir := t.TempDir()
	in := filepath.Join(dir, "in.pdf")
	if err := os.WriteFile(in, nil, 0o666); err != nil {
		t.Fatal(err)
	}
	linked := filepath.Join(dir, "linked.pdf")
	if err := os.Link(in, linked); err != nil {
		t.Skip(err)
	}
	for _, path := range []string{in, linked, dir} {
		if _, err := Create(path, Options{Inputs: []string{in}}); say.KindOf(err) != say.Usage {
			t.Errorf("%s: error %v", path, err)
		}
	}
	_, err := Create(filepath.Join(dir, "nowhere", "out"), Options{})
	if want := "can't write beside " + filepath.Join(dir, "nowhere", "out") + ": no such file or directory"; say.KindOf(err) != say.Disk || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	if want := "make the folder first, or name one that is there"; say.Hint(err) != want {
		t.Errorf("the way out is %q, want %q", say.Hint(err), want)
	}
}

// TestLock: a file is one opener's at a time, can be read and written meanwhile by
// whoever has the lock, and is free once it is closed.
func TestLock(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal")
	open := func() *os.File {
		t.Helper()
		f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o666)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { f.Close() })
		return f
	}
	first, second := open(), open()
	if err := Lock(first); err != nil {
		t.Fatal(err)
	}
	if err := Lock(second); !errors.Is(err, ErrLocked) {
		t.Errorf("locked twice: %v", err)
	}
	if _, err := first.WriteString("line"); err != nil {
		t.Error(err)
	}
	if got, err := os.ReadFile(path); err != nil || string(got) != "line" {
		t.Errorf("others read %q, %v", got, err)
	}
	if err := first.Close(); err != nil {
		t.Fatal(err)
	}
	if err := Lock(second); err != nil {
		t.Errorf("free again: %v", err)
	}
}
